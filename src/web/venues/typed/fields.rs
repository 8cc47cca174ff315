//! The fields of a water's page, with their words, hints and problems.

use super::Typed;
use crate::{
    domain::pegs::read_peg_list,
    web::forms::{Field, Problems},
};

impl Typed {
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
                "Shown on this water’s page and on the page of every match here.",
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
