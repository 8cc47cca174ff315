//! Style sheets, scripts and icons: inside the binary, fingerprinted, cached for a year.
//!
//! The many small style sheets are joined at start, in the order of the layers, into one, and what
//! is there for whoever reads them is left out: a phone with a poor signal waits for it.

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

static STYLE: LazyLock<String> = LazyLock::new(|| {
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
        .map(|file| pressed(&String::from_utf8_lossy(&file.data)))
        .collect()
});

/// A style sheet without its comments, its indents and its empty lines.
fn pressed(sheet: &str) -> String {
    let mut pieces = sheet.split("/*");
    let mut plain = pieces.next().unwrap_or_default().to_owned();
    for piece in pieces {
        plain.push_str(piece.split_once("*/").map_or("", |(_, rest)| rest));
    }
    plain
        .lines()
        .map(str::trim)
        .filter(|line| !line.is_empty())
        .flat_map(|line| [line, "\n"])
        .collect()
}

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
        "site.css" => STYLE.clone().into_bytes(),
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_style_sheet_keeps_its_rules_and_loses_what_is_for_its_readers() {
        let sheet = "/* Two\n   lines. */\n@layer parts {\n  .do { color: red; /* why */ }\n\n  a b,\n  i { top: 0; }\n}\n";

        let wanted = "@layer parts {\n.do { color: red;  }\na b,\ni { top: 0; }\n}\n";

        assert_eq!(pressed(sheet), wanted);
    }

    #[test]
    fn no_sheet_is_cut_short() {
        let braces = |mark: char| STYLE.matches(mark).count();

        assert!(STYLE.len() > 20_000, "{} bytes", STYLE.len());
        assert_eq!(braces('{'), braces('}'));
        assert!(!STYLE.contains("/*") && !STYLE.contains("*/"));
        assert!(STYLE.contains("@media print"));
    }
}
