//! Sending one form many ways, and judging what comes back.

use std::{cell::RefCell, io};

use peglore::{domain::accounts::Role, store::Db, web::links::escaped as in_address};
use rand::{RngExt, SeedableRng, rngs::ChaCha8Rng, seq::IndexedRandom};

use super::values;
use crate::{
    crash::harness::{
        club,
        http::{Browser, Reply, exchange},
    },
    support::pages::{FormField, Kind, SentForm, escaped},
};

/// The most that a form without a file may send, bytes.
const ROOM: usize = 256 * 1024;

/// What may never come back unescaped.
const LIVE: [&str; 2] = ["<script>alert(1)", "<img src=x onerror"];

/// Somebody who sends what no page of ours would, and counts what was wrong with the answers.
pub struct Sender<'a> {
    pub db: &'a Db,
    pub browser: RefCell<Browser>,
    pub dice: RefCell<ChaCha8Rng>,
    pub sent: RefCell<usize>,
    pub complaints: RefCell<Vec<String>>,
    spares: RefCell<usize>,
    /// Was the last one larger than a page takes?
    large: RefCell<bool>,
}

impl<'a> Sender<'a> {
    pub fn new(db: &'a Db, browser: Browser, seed: u64) -> Self {
        Self {
            db,
            browser: RefCell::new(browser),
            dice: RefCell::new(ChaCha8Rng::seed_from_u64(seed)),
            sent: RefCell::new(0),
            complaints: RefCell::new(Vec::new()),
            spares: RefCell::new(0),
            large: RefCell::new(false),
        }
    }

    fn complain(&self, what: String) {
        let mut complaints = self.complaints.borrow_mut();
        if complaints.len() < 60 {
            complaints.push(what);
        }
    }

    /// Every value in every typed field at once; and each in some one field, whatever its kind.
    pub async fn values(&self, form: &SentForm, every: usize) {
        let offset = self.dice.borrow_mut().random_range(0..every);
        for (number, value) in values::typed().iter().enumerate() {
            if number % every != offset {
                continue;
            }
            let all = with(form, |field| field.kind == Kind::Typed, value);
            // A form of passwords alone has nothing that could come back.
            let typed = form.fields.iter().any(|field| field.kind == Kind::Typed);
            self.send_one(form, &all, typed.then_some(value.as_str()))
                .await;
            let one = form.fields.choose(&mut *self.dice.borrow_mut()).cloned();
            if let Some(one) = one {
                let changed = with(form, |field| field.name == one.name, value);
                let expect = (one.kind == Kind::Typed).then_some(value.as_str());
                self.send_one(form, &changed, expect).await;
            }
        }
    }

    /// Whole bodies, kinds of body, and fields left out or sent twice.
    pub async fn bodies(&self, form: &SentForm) {
        for (name, body) in values::bodies() {
            self.raw(form, name, "application/x-www-form-urlencoded", &body)
                .await;
        }
        let plain = encoded(&pairs(form));
        for kind in [
            "application/json",
            "text/plain",
            "multipart/form-data",
            "multipart/form-data; boundary=x",
        ] {
            self.raw(form, kind, kind, plain.as_bytes()).await;
        }
        let twice = format!("{plain}&{plain}");
        self.raw(
            form,
            "every field twice",
            "application/x-www-form-urlencoded",
            twice.as_bytes(),
        )
        .await;
        for left_out in form.fields.iter().take(12) {
            let rest: Vec<_> = pairs(form)
                .into_iter()
                .filter(|(name, _)| *name != left_out.name)
                .collect();
            self.send_one(form, &rest, None).await;
        }
    }

    /// Files of every kind in the file's field.
    pub async fn files(&self, form: &SentForm) {
        for (name, bytes) in values::files() {
            let body = multipart(form, &name, &bytes);
            let what = format!("the file {name:?}");
            self.raw(
                form,
                &what,
                "multipart/form-data; boundary=our-own-line",
                &body,
            )
            .await;
        }
        let whole = multipart(form, "cut.csv", b"Date,Min\n2025-01-04,1\n");
        let cut = &whole[..whole.len() / 2];
        self.raw(
            form,
            "a form cut half-way",
            "multipart/form-data; boundary=our-own-line",
            cut,
        )
        .await;
    }

    async fn send_one(&self, form: &SentForm, pairs: &[(String, String)], typed: Option<&str>) {
        let reply = if form.with_file {
            let body = multipart_of(pairs, form, "some.csv", b"Date,Min\n2025-01-04,1\n");
            self.post(form, "multipart/form-data; boundary=our-own-line", &body)
                .await
        } else {
            let body = encoded(pairs).into_bytes();
            self.post(form, "application/x-www-form-urlencoded", &body)
                .await
        };
        let value = typed.unwrap_or("as it stands");
        let shown: String = value.chars().take(40).collect();
        if let Some(reply) = self.judge(form, &format!("{shown:?}"), reply)
            && reply.status == 422
            && typed.is_some_and(values::comes_back)
            && is_form_again(&reply)
        {
            let text = reply.text();
            if !text.contains(&escaped(value)) && !text.contains(value) {
                let held = pairs.iter().filter(|(_, held)| held == value);
                let fields: Vec<_> = held.map(|(name, _)| name.as_str()).take(3).collect();
                self.complain(format!(
                    "{} on {}: {shown:?} in {fields:?} was refused and did not come back",
                    form.action, form.page
                ));
            }
        }
    }

    async fn raw(&self, form: &SentForm, what: &str, kind: &str, body: &[u8]) {
        let reply = self.post(form, kind, body).await;
        self.judge(form, what, reply);
    }

    /// Sends it, with a fresh one-time link or a fresh sign-in where the last was used up.
    async fn post(&self, form: &SentForm, kind: &str, body: &[u8]) -> io::Result<Reply> {
        *self.sent.borrow_mut() += 1;
        *self.large.borrow_mut() = body.len() > ROOM;
        if form.pattern == "/sign-out" || self.sent.borrow().is_multiple_of(100) {
            self.sign_in_where_needed().await;
        }
        let mut browser = self.browser.borrow().clone();
        if form.pattern == "/links/{secret}" {
            browser.cookie.clear();
        }
        let head = format!(
            "POST {} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\nCookie: {}\r\nSec-Fetch-Site: same-origin\r\n\
             Content-Type: {kind}\r\nContent-Length: {}\r\n\r\n",
            form.action,
            browser.address,
            browser.cookie,
            body.len()
        );
        exchange(browser.address, &[head.as_bytes(), body].concat()).await
    }

    async fn sign_in_where_needed(&self) {
        let browser = self.browser.borrow().clone();
        let still = browser
            .get("/committee/people")
            .await
            .is_ok_and(|r| r.status == 200);
        if !still {
            *self.spares.borrow_mut() += 1;
            let name = format!("Spare administrator {} of {:p}", self.spares.borrow(), self);
            self.browser.borrow_mut().cookie =
                club::sign_in(self.db, &name, Role::Administrator).await;
        }
    }

    /// A page in answer, never a fault, never live markup.
    fn judge(&self, form: &SentForm, what: &str, reply: io::Result<Reply>) -> Option<Reply> {
        let reply = match reply {
            Ok(reply) => reply,
            // More than a page takes may be refused before all of it was read.
            Err(_) if *self.large.borrow() => return None,
            Err(e) => {
                self.complain(format!("{} with {what}: no answer, {e}", form.action));
                return None;
            }
        };
        let text = reply.text();
        let told = match reply.status {
            200 => text.contains("<h1"),
            303 => reply
                .header("location")
                .is_some_and(|to| to.starts_with('/')),
            400..500 => text.contains("<h1") && (text.contains("<p") || text.contains("href=\"#")),
            _ => false,
        };
        if !told {
            let start: String = text.chars().take(200).collect();
            self.complain(format!(
                "{} with {what}: {} {start}",
                form.action, reply.status
            ));
        }
        if LIVE.iter().any(|markup| text.contains(markup)) {
            self.complain(format!(
                "{} with {what}: live markup came back",
                form.action
            ));
        }
        Some(reply)
    }
}

/// Is this the form's own page again, not a page of errors?
fn is_form_again(reply: &Reply) -> bool {
    reply.text().contains("<form method=\"post\"") || reply.text().contains("class=\"report\"")
}

fn pairs(form: &SentForm) -> Vec<(String, String)> {
    form.fields
        .iter()
        .filter(|field| field.kind != Kind::File)
        .map(|field| (field.name.clone(), field.value.clone()))
        .collect()
}

/// The form's own values, with `value` in each field that `choose` picks.
fn with(
    form: &SentForm,
    choose: impl Fn(&FormField) -> bool,
    value: &str,
) -> Vec<(String, String)> {
    form.fields
        .iter()
        .filter(|field| field.kind != Kind::File)
        .map(|field| {
            let value = if choose(field) { value } else { &field.value };
            (field.name.clone(), value.to_owned())
        })
        .collect()
}

fn encoded(pairs: &[(String, String)]) -> String {
    let pairs: Vec<_> = pairs
        .iter()
        .map(|(name, value)| format!("{}={}", in_address(name), in_address(value)))
        .collect();
    pairs.join("&")
}

/// The form's own values and a file, as a browser sends them (RFC 7578).
pub fn multipart(form: &SentForm, name: &str, bytes: &[u8]) -> Vec<u8> {
    multipart_of(&pairs(form), form, name, bytes)
}

fn multipart_of(pairs: &[(String, String)], form: &SentForm, name: &str, bytes: &[u8]) -> Vec<u8> {
    let mut body = Vec::new();
    for (field, value) in pairs {
        body.extend(
            format!("--our-own-line\r\nContent-Disposition: form-data; name=\"{field}\"\r\n\r\n{value}\r\n")
                .bytes(),
        );
    }
    for field in form.fields.iter().filter(|field| field.kind == Kind::File) {
        body.extend(
            format!(
                "--our-own-line\r\nContent-Disposition: form-data; name=\"{}\"; filename=\"{}\"\r\nContent-Type: text/csv\r\n\r\n",
                field.name,
                name.replace('"', "%22").replace("\r\n", "%0D%0A")
            )
            .bytes(),
        );
        body.extend(bytes);
        body.extend(b"\r\n");
    }
    body.extend(b"--our-own-line--\r\n");
    body
}
