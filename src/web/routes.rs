//! Every address of the site in one table: method, path, who may, how much may be sent, and the
//! handler. The router and the access test are both made from it; what is not in it is refused.

use std::{any::Any, time::Duration};

use axum::{
    Router,
    extract::{DefaultBodyLimit, State},
    handler::Handler,
    http::{Method, StatusCode},
    middleware::{from_fn, from_fn_with_state},
    routing::{MethodFilter, MethodRouter, on},
};
use tower_http::{CompressionLevel, catch_panic::CatchPanicLayer, compression::CompressionLayer};

use super::{
    Limits, accounts, anglers, assets, committee, errors, exports, health, home, imports, matches,
    people, privacy, security, sessions, state::Site, venues, weather,
};
use crate::domain::accounts::Who::{self, Administrator, Anyone, Member, Organiser};

/// Room for the header lines of a request, bytes.
const HEAD: usize = 64 * 1024;
/// Room for what a form sends, bytes.
const FORM: usize = 256 * 1024;
/// Room for a sheet with its form, and for a weather file.
pub const SHEET: usize = 2 * 1024 * 1024;
pub const WEATHER_FILE: usize = 16 * 1024 * 1024;

/// One row of the table.
pub struct Route {
    pub method: Method,
    pub path: &'static str,
    pub who: Who,
    /// The most that may be sent, bytes.
    pub room: usize,
    handler: MethodRouter<Site>,
}

fn get<T: 'static>(path: &'static str, who: Who, handler: impl Handler<T, Site>) -> Route {
    Route {
        method: Method::GET,
        path,
        who,
        room: 0,
        handler: on(MethodFilter::GET, handler),
    }
}

/// A file that browsers keep: made as small as it goes, since it is sent once and waited for.
fn get_file<T: 'static>(path: &'static str, who: Who, handler: impl Handler<T, Site>) -> Route {
    let route = get(path, who, handler);
    let smallest = CompressionLayer::new().quality(CompressionLevel::Best);
    Route {
        handler: route.handler.layer(smallest),
        ..route
    }
}

fn post<T: 'static>(path: &'static str, who: Who, handler: impl Handler<T, Site>) -> Route {
    Route {
        method: Method::POST,
        path,
        who,
        room: FORM,
        handler: on(MethodFilter::POST, handler),
    }
}

/// A form with a file; its handler takes an `uploads::Upload`.
fn post_file<T: 'static>(
    path: &'static str,
    who: Who,
    room: usize,
    handler: impl Handler<T, Site>,
) -> Route {
    Route {
        room,
        ..post(path, who, handler)
    }
}

#[rustfmt::skip]
pub fn table() -> Vec<Route> {
    vec![
        // The house.
        get("/", Anyone, home::show),
        get("/healthz", Anyone, health::alive),
        get("/readyz", Anyone, health::ready),
        get_file("/static/{fingerprint}/{*name}", Anyone, assets::show),
        // People.
        get("/sign-in", Anyone, accounts::sign_in::show),
        post("/sign-in", Anyone, accounts::sign_in::submit),
        post("/sign-out", Member, accounts::sign_out::submit),
        get("/account", Member, accounts::account::show),
        post("/account", Member, accounts::account::submit),
        post("/account/sign-ins", Member, accounts::account::sign_out_others),
        get("/account/password", Member, accounts::password::show),
        post("/account/password", Member, accounts::password::submit),
        get("/privacy", Anyone, privacy::show),
        get("/links/{secret}", Anyone, accounts::link::show),
        post("/links/{secret}", Anyone, accounts::link::submit),
        // Anglers.
        get("/anglers", Member, anglers::list::show),
        post("/anglers", Organiser, anglers::list::submit),
        get("/anglers/{angler}", Member, anglers::angler::show),
        post("/anglers/{angler}", Organiser, anglers::angler::submit),
        get("/anglers/{angler}/join", Organiser, anglers::join::show),
        post("/anglers/{angler}/join", Organiser, anglers::join::submit),
        // Venues and pegs.
        get("/venues", Anyone, venues::list::show),
        get("/venues/new", Organiser, venues::setup::show_new),
        post("/venues/new", Organiser, venues::setup::submit_new),
        get("/venues/{venue}", Anyone, venues::venue::show),
        get("/venues/{venue}/setup", Organiser, venues::setup::show),
        post("/venues/{venue}/setup", Organiser, venues::setup::submit),
        post("/venues/{venue}/removal", Organiser, venues::removal::submit),
        get("/venues/{venue}/closures", Organiser, venues::closures::show),
        post("/venues/{venue}/closures", Organiser, venues::closures::submit),
        post("/venues/{venue}/closures/{closure}/open", Organiser, venues::closures::open),
        get("/venues/{venue}/pegs/{peg}", Anyone, venues::peg::show),
        get("/venues/{venue}/pegs/{peg}/hours.csv", Member, venues::peg_files::hours),
        get("/venues/{venue}/pegs/{peg}/methods.csv", Member, venues::peg_files::methods),
        get("/venues/{venue}/diary", Anyone, venues::diary::show),
        post("/venues/{venue}/diary", Organiser, venues::diary::submit),
        get("/venues/{venue}/diary/{entry}", Organiser, venues::diary_entry::show),
        post("/venues/{venue}/diary/{entry}", Organiser, venues::diary_entry::submit),
        post("/venues/{venue}/diary/{entry}/removal", Organiser, venues::diary_entry::take_out),
        // Weather.
        get("/weather", Anyone, weather::index::show),
        get("/venues/{venue}/weather", Anyone, weather::grid::show),
        post("/venues/{venue}/weather", Member, weather::grid::submit),
        get("/venues/{venue}/weather/conflicts", Anyone, weather::conflicts::show),
        post("/venues/{venue}/weather/conflicts", Organiser, weather::conflicts::submit),
        get("/venues/{venue}/weather/sources", Organiser, weather::sources::show),
        post("/venues/{venue}/weather/sources", Organiser, weather::sources::submit),
        get("/venues/{venue}/weather/import", Organiser, weather::import::show),
        post_file("/venues/{venue}/weather/import", Organiser, WEATHER_FILE + FORM, weather::import::submit),
        get("/venues/{venue}/weather/import/{import}", Organiser, weather::import_file::show),
        post("/venues/{venue}/weather/import/{import}", Organiser, weather::import_file::submit),
        get("/venues/{venue}/weather.csv", Anyone, weather::export::show),
        get("/venues/{venue}/water", Anyone, weather::water::show),
        post("/venues/{venue}/water", Member, weather::water::submit),
        get("/venues/{venue}/water.csv", Anyone, weather::water::csv),
        get("/venues/{venue}/water/{reading}", Member, weather::reading::show),
        post("/venues/{venue}/water/{reading}", Member, weather::reading::submit),
        post("/venues/{venue}/water/{reading}/removal", Member, weather::reading::remove),
        // Sessions.
        get("/report", Member, sessions::report::show),
        post("/report", Member, sessions::report::submit),
        get("/report/quick", Member, sessions::quick::show),
        get("/sessions", Member, sessions::mine::show),
        get("/sessions/{session}", Member, sessions::session::show),
        get("/sessions/{session}/edit", Member, sessions::edit::show),
        post("/sessions/{session}/edit", Member, sessions::edit::submit),
        post("/sessions/{session}/removal", Member, sessions::edit::take_back),
        // Matches.
        get("/matches", Anyone, matches::list::show),
        get("/matches/new", Organiser, matches::new::show),
        post("/matches/new", Organiser, matches::new::submit),
        get("/matches/{match}", Anyone, matches::the_match::show),
        get("/matches/{match}/edit", Organiser, matches::change::show),
        post("/matches/{match}/edit", Organiser, matches::change::submit),
        post("/matches/{match}/calling-off", Organiser, matches::change::call_off),
        post("/matches/{match}/putting-on", Organiser, matches::change::put_on_again),
        get("/matches/{match}/entries", Organiser, matches::entries::show),
        post("/matches/{match}/entries", Organiser, matches::entries::submit),
        get("/matches/{match}/pegs", Organiser, matches::pegs::show),
        post("/matches/{match}/pegs", Organiser, matches::pegs::submit),
        get("/matches/{match}/weights", Organiser, matches::weights::show),
        post("/matches/{match}/weights", Organiser, matches::weights::submit),
        get("/matches/{match}/publication", Organiser, matches::publication::show),
        post("/matches/{match}/publication", Organiser, matches::publication::submit),
        get("/matches/{match}/result", Anyone, matches::result::show),
        get("/matches.csv", Anyone, exports::matches::show),
        get("/matches/{match}/result.csv", Anyone, exports::result::show),
        get("/sessions.csv", Member, exports::sessions::show),
        // Imports.
        get("/imports", Organiser, imports::list::show),
        get("/imports/new", Organiser, imports::new::show),
        post_file("/imports/new", Organiser, SHEET, imports::new::submit),
        get("/imports/{import}", Organiser, imports::import::show),
        post("/imports/{import}", Organiser, imports::import::submit),
        get("/imports/{import}/columns", Organiser, imports::columns::show),
        post("/imports/{import}/columns", Organiser, imports::columns::submit),
        get("/imports/{import}/names", Organiser, imports::names::show),
        post("/imports/{import}/names", Organiser, imports::names::submit),
        post("/imports/{import}/undo", Organiser, imports::import::undo),
        post("/imports/{import}/discard", Organiser, imports::import::discard),
        // What the record shows.
        get("/venues/{venue}/record", Anyone, venues::record::show),
        get("/venues/{venue}/record.csv", Anyone, venues::record::file),
        get("/venues/{venue}/what-it-took", Anyone, venues::what_it_took::show),
        get("/venues/{venue}/what-it-took.csv", Anyone, venues::what_it_took::file),
        get("/venues/{venue}/like-days", Anyone, venues::like_days::show),
        get("/venues/{venue}/like-days.csv", Anyone, venues::like_days::download),
        // The committee.
        get("/committee", Organiser, committee::desk::show),
        get("/committee/tackle", Organiser, committee::tackle::show),
        post("/committee/tackle", Organiser, committee::tackle::submit),
        get("/committee/club", Administrator, committee::club::show),
        post("/committee/club", Administrator, committee::club::submit),
        get("/committee/people", Administrator, committee::people::show),
        post("/committee/people", Administrator, committee::people::submit),
        get("/committee/people/{account}", Administrator, committee::person::show),
        post("/committee/people/{account}/role", Administrator, committee::person::set_role),
        post("/committee/people/{account}/access", Administrator, committee::person::set_access),
        post("/committee/people/{account}/angler", Administrator, committee::person::join),
        post("/committee/people/{account}/link", Administrator, committee::person::offer_link),
    ]
}

/// The site: every route behind its guard, inside the layers that hold for all.
pub fn router(site: Site, limits: Limits) -> Router {
    let mut router = Router::new();
    let table = table();
    let with_file: Vec<_> = table
        .iter()
        .filter(|route| route.room > FORM)
        .map(|route| route.path)
        .collect();
    for route in table {
        let asks = if with_file.contains(&route.path) {
            people::Asks::BeforeTheForm
        } else {
            people::Asks::AtTheForm
        };
        let guard = (site.clone(), route.who, asks);
        let guarded = route
            .handler
            .layer(DefaultBodyLimit::max(route.room))
            .layer(from_fn_with_state(guard, people::guard));
        router = router.route(route.path, guarded);
    }
    guarded(router, site, limits)
}

/// The layers that hold for every address. What took too long and what broke are inside those that
/// draw the page and know the reader, so that both are told as any other refusal is.
pub fn guarded(routes: Router<Site>, site: Site, limits: Limits) -> Router {
    routes
        .fallback(nothing_here)
        .method_not_allowed_fallback(not_that_way)
        .layer(from_fn_with_state(site.clone(), security::same_site_only))
        .layer(from_fn_with_state(limits.answer, in_time))
        .layer(CatchPanicLayer::custom(broke))
        .layer(from_fn_with_state(site.clone(), errors::drawn))
        .layer(from_fn_with_state(site.clone(), people::recognise))
        .layer(from_fn(fine_head))
        .with_state(site)
}

/// Gives up on an answer that is not ready in `time`; nobody knows then what was saved.
async fn in_time(
    State(time): State<Duration>,
    request: axum::extract::Request,
    next: axum::middleware::Next,
) -> axum::response::Response {
    use axum::response::IntoResponse;
    let sent = !matches!(*request.method(), Method::GET | Method::HEAD);
    match tokio::time::timeout(time, next.run(request)).await {
        Ok(answer) => answer,
        Err(_) => errors::PageError::OutOfTime { sent }.into_response(),
    }
}

/// The answer where a handler panicked; the panic itself is in the log already.
fn broke(_: Box<dyn Any + Send>) -> axum::response::Response {
    use axum::response::IntoResponse;
    errors::PageError::Fault("a handler panicked".to_owned()).into_response()
}

async fn nothing_here() -> errors::PageError {
    errors::PageError::NotFound
}

async fn not_that_way() -> errors::PageError {
    errors::PageError::Method
}

/// Refuses an address longer than any of ours, and more header lines than any browser sends: the
/// server's own buffer lets up to twice its size through.
async fn fine_head(
    request: axum::extract::Request,
    next: axum::middleware::Next,
) -> axum::response::Response {
    use axum::response::IntoResponse;
    let length = request
        .uri()
        .path_and_query()
        .map_or(0, |p| p.as_str().len());
    if length > 8_192 {
        return StatusCode::URI_TOO_LONG.into_response();
    }
    let head: usize = request
        .headers()
        .iter()
        .map(|(name, value)| name.as_str().len() + value.len())
        .sum();
    if head > HEAD {
        return StatusCode::REQUEST_HEADER_FIELDS_TOO_LARGE.into_response();
    }
    next.run(request).await
}
