//! Who is meant by each name in a sheet, and which water: what is not certain is asked.

use askama::Template;
use axum::{
    extract::{Path, State},
    response::{IntoResponse, Redirect, Response},
};

use self::answered::{junior_field, people, person_field, water_field, waters_answered, word};
use super::{laid_out, latest};
use crate::{
    actions::import::{
        set_mapping,
        sheet::{Look, Named, Person, Plan, Suggestion, WaterAnswer, WaterNamed, look_at},
    },
    statistics::wording,
    store::{
        Connection,
        anglers::{self, Angler},
        imports::Import,
        matches::listing::{self, Water},
    },
    web::{
        anglers::apart::Apart,
        errors::PageError,
        figures::many,
        forms::{Field, Form, Problems},
        links::go,
        page::{Frame, Section, page, page_again},
        people::Member,
        state::Site,
    },
};

mod answered;

/// The most choices that one page offers beside its new names, all lists together.
const MOST_OFFERED: usize = 40_000;

#[derive(Template)]
#[template(path = "imports/names.html")]
struct NamesPage {
    frame: Frame,
    import: Import,
    look: Look,
    known: Known,
    form: Option<Form>,
    problems: Problems,
}

/// At a name for whom somebody was chosen who is no longer there.
const HAS_LEFT: &str =
    "Whoever was chosen here has left the club’s list since. Say again who it is.";

/// What the names of a file may be.
struct Known {
    waters: Vec<Water>,
    anglers: Vec<Angler>,
    apart: Apart,
}

impl Known {
    async fn read(reading: &mut Connection) -> Result<Self, PageError> {
        let anglers = anglers::all(reading).await?;
        Ok(Self {
            waters: listing::waters(reading).await?,
            apart: Apart::of(reading, &anglers).await?,
            anglers,
        })
    }

    /// The words of a suggestion; somebody on the list who reads like another is told apart.
    fn told(&self, one: &Suggestion) -> String {
        let angler = match &one.person {
            Person::OnRecord(pid) => self.anglers.iter().find(|angler| angler.pid == *pid),
            Person::New { .. } | Person::SameAs(_) | Person::LeftOut => None,
        };
        let words = one.short.clone();
        match angler {
            Some(angler) => self.apart.beside(angler.id, words),
            None => words,
        }
    }

    /// Everybody on the list, as a form has them.
    fn choices(&self) -> Vec<(String, String)> {
        let choice = |angler: &Angler| {
            let value = word(&Person::OnRecord(angler.pid.clone()));
            Some((value, self.apart.sorted(angler)?))
        };
        self.anglers.iter().filter_map(choice).collect()
    }
}

/// A name like nobody’s: a tick for juniors, and a choice of somebody on the list.
struct NewName {
    junior: String,
    name: String,
    ticked: bool,
    other: Field,
}

impl NamesPage {
    fn here(&self) -> String {
        self.frame
            .url(&format!("/imports/{}/names", self.import.id))
    }

    /// What was typed, or what was answered before.
    fn value(&self, field: &str, answer: String) -> String {
        match &self.form {
            Some(form) => form.get(field).to_owned(),
            None => answer,
        }
    }

    fn field(&self, named: &Named, label: &str, value: String) -> Field {
        let mut field = Field::new(&person_field(named), label, value).problems(&self.problems);
        if named.has_left() && self.form.is_none() {
            field.problem = Some(HAS_LEFT.to_owned());
        }
        field
    }

    fn doubts(&self) -> Vec<(Field, Vec<(String, String)>)> {
        self.asked(false)
    }

    /// Names that share a surname only: a new angler unless somebody says otherwise.
    fn namesakes(&self) -> Vec<(Field, Vec<(String, String)>)> {
        self.asked(true)
    }

    fn asked(&self, faint: bool) -> Vec<(Field, Vec<(String, String)>)> {
        let doubtful = self.look.people.iter();
        let doubtful = doubtful.filter(|n| n.is_doubtful() && n.is_faint() == faint);
        let ask = |named: &Named| {
            let name = person_field(named);
            let rows = match named.rows {
                1 => format!("on line {}", named.line),
                n => format!(
                    "{} rows, the first on line {}",
                    wording::number(n),
                    named.line
                ),
            };
            let label = format!("{} ({rows})", named.name.full());
            let unsaid = match faint {
                true => word(&Person::New {
                    junior: named.marked,
                }),
                false => String::new(),
            };
            let answer = named.answer.as_ref().filter(|_| !named.has_left());
            let value = self.value(&name, answer.map_or(unsaid, word));
            let mut field = self.field(named, &label, value);
            let offered = named.suggestions.iter();
            if !faint {
                // Choices are cut off on a phone, so why each may be meant stands above them.
                let why: Vec<&str> = offered.clone().map(|one| one.words.as_str()).collect();
                field = field.hint(&format!("{}.", why.join(". ")));
            }
            let mut choices: Vec<(String, String)> = offered
                .map(|one| (word(&one.person), self.known.told(one)))
                .collect();
            choices.push((
                word(&Person::New { junior: false }),
                "a new angler".to_owned(),
            ));
            choices.push((
                word(&Person::New { junior: true }),
                "a new angler, a junior".to_owned(),
            ));
            choices.push((word(&Person::LeftOut), "leave these rows out".to_owned()));
            (field, choices)
        };
        doubtful.map(ask).collect()
    }

    fn new_names(&self) -> Vec<NewName> {
        let new = self.look.people.iter().filter(|named| named.is_unlike());
        new.map(|named| {
            let (junior, person, name) =
                (junior_field(named), person_field(named), named.name.full());
            let chosen = match &named.answer {
                Some(answer @ Person::OnRecord(_)) => word(answer),
                _ => String::new(),
            };
            let label = format!("{name} is");
            NewName {
                ticked: match &self.form {
                    Some(form) => form.has(&junior),
                    None => named.junior(),
                },
                other: self.field(named, &label, self.value(&person, chosen)),
                junior,
                name,
            }
        })
        .collect()
    }

    /// The club’s list is offered beside every new name, unless that makes the page too long.
    fn offers_list(&self) -> bool {
        let new = self.look.people.iter().filter(|named| named.is_unlike());
        let offered = new.count() * self.known.anglers.len();
        (1..=MOST_OFFERED).contains(&offered)
    }

    fn waters_asked(&self) -> Vec<(Field, Vec<(String, String)>)> {
        let asked = self.look.waters.iter().filter(|named| !named.certain);
        let ask = |named: &WaterNamed| {
            let name = water_field(named);
            let answer = match named.answer {
                Some(WaterAnswer::OnRecord(id)) => id.to_string(),
                Some(WaterAnswer::LeftOut) => "out".to_owned(),
                None => String::new(),
            };
            let rows = wording::count(named.rows, "row", "rows");
            let label = format!("{} ({rows})", named.name);
            let field = Field::new(&name, &label, self.value(&name, answer));
            let (likely, others): (Vec<&Water>, Vec<&Water>) = self
                .known
                .waters
                .iter()
                .partition(|water| named.likely == Some(water.id));
            let likely = likely.into_iter().map(|water| {
                let words = format!("{}: the only water with that in its name", water.name);
                (water.id.to_string(), words)
            });
            let others = others
                .into_iter()
                .map(|water| (water.id.to_string(), water.name.clone()));
            let mut choices: Vec<(String, String)> = likely.chain(others).collect();
            choices.push(("out".to_owned(), "leave these rows out".to_owned()));
            (field.problems(&self.problems), choices)
        };
        asked.map(ask).collect()
    }

    /// How many names, and how many of them need no answer.
    fn counted(&self) -> String {
        let settled = |named: &&Named| !named.is_doubtful() && !named.is_unlike();
        let names = many(self.look.people.len() as i64, "name", "names");
        match self.look.people.iter().filter(settled).count() {
            0 => format!("{names}. None stands on the club’s list just so."),
            1 => format!("{names}. 1 stands on the club’s list just so and is not asked about."),
            n => format!("{names}. {n} stand on the club’s list just so and are not asked about."),
        }
    }
}

async fn laid(
    site: &Site,
    import: &Import,
    plan: &Plan,
) -> Result<(Result<Look, Redirect>, Known), PageError> {
    let mut reading = site.db.read().await?;
    let (_, look) = look_at(&mut reading, import.id, plan, latest(site)).await?;
    let back = || go(site, &format!("/imports/{}/columns", import.id));
    let known = Known::read(&mut reading).await?;
    Ok((look.map_err(|_| back()), known))
}

pub async fn show(
    State(site): State<Site>,
    member: Member,
    Path(id): Path<String>,
) -> Result<Response, PageError> {
    let (import, plan, _) = laid_out(&site, &id).await?;
    let (look, known) = laid(&site, &import, &plan).await?;
    let look = match look {
        Ok(look) => look,
        Err(back) => return Ok(back.into_response()),
    };
    page(NamesPage {
        frame: Frame::new(&site, &member.visitor(), Section::Committee).await?,
        import,
        look,
        known,
        form: None,
        problems: Problems::default(),
    })
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let (import, mut plan, _) = laid_out(&site, &id).await?;
    let (look, known) = laid(&site, &import, &plan).await?;
    let look = match look {
        Ok(look) => look,
        Err(back) => return Ok(back.into_response()),
    };
    let mut problems = Problems::default();
    // Whoever this file does not name stays as answered, for a later one that does.
    let in_file = |key: &String| look.people.iter().any(|named| named.key == *key);
    plan.people.retain(|key, _| !in_file(key));
    let answered = people(&look, &form, &known.anglers, &mut problems);
    plan.people.extend(answered);
    plan.waters
        .extend(waters_answered(&look, &form, &known.waters, &mut problems));
    if problems.is_empty() {
        set_mapping(
            &site.db,
            &member.by(),
            import.id,
            import.kind,
            &plan.json()?,
        )
        .await?;
        return Ok(go(&site, &format!("/imports/{}", import.id)).into_response());
    }
    page_again(NamesPage {
        frame: Frame::new(&site, &member.visitor(), Section::Committee)
            .await?
            .with_problems(true),
        import,
        look,
        known,
        form: Some(form),
        problems,
    })
}
