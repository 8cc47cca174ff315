//! What is answered about the names of a sheet: what each field is called, and reading them.

use std::collections::BTreeMap;

use crate::{
    actions::import::sheet::{Look, Named, Person, WaterAnswer, WaterNamed},
    domain::ids::VenueId,
    store::{anglers::Angler, matches::listing::Water},
    web::{
        forms::{Form, Problems},
        imports::in_figures,
    },
};

pub fn person_field(named: &Named) -> String {
    format!("person-{}", in_figures(&named.key))
}

pub fn junior_field(named: &Named) -> String {
    format!("junior-{}", in_figures(&named.key))
}

pub fn water_field(named: &WaterNamed) -> String {
    format!("water-{}", in_figures(&named.key))
}

/// An answer as a form has it.
pub fn word(person: &Person) -> String {
    match person {
        Person::OnRecord(pid) => format!("angler.{pid}"),
        Person::New { junior: false } => "new".to_owned(),
        Person::New { junior: true } => "new-junior".to_owned(),
        Person::SameAs(key) => format!("same.{}", in_figures(key)),
        Person::LeftOut => "out".to_owned(),
    }
}

/// One of the answers offered, or a new angler, or nobody.
fn person(named: &Named, typed: &str) -> Option<Person> {
    let always = [
        Person::New { junior: false },
        Person::New { junior: true },
        Person::LeftOut,
    ];
    let offered = named.suggestions.iter().map(|one| one.person.clone());
    offered.chain(always).find(|person| word(person) == typed)
}

pub fn people(
    look: &Look,
    form: &Form,
    list: &[Angler],
    problems: &mut Problems,
) -> BTreeMap<String, Person> {
    let mut people = BTreeMap::new();
    for named in &look.people {
        if named.is_doubtful() {
            let field = person_field(named);
            let typed = form.get(&field);
            if typed.is_empty() && named.is_faint() {
                continue;
            }
            match person(named, typed) {
                Some(person) => {
                    people.insert(named.key.clone(), person);
                }
                None => problems.add(field, format!("Say who {} is.", named.name.full())),
            }
        } else if named.is_unlike() {
            let field = person_field(named);
            let typed = form.get(&field);
            let chosen = list
                .iter()
                .map(|angler| Person::OnRecord(angler.pid.clone()))
                .find(|person| word(person) == typed);
            if let Some(person) = chosen {
                people.insert(named.key.clone(), person);
            } else if !typed.is_empty() {
                let name = named.name.full();
                problems.add(
                    field,
                    format!("Choose who {name} is from the list, or leave it at a new angler."),
                );
            } else if form.has(&junior_field(named)) || named.marked {
                let junior = form.has(&junior_field(named));
                people.insert(named.key.clone(), Person::New { junior });
            }
        }
    }
    people
}

pub fn waters_answered(
    look: &Look,
    form: &Form,
    waters: &[Water],
    problems: &mut Problems,
) -> BTreeMap<String, WaterAnswer> {
    let mut answers = BTreeMap::new();
    for named in look.waters.iter().filter(|named| !named.certain) {
        let field = water_field(named);
        let typed = form.get(&field);
        let id = typed.parse().ok().map(VenueId);
        let answer = match (typed, waters.iter().find(|water| Some(water.id) == id)) {
            ("out", _) => Some(WaterAnswer::LeftOut),
            (_, Some(water)) => Some(WaterAnswer::OnRecord(water.id)),
            _ => None,
        };
        match answer {
            Some(answer) => {
                answers.insert(named.key.clone(), answer);
            }
            None => problems.add(field, format!("Say which water {} is.", named.name)),
        }
    }
    answers
}
