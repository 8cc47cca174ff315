//! Rates of the record as a table: one row a set of groups and measure.

use crate::{
    domain::groups::GroupSet,
    statistics::{
        fished_days::Series,
        rates::{Answer, Rate},
        record::{Figure, SeriesFigures, SetFigures},
        wording,
    },
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
        for set in &figures.sets {
            table.add(set, "weight", &set.weight);
            table.add(set, "number", &set.number);
        }
        let unknown = |of: fn(&SetFigures) -> &Figure| {
            figures.sets.iter().all(|set| *of(set) == Figure::NotKnown)
        };
        if unknown(|set| &set.weight) {
            table.leave_out("Weight", &figures.sets);
        }
        if unknown(|set| &set.number) {
            table.leave_out("Number", &figures.sets);
        }
        table
    }

    /// One sentence for a measure that no set knows, in place of one a set.
    fn leave_out(&mut self, measure: &str, sets: &[SetFigures]) {
        let word = measure.to_lowercase();
        self.left_out
            .retain(|sentence| !sentence.contains(&format!(", {word}: not known")));
        let fish: Vec<_> = sets
            .iter()
            .map(|set| format!("of {}", set.groups.within()))
            .collect();
        self.left_out.push(format!(
            "{measure} {}: not known of any session with hours.",
            wording::list(&fish)
        ));
    }

    fn add(&mut self, set: &SetFigures, measure: &str, figure: &Figure) {
        let what = format!("{}, {measure}", set.groups);
        match figure {
            Figure::Told(rate) => self.lines.push(RateLine::of(set.groups, what, rate)),
            Figure::NotKnown => self
                .left_out
                .push(format!("{what}: not known of any session with hours.")),
            Figure::TooFewAnglers => self.left_out.push(format!(
                "{what}: fewer than three anglers have reported it, or on one of its few days, so nothing is shown."
            )),
        }
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
            Answer::AllBlank { .. } => ("Nothing caught".to_owned(), true),
            Answer::Nothing => ("Not known".to_owned(), true),
        };
        let mut notes = rate.notes();
        if alone {
            notes.insert(0, rate.answer.sentence(measure, &rate.behind));
        }
        let fish = groups.to_string();
        let notes = notes
            .iter()
            .map(|note| wording::named(&fish, note))
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
