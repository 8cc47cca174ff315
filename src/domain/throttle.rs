//! How long a guesser waits: nothing for the first few slips, then longer each time, forgotten after a quiet day.

use super::dates::Instant;

/// Wrong tries that cost nothing.
const FREE: i64 = 5;
/// The longest wait, seconds.
const LONGEST: i64 = 900;
/// After this long without a failure the past is forgotten, seconds.
const FORGOTTEN_AFTER: i64 = 86_400;

/// Seconds still to wait at `now` after `failures` wrong tries, the last at `last`:
/// 2^(failures − 5) × 5 s, at most 15 minutes.
pub fn wait_seconds(failures: i64, last: Instant, now: Instant) -> i64 {
    let since = now.0 - last.0;
    if failures < FREE || since >= FORGOTTEN_AFTER {
        return 0;
    }
    let doublings = (failures - FREE).min(10) as u32;
    let wait = (5 * 2_i64.pow(doublings)).min(LONGEST);
    (wait - since).clamp(0, LONGEST)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_wait_grows_and_ends() {
        let at = |failures, since: i64| {
            wait_seconds(failures, Instant(1_000_000), Instant(1_000_000 + since))
        };
        assert_eq!(
            [at(0, 0), at(4, 0), at(5, 0), at(6, 0), at(8, 0), at(40, 0)],
            [0, 0, 5, 10, 40, 900]
        );
        assert_eq!([at(6, 9), at(6, 10), at(40, 86_400)], [1, 0, 0]);
    }

    #[test]
    fn ten_thousand_guesses_in_an_hour_are_mostly_unheard() {
        let (mut failures, mut last, mut checked) = (0, Instant(0), 0);
        for guess in 0..10_000 {
            let now = Instant(guess * 3_600 / 10_000);
            if wait_seconds(failures, last, now) == 0 {
                (failures, last, checked) = (failures + 1, now, checked + 1);
            }
        }
        assert!(checked <= 60, "{checked} guesses were checked");
    }
}
