//! Everybody who may sign in, and inviting one more.

use askama::Template;
use axum::{extract::State, response::Response};

use crate::{
    actions::{ActionError, accounts},
    domain::{accounts::Role, ids::Pid},
    store,
    web::{
        errors::PageError,
        forms::{Field, Form, Problems},
        page::{Frame, Section, page, page_again},
        people::Member,
        reached::Reached,
        state::Site,
    },
};

/// An account as the list shows it.
struct Line {
    pid: Pid,
    name: String,
    role: &'static str,
    state: &'static str,
}

#[derive(Template)]
#[template(path = "committee/people.html")]
struct PeoplePage {
    frame: Frame,
    people: Vec<Line>,
    name: Field,
    role: Field,
    problems: Problems,
}

impl PeoplePage {
    async fn new(
        site: &Site,
        member: &Member,
        form: &Form,
        problems: Problems,
    ) -> Result<Self, PageError> {
        let accounts = store::accounts::all(&mut *site.db.read().await?).await?;
        let people = accounts
            .into_iter()
            .map(|account| Line {
                state: match (account.disabled, &account.phc) {
                    (Some(_), _) => "disabled",
                    (None, Some(_)) => "can sign in",
                    (None, None) => "invited, no password yet",
                },
                pid: account.pid,
                name: account.name,
                role: account.role.as_str(),
            })
            .collect();
        let role = if form.has("role") {
            form.get("role")
        } else {
            Role::Member.as_str()
        };
        Ok(Self {
            frame: Frame::new(site, &member.visitor(), Section::Committee)
                .await?
                .with_problems(!problems.is_empty()),
            people,
            name: Field::new("name", "Sign-in name", form.get("name"))
                .hint("What they type to sign in, for example Jem Coppleway.")
                .problems(&problems),
            role: Field::new("role", "May act as", role).problems(&problems),
            problems,
        })
    }

    fn roles(&self) -> Vec<(&'static str, &'static str)> {
        roles()
    }
}

/// The roles with their words, for a choice.
pub fn roles() -> Vec<(&'static str, &'static str)> {
    Role::ALL
        .map(|role| (role.as_str(), role.as_str()))
        .to_vec()
}

/// A one-time link, shown this once.
#[derive(Template)]
#[template(path = "committee/link.html")]
struct LinkPage {
    frame: Frame,
    name: String,
    address: String,
    days: &'static str,
    /// What the link begins with, where the setting `public_address` does not say it.
    guessed: Option<String>,
    only_here: bool,
}

/// Shows the link that `secret` makes. It is kept only as a hash, so no page can show it again.
pub async fn show_link(
    site: &Site,
    member: &Member,
    reached: &Reached,
    name: String,
    (secret, days): (&str, &'static str),
) -> Result<Response, PageError> {
    page(LinkPage {
        frame: Frame::new(site, &member.visitor(), Section::Committee).await?,
        name,
        address: format!("{}/links/{secret}", reached.0),
        days,
        guessed: match site.settings.public_address {
            Some(_) => None,
            None => Some(reached.0.clone()).filter(|address| !address.is_empty()),
        },
        only_here: reached.is_only_here(),
    })
}

pub async fn show(State(site): State<Site>, member: Member) -> Result<Response, PageError> {
    page(PeoplePage::new(&site, &member, &Form::default(), Problems::default()).await?)
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    reached: Reached,
    form: Form,
) -> Result<Response, PageError> {
    let mut problems = Problems::default();
    let role = problems.take(
        "role",
        Role::parse(form.get("role")).ok_or("Choose what the account may do."),
    );
    if let Some(role) = role {
        match accounts::invite(&site.db, site.now(), &member.by(), form.get("name"), role).await {
            Ok((_, secret)) => {
                let name = form.get("name").to_owned();
                return show_link(&site, &member, &reached, name, (&secret, "seven days")).await;
            }
            Err(ActionError::Refused { field, sentence }) => problems.add(field, sentence),
            Err(other) => return Err(other.into()),
        }
    }
    page_again(PeoplePage::new(&site, &member, &form, problems).await?)
}
