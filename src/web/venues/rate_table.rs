//! Rates of the record as a table: one row a set of groups and measure.

use crate::{
    domain::groups::GroupSet,
    statistics::{
        fished_days::Series,
        rates::{Answer, Measure, Rate},
        record::{Figure, SeriesFigures, SetFigures},
        wording,
    },
    web::figures::weights_held,
};

/// One row.
pub struct RateLine {
    /// `Carp and silvers, weight`.
    pub what: String,
    /// `1 lb 4 oz`, `2.1 fish`; or words where there is no figure.
    pub value: String,
    /// `1 lb to 1 lb 8 oz`; empty where no interval can be given.
    pub between: String,
    /// `104 days, 2,287 sessions, 11,435 rod-hours`.
    pub behind: String,
    /// What the figure leaves out or cannot settle, each sentence with the fish it is of.
    pub notes: Vec<String>,
}

/// The figures of one series.
pub struct RateTable {
    pub series: Series,
    pub lines: Vec<RateLine>,
    /// What is not shown, and why.
    pub left_out: Vec<String>,
}

impl RateTable {
    pub fn of(figures: &SeriesFigures) -> Self {
        let mut table = Self {
            series: figures.series,
            lines: Vec::new(),
            left_out: Vec::new(),
        };
        let mut too_few = Vec::new();
        for set in &figures.sets {
            for (measure, figure) in [("weight", &set.weight), ("number", &set.number)] {
                let what = format!("{}, {measure}", set.groups);
                match figure {
                    Figure::Told(rate) => {
                        table.lines.push(RateLine::of(set.groups, what, rate));
                    }
                    Figure::NotKnown => {}
                    Figure::TooFewAnglers => too_few.push(what),
                }
            }
        }
        table.withhold(&too_few);
        table.leave_out("Weight", &figures.sets, |set| &set.weight);
        table.leave_out("Number", &figures.sets, |set| &set.number);
        table
    }

    /// One sentence for the fish of which nobody wrote the measure down. A set that only adds up
    /// others of the table goes without saying.
    fn leave_out(&mut self, measure: &str, sets: &[SetFigures], of: fn(&SetFigures) -> &Figure) {
        let unknown: Vec<GroupSet> = sets
            .iter()
            .filter(|set| *of(set) == Figure::NotKnown)
            .map(|set| set.groups)
            .collect();
        let parts: Vec<GroupSet> = unknown
            .iter()
            .filter(|groups| !adds_up_others(**groups, sets))
            .copied()
            .collect();
        let named = if parts.is_empty() { unknown } else { parts };
        if named.is_empty() {
            return;
        }
        let fish: Vec<_> = named.into_iter().map(GroupSet::within).collect();
        self.left_out.push(format!(
            "{measure}: not written down for {} in any session with hours.",
            wording::any_of(&fish)
        ));
    }

    /// One sentence for all that has too few anglers behind it; where that is everything, it goes
    /// without naming.
    fn withhold(&mut self, too_few: &[String]) {
        if too_few.is_empty() {
            return;
        }
        self.left_out.push(match self.lines.is_empty() {
            true => "Fewer than three anglers have shared reports with the club, or on one of the few days, so nothing is shown.".to_owned(),
            false => format!(
                "{}: fewer than three anglers have shared reports of it with the club, or on one of its few days, so nothing is shown.",
                too_few.join("; ")
            ),
        });
    }

    /// What kind of sessions these are.
    pub fn kind(&self) -> &'static str {
        match self.series {
            Series::Match => "Full counts on fixed dates: every angler’s net, good or poor.",
            Series::Report => {
                "Volunteered, and they favour good days, so they stand apart from matches."
            }
        }
    }
}

/// Whether the table has every group of the set in narrower sets too.
fn adds_up_others(groups: GroupSet, sets: &[SetFigures]) -> bool {
    let narrower = |one: GroupSet| one != groups && one.union(groups) == groups;
    sets.iter()
        .map(|set| set.groups)
        .filter(|one| narrower(*one))
        .reduce(GroupSet::union)
        == Some(groups)
}

impl RateLine {
    fn of(groups: GroupSet, what: String, rate: &Rate) -> Self {
        let measure = rate.measure;
        let amount = |rate: f64| {
            let figure = measure.rate(rate);
            figure
                .strip_suffix(" an hour")
                .map_or(figure.clone(), str::to_owned)
        };
        let (value, alone) = match &rate.answer {
            Answer::Estimate { rate, .. } => (amount(*rate), false),
            Answer::OneSession { rate, .. } => (amount(*rate), true),
            Answer::FewDays { .. } => ("Too few days".to_owned(), true),
            Answer::AllBlank { .. } => match measure {
                Measure::Fish => ("Nothing caught".to_owned(), true),
                Measure::Weight(_) => ("Nothing weighed".to_owned(), true),
            },
            Answer::NobodyWeighed => ("Not weighed".to_owned(), true),
            Answer::Nothing => ("Not known".to_owned(), true),
        };
        let mut notes = rate.notes();
        if alone {
            notes.insert(0, rate.answer.sentence(measure, &rate.behind));
        }
        let fish = groups.to_string();
        let notes = notes
            .iter()
            .map(|note| weights_held(&wording::named(&fish, note)))
            .collect();
        Self {
            what,
            value,
            between: rate.answer.between(measure).unwrap_or_default(),
            behind: rate.behind.words(),
            notes,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        domain::{dates::Day, ids::MatchId, units::Scale},
        statistics::rates::CatchRow,
    };

    #[test]
    fn who_did_not_weigh_beside_blanks_is_not_said_to_have_caught_nothing() {
        let net = |weight_g: Option<f64>| CatchRow {
            day: Day::new(2026, 3, 1).expect("a real day"),
            rod_hours: Some(5.0),
            fish: Some(0),
            weight_g,
            did_not_weigh: weight_g.is_none(),
            match_id: Some(MatchId(1)),
            lowest_beside_g: None,
        };
        let rows = [net(Some(0.0)), net(None)];
        let value = |measure| {
            let rate = Rate::of(measure, &rows);
            RateLine::of(GroupSet::from_bits(1).expect("a set"), String::new(), &rate).value
        };
        assert_eq!(value(Measure::Weight(Scale::Drams)), "Nothing weighed");
        assert_eq!(value(Measure::Fish), "Nothing caught");
    }

    /// What a table of these sets leaves out: every weight unknown, and every number but those of
    /// `counted`.
    fn left_out(sets: &[i64], counted: &[i64]) -> Vec<String> {
        let set = |bits: &i64| {
            let number = match counted.contains(bits) {
                true => Figure::TooFewAnglers,
                false => Figure::NotKnown,
            };
            SetFigures {
                groups: GroupSet::from_bits(*bits).expect("a set"),
                weight: Figure::NotKnown,
                number,
            }
        };
        let figures = SeriesFigures {
            series: Series::Match,
            sets: sets.iter().map(set).collect(),
        };
        RateTable::of(&figures).left_out
    }

    #[test]
    fn fish_of_which_a_measure_is_not_known_are_named_once() {
        let (carp, silvers, both, all) = (1, 2, 3, 31);
        let weight =
            |fish: &str| format!("Weight: not written down for {fish} in any session with hours.");
        for (sets, fish) in [
            (&[both, carp, silvers][..], "carp or silvers"),
            (&[silvers][..], "silvers"),
            (&[both][..], "carp and silvers"),
            (&[all, both, carp, silvers][..], "all fish, carp or silvers"),
        ] {
            assert!(left_out(sets, &[]).contains(&weight(fish)), "{fish}");
        }
    }

    #[test]
    fn what_too_few_anglers_reported_is_said_once() {
        let told = left_out(&[3, 1, 2], &[1, 2, 3]);
        let withheld = told.iter().filter(|one| one.contains("three anglers"));
        assert_eq!(withheld.count(), 1, "{told:?}");
    }

    #[test]
    fn a_set_is_named_where_its_parts_are_known_and_it_is_not() {
        let number =
            |fish: &str| format!("Number: not written down for {fish} in any session with hours.");
        assert!(left_out(&[3, 1, 2], &[1, 2]).contains(&number("carp and silvers")));
        assert!(left_out(&[3, 1, 2], &[1]).contains(&number("silvers")));
        let none = left_out(&[3, 1, 2], &[1, 2, 3]);
        assert!(!none.iter().any(|one| one.starts_with("Number: ")));
    }
}
