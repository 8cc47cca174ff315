//! A result laid out for a page: overall, by section, by team, and those without a weight apart.

use std::collections::BTreeMap;

use super::Naming;
use crate::{
    domain::{
        matches::{
            Figures, Line, Outcome, Place, TeamStanding, section_heading, section_words,
            team_standings,
        },
        pegs::by_number,
        units::{Scale, Total},
    },
    statistics::wording,
    store::matches::entries::Entry,
    web::figures::{GAP, weights_held},
};

/// One line of a result as a page shows it.
#[derive(Clone)]
pub(super) struct Shown {
    pub place: String,
    pub section_place: String,
    pub name: String,
    pub peg: String,
    pub section: String,
    pub team: String,
    pub weight: String,
    /// `5.670 kg`, where a net was weighed in another unit than the result is ranked in.
    pub as_weighed: String,
    /// `weighed 20 lb`, of who is disqualified; empty of everybody else. It stands outside the
    /// columns that say their unit, so it says its own.
    pub weighed: String,
    outcome: Outcome,
}

impl Shown {
    /// The peg, where the name does not say it already.
    pub fn peg_beside(&self) -> String {
        let said = self.is_its_peg() || self.name.ends_with(&format!(", peg {}", self.peg));
        match said || self.peg.is_empty() {
            true => String::new(),
            false => format!(", peg {}", self.peg),
        }
    }

    /// The peg in a column of its own.
    pub fn peg_shown(&self) -> &str {
        match self.peg.as_str() {
            "" => GAP,
            peg => peg,
        }
    }

    /// The peg stands for the name.
    fn is_its_peg(&self) -> bool {
        self.name == format!("Peg {}", self.peg)
    }

    /// `section A, Kingcups`; empty where there is neither.
    pub fn belongs(&self) -> String {
        let section = match self.section.as_str() {
            "" => String::new(),
            section => section_words(section),
        };
        let parts = [section, self.team.clone()];
        let parts: Vec<_> = parts.into_iter().filter(|part| !part.is_empty()).collect();
        parts.join(", ")
    }

    /// `disqualified, weighed 20 lb`, under the name in a section's table: too long for the column
    /// of weights.
    pub fn remark(&self) -> String {
        match (self.outcome, self.weighed.as_str()) {
            (Outcome::Disqualified, "") => self.weight.clone(),
            (Outcome::Disqualified, weighed) => format!("{}, {weighed}", self.weight),
            _ => String::new(),
        }
    }

    /// What a section's table has in its column of weights.
    pub fn weight_shown(&self) -> &str {
        match self.outcome {
            Outcome::Disqualified => GAP,
            _ => &self.weight,
        }
    }
}

/// A team of a result as a page shows it.
pub(super) struct ShownTeam {
    pub place: String,
    pub name: String,
    pub members: String,
    pub weight: String,
}

/// What the overall table is sorted by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum SortBy {
    Place,
    Angler,
    Peg,
}

impl SortBy {
    pub fn parse(text: &str) -> Self {
        match text {
            "angler" => Self::Angler,
            "peg" => Self::Peg,
            _ => Self::Place,
        }
    }

    pub fn as_str(self) -> &'static str {
        match self {
            Self::Place => "place",
            Self::Angler => "angler",
            Self::Peg => "peg",
        }
    }
}

/// A heading that sorts: address, word, and how it is sorted now.
pub(super) struct Heading {
    pub address: String,
    pub word: &'static str,
    pub class: &'static str,
    pub now: &'static str,
}

/// A result ready for a template.
pub(super) struct Laid {
    /// Who weighed in, and blanks.
    pub lines: Vec<Shown>,
    /// Did not weigh, disqualified, absent: a heading and who.
    pub apart: Vec<(&'static str, Vec<Shown>)>,
    /// `Section A` and its lines, ordered as a person would: 2 before 10.
    pub sections: Vec<(String, Vec<Shown>)>,
    pub teams: Vec<ShownTeam>,
    pub known: String,
    /// What weights are read by: `lb-oz`.
    pub unit: &'static str,
    /// Pegs stand for all names, so a column of their own would say them twice.
    pub by_peg: bool,
    /// Links over the columns; plain words where there are none.
    pub headings: Vec<Heading>,
}

impl Laid {
    pub fn out(figures: &Figures, entered: &[Entry], naming: Naming) -> Self {
        let names = naming.of_result(figures, entered);
        let name = |line: &Line| names.get(&line.entry).cloned().unwrap_or_default();
        let all: Vec<Shown> = figures
            .lines
            .iter()
            .map(|line| shown(line, name(line), figures.ranking.scale))
            .collect();
        let mut by_section: BTreeMap<String, Vec<Shown>> = BTreeMap::new();
        let sat = |line: &&Shown| line.outcome != Outcome::Absent;
        for line in all
            .iter()
            .filter(sat)
            .filter(|line| !line.section.is_empty())
        {
            by_section
                .entry(line.section.clone())
                .or_default()
                .push(line.clone());
        }
        let mut sections: Vec<(String, Vec<Shown>)> = by_section.into_iter().collect();
        sections.sort_by(|a, b| by_number(&a.0, &b.0));
        let of = |outcome: Outcome| -> Vec<Shown> {
            all.iter()
                .filter(|line| line.outcome == outcome)
                .cloned()
                .collect()
        };
        let apart = [
            ("Did not weigh", of(Outcome::DidNotWeigh)),
            ("Disqualified", of(Outcome::Disqualified)),
            ("Absent", of(Outcome::Absent)),
        ];
        Self {
            known: known(figures, &all),
            unit: match (figures.ranking.scale, figures.ranking.step % 16) {
                (Scale::Grams, _) => "kg",
                (Scale::Drams, 0) => "lb-oz",
                (Scale::Drams, _) => "lb-oz-dr",
            },
            by_peg: all.iter().any(|line| !line.peg.is_empty())
                && all
                    .iter()
                    .all(|line| line.peg.is_empty() || line.is_its_peg()),
            lines: all
                .iter()
                .filter(|line| matches!(line.outcome, Outcome::Fished | Outcome::Blank))
                .cloned()
                .collect(),
            apart: apart
                .into_iter()
                .filter(|(_, who)| !who.is_empty())
                .collect(),
            sections: sections
                .into_iter()
                .map(|(name, lines)| (section_heading(&name), lines))
                .collect(),
            teams: team_standings(figures).into_iter().map(team).collect(),
            headings: Vec::new(),
        }
    }

    /// Sorts the overall table; in the order of the result unless told otherwise.
    pub fn sorted(mut self, by: SortBy, falling: bool) -> Self {
        match by {
            SortBy::Place => {}
            SortBy::Angler => self.lines.sort_by_key(|line| line.name.to_lowercase()),
            SortBy::Peg => self.lines.sort_by(|a, b| by_number(&a.peg, &b.peg)),
        }
        if falling {
            self.lines.reverse();
        }
        self
    }

    /// Puts links over the columns, `address` being asked with the sort and whether it falls.
    pub fn with_headings(
        mut self,
        (by, falling): (SortBy, bool),
        address: impl Fn(&str, bool) -> String,
    ) -> Self {
        let heading = |sort: SortBy, word, class| Heading {
            address: address(sort.as_str(), sort == by && !falling),
            word,
            class,
            now: match (sort == by, falling) {
                (false, _) => "",
                (true, false) => "ascending",
                (true, true) => "descending",
            },
        };
        self.headings = vec![heading(SortBy::Place, "Place", "place")];
        self.headings.extend(match self.by_peg {
            true => vec![heading(SortBy::Peg, "Peg", "")],
            false => vec![
                heading(SortBy::Angler, "Angler", ""),
                heading(SortBy::Peg, "Peg", "n"),
            ],
        });
        self
    }
}

fn placed(place: Option<Place>) -> String {
    place.map_or_else(|| GAP.to_owned(), |place| place.to_string())
}

fn team(standing: TeamStanding) -> ShownTeam {
    ShownTeam {
        place: placed(standing.place),
        members: format!(
            "{} entered: {}",
            standing.entered(),
            told(&standing.outcomes)
        ),
        weight: standing.counted.short(),
        name: standing.team,
    }
}

fn shown(line: &Line, name: String, scale: Scale) -> Shown {
    let otherwise = line.nets.iter().any(|net| net.weight.scale() != scale);
    let nets: Vec<String> = line.nets.iter().map(|net| net.weight.words()).collect();
    Shown {
        as_weighed: match otherwise {
            true => weights_held(&wording::list(&nets)),
            false => String::new(),
        },
        place: placed(line.place),
        section_place: placed(line.section_place),
        name,
        peg: line.peg.clone().unwrap_or_default(),
        section: line.section.clone().unwrap_or_default(),
        team: line.team.clone().unwrap_or_default(),
        weight: match line.outcome {
            Outcome::Fished => line.counted.short(),
            outcome => outcome.to_string(),
        },
        // The weight is still a fact, and stands beside.
        weighed: match line.outcome {
            Outcome::Disqualified if !line.raw.is_nothing() => {
                weights_held(&format!("weighed {}", line.raw.words()))
            }
            _ => String::new(),
        },
        outcome: line.outcome,
    }
}

/// `2 weighed in, 1 blanked`: what became of how many.
fn told(outcomes: &BTreeMap<Outcome, usize>) -> String {
    let each = outcomes.iter().map(|(outcome, anglers)| {
        let word = match outcome {
            Outcome::Fished => "weighed in",
            Outcome::Blank => "blanked",
            other => other.as_str(),
        };
        format!("{anglers} {word}")
    });
    each.collect::<Vec<_>>().join(", ")
}

/// Who won with what; how many entered, fished and weighed in; what was weighed in all.
fn known(figures: &Figures, lines: &[Shown]) -> String {
    let winners: Vec<String> = lines
        .iter()
        .filter(|line| matches!(line.place.as_str(), "1" | "1="))
        .map(|line| line.name.clone())
        .collect();
    let won = match (winners.as_slice(), figures.lines.first()) {
        ([], _) | (_, None) => "Nobody weighed in".to_owned(),
        ([one], Some(first)) => format!("{one} won with {}", first.counted.words()),
        (several, Some(first)) => format!(
            "{} shared first place with {} each",
            wording::list(several),
            first.counted.words()
        ),
    };
    // Of what the rows show, so that whoever adds them up comes to the same.
    let shown = figures
        .lines
        .iter()
        .filter(|line| line.outcome == Outcome::Fished)
        .map(|line| line.counted);
    let all = shown.collect::<Total>().to(figures.ranking);
    let mut outcomes: BTreeMap<Outcome, usize> = BTreeMap::new();
    for line in &figures.lines {
        *outcomes.entry(line.outcome).or_default() += 1;
    }
    outcomes.remove(&Outcome::Absent);
    let fished: usize = outcomes.values().sum();
    let told = match outcomes.is_empty() {
        true => String::new(),
        false => format!(": {}", told(&outcomes)),
    };
    weights_held(&format!(
        "{won}. {} entered, {fished} fished{told}; {} weighed in all.",
        figures.lines.len(),
        all.words()
    ))
}
