//! One angler: the name as the reader may see it, and the sessions the reader may see; officers
//! mend the name and mark juniors.

use askama::Template;
use axum::{
    extract::{Path, Query, State},
    response::{IntoResponse, Response},
};

use serde::Deserialize;

use super::{already, name_for, on_the_list};
use crate::{
    actions::{self, ActionError},
    domain::{
        ids::Pid,
        names::{Name, without_mark},
    },
    store::{
        anglers::{self, Angler},
        sessions::seen::{self, Seen},
    },
    web::{
        errors::PageError,
        figures::weights_held,
        forms::{Field, Form, Problems},
        links::{go, go_with},
        page::{Frame, Section, page, page_again},
        people::Member,
        sessions::scales_words,
        state::Site,
    },
};

#[derive(Template)]
#[template(path = "anglers/angler.html")]
struct AnglerPage {
    frame: Frame,
    angler: Angler,
    name: String,
    given: Field,
    surname: Field,
    junior: Field,
    /// Somebody else of the name typed is on the list: asked before there are two.
    twin: Option<String>,
    problems: Problems,
    sessions: Vec<Line>,
    total: i64,
    first: i64,
    last: i64,
    previous: Option<String>,
    next: Option<String>,
    own: bool,
}

/// Rows on one page.
const ROWS: i64 = 50;

#[derive(Deserialize, Default)]
#[serde(default)]
pub struct Asked {
    from: String,
}

impl Asked {
    fn skip(&self) -> i64 {
        self.from.trim().parse().unwrap_or(1).clamp(1, 1_000_000) - 1
    }
}

/// A session as its row shows it.
struct Line {
    day: String,
    what: String,
    link: String,
    water: String,
    water_link: String,
    pegs: String,
    fish: String,
    weight: String,
}

impl Line {
    fn of(seen: Seen, frame: &Frame) -> Self {
        let (scale, ranking) = (seen.scale(), seen.ranking());
        let weighed = |grams: f64| match ranking {
            Some(ranking) => weights_held(&ranking.of_grams(grams).words()),
            None => scales_words(grams, scale),
        };
        let (what, link) = match (seen.match_id, seen.match_name) {
            (Some(id), name) => (name.unwrap_or_default(), format!("/matches/{id}/result")),
            (None, _) => ("A report".to_owned(), format!("/sessions/{}", seen.pid)),
        };
        Self {
            day: seen.day.short(),
            what,
            link: frame.url(&link),
            water: seen.venue_name,
            water_link: frame.url(&format!("/venues/{}", seen.venue)),
            pegs: seen.pegs.unwrap_or_default(),
            fish: seen.fish.map(|n| n.to_string()).unwrap_or_default(),
            weight: match (seen.did_not_weigh, seen.weight_g) {
                (false, Some(grams)) if seen.disqualified && grams > 0.0 => {
                    format!("{}, disqualified", weighed(grams))
                }
                _ if seen.disqualified => "Disqualified".to_owned(),
                (true, _) => "Did not weigh".to_owned(),
                (false, Some(0.0)) => "Blank".to_owned(),
                (false, Some(grams)) => weighed(grams),
                (false, None) => String::new(),
            },
        }
    }
}

impl AnglerPage {
    async fn new(
        site: &Site,
        member: &Member,
        angler: Angler,
        typed: Option<&Form>,
        problems: Problems,
        skip: i64,
    ) -> Result<Self, PageError> {
        let frame = Frame::new(site, &member.visitor(), Section::Anglers)
            .await?
            .with_problems(!problems.is_empty());
        let seen = seen::of_angler(
            &mut *site.db.read().await?,
            angler.id,
            member.who.angler,
            skip,
            ROWS,
        )
        .await?;
        let total = seen.first().map_or(0, |one| one.total);
        let last = skip + seen.len() as i64;
        let address = |from: i64| frame.url(&format!("/anglers/{}?from={from}", angler.pid));
        let field = |name: &str, label: &str, kept: &str| {
            Field::new(name, label, typed.map_or(kept, |form| form.get(name))).problems(&problems)
        };
        Ok(Self {
            total,
            first: skip + 1,
            last,
            previous: (skip > 0).then(|| address((skip - ROWS).max(0) + 1)),
            next: (last < total).then(|| address(last + 1)),
            sessions: seen.into_iter().map(|one| Line::of(one, &frame)).collect(),
            own: member.who.angler == Some(angler.id),
            frame,
            name: name_for(&angler, member),
            given: field(
                "given",
                "First name",
                angler.given.as_deref().unwrap_or_default(),
            ),
            surname: field(
                "surname",
                "Surname",
                angler.surname.as_deref().unwrap_or_default(),
            ),
            junior: field(
                "junior",
                "A junior",
                if angler.is_junior { "on" } else { "" },
            ),
            twin: None,
            angler,
            problems,
        })
    }
}

pub(super) async fn the_angler(site: &Site, pid: &str) -> Result<Angler, PageError> {
    let pid = Pid::parse(pid).ok_or(PageError::NotFound)?;
    anglers::by_pid(&mut *site.db.read().await?, &pid)
        .await?
        .ok_or(PageError::NotFound)
}

/// The one on the list, where this angler was joined to somebody.
pub(super) async fn joined_to(site: &Site, angler: &Angler) -> Result<Option<Angler>, PageError> {
    let Some(id) = angler.merged_into else {
        return Ok(None);
    };
    Ok(anglers::by_id(&mut *site.db.read().await?, id).await?)
}

pub async fn show(
    State(site): State<Site>,
    member: Member,
    Path(angler): Path<String>,
    Query(asked): Query<Asked>,
) -> Result<Response, PageError> {
    let angler = the_angler(&site, &angler).await?;
    if let Some(standing) = joined_to(&site, &angler).await? {
        return Ok(go(&site, &format!("/anglers/{}", standing.pid)).into_response());
    }
    let problems = Problems::default();
    page(AnglerPage::new(&site, &member, angler, None, problems, asked.skip()).await?)
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Path(angler): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let angler = the_angler(&site, &angler).await?;
    let mut problems = Problems::default();
    if let Some(standing) = joined_to(&site, &angler).await? {
        problems.add(
            "given",
            "The angler you changed has been joined to this one meanwhile. Save what is below if it is to stand.",
        );
        return page_again(
            AnglerPage::new(&site, &member, standing, Some(&form), problems, 0).await?,
        );
    }
    let mut twin = None;
    let (surname, marked) = without_mark(form.get("surname"));
    if let Some(name) = problems.take("given", Name::new(form.get("given"), &surname)) {
        let asks = !form.has("another") && !angler.is_called(&name);
        if asks && on_the_list(&site, &name).await? {
            problems.add("given", already(&name));
            twin = Some(name.full());
        } else {
            let (db, now, by) = (&site.db, site.now(), member.by());
            let junior = form.has("junior") || marked;
            match actions::anglers::change(db, now, &by, &angler.pid, &name, junior).await {
                Ok(()) => {
                    let path = format!("/anglers/{}", angler.pid);
                    return Ok(go_with(&site, &path, "saved").into_response());
                }
                Err(ActionError::Refused { field, sentence }) => problems.add(field, sentence),
                Err(other) => return Err(other.into()),
            }
        }
    }
    let mut shown = AnglerPage::new(&site, &member, angler, Some(&form), problems, 0).await?;
    shown.twin = twin;
    page_again(shown)
}
