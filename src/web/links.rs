//! The only maker of addresses in redirects, so that the site lives under any prefix.

use axum::response::Redirect;
use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, utf8_percent_encode};

use super::state::Site;

const PLAIN: &AsciiSet = &NON_ALPHANUMERIC
    .remove(b'-')
    .remove(b'_')
    .remove(b'.')
    .remove(b'~');

/// Goes to `path` (which begins with a slash) wherever the site lives; the next request is a GET.
pub fn go(site: &Site, path: &str) -> Redirect {
    Redirect::to(&format!("{}{path}", site.settings.prefix()))
}

/// The same, with a notice from the closed list of `page::NOTICES`.
pub fn go_with(site: &Site, path: &str, done: &str) -> Redirect {
    let joint = if path.contains('?') { '&' } else { '?' };
    go(site, &format!("{path}{joint}done={done}"))
}

/// Text made fit for an address.
pub fn escaped(text: &str) -> String {
    utf8_percent_encode(text, PLAIN).to_string()
}

/// A path within this site, as given in a form; anything else becomes the front page.
pub fn local_path(text: &str) -> &str {
    let fine = text.starts_with('/')
        && !text.starts_with("//")
        && !text.contains('\\')
        && !text.chars().any(char::is_control);
    if fine { text } else { "/" }
}
