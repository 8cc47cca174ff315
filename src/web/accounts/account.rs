//! Your own account: how figures are shown to you, where you are signed in, and signing out
//! everywhere else.

use askama::Template;
use axum::{
    extract::State,
    response::{IntoResponse, Response},
};

use crate::{
    actions::{choose_units, sign_in},
    domain::units::{Scale, Speed, Units},
    store::{settings, sign_ins},
    web::{
        errors::PageError,
        forms::{Field, Form, Problems},
        links::go_with,
        page::{Frame, Section, page, page_again},
        people::Member,
        state::Site,
    },
};

/// The choice of leaving weights as each water weighs.
const AS_WEIGHED: &str = "water";

#[derive(Template)]
#[template(path = "accounts/account.html")]
struct AccountPage {
    frame: Frame,
    name: String,
    role: &'static str,
    weights: Field,
    wind: Field,
    zone: String,
    sign_ins: Vec<SignInRow>,
    problems: Problems,
}

struct SignInRow {
    device: String,
    since: String,
    last_seen: String,
    is_this: bool,
}

impl AccountPage {
    /// `weights` and `wind`: the words that stand in the form.
    async fn new(
        site: &Site,
        member: &Member,
        weights: &str,
        wind: &str,
        problems: Problems,
    ) -> Result<Self, PageError> {
        let who = &member.who;
        let mut reading = site.db.read().await?;
        let zone = settings::club(&mut reading).await?.zone;
        let lines = sign_ins::of_account(&mut reading, who.account).await?;
        drop(reading);
        Ok(Self {
            frame: Frame::new(site, &member.visitor(), Section::Nowhere)
                .await?
                .with_problems(!problems.is_empty()),
            name: who.name.clone(),
            role: who.role.as_str(),
            weights: Field::new("weights", "Weights", weights).problems(&problems),
            wind: Field::new("wind", "Wind", wind).problems(&problems),
            zone: zone.name().to_owned(),
            sign_ins: lines
                .into_iter()
                .map(|line| SignInRow {
                    device: line.device,
                    since: line.created.in_words(&zone),
                    last_seen: line.last_seen.in_words(&zone),
                    is_this: line.id == who.sign_in,
                })
                .collect(),
            problems,
        })
    }

    fn weighings(&self) -> Vec<(&'static str, &'static str)> {
        let scales = Scale::ALL.map(|scale| (scale.slug(), scale.words()));
        [&[(AS_WEIGHED, "as each water weighs")][..], &scales[..]].concat()
    }

    fn speeds(&self) -> Vec<(&'static str, &'static str)> {
        Speed::ALL
            .map(|speed| (speed.as_str(), speed.words()))
            .to_vec()
    }
}

pub async fn show(State(site): State<Site>, member: Member) -> Result<Response, PageError> {
    let units = member.who.units;
    let weights = units.weights.map_or(AS_WEIGHED, Scale::slug);
    let wind = units.wind.as_str();
    page(AccountPage::new(&site, &member, weights, wind, Problems::default()).await?)
}

/// Keeps how figures are shown to whoever asks.
pub async fn submit(
    State(site): State<Site>,
    member: Member,
    form: Form,
) -> Result<Response, PageError> {
    let mut problems = Problems::default();
    let weights = problems.take("weights", read_weights(form.get("weights")));
    let wind = problems.take("wind", read_wind(form.get("wind")));
    let (Some(weights), Some(wind)) = (weights, wind) else {
        let (weights, wind) = (form.get("weights"), form.get("wind"));
        return page_again(AccountPage::new(&site, &member, weights, wind, problems).await?);
    };
    let units = Units { weights, wind };
    choose_units::choose(&site.db, site.now(), &member.by(), units).await?;
    Ok(go_with(&site, "/account", "saved").into_response())
}

fn read_weights(word: &str) -> Result<Option<Scale>, &'static str> {
    match word {
        AS_WEIGHED => Ok(None),
        word => Scale::from_slug(word).map(Some).ok_or(
            "Choose how weights are shown: as each water weighs, in pounds and ounces, or in kilograms.",
        ),
    }
}

fn read_wind(word: &str) -> Result<Speed, &'static str> {
    Speed::parse(word).ok_or("Choose how wind is shown: in mph, in m/s, or in Beaufort forces.")
}

pub async fn sign_out_others(
    State(site): State<Site>,
    member: Member,
) -> Result<Response, PageError> {
    sign_in::sign_out_others(&site.db, site.now(), &member.by(), member.who.sign_in).await?;
    Ok(go_with(&site, "/account", "signed-out-others").into_response())
}
