//! Spells: stretches of a session on one method, bait and line, and the time that none covers.

use jiff::civil::Time;

use crate::domain::{
    dates::{Day, Instant, Zone},
    ids::{BaitId, MethodId, PegId},
    units::Length,
};

/// Minutes of a session past midnight above which its hours are asked about; common practice, no source.
pub const LONG_NIGHT: i64 = 16 * 60;

/// A stretch on one method, bait, line and aim.
#[derive(Clone, Debug, PartialEq)]
pub struct Spell {
    pub peg: Option<PegId>,
    pub method: Option<MethodId>,
    pub bait: Option<BaitId>,
    pub depth: Option<Length>,
    pub line: Option<Length>,
    /// Left (negative) or right of straight out.
    pub aim: Option<Length>,
    pub from: Option<Instant>,
    pub to: Option<Instant>,
    /// Absent only where no hours were given.
    pub minutes: Option<f64>,
    pub rods: i64,
    /// Time of the session that no other spell covers: method unknown.
    pub uncovered: bool,
}

impl Spell {
    /// Time on `peg` of which nothing more is known.
    pub fn uncovered(peg: Option<PegId>, minutes: f64) -> Self {
        Self {
            peg,
            method: None,
            bait: None,
            depth: None,
            line: None,
            aim: None,
            from: None,
            to: None,
            minutes: Some(minutes),
            rods: 1,
            uncovered: true,
        }
    }
}

/// Σ rods × minutes ÷ 60; `None` where a spell's time is not known.
pub fn rod_hours(spells: &[Spell]) -> Option<f64> {
    spells
        .iter()
        .map(|spell| {
            spell
                .minutes
                .map(|minutes| minutes * spell.rods as f64 / 60.0)
        })
        .sum()
}

/// The first moment not before `earliest` when a clock at the water showed `time`, on `day` or the
/// day after. In the doubled hour of autumn the second reading is taken where the first is too early.
pub fn next_time(day: Day, time: Time, zone: &Zone, earliest: Instant) -> Instant {
    let first = day.at(time, zone);
    if first >= earliest {
        return first;
    }
    let second = first.plus_seconds(3_600);
    if second >= earliest && second.clock(zone) == first.clock(zone) {
        return second;
    }
    day.plus(1).at(time, zone)
}

/// Start and end of a session that begins on `day`; an end that is not later is after midnight.
pub fn hours(day: Day, start: Time, end: Time, zone: &Zone) -> (Instant, Instant) {
    let start = day.at(start, zone);
    (start, next_time(day, end, zone, start.plus_seconds(60)))
}

/// Adds the time between `start` and `end` that no spell covers, as spells of unknown method. They
/// were fished on the session's `peg` where every spell was, and where none was: else that peg would
/// be said of no time at all. Of somebody who told of that peg and of another, nobody knows.
///
/// With from and to on every spell each gap stands where it was; otherwise the minutes left over
/// (length − Σ minutes, not below nothing) are one spell without a place in the day.
pub fn with_uncovered(
    mut spells: Vec<Spell>,
    start: Instant,
    end: Instant,
    peg: Option<PegId>,
) -> Vec<Spell> {
    let peg = peg.filter(|peg| {
        let there = |spell: &Spell| spell.peg == Some(*peg);
        spells.iter().all(there) || !spells.iter().any(there)
    });
    let mut placed: Vec<(Instant, Instant)> = spells
        .iter()
        .filter_map(|spell| spell.from.zip(spell.to))
        .collect();
    if placed.len() < spells.len() {
        let known: f64 = spells.iter().filter_map(|spell| spell.minutes).sum();
        let left = end.minutes_since(start) - known;
        if left >= 1.0 {
            spells.push(Spell::uncovered(peg, left));
        }
        return spells;
    }
    placed.sort();
    placed.push((end, end));
    let mut covered_to = start;
    for (from, to) in placed {
        if from > covered_to {
            spells.push(Spell {
                from: Some(covered_to),
                to: Some(from),
                ..Spell::uncovered(peg, from.minutes_since(covered_to))
            });
        }
        covered_to = covered_to.max(to);
    }
    spells
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::time;

    fn london() -> Zone {
        Zone::named("Europe/London").expect("shipped")
    }

    fn spell(from: i64, to: i64) -> Spell {
        Spell {
            from: Some(Instant(from)),
            to: Some(Instant(to)),
            uncovered: false,
            ..Spell::uncovered(None, (to - from) as f64 / 60.0)
        }
    }

    #[test]
    fn a_session_past_midnight_ends_on_the_next_day() {
        let day = Day::new(2026, 6, 6).expect("a real day");
        let (start, end) = hours(day, time(20, 0, 0, 0), time(2, 30, 0, 0), &london());
        assert_eq!(end.minutes_since(start), 390.0);
        assert_eq!(end.day(&london()), day.plus(1));
    }

    #[test]
    fn the_nights_when_clocks_change_are_an_hour_longer_and_shorter() {
        let (eight, seven) = (time(20, 0, 0, 0), time(7, 0, 0, 0));
        let autumn = Day::new(2026, 10, 24).expect("a real day");
        let (start, end) = hours(autumn, eight, seven, &london());
        assert_eq!(end.minutes_since(start), 12.0 * 60.0);
        let spring = Day::new(2026, 3, 28).expect("a real day");
        let (start, end) = hours(spring, eight, seven, &london());
        assert_eq!(end.minutes_since(start), 10.0 * 60.0);
        let doubled = Day::new(2026, 10, 25).expect("a real day");
        let (start, end) = hours(doubled, time(1, 45, 0, 0), time(1, 15, 0, 0), &london());
        assert_eq!(end.minutes_since(start), 30.0);
    }

    #[test]
    fn gaps_become_spells_of_unknown_method() {
        let all = with_uncovered(
            vec![spell(600, 1_200), spell(1_800, 2_400)],
            Instant(0),
            Instant(3_000),
            None,
        );
        let gaps: Vec<_> = all[2..]
            .iter()
            .map(|s| (s.from, s.to, s.uncovered))
            .collect();
        let gap = |from, to| (Some(Instant(from)), Some(Instant(to)), true);
        assert_eq!(gaps, [gap(0, 600), gap(1_200, 1_800), gap(2_400, 3_000)]);
        let minutes: f64 = all.iter().filter_map(|s| s.minutes).sum();
        assert_eq!(minutes, 50.0);
    }

    #[test]
    fn time_that_no_spell_covers_is_on_the_sessions_peg_where_every_spell_is_or_none() {
        let on = |peg, from, to| Spell {
            peg: Some(PegId(peg)),
            ..spell(from, to)
        };
        let rest = |spells: Vec<Spell>| {
            let told = spells.len();
            let all = with_uncovered(spells, Instant(0), Instant(3_000), Some(PegId(12)));
            all[told..].iter().map(|s| s.peg).collect::<Vec<_>>()
        };
        let at_twelve = Some(PegId(12));
        let one_peg = vec![on(12, 0, 600), on(12, 1_200, 3_000)];
        assert_eq!(rest(one_peg), [at_twelve]);
        let moved = vec![on(12, 0, 600), on(14, 1_200, 2_400)];
        assert_eq!(rest(moved), [None, None]);
        let loose = Spell {
            from: None,
            to: None,
            ..on(14, 0, 600)
        };
        assert_eq!(rest(vec![on(12, 0, 600), loose]), [None]);
        assert_eq!(rest(Vec::new()), [at_twelve]);
        let elsewhere = vec![on(9, 600, 1_200), on(14, 1_200, 3_000)];
        assert_eq!(rest(elsewhere), [at_twelve], "its peg is not lost");
    }

    #[test]
    fn hours_without_a_place_leave_the_rest_as_one_spell() {
        let loose = Spell {
            from: None,
            to: None,
            ..spell(0, 3_600)
        };
        let all = with_uncovered(vec![loose], Instant(0), Instant(7_200), None);
        assert_eq!(
            (all.len(), all[1].minutes, all[1].from),
            (2, Some(60.0), None)
        );
    }
}
