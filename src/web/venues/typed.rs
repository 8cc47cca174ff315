//! What an officer types to set up a water: kept as typed, read into a [`Setup`], and made again
//! from the record.

use crate::{
    actions::venues::{BankSetup, PegSetup, Setup},
    domain::{
        dates::{Day, Zone},
        ids::BankId,
        names::{
            key,
            text::{clean_line, clean_words},
        },
        pegs::{Peg, read_peg_list, write_peg_list},
        units::Scale,
        venues::{Bank, CloseSeason, MonthDay, Venue, WaterKind},
        weather::compass::Compass,
    },
    web::forms::{Field, Form, Problems},
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
    pub fn blank() -> Self {
        Self {
            kind: WaterKind::Stillwater.as_str().to_owned(),
            zone: "Europe/London".to_owned(),
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

    /// Reads everything, noting every problem at its field.
    pub fn read(&self, problems: &mut Problems) -> Option<Setup> {
        let name = problems.take(
            "name",
            clean_line(&self.name, "the name", 80).and_then(|n| {
                if n.is_empty() {
                    Err("Enter the water’s name, as members say it.".to_owned())
                } else {
                    Ok(n)
                }
            }),
        );
        let kind = problems.take(
            "kind",
            WaterKind::parse(&self.kind).ok_or("Choose what kind of water it is."),
        );
        let scale = problems.take(
            "scale",
            Scale::parse(&self.scale).ok_or("Choose what the scales show here."),
        );
        let zone = problems.take(
            "zone",
            Zone::named(&self.zone)
                .ok_or("That is no time zone that is known. In Britain it is Europe/London."),
        );
        let position = self.position(problems);
        let rules = problems.take("rules", clean_words(&self.rules, "the rules", 10_000));
        let emergency = problems.take(
            "emergency",
            clean_words(&self.emergency, "the emergency words", 2_000),
        );
        let close_season = self.close_season(problems);
        let banks = self.read_banks(problems);
        if !problems.is_empty() {
            return None;
        }
        let some = |text: String| (!text.is_empty()).then_some(text);
        Some(Setup {
            name: name?,
            kind: kind?,
            zone: zone?,
            position,
            weighs_in: scale?,
            rules: some(rules?),
            emergency: some(emergency?),
            close_season,
            banks,
        })
    }

    fn position(&self, problems: &mut Problems) -> Option<(f64, f64)> {
        match (self.lat.is_empty(), self.lon.is_empty()) {
            (true, true) => return None,
            (true, false) => problems.add("lat", "Enter the latitude too, or leave both out."),
            (false, true) => problems.add("lon", "Enter the longitude too, or leave both out."),
            (false, false) => {}
        }
        let mut degrees = |field: &str, text: &str, most: f64, sentence: &str| {
            let read = text
                .replace(',', ".")
                .replace('−', "-")
                .parse::<f64>()
                .ok()
                .filter(|d| d.abs() <= most);
            if read.is_none() && !text.is_empty() {
                problems.add(field, sentence);
            }
            read
        };
        let lat = degrees(
            "lat",
            &self.lat,
            90.0,
            "Enter degrees north between -90 and 90, for example 53.41.",
        );
        let lon = degrees(
            "lon",
            &self.lon,
            180.0,
            "Enter degrees east between -180 and 180; west is negative, for example -2.15.",
        );
        lat.zip(lon)
    }

    fn close_season(&self, problems: &mut Problems) -> Option<CloseSeason> {
        if self.close_from.is_empty() && self.close_to.is_empty() {
            return None;
        }
        let mut end = |field: &str, text: &str| {
            let read = MonthDay::read(text);
            if read.is_none() {
                problems.add(field, "Enter a day and a month, for example 15 March, or leave both ends of the close season empty.");
            }
            read
        };
        let (from, to) = (
            end("close_from", &self.close_from),
            end("close_to", &self.close_to),
        );
        Some(CloseSeason {
            from: from?,
            to: to?,
        })
    }

    fn read_banks(&self, problems: &mut Problems) -> Vec<BankSetup> {
        let mut banks: Vec<BankSetup> = Vec::new();
        for (n, row) in self
            .banks
            .iter()
            .enumerate()
            .filter(|(_, row)| !row.is_empty())
        {
            let field = |part: &str| format!("bank{n}_{part}");
            let Some(bank) = read_bank(row, &field, problems) else {
                continue;
            };
            if banks
                .iter()
                .any(|other| key(&other.name) == key(&bank.name))
            {
                problems.add(
                    field("name"),
                    format!("Two banks are called {}. Give one another name.", bank.name),
                );
            }
            for peg in &bank.pegs {
                if let Some(other) = banks
                    .iter()
                    .find(|other| other.pegs.iter().any(|p| p.number == peg.number))
                {
                    problems.add(field("pegs"), format!("Peg {} is on {} too. A number stands once on a water: write A{0} and B{0} where two banks repeat it.", peg.number, other.name));
                    break;
                }
            }
            banks.push(bank);
        }
        if banks.is_empty()
            && !(0..self.banks.len()).any(|n| {
                !problems.at(&format!("bank{n}_pegs")).is_empty()
                    || !problems.at(&format!("bank{n}_name")).is_empty()
            })
        {
            problems.add(
                "bank0_name",
                "Name at least one bank and its pegs, for example Long Reach, 1–24.",
            );
        }
        banks
    }

    /// The fields of the water itself, in the order of the page.
    pub fn field(&self, name: &str, problems: &Problems) -> Field {
        let (label, value, hint) = match name {
            "name" => ("Name of the water", &self.name, ""),
            "kind" => ("Kind of water", &self.kind, ""),
            "scale" => ("The scales here show", &self.scale, ""),
            "zone" => ("Time zone", &self.zone, "Europe/London in Britain."),
            "lat" => (
                "Latitude",
                &self.lat,
                "Degrees north, for the length of the day. May stay empty.",
            ),
            "lon" => ("Longitude", &self.lon, "Degrees east; west is negative."),
            "rules" => (
                "Rules",
                &self.rules,
                "Shown on this water’s page and on every match sheet.",
            ),
            "emergency" => (
                "In an emergency",
                &self.emergency,
                "Where an ambulance gets in, the nearest postcode or grid reference, where the throw line hangs.",
            ),
            "close_from" => (
                "Close season from",
                &self.close_from,
                "For example 15 March. Leave both empty where there is none.",
            ),
            _ => (
                "Close season to",
                &self.close_to,
                "The last closed day, for example 15 June.",
            ),
        };
        let field = Field::new(name, label, value.clone()).problems(problems);
        if hint.is_empty() {
            field
        } else {
            field.hint(hint)
        }
    }
}

fn or_none(text: &str) -> &str {
    if text.is_empty() { "none" } else { text }
}

fn read_bank(
    row: &TypedBank,
    field: &impl Fn(&str) -> String,
    problems: &mut Problems,
) -> Option<BankSetup> {
    let name = match clean_line(&row.name, "the bank’s name", 60) {
        Ok(name) if name.is_empty() => {
            problems.add(field("name"), "Name this bank, for example Long Reach.");
            None
        }
        other => problems.take(&field("name"), other),
    };
    let facing_deg = match row.facing.as_str() {
        "" => None,
        text => problems
            .take(
                &field("facing"),
                Compass::parse(text).ok_or("Choose the way an angler on this bank looks."),
            )
            .map(Compass::degrees),
    };
    let pegs = problems
        .take(
            &field("pegs"),
            read_peg_list(&row.pegs).map_err(|all| all.join(" ")),
        )?
        .numbers;
    let mut some = |part: &str, text: &str| {
        if text.is_empty() {
            return Vec::new();
        }
        let numbers = problems
            .take(
                &field(part),
                read_peg_list(text).map_err(|all| all.join(" ")),
            )
            .map_or_else(Vec::new, |list| list.numbers);
        if let Some(stranger) = numbers.iter().find(|number| !pegs.contains(number)) {
            problems.add(field(part), format!("Peg {stranger} is not among this bank’s pegs. Add it there or leave it out here."));
        }
        numbers
    };
    let (ends, accessible) = (some("ends", &row.ends), some("accessible", &row.accessible));
    Some(BankSetup {
        id: row.id.parse().ok().map(BankId),
        name: name?,
        facing_deg,
        pegs: pegs
            .into_iter()
            .map(|number| PegSetup {
                end_peg: ends.contains(&number),
                accessible: accessible.contains(&number),
                number,
            })
            .collect(),
    })
}

/// A bank's fields as the page shows them.
pub struct BankRow {
    pub n: usize,
    pub id: String,
    pub name: Field,
    pub facing: Field,
    pub pegs: Field,
    pub ends: Field,
    pub accessible: Field,
}

/// The fields of every bank row, with what was understood of its pegs.
pub fn bank_rows(typed: &Typed, problems: &Problems) -> Vec<BankRow> {
    typed
        .banks
        .iter()
        .enumerate()
        .map(|(n, row)| {
            let field = |part: &str, label: &str, value: &str| {
                Field::new(&format!("bank{n}_{part}"), label, value).problems(problems)
            };
            BankRow {
                n: n + 1,
                id: row.id.clone(),
                name: field("name", "Bank", &row.name),
                facing: field("facing", "An angler there looks", &row.facing),
                pegs: field("pegs", "Pegs, in walking order", &row.pegs)
                    .hint("For example 1–24, 26–40.")
                    .echo(read_peg_list(&row.pegs).ok().map(|list| list.echo())),
                ends: field("ends", "End pegs", &row.ends),
                accessible: field("accessible", "Accessible pegs", &row.accessible),
            }
        })
        .collect()
}

/// Reads a day as a date field sends it.
pub fn read_day(text: &str) -> Result<Day, String> {
    Day::parse(text)
        .ok_or_else(|| "Enter a date as year-month-day, for example 2026-03-29.".to_owned())
}
