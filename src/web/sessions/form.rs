//! The report's form as its template shows it: every value comes from the pairs that were sent, so that a
//! fresh form, a form with problems, an edit and "same as last time" are one thing.

use std::str::FromStr;

use super::typed::{Reading, rows};
use crate::{
    actions::tokens::new_pid,
    domain::{
        dates::{Day, Zone},
        groups::Group,
        ids::VenueId,
        names::Name,
        sessions::{Report, Tally, Visibility},
        units::Scale,
    },
    store::sessions::choices::{self, Choice, FishChoice, PegChoice, Water},
    web::{
        errors::PageError,
        forms::{Field, Form, Problems},
        people::Member,
        state::Site,
    },
};

/// The most spells and single fish one form takes.
pub const MOST_SPELLS: usize = 12;
pub const MOST_NAMED: usize = 10;

/// What a report at one water chooses from.
pub struct Choices {
    pub water: Water,
    pub zone: Zone,
    pub scale: Scale,
    pub pegs: Vec<PegChoice>,
    pub methods: Vec<Choice>,
    pub baits: Vec<Choice>,
    pub fish: Vec<FishChoice>,
    /// The account has no angler yet, so the name is asked.
    pub ask_name: bool,
}

impl Choices {
    /// Everything for a report at `venue` by this member.
    pub async fn load(site: &Site, member: &Member, venue: VenueId) -> Result<Self, PageError> {
        let mut reading = site.db.read().await?;
        let water = choices::water(&mut reading, venue)
            .await?
            .ok_or(PageError::NotFound)?;
        Ok(Self {
            zone: Zone::named(&water.zone).unwrap_or(Zone::utc()),
            scale: Scale::parse(&water.weighs_in).unwrap_or(Scale::Drams),
            pegs: choices::pegs(&mut reading, venue).await?,
            methods: choices::methods(&mut reading).await?,
            baits: choices::baits(&mut reading).await?,
            fish: choices::fish(&mut reading).await?,
            ask_name: member.0.angler.is_none(),
            water,
        })
    }

    pub fn peg_number(&self, id: crate::domain::ids::PegId) -> &str {
        self.pegs
            .iter()
            .find(|peg| peg.id == id)
            .map_or("", |peg| &peg.number)
    }

    pub fn method_name(&self, id: i64) -> &str {
        self.methods
            .iter()
            .find(|m| m.id == id)
            .map_or("", |m| &m.name)
    }

    pub fn bait_name(&self, id: i64) -> &str {
        self.baits
            .iter()
            .find(|b| b.id == id)
            .map_or("", |b| &b.name)
    }
}

/// Retired choices stay where they are chosen already.
fn offered(list: &[Choice], chosen: &str) -> Vec<(String, String)> {
    list.iter()
        .filter(|choice| !choice.retired || choice.id.to_string() == chosen)
        .map(|choice| (choice.id.to_string(), choice.name.clone()))
        .collect()
}

pub struct SpellFields {
    pub row: usize,
    pub peg: Field,
    pub from: Field,
    pub to: Field,
    pub hours: Field,
    pub method: Field,
    pub methods: Vec<(String, String)>,
    pub bait: Field,
    pub baits: Vec<(String, String)>,
    pub depth: Field,
    pub line: Field,
    pub aim: Field,
    pub rods: Field,
}

pub struct GroupFields {
    pub name: &'static str,
    pub number: Field,
    pub number_unknown: bool,
    pub weight: Field,
    pub weight_unknown: bool,
    pub asked: Option<AskedBack>,
    pub tally: Field,
}

/// The question about a weight: (value, words) to choose from.
pub struct AskedBack {
    pub name: String,
    pub chosen: String,
    pub choices: Vec<(String, String)>,
}

pub struct NamedFields {
    pub row: usize,
    pub fish: Field,
    pub weight: Field,
    pub asked: Option<AskedBack>,
    pub time: Field,
}

/// Everything the form's template needs.
pub struct ReportForm {
    pub water: String,
    pub venue: VenueId,
    pub key: String,
    pub ver: String,
    pub ask_name: bool,
    pub given: Field,
    pub surname: Field,
    pub peg: Field,
    pub date: Field,
    pub start: Field,
    pub end: Field,
    pub spells: Vec<SpellFields>,
    pub more_spells: bool,
    pub blank: bool,
    pub groups: Vec<GroupFields>,
    pub named: Vec<NamedFields>,
    pub more_named: bool,
    pub species: Vec<(String, String)>,
    pub remarks: Field,
    pub visibility: Field,
    pub visibilities: Vec<(&'static str, &'static str)>,
    pub problems: Problems,
    pub details_open: bool,
}

impl ReportForm {
    /// The form with everything in `form`, and what `reading` made of it, if it was read.
    pub fn new(form: &Form, choices: &Choices, reading: Option<&Reading>) -> Self {
        let look = Look { form, reading };
        let problems = reading.map(|r| r.problems.clone()).unwrap_or_default();
        let adding = form.get("do");
        let spells = rows(form, "spells", 1, MOST_SPELLS) + usize::from(adding == "add-spell");
        let named = rows(form, "named", 1, MOST_NAMED) + usize::from(adding == "add-fish");
        let key = form.get("key");
        let details_open = Group::ALL
            .iter()
            .any(|g| !form.get(&format!("{}_tally", g.slug())).is_empty())
            || !form.get("fish_1").is_empty()
            || adding == "add-fish"
            || problems
                .list
                .iter()
                .any(|p| p.field.ends_with("_tally") || p.field.starts_with("fish_"));
        Self {
            water: choices.water.name.clone(),
            venue: choices.water.id,
            key: if (16..=64).contains(&key.len()) {
                key.to_owned()
            } else {
                new_pid().to_string()
            },
            ver: form.get("ver").to_owned(),
            ask_name: choices.ask_name,
            given: look.field("given", "First name"),
            surname: look.field("surname", "Surname"),
            peg: look.field("peg", &format!("Peg at {}", choices.water.name)),
            date: look.field("date", "Date you began"),
            start: look.field("start", "Started"),
            end: look.field("end", "Packed up"),
            spells: (1..=spells.min(MOST_SPELLS))
                .map(|row| look.spell(row, choices))
                .collect(),
            more_spells: spells < MOST_SPELLS,
            blank: form.has("blank"),
            groups: Group::ALL
                .into_iter()
                .map(|group| look.group(group))
                .collect(),
            named: (1..=named.min(MOST_NAMED))
                .map(|row| look.named(row))
                .collect(),
            more_named: named < MOST_NAMED,
            species: choices
                .fish
                .iter()
                .map(|f| (f.id.to_string(), f.name.clone()))
                .collect(),
            remarks: look.field("remarks", "Remarks, if any"),
            visibility: look.field("visibility", "Who may see this report"),
            visibilities: vec![
                ("private", "Only me"),
                ("team", "My team"),
                ("club", "The club"),
            ],
            problems,
            details_open,
        }
    }
}

struct Look<'a> {
    form: &'a Form,
    reading: Option<&'a Reading>,
}

impl Look<'_> {
    fn field(&self, name: &str, label: &str) -> Field {
        let field = Field::new(name, label, self.form.raw(name));
        match self.reading {
            None => field,
            Some(reading) => {
                let echo = reading.echoes.iter().find(|(known, _)| known == name);
                field
                    .problems(&reading.problems)
                    .echo(echo.map(|(_, words)| words.clone()))
            }
        }
    }

    fn spell(&self, row: usize, choices: &Choices) -> SpellFields {
        let field = |name: &str, label: &str| self.field(&format!("{name}_{row}"), label);
        let (method, bait) = (field("method", "Method"), field("bait", "Bait"));
        SpellFields {
            row,
            peg: field("peg", "Peg, if you moved"),
            from: field("from", "From"),
            to: field("to", "To"),
            hours: field("hours", "Or hours"),
            methods: offered(&choices.methods, &method.value),
            method,
            baits: offered(&choices.baits, &bait.value),
            bait,
            depth: field("depth", "Depth, m"),
            line: field("line", "Line, m"),
            aim: field("aim", "Aim, m left or right"),
            rods: field("rods", "Rods"),
        }
    }

    fn asked(&self, field: &str) -> Option<AskedBack> {
        let asked = self
            .reading?
            .asked
            .iter()
            .find(|asked| asked.field == field)?;
        let name = format!("{field}_meant");
        Some(AskedBack {
            chosen: self.form.get(&name).to_owned(),
            name,
            choices: asked
                .choices
                .iter()
                .map(|c| (c.weight.typed(), c.words.clone()))
                .collect(),
        })
    }

    fn group(&self, group: Group) -> GroupFields {
        let name = |what: &str| format!("{}_{what}", group.slug());
        GroupFields {
            name: group.name(),
            number: self.field(&name("number"), "How many"),
            number_unknown: self.form.has(&name("number_unknown")),
            weight: self.field(&name("weight"), "Weight"),
            weight_unknown: self.form.has(&name("weight_unknown")),
            asked: self.asked(&name("weight")),
            tally: self.field(&name("tally"), group.name()),
        }
    }

    fn named(&self, row: usize) -> NamedFields {
        NamedFields {
            row,
            fish: self.field(&format!("fish_{row}"), "Fish"),
            weight: self.field(&format!("fish_weight_{row}"), "Weight"),
            asked: self.asked(&format!("fish_weight_{row}")),
            time: self.field(&format!("fish_time_{row}"), "When"),
        }
    }
}

/// The pairs of a fresh form.
pub fn fresh(
    day: Day,
    account_name: &str,
    choices: &Choices,
    remembered: Option<&str>,
) -> Vec<(String, String)> {
    let mut pairs = vec![
        pair("date", day.to_string()),
        pair("visibility", remembered.unwrap_or("")),
    ];
    if choices.ask_name
        && let Ok(name) = Name::read(account_name)
    {
        pairs.push(pair("given", name.given()));
        pairs.push(pair("surname", name.surname().unwrap_or("")));
    }
    pairs
}

fn pair(name: impl Into<String>, value: impl Into<String>) -> (String, String) {
    (name.into(), value.into())
}

/// The pairs that would be read as this report.
pub fn pairs_of(report: &Report, choices: &Choices) -> Vec<(String, String)> {
    let zone = &choices.zone;
    let clock =
        |at: Option<crate::domain::dates::Instant>| at.map(|at| at.clock(zone)).unwrap_or_default();
    let main_peg = report.spells.iter().find_map(|spell| spell.peg);
    let mut pairs = vec![
        pair("venue", report.venue.to_string()),
        pair("date", report.day.to_string()),
        pair("peg", main_peg.map_or("", |peg| choices.peg_number(peg))),
        pair("start", clock(report.start)),
        pair("end", clock(report.end)),
        pair("remarks", report.remarks.clone().unwrap_or_default()),
        pair("visibility", report.visibility.as_str()),
    ];
    let told: Vec<_> = report
        .spells
        .iter()
        .filter(|spell| !spell.uncovered)
        .collect();
    pairs.push(pair("spells", told.len().max(1).to_string()));
    for (place, spell) in told.iter().enumerate() {
        let row = place + 1;
        let mut add = |name: &str, value: String| pairs.push(pair(format!("{name}_{row}"), value));
        if spell.peg != main_peg {
            add(
                "peg",
                spell
                    .peg
                    .map_or("", |peg| choices.peg_number(peg))
                    .to_owned(),
            );
        }
        add("from", clock(spell.from));
        add("to", clock(spell.to));
        if let (None, Some(minutes)) = (spell.from, spell.minutes) {
            add("hours", format!("{} min", minutes.round()));
        }
        add(
            "method",
            spell.method.map(|id| id.to_string()).unwrap_or_default(),
        );
        add(
            "bait",
            spell.bait.map(|id| id.to_string()).unwrap_or_default(),
        );
        add("depth", metres(spell.depth));
        add("line", metres(spell.line));
        add("aim", metres(spell.aim));
        add("rods", spell.rods.to_string());
    }
    catch_pairs(report, &mut pairs);
    for (place, fish) in report.named.iter().enumerate() {
        let row = place + 1;
        pairs.push(pair(format!("fish_{row}"), fish.species.to_string()));
        pairs.push(pair(
            format!("fish_weight_{row}"),
            fish.weight.map(|w| w.typed()).unwrap_or_default(),
        ));
        pairs.push(pair(format!("fish_time_{row}"), clock(fish.at)));
    }
    pairs.push(pair("named", report.named.len().max(1).to_string()));
    pairs
}

fn metres(length: Option<crate::domain::units::Length>) -> String {
    length
        .map(|length| length.metres().to_string())
        .unwrap_or_default()
}

fn catch_pairs(report: &Report, pairs: &mut Vec<(String, String)>) {
    for group in Group::ALL {
        let slug = group.slug();
        if let Some(caught) = report.caught.iter().find(|c| c.groups == group.into()) {
            match caught.count {
                Some(count) => pairs.push(pair(format!("{slug}_number"), count.to_string())),
                None => pairs.push(pair(format!("{slug}_number_unknown"), "on")),
            }
            match caught.weight {
                Some(weight) => pairs.push(pair(format!("{slug}_weight"), weight.typed())),
                None => pairs.push(pair(format!("{slug}_weight_unknown"), "on")),
            }
        }
        let tallies: Vec<_> = report.tallies.iter().filter(|t| t.group == group).collect();
        if let (false, Some(start)) = (tallies.is_empty(), report.start) {
            pairs.push(pair(
                format!("{slug}_tally"),
                tally_words(&tallies, start.0),
            ));
        }
    }
}

/// `2 - 1 3`: one number for each hour since the start.
fn tally_words(tallies: &[&Tally], start: i64) -> String {
    let last = tallies
        .iter()
        .map(|t| (t.from.0 - start) / 3_600)
        .max()
        .unwrap_or(0);
    (0..=last)
        .map(|hour| {
            let at = start + 3_600 * hour;
            let found = tallies.iter().find(|t| t.from.0 == at);
            found.map_or("-".to_owned(), |t| t.count.to_string())
        })
        .collect::<Vec<_>>()
        .join(" ")
}

/// What is remembered of who may see reports.
pub fn remembered(word: Option<&str>) -> Option<&'static str> {
    word.and_then(Visibility::parse).map(Visibility::as_str)
}

/// A report in a few lines, for a session's page and for two versions side by side.
pub struct Told {
    pub hours: String,
    pub spells: Vec<String>,
    pub caught: Vec<(String, String)>,
    pub named: Vec<String>,
    pub tallies: Vec<(&'static str, String)>,
    pub remarks: Option<String>,
    pub visibility: &'static str,
    /// It has no hours, and so enters no rate.
    pub no_rate: bool,
    pub uncovered: bool,
}

impl Told {
    pub fn new(report: &Report, choices: &Choices) -> Self {
        let zone = &choices.zone;
        let hours = match (report.start, report.end) {
            (Some(start), Some(end)) => {
                let day = if end.day(zone) == report.day {
                    ""
                } else {
                    " the next day"
                };
                format!("{} to {}{day}", start.clock(zone), end.clock(zone))
            }
            _ => "hours not known".to_owned(),
        };
        Self {
            hours,
            spells: report
                .spells
                .iter()
                .map(|spell| spell_words(spell, choices))
                .collect(),
            caught: report
                .caught
                .iter()
                .map(|c| (c.groups.to_string(), c.words()))
                .collect(),
            named: report
                .named
                .iter()
                .map(|fish| fish_words(fish, choices))
                .collect(),
            tallies: Group::ALL
                .into_iter()
                .filter_map(|group| {
                    let of: Vec<_> = report.tallies.iter().filter(|t| t.group == group).collect();
                    let start = report.start.filter(|_| !of.is_empty())?;
                    Some((group.name(), tally_words(&of, start.0)))
                })
                .collect(),
            remarks: report.remarks.clone(),
            visibility: report.visibility.words(),
            no_rate: report.rod_hours().is_none(),
            uncovered: report
                .spells
                .iter()
                .any(|s| s.uncovered && s.minutes.is_some()),
        }
    }
}

fn spell_words(spell: &crate::domain::sessions::Spell, choices: &Choices) -> String {
    let mut words = Vec::new();
    match (spell.from, spell.to, spell.minutes) {
        (Some(from), Some(to), _) => {
            words.push(format!(
                "{} to {}",
                from.clock(&choices.zone),
                to.clock(&choices.zone)
            ));
        }
        (_, _, Some(minutes)) => {
            words.push(crate::domain::units::Minutes(minutes.round() as i64).words())
        }
        _ => words.push("hours not known".to_owned()),
    }
    match spell.method {
        Some(method) => words.push(choices.method_name(method.0).to_lowercase()),
        None => words.push("method unknown".to_owned()),
    }
    if let Some(bait) = spell.bait {
        words.push(choices.bait_name(bait.0).to_lowercase());
    }
    if let Some(line) = spell.line {
        words.push(format!("at {}", line.words()));
    }
    if let Some(aim) = spell.aim.filter(|aim| aim.mm() != 0) {
        let side = if aim.mm() < 0 { "left" } else { "right" };
        let length = crate::domain::units::Length::millimetres(aim.mm().abs());
        words.push(format!("{} {side} of straight out", length.words()));
    }
    if let Some(depth) = spell.depth {
        words.push(format!("{} deep", depth.words()));
    }
    if spell.rods > 1 {
        words.push(format!("{} rods", spell.rods));
    }
    if let Some(peg) = spell.peg {
        words.push(format!("peg {}", choices.peg_number(peg)));
    }
    words.join(", ")
}

fn fish_words(fish: &crate::domain::sessions::NamedFish, choices: &Choices) -> String {
    let name = choices
        .fish
        .iter()
        .find(|f| f.id == fish.species)
        .map_or("Fish", |f| &f.name);
    let mut words = name.to_owned();
    if let Some(weight) = fish.weight {
        words.push_str(&format!(", {}", weight.words()));
    }
    if let Some(at) = fish.at {
        words.push_str(&format!(", at {}", at.clock(&choices.zone)));
    }
    words
}

/// A number in an address or a form.
pub fn number<T: FromStr>(text: &str) -> Option<T> {
    text.trim().parse().ok()
}
