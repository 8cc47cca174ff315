//! Style sheets, scripts and icons: inside the binary, fingerprinted, cached for a year.
//!
//! The many small style sheets are joined at start, in the order of the layers, into one.

use std::sync::LazyLock;

use axum::{
    extract::Path,
    http::{StatusCode, header},
    response::{IntoResponse, Response},
};
use rust_embed::RustEmbed;
use sha2::{Digest, Sha256};

#[derive(RustEmbed)]
#[folder = "static/"]
struct Files;

/// Style sheets that come first, in this order; parts and pages follow, then utilities.
const FIRST: [&str; 5] = [
    "css/layers.css",
    "css/tokens.css",
    "css/reset.css",
    "css/base.css",
    "css/layout.css",
];
const LAST: &str = "css/utilities.css";

static STYLE: LazyLock<Vec<u8>> = LazyLock::new(|| {
    let mut rest: Vec<_> = Files::iter()
        .filter(|name| name.starts_with("css/") && !FIRST.contains(&name.as_ref()) && name != LAST)
        .map(|name| name.into_owned())
        .collect();
    rest.sort_by_key(|name| (name.starts_with("css/pages/"), name.clone()));
    FIRST
        .into_iter()
        .map(str::to_owned)
        .chain(rest)
        .chain([LAST.to_owned()])
        .filter_map(|name| Files::get(&name))
        .flat_map(|file| [file.data.into_owned(), b"\n".to_vec()].concat())
        .collect()
});

/// Changes whenever any file does.
static FINGERPRINT: LazyLock<String> = LazyLock::new(|| {
    let mut names: Vec<_> = Files::iter().collect();
    names.sort();
    let mut hash = Sha256::new();
    for name in names {
        if let Some(file) = Files::get(&name) {
            hash.update(name.as_bytes());
            hash.update(file.metadata.sha256_hash());
        }
    }
    hash.finalize()[..6]
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
});

/// The address of a static file below the site's root, such as `site.css` or `js/echo.js`.
pub fn address(name: &str) -> String {
    format!("/static/{}/{name}", *FINGERPRINT)
}

pub async fn show(Path((_, name)): Path<(String, String)>) -> Response {
    let body = match name.as_str() {
        "site.css" => STYLE.clone(),
        other => match Files::get(other) {
            Some(file) => file.data.into_owned(),
            None => return StatusCode::NOT_FOUND.into_response(),
        },
    };
    let kind = match name.rsplit_once('.').map(|(_, ending)| ending) {
        Some("css") => "text/css; charset=utf-8",
        Some("js") => "text/javascript; charset=utf-8",
        Some("svg") => "image/svg+xml",
        Some("png") => "image/png",
        Some("webmanifest") => "application/manifest+json",
        _ => "application/octet-stream",
    };
    let headers = [
        (header::CONTENT_TYPE, kind),
        (header::CACHE_CONTROL, "public, max-age=31536000, immutable"),
    ];
    (headers, body).into_response()
}
