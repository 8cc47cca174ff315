//! `/venues/{venue}/removal`: a water set up by mistake is removed, while nothing is recorded at it.
//! Its form stands on the page that sets the water up.

use axum::{
    extract::{Path, State},
    http::StatusCode,
    response::{IntoResponse, Response},
};

use super::{number_of, setup, the_venue};
use crate::{
    actions::{
        ActionError,
        remove_water::{Removal, remove_water},
    },
    domain::ids::VenueId,
    statistics::wording,
    store::venues::{
        self,
        removal::{self, Recorded},
    },
    web::{
        errors::PageError,
        forms::{Form, Problems},
        links::go_with,
        page::page_again,
        people::Member,
        state::Site,
    },
};

/// What is recorded at a water, in a sentence that says that it cannot be removed; none where
/// nothing is.
pub(super) fn standing(recorded: &Recorded) -> Option<String> {
    let counts = [
        (recorded.sessions, "session", "sessions"),
        (recorded.matches, "match", "matches"),
        (recorded.weather_days, "day of weather", "days of weather"),
        (
            recorded.weather_choices,
            "choice between sources of weather",
            "choices between sources of weather",
        ),
        (recorded.weather_files, "weather file", "weather files"),
        (
            recorded.readings,
            "reading of the water",
            "readings of the water",
        ),
        (recorded.diary, "entry of the diary", "entries of the diary"),
    ];
    let counts = counts.into_iter().filter(|(count, _, _)| *count > 0);
    let mut parts: Vec<String> = counts
        .clone()
        .map(|(count, one, many)| wording::count(count as usize, one, many))
        .collect();
    let mut things: i64 = counts.map(|(count, _, _)| count).sum();
    // Where something else keeps the water, nobody learns of what is not theirs to see.
    if recorded.unseen && parts.is_empty() {
        let unseen = "what the club does not see (a report kept private or taken back, or a file that was undone)";
        parts.push(unseen.to_owned());
        things += 1;
    }
    let verb = match things {
        0 => return None,
        1 => "stands",
        _ => "stand",
    };
    Some(wording::sentence(&format!(
        "{} {verb} here, so this water cannot be removed",
        wording::list(&parts)
    )))
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Path(venue): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let id = number_of(&venue)?;
    let found = venues::by_id(&mut *site.db.read().await?, id).await?;
    let Some(water) = found else {
        return gone(&site, id).await;
    };
    let mut problems = Problems::default();
    if !form.has("sure") {
        problems.add("sure", "Tick that this water is to be removed.");
        return page_again(setup::not_removed(&site, &member, water, problems).await?);
    }
    let at = (id, form.get("version").parse().unwrap_or(0));
    match remove_water(&site.db, site.now(), &member.by(), at).await {
        Ok(Removal::Removed) => Ok(go_with(&site, "/venues", "water-removed").into_response()),
        Ok(Removal::Stands) => {
            page_again(setup::not_removed(&site, &member, water, problems).await?)
        }
        Err(ActionError::Changed) => {
            problems.add(
                "sure",
                "Somebody changed this water meanwhile. Look at it as it now stands, and tick again if it is to be removed.",
            );
            let water = the_venue(&site, &venue).await?;
            let shown = page_again(setup::not_removed(&site, &member, water, problems).await?)?;
            Ok((StatusCode::CONFLICT, shown).into_response())
        }
        Err(ActionError::NotFound) => gone(&site, id).await,
        Err(error) => Err(error.into()),
    }
}

/// Somebody was first, or the button was tapped twice; any other number was never a water's.
async fn gone(site: &Site, venue: VenueId) -> Result<Response, PageError> {
    let removed = removal::was_removed(&mut *site.db.read().await?, venue).await?;
    match removed {
        true => Ok(go_with(site, "/venues", "water-gone").into_response()),
        false => Err(PageError::NotFound),
    }
}
