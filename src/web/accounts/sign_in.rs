//! Signing in. When a form arrives from somebody signed out, it is kept on this page and handed
//! back after signing in, so that nothing typed is lost.

use askama::Template;
use axum::{
    body::to_bytes,
    extract::{Query, Request, State},
    http::{HeaderMap, Method, StatusCode},
    response::{Html, IntoResponse, Response},
};
use axum_extra::extract::{CookieJar, cookie::Cookie};
use serde::Deserialize;

use crate::{
    actions::sign_in::{self, SignInAnswer, SignInTry},
    web::{
        errors::PageError,
        forms::{Form, Problems, not_all},
        links::{go_with, local_path},
        page::{Frame, Section, page},
        people::{Address, Visitor, cookie_name},
        state::Site,
    },
};

/// A form that waits for its writer to sign in.
#[derive(Clone, Default)]
pub struct Kept {
    pub path: String,
    pub pairs: Vec<(String, String)>,
}

#[derive(Template)]
#[template(path = "accounts/sign_in.html")]
struct SignInPage {
    frame: Frame,
    name: String,
    next: String,
    /// The password alone is asked, of somebody signed in.
    password_only: bool,
    kept: Option<Kept>,
    /// A file was sent, and a page cannot hold it.
    file_lost: bool,
    problems: Problems,
}

impl SignInPage {
    /// Why the page that was asked for wants somebody signed in, where that needs a word.
    fn why(&self) -> Option<&'static str> {
        let of_reports = ["/report", "/sessions"];
        let asked = of_reports.iter().any(|path| self.next.starts_with(path));
        (asked && !self.password_only).then_some(
            "A report stands under your own name, and you choose who sees it: so the club has to know who you are first.",
        )
    }
}

#[derive(Template)]
#[template(path = "accounts/kept.html")]
struct KeptPage {
    frame: Frame,
    kept: Kept,
}

#[derive(Deserialize)]
pub struct Asked {
    #[serde(default)]
    next: String,
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Query(asked): Query<Asked>,
) -> Result<Response, PageError> {
    page(SignInPage {
        frame: Frame::new(&site, &visitor, Section::Nowhere).await?,
        name: String::new(),
        next: local_path(&asked.next).to_owned(),
        password_only: false,
        kept: None,
        file_lost: false,
        problems: Problems::default(),
    })
}

/// Why the sign-in page stands in place of another.
pub enum Why {
    SignedOut,
    PasswordOld,
}

/// Shown by the guard in place of a page that needs somebody else.
pub async fn ask(site: &Site, request: Request, why: Why) -> Result<Response, PageError> {
    let visitor = request
        .extensions()
        .get::<Visitor>()
        .cloned()
        .unwrap_or_default();
    let path = request
        .uri()
        .path_and_query()
        .map_or("/", |p| p.as_str())
        .to_owned();
    let file_lost = is_posted(&request, b"multipart/form-data");
    let kept = if is_posted(&request, b"application/x-www-form-urlencoded") {
        let body = to_bytes(request.into_body(), 256 * 1024)
            .await
            .map_err(|error| not_all(&error))?;
        Some(Kept {
            path: path.clone(),
            pairs: Form::parse(&body)?.pairs().to_vec(),
        })
    } else {
        None
    };
    let form = SignInPage {
        frame: Frame::new(site, &visitor, Section::Nowhere).await?,
        name: visitor.who.map(|who| who.name).unwrap_or_default(),
        next: if kept.is_some() { "/".to_owned() } else { path },
        password_only: matches!(why, Why::PasswordOld),
        kept,
        file_lost,
        problems: Problems::default(),
    };
    Ok((StatusCode::UNAUTHORIZED, Html(form.render()?)).into_response())
}

/// Is it a form of this kind?
fn is_posted(request: &Request, kind: &[u8]) -> bool {
    let sent = request.headers().get("content-type");
    request.method() == Method::POST && sent.is_some_and(|sent| sent.as_bytes().starts_with(kind))
}

pub async fn submit(
    State(site): State<Site>,
    visitor: Visitor,
    Address(address): Address,
    jar: CookieJar,
    headers: HeaderMap,
    form: Form,
) -> Result<Response, PageError> {
    // Whoever is signed out meanwhile is asked for the name too.
    let again = visitor.who.as_ref().filter(|_| form.has("password_only"));
    let name = again.map_or_else(|| form.get("name").to_owned(), |who| who.name.clone());
    let device = jar
        .get(&cookie_name(&site.settings, "peglore-device"))
        .map(|c| c.value().to_owned());
    let attempt = SignInTry {
        name: &name,
        password: form.raw("password"),
        address: &address.to_string(),
        device_words: &device_words(&headers),
        device_token: device.as_deref(),
        replaces: visitor.who.as_ref().map(|who| who.sign_in),
    };
    let answer = sign_in::sign_in(&site.db, &site.hasher, site.now(), attempt).await?;
    let kept = kept_in(&form);
    let mut problems = Problems::default();
    match answer {
        SignInAnswer::In { token, device } => {
            let jar = with_cookies(&site, jar, &token, &device);
            return match kept {
                Some(kept) => {
                    let frame = Frame::new(&site, &visitor, Section::Nowhere).await?;
                    Ok((jar, page(KeptPage { frame, kept })?).into_response())
                }
                None => Ok((
                    jar,
                    go_with(&site, local_path(form.get("next")), "signed-in"),
                )
                    .into_response()),
            };
        }
        SignInAnswer::Wrong => problems.add(
            "password",
            "The name or the password is not right. Check both; capitals matter in the password.",
        ),
        SignInAnswer::Wait { seconds } => {
            problems.add(
                "password",
                format!(
                    "Too many wrong tries. Wait {} and try again.",
                    in_words(seconds)
                ),
            );
        }
    }
    let password_only = again.is_some();
    let answered = SignInPage {
        frame: Frame::new(&site, &visitor, Section::Nowhere)
            .await?
            .with_problems(true),
        name,
        next: local_path(form.get("next")).to_owned(),
        password_only,
        kept,
        file_lost: false,
        problems,
    };
    Ok((StatusCode::UNAUTHORIZED, Html(answered.render()?)).into_response())
}

fn in_words(seconds: i64) -> String {
    match seconds {
        ..=1 => "a second".into(),
        2..=90 => format!("{seconds} seconds"),
        _ => format!("{} minutes", (seconds + 59) / 60),
    }
}

/// The form that waited, from hidden fields `kept_path`, `kept_name` and `kept_value`.
fn kept_in(form: &Form) -> Option<Kept> {
    let path = form.get("kept_path");
    if path.is_empty() {
        return None;
    }
    let raw = |wanted: &str| -> Vec<String> {
        form.pairs()
            .iter()
            .filter(|(name, _)| name == wanted)
            .map(|(_, value)| value.clone())
            .collect()
    };
    Some(Kept {
        path: local_path(path).to_owned(),
        pairs: raw("kept_name")
            .into_iter()
            .zip(raw("kept_value"))
            .collect(),
    })
}

/// The browser's words about itself, shortened for the list of sign-ins.
pub fn device_words(headers: &HeaderMap) -> String {
    let agent = headers
        .get("user-agent")
        .and_then(|v| v.to_str().ok())
        .unwrap_or("");
    let system = ["iPhone", "iPad", "Android", "Windows", "Macintosh", "Linux"]
        .into_iter()
        .find(|s| agent.contains(s));
    let browser = ["Firefox", "Edg", "Chrome", "Safari"]
        .into_iter()
        .find(|b| agent.contains(b));
    match (browser, system) {
        (Some(browser), Some(system)) => format!(
            "{} on {system}",
            if browser == "Edg" { "Edge" } else { browser }
        ),
        _ => "a browser that does not say".to_owned(),
    }
}

/// Sets the sign-in and device cookies.
pub fn with_cookies(site: &Site, jar: CookieJar, token: &str, device: &str) -> CookieJar {
    with_sign_in(site, jar, token).add(cookie(site, "peglore-device", device, 400 * DAY))
}

/// Sets the sign-in cookie alone; the device is known already.
pub fn with_sign_in(site: &Site, jar: CookieJar, token: &str) -> CookieJar {
    jar.add(cookie(site, "peglore", token, 400 * DAY))
}

/// Takes the sign-in cookie away.
pub fn without_cookie(site: &Site, jar: CookieJar) -> CookieJar {
    jar.add(cookie(site, "peglore", "", 0))
}

const DAY: u32 = 86_400;

/// Out of scripts' reach, sent to this site only, over https where the site has it.
fn cookie(site: &Site, word: &str, value: &str, seconds: u32) -> Cookie<'static> {
    let secure = if site.settings.https() {
        "; Secure"
    } else {
        ""
    };
    let text = format!(
        "{}={value}; Path={}/; Max-Age={seconds}; HttpOnly; SameSite=Lax{secure}",
        cookie_name(&site.settings, word),
        site.settings.prefix(),
    );
    Cookie::parse(text).expect("names and tokens are letters, digits and hyphens")
}
