//! Headers on every answer, and the refusal of requests that come from other sites.

use axum::{
    extract::{Request, State},
    http::{HeaderMap, HeaderValue, Method, header},
    middleware::Next,
    response::{IntoResponse, Response},
};
use axum_extra::extract::CookieJar;

use super::{errors::PageError, people::cookie_name, state::Site};
use crate::settings::Settings;

const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; font-src 'self'; \
     connect-src 'self'; manifest-src 'self'; worker-src 'self'; object-src 'none'; base-uri 'none'; \
     frame-ancestors 'none'; form-action 'self'";

/// Puts the protective headers on every answer, errors and redirects among them.
pub async fn headers(State(site): State<Site>, request: Request, next: Next) -> Response {
    let kept = may_be_kept(&site.settings, request.headers());
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    headers.insert(
        header::CONTENT_SECURITY_POLICY,
        HeaderValue::from_static(POLICY),
    );
    headers.insert(
        header::X_CONTENT_TYPE_OPTIONS,
        HeaderValue::from_static("nosniff"),
    );
    headers.insert(
        header::REFERRER_POLICY,
        HeaderValue::from_static("no-referrer"),
    );
    headers.insert(
        "cross-origin-opener-policy",
        HeaderValue::from_static("same-origin"),
    );
    headers.insert(
        "permissions-policy",
        HeaderValue::from_static("geolocation=(), camera=(), microphone=()"),
    );
    headers
        .entry(header::CACHE_CONTROL)
        .or_insert(HeaderValue::from_static(kept));
    if site.settings.https() {
        headers.insert(
            header::STRICT_TRANSPORT_SECURITY,
            HeaderValue::from_static("max-age=31536000"),
        );
    }
    response
}

/// How a browser may keep a page. A signed-in person's not at all: after signing out, Back would
/// show it again. Anybody else's only to be asked about. Static files and forms of one's own typing
/// (`page::form_page`) say for themselves.
fn may_be_kept(settings: &Settings, headers: &HeaderMap) -> &'static str {
    let cookies = CookieJar::from_headers(headers);
    match cookies.get(&cookie_name(settings, "peglore")).is_some() {
        true => "no-store",
        false => "private, no-cache",
    }
}

/// Refuses what changes things and comes from another site.
pub async fn same_site_only(State(site): State<Site>, request: Request, next: Next) -> Response {
    let safe = matches!(
        *request.method(),
        Method::GET | Method::HEAD | Method::OPTIONS
    );
    if safe || is_from_here(&site.settings, request.headers()) {
        return next.run(request).await;
    }
    PageError::AnotherSite.into_response()
}

/// Allowed when `Sec-Fetch-Site` is `same-origin` or `none`; where a browser leaves it out (plain
/// http), when `Origin` is the public address, or the host asked for when none is set. Otherwise not.
fn is_from_here(settings: &Settings, headers: &HeaderMap) -> bool {
    let text = |name: &str| {
        let mut values = headers.get_all(name).iter();
        let first = values.next().and_then(|value| value.to_str().ok());
        // The same header twice is nobody's browser.
        if values.next().is_some() {
            Some("")
        } else {
            first
        }
    };
    if let Some(site) = text("sec-fetch-site") {
        return matches!(site, "same-origin" | "none");
    }
    let Some(origin) = text("origin") else {
        return false;
    };
    let origin = origin.to_ascii_lowercase();
    match &settings.public_address {
        Some(address) => plain(&origin) == address.origin,
        None => text("host").is_some_and(|host| {
            let host = host.to_ascii_lowercase();
            !host.is_empty()
                && (plain(&origin) == plain(&format!("http://{host}"))
                    || plain(&origin) == plain(&format!("https://{host}")))
        }),
    }
}

/// An origin without its default port.
fn plain(origin: &str) -> &str {
    let port = if origin.starts_with("https://") {
        ":443"
    } else {
        ":80"
    };
    origin.strip_suffix(port).unwrap_or(origin)
}
