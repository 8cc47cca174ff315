//! What an officer types to set up a water: kept as typed, read into a setup, and made again
//! from the record.

mod fields;
mod reading;

pub use fields::{BankRow, bank_rows};
pub use reading::read_day;

use crate::{
    domain::{
        dates::Zone,
        pegs::{Peg, write_peg_list},
        units::Scale,
        venues::{Bank, Venue, WaterKind},
        weather::compass::Compass,
    },
    web::forms::Form,
};

/// Rows for banks that a new water's page offers, and empty ones after those on record.
const FIRST_ROWS: usize = 4;
const SPARE_ROWS: usize = 2;
const MOST_BANKS: usize = 40;

/// One page's worth of typing.
#[derive(Clone, Debug, Default)]
pub struct Typed {
    pub name: String,
    pub kind: String,
    pub zone: String,
    pub lat: String,
    pub lon: String,
    pub scale: String,
    pub rules: String,
    pub emergency: String,
    pub close_from: String,
    pub close_to: String,
    pub banks: Vec<TypedBank>,
}

#[derive(Clone, Debug, Default, PartialEq)]
pub struct TypedBank {
    pub id: String,
    pub name: String,
    pub facing: String,
    pub pegs: String,
    pub ends: String,
    pub accessible: String,
}

impl TypedBank {
    fn is_empty(&self) -> bool {
        [&self.name, &self.pegs, &self.ends, &self.accessible]
            .iter()
            .all(|text| text.is_empty())
    }
}

impl Typed {
    /// An empty page for a new water.
    pub fn blank(zone: &Zone) -> Self {
        Self {
            kind: WaterKind::Stillwater.as_str().to_owned(),
            zone: zone.name().to_owned(),
            scale: Scale::Drams.as_str().to_owned(),
            banks: vec![TypedBank::default(); FIRST_ROWS],
            ..Self::default()
        }
    }

    pub fn from_form(form: &Form) -> Self {
        let get = |name: &str| form.get(name).to_owned();
        let rows = (0..MOST_BANKS)
            .rev()
            .find(|n| form.has(&format!("bank{n}_name")))
            .map_or(FIRST_ROWS, |n| n + 1);
        let bank = |n: usize| {
            let get = |part: &str| form.get(&format!("bank{n}_{part}")).to_owned();
            TypedBank {
                id: get("id"),
                name: get("name"),
                facing: get("facing"),
                pegs: get("pegs"),
                ends: get("ends"),
                accessible: get("accessible"),
            }
        };
        Self {
            name: get("name"),
            kind: get("kind"),
            zone: get("zone"),
            lat: get("lat"),
            lon: get("lon"),
            scale: get("scale"),
            rules: get("rules"),
            emergency: get("emergency"),
            close_from: get("close_from"),
            close_to: get("close_to"),
            banks: (0..rows).map(bank).collect(),
        }
    }

    pub fn from_record(venue: &Venue, banks: &[Bank], pegs: &[Peg]) -> Self {
        let degrees = |pick: fn((f64, f64)) -> f64| {
            venue
                .position
                .map(|at| pick(at).to_string())
                .unwrap_or_default()
        };
        let mut rows: Vec<TypedBank> = banks
            .iter()
            .map(|bank| {
                let of_bank = pegs
                    .iter()
                    .filter(|peg| peg.bank == bank.id && peg.valid_to.is_none());
                let list = |pick: fn(&&Peg) -> bool| {
                    write_peg_list(of_bank.clone().filter(pick).map(|peg| peg.number.as_str()))
                };
                TypedBank {
                    id: bank.id.to_string(),
                    name: bank.name.clone(),
                    facing: bank
                        .facing_deg
                        .map(|d| Compass::of(d).letters().to_owned())
                        .unwrap_or_default(),
                    pegs: list(|_| true),
                    ends: list(|peg| peg.end_peg),
                    accessible: list(|peg| peg.accessible),
                }
            })
            .filter(|row| !row.pegs.is_empty())
            .collect();
        rows.extend(std::iter::repeat_n(TypedBank::default(), SPARE_ROWS));
        Self {
            name: venue.name.clone(),
            kind: venue.kind.as_str().to_owned(),
            zone: venue.zone.name().to_owned(),
            lat: degrees(|at| at.0),
            lon: degrees(|at| at.1),
            scale: venue.weighs_in.as_str().to_owned(),
            rules: venue.rules.clone().unwrap_or_default(),
            emergency: venue.emergency.clone().unwrap_or_default(),
            close_from: venue
                .close_season
                .map(|s| s.from.words())
                .unwrap_or_default(),
            close_to: venue.close_season.map(|s| s.to.words()).unwrap_or_default(),
            banks: rows,
        }
    }

    /// What differs between two versions: the field's words, this one's and the other's.
    pub fn differences(&self, other: &Self) -> Vec<(String, String, String)> {
        let plain = [
            ("Name", &self.name, &other.name),
            ("Kind of water", &self.kind, &other.kind),
            ("Time zone", &self.zone, &other.zone),
            ("Latitude", &self.lat, &other.lat),
            ("Longitude", &self.lon, &other.lon),
            ("Scales", &self.scale, &other.scale),
            ("Rules", &self.rules, &other.rules),
            ("In an emergency", &self.emergency, &other.emergency),
            ("Close season from", &self.close_from, &other.close_from),
            ("Close season to", &self.close_to, &other.close_to),
        ];
        let words = |bank: Option<&TypedBank>| {
            bank.filter(|bank| !bank.is_empty())
                .map(|b| {
                    format!(
                        "{}, pegs {}; faces {}; end pegs {}; accessible {}",
                        b.name,
                        b.pegs,
                        or_none(&b.facing),
                        or_none(&b.ends),
                        or_none(&b.accessible)
                    )
                })
                .unwrap_or_else(|| "not there".to_owned())
        };
        let banks = (0..self.banks.len().max(other.banks.len())).map(|n| {
            (
                format!("Bank {}", n + 1),
                words(self.banks.get(n)),
                words(other.banks.get(n)),
            )
        });
        plain
            .into_iter()
            .map(|(label, a, b)| (label.to_owned(), a.clone(), b.clone()))
            .chain(banks)
            .filter(|(_, a, b)| a != b)
            .collect()
    }
}

fn or_none(text: &str) -> &str {
    if text.is_empty() { "none" } else { text }
}
