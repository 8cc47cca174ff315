//! One account: what it may do, a new password link, whether it may sign in, whose reports it writes.

use askama::Template;
use axum::{
    extract::{Path, Query, State},
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::people::{roles, show_link};
use crate::{
    actions::{self, ActionError},
    domain::{accounts::Role, ids::Pid, names::key},
    store::{
        self,
        accounts::Account,
        anglers::{self, Angler},
    },
    web::{
        anglers::apart::Apart,
        errors::PageError,
        forms::{Field, Form, Problems},
        links::go_with,
        page::{Frame, Section, page, page_again},
        people::Member,
        reached::Reached,
        state::Site,
    },
};

#[derive(Template)]
#[template(path = "committee/person.html")]
struct PersonPage {
    frame: Frame,
    account: Account,
    anglers: Vec<Angler>,
    apart: Apart,
    role: Field,
    angler: Field,
    /// Anglers without an account who bear the name that this one signs in by: whom the page would
    /// choose, and their name.
    alike: Vec<(Pid, String)>,
    /// One of them is chosen below, and nothing is joined yet.
    offered: Option<String>,
    problems: Problems,
}

/// Who is looked at before joining.
#[derive(Deserialize, Default)]
#[serde(default)]
pub struct Asked {
    angler: String,
}

impl PersonPage {
    async fn new(
        site: &Site,
        member: &Member,
        account: Account,
        asked: &Asked,
        problems: Problems,
    ) -> Result<Self, PageError> {
        let mut reading = site.db.read().await?;
        let mut anglers = anglers::all(&mut reading).await?;
        let apart = Apart::of(&mut reading, &anglers).await?;
        drop(reading);
        anglers.retain(|angler| angler.account.is_none_or(|other| other == account.id));
        let joined = anglers
            .iter()
            .find(|angler| angler.account == Some(account.id));
        let mut alike = Vec::new();
        if joined.is_none() {
            let named = key(&account.name);
            let same = anglers.iter().filter_map(|angler| {
                let name = angler.name().filter(|name| name.key() == named)?;
                let words = apart.beside(angler.id, name.full());
                Some((angler.pid.clone(), words))
            });
            alike.extend(same);
        }
        let chosen = alike
            .iter()
            .find(|(pid, _)| pid.to_string() == asked.angler);
        let offered = chosen.map(|(_, words)| words.clone());
        let angler = joined
            .map(|angler| &angler.pid)
            .or(chosen.map(|(pid, _)| pid))
            .map(Pid::to_string)
            .unwrap_or_default();
        Ok(Self {
            frame: Frame::new(site, &member.visitor(), Section::Committee)
                .await?
                .with_problems(!problems.is_empty()),
            role: Field::new("role", "May act as", account.role.as_str()).problems(&problems),
            angler: Field::new("angler", "Fishes as", angler)
                .hint("Whose reports this account writes.")
                .problems(&problems),
            alike,
            offered,
            account,
            anglers,
            apart,
            problems,
        })
    }

    fn roles(&self) -> Vec<(&'static str, &'static str)> {
        roles()
    }

    fn choices(&self) -> Vec<(String, String)> {
        self.anglers
            .iter()
            .filter_map(|angler| Some((angler.pid.to_string(), self.apart.sorted(angler)?)))
            .collect()
    }
}

async fn the_account(site: &Site, pid: &str) -> Result<Account, PageError> {
    let pid = Pid::parse(pid).ok_or(PageError::NotFound)?;
    store::accounts::by_pid(&mut *site.db.read().await?, &pid)
        .await?
        .ok_or(PageError::NotFound)
}

/// After an act: back to the account's page, or the page again with what stood in the way.
async fn after(
    site: &Site,
    member: &Member,
    account: Account,
    outcome: Result<(), ActionError>,
) -> Result<Response, PageError> {
    match outcome {
        Ok(()) => Ok(
            go_with(site, &format!("/committee/people/{}", account.pid), "saved").into_response(),
        ),
        Err(ActionError::Refused { field, sentence }) => {
            let mut problems = Problems::default();
            problems.add(field, sentence);
            page_again(PersonPage::new(site, member, account, &Asked::default(), problems).await?)
        }
        Err(other) => Err(other.into()),
    }
}

pub async fn show(
    State(site): State<Site>,
    member: Member,
    Path(account): Path<String>,
    Query(asked): Query<Asked>,
) -> Result<Response, PageError> {
    let account = the_account(&site, &account).await?;
    page(PersonPage::new(&site, &member, account, &asked, Problems::default()).await?)
}

pub async fn set_role(
    State(site): State<Site>,
    member: Member,
    Path(account): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let account = the_account(&site, &account).await?;
    let outcome = match Role::parse(form.get("role")) {
        Some(role) => {
            actions::accounts::set_role(&site.db, site.now(), &member.by(), &account.pid, role)
                .await
        }
        None => Err(ActionError::refused(
            "role",
            "Choose what the account may do.",
        )),
    };
    after(&site, &member, account, outcome).await
}

pub async fn set_access(
    State(site): State<Site>,
    member: Member,
    Path(account): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let account = the_account(&site, &account).await?;
    let disabled = form.get("access") == "disable";
    let outcome =
        actions::accounts::set_disabled(&site.db, site.now(), &member.by(), &account.pid, disabled)
            .await;
    after(&site, &member, account, outcome).await
}

pub async fn join(
    State(site): State<Site>,
    member: Member,
    Path(account): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let account = the_account(&site, &account).await?;
    let outcome = match (form.get("angler"), Pid::parse(form.get("angler"))) {
        ("", _) => {
            actions::anglers::join(&site.db, site.now(), &member.by(), &account.pid, None).await
        }
        (_, Some(angler)) => {
            actions::anglers::join(
                &site.db,
                site.now(),
                &member.by(),
                &account.pid,
                Some(&angler),
            )
            .await
        }
        (_, None) => Err(ActionError::refused(
            "angler",
            "Choose an angler from the list.",
        )),
    };
    after(&site, &member, account, outcome).await
}

pub async fn offer_link(
    State(site): State<Site>,
    member: Member,
    reached: Reached,
    Path(account): Path<String>,
) -> Result<Response, PageError> {
    let account = the_account(&site, &account).await?;
    let secret =
        actions::one_time_links::offer_reset(&site.db, site.now(), &member.by(), &account.pid)
            .await?;
    let days = if account.phc.is_some() {
        "a day"
    } else {
        "seven days"
    };
    show_link(&site, &member, &reached, account.name, (&secret, days)).await
}
