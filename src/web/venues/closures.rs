//! Closing pegs for some days, with the reason, and opening them again.

use askama::Template;
use axum::{
    extract::{Path, State},
    response::{IntoResponse, Response},
};

use super::{the_venue, typed::read_day};
use crate::{
    actions::{self, ActionError},
    domain::{
        dates::Day,
        ids::ClosureId,
        names::text::clean_line,
        pegs::{Closure, Peg, peg_words, read_peg_list},
        venues::Venue,
    },
    store::venues::{self, ClosureLine},
    web::{
        errors::PageError,
        forms::{Field, Form, Problems},
        links::go_with,
        page::{Frame, Section, page, page_again},
        people::Member,
        state::Site,
    },
};

#[derive(Template)]
#[template(path = "venues/closures.html")]
struct ClosuresPage {
    frame: Frame,
    venue: Venue,
    today: Day,
    closures: Vec<ClosureLine>,
    pegs: Field,
    from: Field,
    to: Field,
    reason: Field,
    problems: Problems,
}

impl ClosuresPage {
    async fn new(
        site: &Site,
        member: &Member,
        venue: Venue,
        form: &Form,
        problems: Problems,
    ) -> Result<Self, PageError> {
        let field =
            |name: &str, label: &str| Field::new(name, label, form.get(name)).problems(&problems);
        let today = site.now().day(&venue.zone);
        let mut from = field("from", "From");
        if !form.has("from") {
            from.value = today.to_string();
        }
        let mut reading = site.db.read().await?;
        let mut closures = venues::closures(&mut reading, venue.id).await?;
        let pegs = venues::pegs(&mut reading, venue.id).await?;
        drop(reading);
        closures.retain(|line| line.closure.to.is_none_or(|to| to >= today));
        Ok(Self {
            frame: Frame::new(site, &member.visitor(), Section::Venues)
                .await?
                .with_problems(!problems.is_empty()),
            pegs: field("pegs", "Pegs")
                .hint("For example 14, or 12–16.")
                .echo(understood(form.get("pegs"), &pegs)),
            from,
            to: field("to", "To, that day included").hint("Leave empty while nobody knows."),
            reason: field("reason", "Reason")
                .hint("Members read it: bank works, nesting birds, flooded."),
            venue,
            today,
            closures,
            problems,
        })
    }
}

/// `pegs 12 to 14 and 99; there is no peg 99`.
fn understood(typed: &str, pegs: &[Peg]) -> Option<String> {
    let numbers = read_peg_list(typed).ok()?.numbers;
    let there = |number: &str| {
        let mut in_use = pegs.iter().filter(|peg| peg.valid_to.is_none());
        in_use.any(|peg| peg.number == number)
    };
    let named = numbers.iter().map(String::as_str);
    let missing: Vec<&str> = named.clone().filter(|number| !there(number)).collect();
    let words = peg_words(named);
    Some(match missing.as_slice() {
        [] => words,
        missing => format!(
            "{words}; there is no {}",
            peg_words(missing.iter().copied())
        ),
    })
}

pub async fn show(
    State(site): State<Site>,
    member: Member,
    Path(venue): Path<String>,
) -> Result<Response, PageError> {
    let venue = the_venue(&site, &venue).await?;
    page(ClosuresPage::new(&site, &member, venue, &Form::default(), Problems::default()).await?)
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Path(venue): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let venue = the_venue(&site, &venue).await?;
    let mut problems = Problems::default();
    let pegs = venues::pegs(&mut *site.db.read().await?, venue.id).await?;
    let today = site.now().day(&venue.zone);
    if let Some((numbers, closure)) = read(&form, (&pegs, today), &mut problems) {
        match actions::venues::close_pegs(
            &site.db,
            site.now(),
            &member.by(),
            venue.id,
            &numbers,
            &closure,
        )
        .await
        {
            Ok(()) => {
                return Ok(
                    go_with(&site, &format!("/venues/{}/closures", venue.id), "saved")
                        .into_response(),
                );
            }
            Err(ActionError::Refused { field, sentence }) => problems.add(field, sentence),
            Err(other) => return Err(other.into()),
        }
    }
    page_again(ClosuresPage::new(&site, &member, venue, &form, problems).await?)
}

/// All that is wrong is said at once, whatever else is wrong.
fn read(
    form: &Form,
    (known, today): (&[Peg], Day),
    problems: &mut Problems,
) -> Option<(Vec<String>, Closure)> {
    let pegs = problems.take(
        "pegs",
        read_peg_list(form.get("pegs")).map_err(|all| all.join(" ")),
    );
    let from = problems.take("from", read_day(form.get("from")));
    let to = match form.get("to") {
        "" => Some(None),
        text => problems.take("to", read_day(text)).map(Some),
    };
    let reason = problems.take(
        "reason",
        clean_line(form.get("reason"), "the reason", 200).and_then(|words| {
            if words.is_empty() {
                Err("Say why, so that members know.".to_owned())
            } else {
                Ok(words)
            }
        }),
    );
    let days = from.zip(to);
    let backwards = days.is_some_and(|(from, to)| to.is_some_and(|to| to < from));
    if backwards {
        problems.add(
            "to",
            "The last day is before the first. Change one of them.",
        );
    }
    let days = days.filter(|_| !backwards);
    let why = pegs
        .as_ref()
        .and_then(|pegs| actions::venues::cannot_close(known, &pegs.numbers, days, today));
    if let Some(why) = why {
        problems.add("pegs", why);
    }
    let (pegs, (from, to), reason) = (pegs?, days?, reason?);
    problems
        .is_empty()
        .then_some((pegs.numbers, Closure { from, to, reason }))
}

pub async fn open(
    State(site): State<Site>,
    member: Member,
    Path((venue, closure)): Path<(String, String)>,
) -> Result<Response, PageError> {
    let venue = the_venue(&site, &venue).await?;
    let closure = closure
        .parse()
        .map(ClosureId)
        .map_err(|_| PageError::NotFound)?;
    actions::venues::open_peg(&site.db, site.now(), &member.by(), venue.id, closure).await?;
    Ok(go_with(&site, &format!("/venues/{}/closures", venue.id), "saved").into_response())
}
