//! The weigh sheet typed up: nets and outcome of every entry. An unlikely weight is asked about.

use askama::Template;
use axum::{
    extract::{Path, State},
    http::StatusCode,
    response::{Html, IntoResponse, Response},
};

use super::{found, version};
use crate::{
    actions::{
        ActionError,
        record_weights::{Weighed, record_weights},
    },
    domain::{
        groups::GroupSet,
        matches::{Outcome, entry::NotReady},
        names::Name,
        units::{Bare, Weight, WeightReading, read_weight},
    },
    store::matches::{
        self, Match,
        entries::{self, Entry},
        weights::{self, Net},
    },
    web::{
        errors::PageError,
        forms::{Field, Form, Problems},
        links::go_with,
        page::{Frame, Section, page, page_again},
        people::{Member, Visitor},
        state::Site,
    },
};

/// A net heavier than this is asked about: keepnets are seldom filled so far.
/// Common practice, no source.
const UNLIKELY_GRAMS: f64 = 45_000.0;

#[derive(Template)]
#[template(path = "matches/weights.html")]
struct WeightsPage {
    frame: Frame,
    the_match: Match,
    rows: Vec<Row>,
    problems: Problems,
    /// Somebody saved while the form was open.
    changed: bool,
    /// The day of the match is still to come.
    early: bool,
}

struct Row {
    legend: String,
    outcome: Field,
    nets: Vec<NetBox>,
}

/// A box for one net, and the tick that says an unlikely weight is right.
struct NetBox {
    field: Field,
    sure: Option<Field>,
}

impl WeightsPage {
    fn address(&self, page: &str) -> String {
        self.frame
            .url(&format!("/matches/{}{page}", self.the_match.id))
    }

    fn outcomes(&self) -> Vec<(String, String)> {
        [
            ("", "not yet weighed"),
            ("fished", "weighed in"),
            ("blank", "blank: fished, caught nothing"),
            ("did not weigh", "did not weigh: fished, catch not known"),
            ("absent", "absent: did not fish"),
            ("disqualified", "disqualified"),
        ]
        .map(|(value, words)| (value.to_owned(), words.to_owned()))
        .to_vec()
    }
}

struct Sheet {
    the_match: Match,
    entered: Vec<Entry>,
    kinds: Vec<GroupSet>,
    nets: Vec<Net>,
}

impl Sheet {
    async fn of(site: &Site, id: &str) -> Result<Self, PageError> {
        let the_match = found(site, id).await?;
        let mut reading = site.db.read().await?;
        Ok(Self {
            entered: entries::of_match(&mut reading, the_match.id).await?,
            kinds: matches::net_kinds(&mut reading, the_match.id).await?,
            nets: weights::of_match(&mut reading, the_match.id).await?,
            the_match,
        })
    }

    fn is_early(&self, site: &Site) -> bool {
        self.the_match.on > site.now().day(&self.the_match.zone())
    }

    fn on_record(&self, entry: &Entry, kind: GroupSet) -> Vec<Option<Weight>> {
        self.nets
            .iter()
            .filter(|net| net.entry == entry.id && net.groups == kind)
            .map(|net| net.weight)
            .collect()
    }

    /// Room for one net more than the fullest entry has, two at least.
    fn slots(&self, kind: GroupSet) -> usize {
        let most = self
            .entered
            .iter()
            .map(|e| self.on_record(e, kind).len())
            .max();
        most.unwrap_or(0).max(1) + 1
    }

    /// The rows of the page: as typed when there is a form, else as on record.
    fn rows(&self, form: Option<&Form>, problems: &Problems) -> Vec<Row> {
        self.entered
            .iter()
            .map(|entry| Row {
                legend: legend(entry),
                outcome: self.outcome_field(entry, form, problems),
                nets: self
                    .kinds
                    .iter()
                    .flat_map(|kind| (0..self.slots(*kind)).map(move |slot| (entry, *kind, slot)))
                    .map(|at| self.net_box(at, form, problems))
                    .collect(),
            })
            .collect()
    }

    fn outcome_field(&self, entry: &Entry, form: Option<&Form>, problems: &Problems) -> Field {
        let name = format!("outcome-{}", entry.id);
        let value = match form {
            Some(form) => form.get(&name).to_owned(),
            None => entry.outcome.map_or("", Outcome::as_str).to_owned(),
        };
        Field::new(&name, "Outcome", value).problems(problems)
    }

    fn net_box(
        &self,
        (entry, kind, slot): (&Entry, GroupSet, usize),
        form: Option<&Form>,
        problems: &Problems,
    ) -> NetBox {
        let name = net_name(entry, kind, slot);
        let label = match self.kinds.len() {
            1 => format!("Net {}", slot + 1),
            _ => format!("{kind}, net {}", slot + 1),
        };
        let value = match form {
            Some(form) => form.get(&name).to_owned(),
            None => self
                .on_record(entry, kind)
                .get(slot)
                .copied()
                .flatten()
                .map(Weight::typed)
                .unwrap_or_default(),
        };
        let read = read_weight(&value, self.the_match.ranking().scale, Bare::AsScales);
        let understood = read.understood().filter(|_| !value.is_empty());
        let unlikely = understood.is_some_and(|w| w.as_grams() > UNLIKELY_GRAMS);
        let sure = unlikely.then(|| {
            let sure = format!("sure-{name}");
            let ticked = form.is_none_or(|form| form.has(&sure));
            Field::new(
                &sure,
                "This weight is right",
                if ticked { "on" } else { "" },
            )
        });
        NetBox {
            field: Field::new(&name, &label, value)
                .problems(problems)
                .echo(understood.map(Weight::words)),
            sure,
        }
    }

    /// What was typed, each thing that cannot stand named at its field.
    fn read(&self, form: &Form, problems: &mut Problems) -> Vec<Weighed> {
        let mut sheet = Vec::new();
        for entry in &self.entered {
            let mut nets = Vec::new();
            for kind in &self.kinds {
                let typed = (0..self.slots(*kind))
                    .map(|slot| self.read_net(form, &net_name(entry, *kind, slot), problems))
                    .collect::<Vec<_>>();
                nets.push((*kind, typed));
            }
            let weighed = nets.iter().any(|(_, all)| all.iter().any(Option::is_some));
            let field = format!("outcome-{}", entry.id);
            let outcome = match Outcome::parse(form.get(&field)) {
                None if weighed => Some(Outcome::Fished),
                said => said,
            };
            if outcome.is_some()
                && let Some(reason) = NotReady::check(outcome, weighed)
                && !problems
                    .list
                    .iter()
                    .any(|p| p.field.starts_with(&format!("net-{}-", entry.id)))
            {
                problems.add(field, reason.sentence(&legend(entry)));
            }
            sheet.push(Weighed {
                entry: entry.id,
                outcome,
                nets,
            });
        }
        sheet
    }

    fn read_net(&self, form: &Form, name: &str, problems: &mut Problems) -> Option<Weight> {
        let typed = form.get(name);
        if typed.is_empty() {
            return None;
        }
        match read_weight(typed, self.the_match.ranking().scale, Bare::AsScales) {
            WeightReading::Understood(weight) if weight.is_nothing() => {
                problems.add(
                    name,
                    "A net of nothing is no net. Leave it empty; mark blank if nothing was caught.",
                );
                None
            }
            WeightReading::Understood(weight) => {
                if weight.as_grams() > UNLIKELY_GRAMS && !form.has(&format!("sure-{name}")) {
                    problems.add(
                        name,
                        format!(
                            "{} in one net is unlikely. Mend it, or tick that it is right.",
                            weight.words()
                        ),
                    );
                }
                Some(weight)
            }
            WeightReading::Question { asks, .. } => {
                problems.add(name, asks);
                None
            }
            WeightReading::Problem(sentence) => {
                problems.add(name, sentence);
                None
            }
        }
    }
}

fn net_name(entry: &Entry, kind: GroupSet, slot: usize) -> String {
    format!("net-{}-{}-{slot}", entry.id, kind.bits())
}

fn legend(entry: &Entry) -> String {
    let name = match &entry.given {
        Some(given) => Name::from_label(given.clone(), entry.surname.clone()).full(),
        None => "Former member".to_owned(),
    };
    match &entry.peg_number {
        Some(peg) => format!("Peg {peg}, {name}"),
        None => name,
    }
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Path(id): Path<String>,
) -> Result<Response, PageError> {
    let sheet = Sheet::of(&site, &id).await?;
    let problems = Problems::default();
    page(WeightsPage {
        frame: Frame::new(&site, &visitor, Section::Matches).await?,
        rows: sheet.rows(None, &problems),
        early: sheet.is_early(&site),
        the_match: sheet.the_match,
        problems,
        changed: false,
    })
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let sheet = Sheet::of(&site, &id).await?;
    let at = (sheet.the_match.id, version(form.get("version"))?);
    let mut problems = Problems::default();
    let weighed = sheet.read(&form, &mut problems);
    if problems.is_empty() {
        match record_weights(&site.db, site.now(), &member.by(), at, &weighed).await {
            Ok(()) => {
                let back = format!("/matches/{}/weights", sheet.the_match.id);
                return Ok(go_with(&site, &back, "saved").into_response());
            }
            Err(ActionError::Refused { field, sentence }) => problems.add(field, sentence),
            Err(ActionError::Changed) => return both(&site, &member, &id, &form).await,
            Err(other) => return Err(other.into()),
        }
    }
    page_again(WeightsPage {
        frame: Frame::new(&site, &member.visitor(), Section::Matches)
            .await?
            .with_problems(true),
        rows: sheet.rows(Some(&form), &problems),
        early: sheet.is_early(&site),
        the_match: sheet.the_match,
        problems,
        changed: false,
    })
}

/// 409: the sheet as it was typed, with what the record says now beside each figure that differs.
async fn both(site: &Site, member: &Member, id: &str, form: &Form) -> Result<Response, PageError> {
    let sheet = Sheet::of(site, id).await?;
    let problems = Problems::default();
    let mut rows = sheet.rows(Some(form), &problems);
    for (typed, saved) in rows.iter_mut().zip(sheet.rows(None, &problems)) {
        compare(&mut typed.outcome, &saved.outcome);
        for (typed, saved) in typed.nets.iter_mut().zip(&saved.nets) {
            compare(&mut typed.field, &saved.field);
        }
    }
    let shown = WeightsPage {
        frame: Frame::new(site, &member.visitor(), Section::Matches)
            .await?
            .with_problems(true),
        rows,
        early: sheet.is_early(site),
        the_match: sheet.the_match,
        problems,
        changed: true,
    };
    Ok((StatusCode::CONFLICT, Html(shown.render()?)).into_response())
}

fn compare(typed: &mut Field, saved: &Field) {
    // 12-8 and 12 lb 8 oz are one weight.
    let same = typed.value == saved.value || (typed.echo.is_some() && typed.echo == saved.echo);
    if !same {
        let on_record = match saved.value.as_str() {
            "" => "nothing",
            words => words,
        };
        typed.hint = Some(format!("On record now: {on_record}"));
    }
}
