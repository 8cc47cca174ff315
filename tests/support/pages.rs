//! Our own pages read as a browser reads them: the links and the forms they hold; and a walk over
//! the whole site from link to link, one page for each row of the routes' table.

use std::collections::{HashMap, HashSet, VecDeque};

use axum::http::Method;
use peglore::web::routes;

use crate::crash::harness::http::Browser;

/// Pages shown for one row of the table: a second one often differs.
const EACH: usize = 2;

/// A page that was shown.
pub struct Page {
    pub pattern: &'static str,
    pub address: String,
}

/// A form that changes something.
#[derive(Clone, Debug)]
pub struct SentForm {
    pub pattern: &'static str,
    pub action: String,
    /// The page it stands on.
    pub page: String,
    pub with_file: bool,
    pub fields: Vec<FormField>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct FormField {
    pub name: String,
    pub value: String,
    pub kind: Kind,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Typed on a keyboard; what was typed must come back.
    Typed,
    Password,
    /// Chosen from a list, or ticked.
    Chosen,
    Hidden,
    File,
}

/// What a walk met.
#[derive(Default)]
pub struct Walk {
    pub pages: Vec<Page>,
    pub forms: Vec<SentForm>,
}

/// The row of the table that an address belongs to. A row that spells a part out comes before one
/// that leaves it open.
pub fn pattern_of(method: &Method, address: &str) -> Option<&'static str> {
    let path = address.split(['?', '#']).next()?;
    let parts: Vec<_> = path.split('/').collect();
    routes::table()
        .into_iter()
        .filter(|route| route.method == *method)
        .filter(|route| {
            let wanted: Vec<_> = route.path.split('/').collect();
            let rest = wanted.last().is_some_and(|last| last.starts_with("{*"));
            (wanted.len() == parts.len() || (rest && parts.len() > wanted.len()))
                && wanted
                    .iter()
                    .zip(&parts)
                    .all(|(w, p)| w.starts_with('{') || w == p)
        })
        .map(|route| route.path)
        .min_by_key(|path| path.matches('{').count())
}

/// Walks from `starts` to every page that links lead to. Every link met must lead somewhere.
pub async fn walk(browser: &Browser, starts: &[String]) -> Walk {
    let mut waiting: VecDeque<String> = starts.iter().cloned().collect();
    let (mut seen, mut shown) = (HashSet::new(), HashMap::<&str, usize>::new());
    let mut found = Walk::default();
    while let Some(address) = waiting.pop_front() {
        let Some(pattern) = pattern_of(&Method::GET, &address) else {
            panic!("the link to {address} leads nowhere");
        };
        let count = shown.entry(pattern).or_default();
        if *count == EACH || !seen.insert(address.clone()) {
            continue;
        }
        let reply = browser.get(&address).await.expect("an answer");
        if reply.status == 303 {
            let to = reply.header("location").expect("a redirect says where");
            waiting.push_back(to.to_owned());
            continue;
        }
        *count += 1;
        // A visitor is asked to sign in where a page is for members.
        if reply.status == 401 && browser.cookie.is_empty() {
            continue;
        }
        assert_eq!(reply.status, 200, "{address}: {}", reply.text());
        let is_page = reply
            .header("content-type")
            .is_some_and(|kind| kind.starts_with("text/html"));
        if !is_page {
            continue;
        }
        let html = reply.text();
        waiting.extend(links_of(&html));
        found.forms.extend(forms_of(&html, &address));
        found.pages.push(Page { pattern, address });
    }
    found
}

/// Addresses of this site that the page links to.
pub fn links_of(html: &str) -> Vec<String> {
    tags(html, "a")
        .filter_map(|(tag, _)| attribute(tag, "href"))
        .filter(|href| href.starts_with('/'))
        .map(|href| href.split('#').next().unwrap_or_default().to_owned())
        .collect()
}

/// The forms on the page that are sent by POST, once for each row of the table that a form, or a
/// button in it, is sent to.
pub fn forms_of(html: &str, page: &str) -> Vec<SentForm> {
    let mut forms = Vec::new();
    for (tag, after) in tags(html, "form") {
        if attribute(tag, "method").as_deref() != Some("post") {
            continue;
        }
        let inside = after.split("</form>").next().unwrap_or_default();
        let mut actions = vec![attribute(tag, "action").unwrap_or_else(|| page.to_owned())];
        let of_buttons = tags(inside, "button");
        actions.extend(of_buttons.filter_map(|(tag, _)| attribute(tag, "formaction")));
        let mut met = HashSet::new();
        for action in actions {
            let pattern = pattern_of(&Method::POST, &action)
                .unwrap_or_else(|| panic!("the form on {page} goes to {action}, which is nowhere"));
            if !met.insert(pattern) {
                continue;
            }
            forms.push(SentForm {
                pattern,
                page: page.to_owned(),
                with_file: attribute(tag, "enctype").as_deref() == Some("multipart/form-data"),
                fields: fields_of(inside),
                action,
            });
        }
    }
    forms
}

fn fields_of(inside: &str) -> Vec<FormField> {
    let mut fields: Vec<FormField> = Vec::new();
    let mut add = |name: Option<String>, value: String, kind: Kind| {
        let Some(name) = name else { return };
        // Radio buttons and repeated ticks share a name: the first stands for all.
        if kind != Kind::Chosen || fields.iter().all(|field| field.name != name) {
            fields.push(FormField { name, value, kind });
        }
    };
    for (tag, _) in tags(inside, "input") {
        let value = attribute(tag, "value").unwrap_or_default();
        let kind = match attribute(tag, "type").as_deref() {
            Some("hidden") => Kind::Hidden,
            Some("password") => Kind::Password,
            Some("file") => Kind::File,
            Some("checkbox" | "radio") => Kind::Chosen,
            _ => Kind::Typed,
        };
        add(attribute(tag, "name"), value, kind);
    }
    for (tag, after) in tags(inside, "textarea") {
        let value = unescaped(after.split("</textarea>").next().unwrap_or_default());
        let value = value.strip_prefix('\n').unwrap_or(&value).to_owned();
        add(attribute(tag, "name"), value, Kind::Typed);
    }
    for (tag, after) in tags(inside, "select") {
        let options = after.split("</select>").next().unwrap_or_default();
        let chosen = tags(options, "option")
            .map(|(option, _)| option)
            .find(|option| option.contains(" selected"))
            .or_else(|| tags(options, "option").map(|(option, _)| option).next());
        let value = chosen.and_then(|option| attribute(option, "value"));
        add(
            attribute(tag, "name"),
            value.unwrap_or_default(),
            Kind::Chosen,
        );
    }
    for (tag, _) in tags(inside, "button") {
        let value = attribute(tag, "value").unwrap_or_default();
        add(attribute(tag, "name"), value, Kind::Chosen);
    }
    fields
}

/// Every `<name …>` with what follows it.
fn tags<'a>(html: &'a str, name: &'a str) -> impl Iterator<Item = (&'a str, &'a str)> {
    let opening = format!("<{name}");
    let mut rest = html;
    std::iter::from_fn(move || {
        loop {
            let at = rest.find(&opening)?;
            let after = &rest[at + opening.len()..];
            let end = after.find('>')?;
            rest = &after[end + 1..];
            if after.starts_with([' ', '>', '\n']) {
                return Some((&after[..end], rest));
            }
        }
    })
}

/// The value of an attribute inside a tag; all of ours are quoted.
fn attribute(tag: &str, name: &str) -> Option<String> {
    let at = tag.find(&format!(" {name}=\""))?;
    let after = &tag[at + name.len() + 3..];
    Some(unescaped(after.split('"').next()?))
}

fn unescaped(text: &str) -> String {
    let mut out = text.to_owned();
    for (entity, sign) in [
        ("&#60;", "<"),
        ("&#62;", ">"),
        ("&#34;", "\""),
        ("&#39;", "'"),
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&quot;", "\""),
        ("&#38;", "&"),
        ("&amp;", "&"),
    ] {
        out = out.replace(entity, sign);
    }
    out
}

/// As a template writes it into a page (askama escapes these five with numbers).
pub fn escaped(text: &str) -> String {
    text.replace('&', "&#38;")
        .replace('<', "&#60;")
        .replace('>', "&#62;")
        .replace('"', "&#34;")
        .replace('\'', "&#39;")
}
