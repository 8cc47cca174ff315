//! The hour strip: a ruled row of hours since the start, a pencil tick per fish, the rod-hours
//! fished as hatching beneath, and under each hour its rate with its doubt.

use askama::Template;

use super::{Place, left, middle};
use crate::web::figures;

/// More ticks than this and each stands for several fish.
const MOST_TICKS: i64 = 240;
/// Pixels: the line the ticks stand on, a tick's height, the deepest hatching.
const LINE: f64 = 58.0;
const TICK: f64 = 24.0;
const HATCH: f64 = 24.0;
/// Hours that still stand side by side on a phone; more are scrolled.
const ABREAST: usize = 7;

/// One hour since the start.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Hour {
    /// `first`, `second`; or `10 to 11`.
    pub name: String,
    /// Fish in the sessions drawn on.
    pub fish: i64,
    /// When in the hour each timed fish came, 0 to 1; the rest are spread evenly.
    pub at: Vec<f64>,
    /// Rod-hours fished in this hour.
    pub rod_hours: f64,
    /// The rate and the ends of its interval as shown, such as `1.1`, `0.5` and `2.1`; empty
    /// where nothing can be said.
    pub rate: String,
    pub low: String,
    pub high: String,
}

/// What an hour strip is drawn from.
#[derive(Clone, Debug, PartialEq)]
pub struct Hours {
    /// Unlike any other picture's on the page; letters, digits and hyphens.
    pub id: String,
    pub title: String,
    pub summary: String,
    /// What the rates are: `fish an hour`.
    pub unit: String,
    /// What stands behind them: `11 timed sessions`.
    pub behind: String,
    pub hours: Vec<Hour>,
}

/// A tick: where it stands, per cent, and how it slants, px.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tick {
    pub x: Place,
    pub slant: Place,
}

/// An hour's place in the drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    pub hour: Hour,
    pub x: Place,
    pub left: Place,
    pub ticks: Vec<Tick>,
    pub hatch: Place,
}

#[derive(Template)]
#[template(path = "pictures/hour_strip.html")]
pub struct HourStrip {
    hours: Hours,
    columns: Vec<Column>,
    fish_a_tick: i64,
    breadth: Place,
    line: Place,
    tick: Place,
    many: bool,
}

impl HourStrip {
    pub fn new(hours: Hours) -> Self {
        let count = hours.hours.len();
        let fish: i64 = hours.hours.iter().map(|hour| hour.fish.max(0)).sum();
        let fish_a_tick = (fish + MOST_TICKS - 1) / MOST_TICKS;
        let fish_a_tick = fish_a_tick.max(1);
        let most = hours
            .hours
            .iter()
            .map(|hour| hour.rod_hours)
            .fold(0.0, f64::max);
        let columns = (hours.hours.iter().enumerate())
            .map(|(at, hour)| Column {
                hour: hour.clone(),
                x: middle(at, count),
                left: left(at, count),
                ticks: ticks(hour, at, count, fish_a_tick),
                hatch: Place(if most > 0.0 {
                    HATCH * hour.rod_hours / most
                } else {
                    0.0
                }),
            })
            .collect();
        Self {
            columns,
            fish_a_tick,
            breadth: Place(100.0 / count.max(1) as f64),
            line: Place(LINE),
            tick: Place(LINE - TICK),
            many: count > ABREAST,
            hours,
        }
    }

    /// Whether any hour says how sure its rate is.
    fn doubted(&self) -> bool {
        self.hours.hours.iter().any(|hour| !hour.low.is_empty())
    }

    /// Whether what is written below is the fish themselves, which the table then has once.
    fn rates_are_fish(&self) -> bool {
        let hours = &self.hours.hours;
        hours.iter().all(|hour| hour.rate == hour.fish.to_string())
    }

    fn rod_hours(&self, hour: &Hour) -> String {
        crate::web::figures::number(hour.rod_hours, 1)
    }
}

/// One tick per `fish_a_tick` fish. Timed fish stand where they came when each has its own tick;
/// otherwise all are spread evenly. The slant is the pencil's: fixed by the tick's place, so that
/// a page drawn twice is the same page.
fn ticks(hour: &Hour, at: usize, count: usize, fish_a_tick: i64) -> Vec<Tick> {
    let fish = usize::try_from(hour.fish).unwrap_or(0);
    let wanted = fish.div_ceil(fish_a_tick.max(1) as usize);
    let timed = hour.at.iter().filter(|_| fish_a_tick == 1).take(wanted);
    let mut within: Vec<f64> = timed.map(|moment| moment.clamp(0.0, 1.0)).collect();
    let untimed = wanted - within.len();
    within.extend((0..untimed).map(|n| (n as f64 + 0.5) / untimed as f64));
    (within.into_iter().enumerate())
        .map(|(n, moment)| Tick {
            // Kept off the ruling between two hours.
            x: Place((at as f64 + 0.03 + 0.94 * moment) * 100.0 / count as f64),
            slant: Place([-1.5, 0.8, 2.0, -0.6, 1.3][(n * 3 + at) % 5]),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hour(fish: i64, at: &[f64], rod_hours: f64) -> Hour {
        Hour {
            fish,
            at: at.to_vec(),
            rod_hours,
            ..Hour::default()
        }
    }

    fn strip(hours: Vec<Hour>) -> HourStrip {
        HourStrip::new(Hours {
            id: "hours".into(),
            title: String::new(),
            summary: String::new(),
            unit: String::new(),
            behind: String::new(),
            hours,
        })
    }

    #[test]
    fn a_timed_fish_stands_where_it_came_and_the_rest_are_spread() {
        let strip = strip(vec![hour(0, &[], 1.0), hour(3, &[0.5], 1.0)]);

        let places: Vec<f64> = strip.columns[1].ticks.iter().map(|tick| tick.x.0).collect();

        assert!(
            (places[0] - 75.0).abs() < 1e-9,
            "half way through the second hour"
        );
        assert_eq!(places.len(), 3);
        assert!(places.iter().all(|x| (50.0..100.0).contains(x)));
    }

    #[test]
    fn hatching_is_as_deep_as_the_rods_were_many() {
        let strip = strip(vec![hour(0, &[], 10.0), hour(0, &[], 5.0)]);

        assert_eq!(strip.columns[0].hatch, Place(24.0));
        assert_eq!(strip.columns[1].hatch, Place(12.0));
    }

    #[test]
    fn a_tick_stands_for_several_fish_when_there_are_very_many() {
        let strip = strip(vec![hour(700, &[0.1], 10.0), hour(20, &[], 10.0)]);

        assert_eq!(strip.fish_a_tick, 3);
        assert_eq!(strip.columns[0].ticks.len(), 234);
        assert_eq!(strip.columns[1].ticks.len(), 7);
    }

    #[test]
    fn no_hours_and_no_effort_draw_nothing_and_do_not_fail() {
        assert!(strip(Vec::new()).columns.is_empty());
        assert_eq!(strip(vec![hour(0, &[], 0.0)]).columns[0].hatch, Place(0.0));
    }

    #[test]
    fn where_the_fish_are_all_there_is_to_say_the_table_says_them_once() {
        let counted = |rate: &str| Hour {
            rate: rate.to_owned(),
            ..hour(3, &[], 1.0)
        };
        let drawn = |rate| strip(vec![counted(rate)]).render().expect("it is drawn");

        assert!(!drawn("3").contains(">Fish</th>"));
        assert!(drawn("0.6").contains(">Fish</th>"));
    }
}
