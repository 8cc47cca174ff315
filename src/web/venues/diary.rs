//! The venue's diary: what was done to the water, or befell it.

use askama::Template;
use axum::{
    extract::{Path, State},
    response::{IntoResponse, Response},
};

use super::{the_venue, typed::read_day};
use crate::{
    actions::write_diary,
    domain::{
        dates::Day,
        groups::Group,
        matches::is_far_off,
        names::text::clean_words,
        units::{Bare, Scale, read_weight},
        venues::Venue,
    },
    statistics::wording,
    store::venues::diary::{self, DiaryEntry, DiaryLine},
    web::{
        errors::PageError,
        forms::{Field, Form, Problems, Sure},
        links::go_with,
        page::{Frame, Section, page, page_again},
        people::{Member, Visitor},
        state::Site,
    },
};

const KINDS: [(&str, &str); 9] = [
    ("stocking", "Stocking"),
    ("netting", "Netting"),
    ("predators", "Predators"),
    ("aerator", "Aerator"),
    ("ice broken", "Ice broken"),
    ("bank works", "Bank works"),
    ("level", "Level"),
    ("fish deaths", "Fish deaths"),
    ("other", "Something else"),
];
/// What may be written down before it is done; all else has happened.
const PLANNED: [&str; 3] = ["aerator", "bank works", "other"];
/// Entries one page shows.
const MOST_LINES: i64 = 1_000;

#[derive(Template)]
#[template(path = "venues/diary.html")]
struct DiaryPage {
    frame: Frame,
    venue: Venue,
    entries: Vec<DiaryLine>,
    fields: EntryFields,
    problems: Problems,
}

/// The fields of one entry, for writing it and for putting it right.
pub(super) struct EntryFields {
    pub on: Field,
    pub kind: Field,
    pub words: Field,
    pub kg: Field,
    pub group: Field,
}

/// What the day of an entry is held against.
#[derive(Clone, Copy)]
pub(super) struct Days {
    pub today: Day,
    /// The day on record, which is not asked about again.
    pub was: Option<Day>,
}

impl Days {
    /// What is said of a day to come, or of one long past; with a tick where it may be right.
    fn doubt(self, form: &Form) -> Option<(Option<Sure>, String)> {
        let on = read_day(form.get("on")).ok()?;
        if self.was == Some(on) {
            return None;
        }
        let sure = |words| {
            Some(Sure {
                words,
                ..Sure::new(form, "on", on.to_string())
            })
        };
        let day = on.long();
        if on > self.today && PLANNED.contains(&form.get("kind")) {
            let asks =
                format!("{day} is still to come. Mend the date, or tick that it is planned.");
            return Some((sure("Yes, it is planned for that day"), asks));
        }
        if on > self.today {
            let says = format!("{day} is still to come. Enter the day on which it happened.");
            return Some((None, says));
        }
        let asks = || format!("{day} is far from today. Mend the date, or tick that it is right.");
        is_far_off(on, self.today).then(|| (sure("Yes, that is the date"), asks()))
    }
}

impl EntryFields {
    pub fn of(form: &Form, problems: &Problems, days: Days) -> Self {
        let field =
            |name: &str, label: &str| Field::new(name, label, form.raw(name)).problems(problems);
        let mut on = field("on", "Day");
        on.sure = days.doubt(form).and_then(|(sure, _)| sure);
        Self {
            on,
            kind: field("kind", "What it was"),
            words: field("words", "In words"),
            kg: field("kg", "Kilograms")
                .hint("For a stocking, a netting or deaths: 120, 7.5, 200 lb or 12 lb 8 oz. May stay empty."),
            group: field("group", "Which fish"),
        }
    }

    pub fn kinds(&self) -> Vec<(&'static str, &'static str)> {
        KINDS.to_vec()
    }

    pub fn groups(&self) -> Vec<(&'static str, &'static str)> {
        Group::ALL
            .map(|group| (group.slug(), group.name()))
            .to_vec()
    }
}

impl DiaryPage {
    async fn new(
        site: &Site,
        visitor: &Visitor,
        venue: Venue,
        form: &Form,
        problems: Problems,
    ) -> Result<Self, PageError> {
        let today = site.now().day(&venue.zone);
        let mut fields = EntryFields::of(form, &problems, Days { today, was: None });
        if !form.has("on") {
            fields.on.value = today.to_string();
        }
        Ok(Self {
            frame: Frame::new(site, visitor, Section::Venues)
                .await?
                .with_problems(!problems.is_empty()),
            entries: diary::of_venue(&mut *site.db.read().await?, venue.id, MOST_LINES).await?,
            fields,
            venue,
            problems,
        })
    }

    fn measure(&self, line: &DiaryLine) -> String {
        measure(&line.entry(), self.venue.weighs_in)
    }
}

/// `120 kg of carp`, or the pounds where the water weighs in them, as far as either is known.
pub(super) fn measure(entry: &DiaryEntry, weighs_in: Scale) -> String {
    let group = entry
        .group
        .and_then(|bits| Group::ALL.into_iter().find(|group| group.bit() == bits));
    // To ten grams on record, so the nearest ounce is the one that was typed.
    let weight = entry.kg.map(|kg| match weighs_in {
        Scale::Grams => format!("{kg} kg"),
        Scale::Drams => wording::weight(kg * 1000.0, Scale::Drams),
    });
    let fish = group.map(|group| match group {
        Group::F1s => group.name().to_owned(),
        _ => group.name().to_lowercase(),
    });
    match (weight, fish) {
        (Some(weight), Some(fish)) => format!("{weight} of {fish}"),
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => String::new(),
    }
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Path(venue): Path<String>,
) -> Result<Response, PageError> {
    let venue = the_venue(&site, &venue).await?;
    page(
        DiaryPage::new(
            &site,
            &visitor,
            venue,
            &Form::default(),
            Problems::default(),
        )
        .await?,
    )
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Path(venue): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let venue = the_venue(&site, &venue).await?;
    let mut problems = Problems::default();
    let today = site.now().day(&venue.zone);
    if let Some(entry) = read(&form, Days { today, was: None }, &mut problems) {
        write_diary::write(&site.db, site.now(), &member.by(), venue.id, &entry).await?;
        return Ok(go_with(&site, &format!("/venues/{}/diary", venue.id), "saved").into_response());
    }
    page_again(DiaryPage::new(&site, &member.visitor(), venue, &form, problems).await?)
}

pub(super) fn read(form: &Form, days: Days, problems: &mut Problems) -> Option<DiaryEntry> {
    let on = problems.take("on", read_day(form.get("on")));
    let on = match days.doubt(form) {
        Some((sure, says)) if !sure.as_ref().is_some_and(|sure| sure.ticked) => {
            problems.add("on", says);
            None
        }
        _ => on,
    };
    let known = KINDS.iter().find(|(kind, _)| *kind == form.get("kind"));
    let kind = problems.take(
        "kind",
        known.ok_or("Choose what it was; “Something else” fits the rest."),
    );
    let words = problems.take(
        "words",
        clean_words(form.raw("words"), "the words", 2_000).and_then(|words| {
            if words.is_empty() {
                Err("Say in a few words what was done or seen.".to_owned())
            } else {
                Ok(words)
            }
        }),
    );
    let kg = match form.get("kg") {
        "" => Some(None),
        text => {
            let read = read_kg(text).filter(|kg| (0.0..=1_000_000.0).contains(kg));
            let read = match thousands_comma(text) {
                Some(comma) => Err(comma),
                None => read.ok_or(
                    "Enter a weight in kilograms, for example 120 or 7.5, or with its unit, for example 200 lb; or leave it empty.".to_owned(),
                ),
            };
            problems.take("kg", read).map(Some)
        }
    };
    let group = Group::from_slug(form.get("group")).map(Group::bit);
    Some(DiaryEntry {
        on: on?,
        kind: kind?.0.to_owned(),
        words: words?,
        kg: kg?,
        group,
    })
}

/// Kilograms: a bare number is that already; any other weight is taken to ten grams.
fn read_kg(text: &str) -> Option<f64> {
    let plain = text.trim().to_lowercase().replace(',', ".");
    let number = |unit: &str| {
        let figure = plain.strip_suffix(unit)?.trim();
        figure.parse::<f64>().ok()
    };
    // More than the scales of any match: tons are stocked and netted.
    let pounds = number("lbs").or_else(|| number("lb"));
    let kilograms = || read_weight(text, Scale::Grams, Bare::Kilograms).understood();
    number("kg").or_else(|| number("")).or_else(|| {
        let kg = match pounds {
            Some(pounds) => pounds * 0.453_592_37,
            None => kilograms()?.as_kilograms(),
        };
        Some((kg * 100.0).round() / 100.0)
    })
}

/// The sentence for a comma before exactly three figures, which may part thousands or decimals.
fn thousands_comma(text: &str) -> Option<String> {
    let text = text.trim();
    let after = text.split(',').skip(1);
    let mut figures = after.map(|rest| {
        let end = rest.find(|c: char| !c.is_ascii_digit());
        &rest[..end.unwrap_or(rest.len())]
    });
    figures.any(|figures| figures.len() == 3).then(|| {
        let whole = text.replace(',', "");
        match text.matches(',').count() {
            1 => format!(
                "“{text}” can be read two ways. Write {whole} for thousands, or {} for a part of one.",
                text.replace(',', ".")
            ),
            _ => format!("Write “{text}” without commas: {whole}."),
        }
    })
}

#[cfg(test)]
mod tests {
    use super::{read_kg, thousands_comma};

    /// The pound is 0.45359237 kg exactly (Weights and Measures Act 1985, schedule 1).
    #[test]
    fn a_weight_is_read_in_kilograms_or_with_its_unit() {
        for (text, kg) in [
            ("120", Some(120.0)),
            ("7,5 kg", Some(7.5)),
            ("200 lb", Some(90.72)),
            ("4000 lbs", Some(1814.37)),
            ("12 lb 8 oz", Some(5.67)),
            ("plenty", None),
        ] {
            assert_eq!(read_kg(text), kg, "{text}");
        }
    }
    #[test]
    fn a_comma_before_three_figures_is_asked_about() {
        for text in ["1,234", " 1,234 kg", "12,345.5", "1,234,567"] {
            assert!(thousands_comma(text).is_some(), "{text}");
        }
        for text in ["7,5 kg", "0,25", "1,2345", "1234", "12 lb 8 oz", "3, 250"] {
            assert_eq!(thousands_comma(text), None, "{text}");
        }
    }
}
