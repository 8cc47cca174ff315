//! A peg's hours as a strip and its methods as rows: plain counts beside their effort.

use std::collections::BTreeMap;

use crate::{
    domain::{ids::MethodId, units::Scale},
    statistics::{
        at_a_peg::SeriesCounts,
        fished_days::Series,
        hours::Hours,
        methods::{Counted, MethodCounts},
        wording,
    },
    web::{
        figures::weights_held,
        pictures::{Drawn, Hour, HourStrip, Hours as HoursDrawn},
    },
};

/// One method of one series.
pub struct MethodLine {
    pub name: String,
    pub sessions: usize,
    pub days: usize,
    pub rod_hours: String,
    pub fish: String,
    pub weight: String,
}

/// The counts of one series as the page shows them.
pub struct CountsShown {
    pub series: Series,
    pub strip: Option<Drawn>,
    /// What the hours come to in words, or why they are not shown.
    pub hours_words: String,
    pub methods: Vec<MethodLine>,
    /// Why some or all methods are missing; empty when none are.
    pub methods_words: String,
}

impl CountsShown {
    /// `scale`: in which weights are told. Fails where the strip cannot be drawn.
    pub fn of(
        counts: &SeriesCounts,
        names: &BTreeMap<MethodId, String>,
        scale: Scale,
    ) -> askama::Result<Self> {
        let withheld = match (counts.withheld, counts.methods.is_empty()) {
            (0, false) => String::new(),
            (0, true) => "No method has been written down here yet.".to_owned(),
            (few, _) => wording::sentence(&format!(
                "{} with fewer than three anglers behind {} left out",
                wording::count(few, "method", "methods"),
                if few == 1 { "it is" } else { "them are" }
            )),
        };
        let timed = counts.hours.as_ref().filter(|hours| hours.sessions > 0);
        Ok(Self {
            series: counts.series,
            strip: timed
                .map(|hours| Drawn::of(&strip(counts.series, hours)))
                .transpose()?,
            hours_words: match &counts.hours {
                Some(hours) => hours.sentence(),
                None => "Fewer than three anglers have timed their fish here, so nothing is shown of the hours.".to_owned(),
            },
            methods: counts
                .methods
                .iter()
                .map(|one| line(one, names, scale))
                .collect(),
            methods_words: withheld,
        })
    }
}

fn strip(series: Series, hours: &Hours) -> HourStrip {
    const NAMES: [&str; 8] = ["1st", "2nd", "3rd", "4th", "5th", "6th", "7th", "8th"];
    let drawn = hours.hours.iter().map(|hour| Hour {
        name: NAMES
            .get(hour.hour)
            .map_or_else(|| format!("{}th", hour.hour + 1), |name| (*name).to_owned()),
        fish: hour.fish,
        at: Vec::new(),
        rod_hours: hour.rod_hours,
        rate: hour.fish.to_string(),
        low: String::new(),
        high: String::new(),
    });
    HourStrip::new(HoursDrawn {
        id: format!("hours-{}", series.slug()),
        title: format!(
            "Fish by hour since the start, {}",
            series.name().to_lowercase()
        ),
        summary: hours.sentence(),
        unit: "fish counted".to_owned(),
        behind: hours.behind("timed session", "timed sessions"),
        hours: drawn.collect(),
    })
}

pub fn method_name(counts: &MethodCounts, names: &BTreeMap<MethodId, String>) -> String {
    let name = counts.method.and_then(|method| names.get(&method));
    name.cloned().unwrap_or_else(|| "A method".to_owned())
}

fn line(counts: &MethodCounts, names: &BTreeMap<MethodId, String>, scale: Scale) -> MethodLine {
    // Sessions without the figure, or that share it among methods, keep their hours out of it.
    let beside = |counted: &Counted, words: String, what: &str| {
        let left = counted_out(counts, counted);
        match counted.sessions {
            0 => "not known".to_owned(),
            _ if left.is_empty() => format!(
                "{words} in {} rod-hours",
                wording::figure(counted.rod_hours)
            ),
            _ => format!(
                "{words} in {} rod-hours; no {what} for the other {left}",
                wording::figure(counted.rod_hours)
            ),
        }
    };
    MethodLine {
        name: method_name(counts, names),
        sessions: counts.sessions,
        days: counts.days,
        rod_hours: wording::figure(counts.rod_hours),
        fish: beside(
            &counts.fish,
            format!("{:.0} fish", counts.fish.total),
            "count",
        ),
        weight: weights_held(&beside(
            &counts.weight,
            wording::weight(counts.weight.total, scale),
            "weight",
        )),
    }
}

/// The rod-hours of a method that a figure leaves out; empty where they come to nothing.
fn counted_out(counts: &MethodCounts, counted: &Counted) -> String {
    let left = counts.rod_hours - counted.rod_hours;
    match left >= 0.05 {
        true => wording::figure(left),
        false => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hours_that_a_figure_leaves_out_are_said_beside_it() {
        let counted = |sessions, total, rod_hours| Counted {
            sessions,
            total,
            rod_hours,
        };
        let counts = MethodCounts {
            method: None,
            sessions: 4,
            days: 4,
            rod_hours: 16.2,
            without_hours: 0,
            fish: counted(3, 27.0, 15.0),
            weight: counted(4, 0.0, 16.2),
        };
        let said = line(&counts, &BTreeMap::new(), Scale::Drams);

        assert_eq!(said.rod_hours, "16.2");
        assert_eq!(
            said.fish,
            "27 fish in 15.0 rod-hours; no count for the other 1.2"
        );
        assert!(
            said.weight.ends_with(" in 16.2 rod-hours"),
            "{}",
            said.weight
        );
    }
}
