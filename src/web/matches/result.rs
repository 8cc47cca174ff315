//! The result as posted: overall, by section, what was corrected, and the postings before.

use std::collections::BTreeMap;

use askama::Template;
use axum::{
    extract::{Path, Query, State},
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{Naming, found};
use crate::{
    actions::publish_results::figures,
    domain::{
        ids::EntryId,
        matches::{Figures, Line, Outcome, entry::NotReady},
        names::FORMER_MEMBER,
        units::{Ranking, Total},
    },
    store::matches::{
        Match,
        entries::{self, Entry},
        publications::{self, Correction, Publication},
        weights::{self, Net},
    },
    web::{
        errors::PageError,
        links::go,
        page::{Frame, Section, page},
        people::Visitor,
        state::Site,
    },
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
}

/// A result ready for a template.
pub(super) struct Laid {
    pub lines: Vec<Shown>,
    /// By section, in the order of their names.
    pub sections: Vec<(String, Vec<Shown>)>,
    pub known: String,
}

impl Laid {
    pub fn out(figures: &Figures, entered: &[Entry], naming: Naming) -> Self {
        let names: BTreeMap<EntryId, String> = entered
            .iter()
            .map(|entry| (entry.id, naming.show(entry)))
            .collect();
        let lines: Vec<Shown> = figures
            .lines
            .iter()
            .map(|line| shown(line, &names))
            .collect();
        let mut by_section: BTreeMap<String, Vec<Shown>> = BTreeMap::new();
        for line in lines.iter().filter(|line| !line.section.is_empty()) {
            by_section
                .entry(line.section.clone())
                .or_default()
                .push(line.clone());
        }
        Self {
            known: known(figures, &lines),
            lines,
            sections: by_section.into_iter().collect(),
        }
    }
}

fn shown(line: &Line, names: &BTreeMap<EntryId, String>) -> Shown {
    let place = |place: Option<crate::domain::matches::Place>| {
        place.map_or_else(|| "–".to_owned(), |place| place.to_string())
    };
    Shown {
        place: place(line.place),
        section_place: place(line.section_place),
        name: names
            .get(&line.entry)
            .cloned()
            .unwrap_or_else(|| FORMER_MEMBER.to_owned()),
        peg: line.peg.clone().unwrap_or_default(),
        section: line.section.clone().unwrap_or_default(),
        team: line.team.clone().unwrap_or_default(),
        weight: match line.outcome {
            Outcome::Fished => line.counted.short(),
            outcome => outcome.to_string(),
        },
    }
}

/// Who won with what, how many fished, what was weighed in all.
fn known(figures: &Figures, lines: &[Shown]) -> String {
    let winners: Vec<&str> = lines
        .iter()
        .filter(|line| matches!(line.place.as_str(), "1" | "1="))
        .map(|line| line.name.as_str())
        .collect();
    let won = match (winners.as_slice(), figures.lines.first()) {
        ([], _) | (_, None) => "Nobody weighed in".to_owned(),
        ([one], Some(first)) => format!("{one} won with {}", first.counted.words()),
        (several, Some(first)) => format!(
            "{} shared first place with {} each",
            several.join(" and "),
            first.counted.words()
        ),
    };
    let mut total = Total::default();
    figures
        .lines
        .iter()
        .filter(|line| line.outcome == Outcome::Fished)
        .for_each(|line| total.add(line.raw));
    let all = total.to(Ranking::of(figures.ranking.scale, 1));
    let count = |outcome| {
        figures
            .lines
            .iter()
            .filter(|l| l.outcome == outcome)
            .count()
    };
    let fished = figures.lines.len() - count(Outcome::Absent);
    format!(
        "{won}. {fished} fished, {} blanked, {} did not weigh; {} weighed in all.",
        count(Outcome::Blank),
        count(Outcome::DidNotWeigh),
        all.words()
    )
}

#[derive(Deserialize)]
pub struct Asked {
    posting: Option<String>,
}

#[derive(Template)]
#[template(path = "matches/result.html")]
struct ResultPage {
    frame: Frame,
    the_match: Match,
    title: String,
    laid: Laid,
    postings: Vec<Publication>,
    /// The number of the posting shown; 0 where the result came in from an old sheet.
    ord: i64,
    corrections: Vec<Correction>,
    entered: Vec<Entry>,
    naming: Naming,
}

impl ResultPage {
    fn address(&self, page: &str) -> String {
        self.frame
            .url(&format!("/matches/{}{page}", self.the_match.id))
    }

    fn posted(&self, posting: &Publication) -> String {
        posting.at.in_words(&self.the_match.zone())
    }

    fn is_newest(&self) -> bool {
        self.postings
            .first()
            .is_none_or(|newest| newest.ord == self.ord)
    }

    fn posting_link(&self, posting: &Publication) -> String {
        self.address(&format!("/result?posting={}", posting.ord))
    }

    fn at(&self, correction: &Correction) -> String {
        correction.at.in_words(&self.the_match.zone())
    }

    fn whom(&self, correction: &Correction) -> String {
        let entry = correction
            .entry
            .and_then(|id| self.entered.iter().find(|entry| entry.id == id));
        match (correction.entry, entry) {
            (None, _) => "The match".to_owned(),
            (_, Some(entry)) => self.naming.show(entry),
            (_, None) => FORMER_MEMBER.to_owned(),
        }
    }
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Path(id): Path<String>,
    Query(asked): Query<Asked>,
) -> Result<Response, PageError> {
    let the_match = found(&site, &id).await?;
    if !the_match.state.is_posted() {
        return Ok(go(&site, &format!("/matches/{}", the_match.id)).into_response());
    }
    let naming = Naming::of(&site, &visitor).await?;
    let mut reading = site.db.read().await?;
    let entered = entries::of_match(&mut reading, the_match.id).await?;
    let postings = publications::of_match(&mut reading, the_match.id).await?;
    let wanted = match &asked.posting {
        None => postings.first(),
        Some(text) => {
            let posting = postings.iter().find(|p| p.ord.to_string() == *text);
            Some(posting.ok_or(PageError::NotFound)?)
        }
    };
    let figures = match wanted {
        Some(posting) => Figures::thaw(&posting.figures_json)
            .map_err(|e| PageError::Fault(format!("frozen figures: {e}")))?,
        None => {
            let nets = weights::of_match(&mut reading, the_match.id).await?;
            as_on_record(&the_match, &entered, &nets)?
        }
    };
    page(ResultPage {
        frame: Frame::new(&site, &visitor, Section::Matches).await?,
        title: figures.title.clone(),
        laid: Laid::out(&figures, &entered, naming),
        ord: wanted.map_or(0, |posting| posting.ord),
        corrections: publications::corrections(&mut reading, the_match.id).await?,
        the_match,
        postings,
        entered,
        naming,
    })
}

/// A result that came in from an old sheet was never posted here: it is worked out from the record.
fn as_on_record(the_match: &Match, entered: &[Entry], nets: &[Net]) -> Result<Figures, PageError> {
    let ready: Vec<Entry> = entered
        .iter()
        .filter(|entry| {
            let weighed = nets
                .iter()
                .any(|n| n.entry == entry.id && n.weight.is_some());
            NotReady::check(entry.outcome, weighed).is_none()
        })
        .cloned()
        .collect();
    figures(the_match, &ready, nets).map_err(|why| PageError::Fault(why.join(" ")))
}
