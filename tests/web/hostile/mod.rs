//! Every form and every address of the table, sent what no page of ours would send: to a real
//! server, so that "the same process" and "no more memory than before" are seen, not assumed.

mod behaviour;
mod protocol;
mod sending;
mod values;

use std::{
    collections::BTreeSet,
    time::{Duration, Instant},
};

use peglore::{
    actions::{By, one_time_links, plant_demo},
    demo::{self, Size},
    domain::{accounts::Role, dates::Instant as Moment},
    store::{Db, accounts},
    web::routes,
};
use tempfile::TempDir;

use crate::{
    crash::harness::{
        club,
        http::{Browser, exchange},
        process::Server,
    },
    support::pages::{self, SentForm, Walk},
};
use sending::Sender;

/// Rows of the table without a page to walk to, and why.
const NO_PAGE: [&str; 4] = [
    "/healthz",
    "/readyz",
    "/static/{fingerprint}/{*name}",
    // Met once it is made, below: a one-time link is on no page.
    "/links/{secret}",
];

/// The demonstration's record in a folder, served as a real one, with somebody who may do all.
struct Club {
    db: Db,
    server: Server,
    browser: Browser,
    /// A one-time link that nobody has opened yet.
    link: String,
    _folder: TempDir,
}

impl Club {
    async fn open() -> Self {
        let folder = TempDir::new().expect("a throw-away folder");
        let db = Db::open(folder.path()).await.expect("a fresh record");
        let now = Moment(jiff::Timestamp::now().as_second());
        let today = now.day(&peglore::domain::dates::Zone::utc());
        let club = demo::make(demo::SEED, Size::Usual, today);
        plant_demo::plant(&db, now, &club)
            .await
            .expect("an empty record takes it");
        let cookie = club::sign_in(&db, "Somebody who may do all", Role::Administrator).await;
        let mut reading = db.read().await.expect("a reader");
        let own = accounts::by_name_key(&mut reading, "somebody who may do all").await;
        let own = own.expect("an answer").expect("just made");
        drop(reading);
        let mut writing = db.write().await.expect("the writer is free");
        // Somebody with sessions of their own to change.
        sqlx::query(
            "UPDATE anglers SET account_id = CASE WHEN id = (SELECT angler_id FROM sessions WHERE has_report = 1 GROUP BY 1 ORDER BY COUNT(*) DESC LIMIT 1)
             THEN ? ELSE NULL END WHERE account_id IS NULL OR id = (SELECT angler_id FROM sessions WHERE has_report = 1 GROUP BY 1 ORDER BY COUNT(*) DESC LIMIT 1)",
        )
        .bind(own.id)
        .execute(&mut *writing)
        .await
        .expect("fits the schema");
        sqlx::raw_sql(
            "INSERT INTO peg_closures (peg_id, from_on, reason) SELECT MIN(id), '2026-01-01', 'the bank gave way' FROM pegs",
        )
        .execute(&mut *writing)
        .await
        .expect("fits the schema");
        writing.commit().await.expect("kept");
        let link = one_time_links::offer_reset(&db, now, &By::CommandLine, &own.pid)
            .await
            .expect("a link");
        let server = Server::start(folder.path());
        let browser = Browser {
            address: server.address,
            cookie,
        };
        Self {
            db,
            server,
            browser,
            link: format!("/links/{link}"),
            _folder: folder,
        }
    }

    /// Every page that links lead to, as seen by somebody who may do all and by a visitor.
    async fn walk(&self, more: &[String]) -> Walk {
        let mut starts = vec!["/".to_owned(), self.link.clone()];
        starts.extend_from_slice(more);
        let mut walk = pages::walk(&self.browser, &starts).await;
        let visitor = Browser {
            address: self.browser.address,
            cookie: String::new(),
        };
        let seen = pages::walk(&visitor, &["/".to_owned()]).await;
        walk.pages.extend(seen.pages);
        walk.forms.extend(seen.forms);
        walk
    }

    /// One of each form, files first sent once so that the pages behind an upload are there too.
    async fn forms(&self) -> Vec<SentForm> {
        let mut walk = self.walk(&[]).await;
        let mut behind = Vec::new();
        for form in walk.forms.iter().filter(|form| form.with_file) {
            let sheet =
                b"Date,Name,Peg,Weight,Min,Max,Rain\n2025-01-04,Dot Hazelpatch,4,12-8,1,6,0.2\n";
            let body = sending::multipart(form, "sheet.csv", sheet);
            let head = self.browser.posting(&form.action, "", "close");
            let head = String::from_utf8(head).expect("text").replace(
                "application/x-www-form-urlencoded\r\nContent-Length: 0",
                &format!(
                    "multipart/form-data; boundary=our-own-line\r\nContent-Length: {}",
                    body.len()
                ),
            );
            let request = [head.as_bytes(), &body].concat();
            let reply = exchange(self.browser.address, &request).await;
            let reply = reply.expect("an answer");
            behind.extend(reply.header("location").map(str::to_owned));
        }
        if !behind.is_empty() {
            walk.forms.extend(self.walk(&behind).await.forms);
        }
        let mut seen = BTreeSet::new();
        walk.forms
            .retain(|form| seen.insert((form.pattern, form.fields.len().min(1))));
        walk.forms
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn every_form_answers_anything_and_the_same_process_goes_on() {
    let mut club = Club::open().await;
    let forms = club.forms().await;
    let met: BTreeSet<_> = forms.iter().map(|form| form.pattern).collect();
    for route in routes::table()
        .iter()
        .filter(|r| r.method == axum::http::Method::POST)
    {
        assert!(
            met.contains(route.path),
            "no page leads to the form of {}",
            route.path
        );
    }
    let began = Instant::now();

    // Once over everything; then again, from another seed, with an eye on memory.
    let first = Sender::new(&club.db, club.browser.clone(), 1);
    assault(&first, &forms, 1).await;
    let browser = first.browser.borrow().clone();
    let settled = resting(&club.server).await;
    let second = Sender::new(&club.db, browser, 2);
    assault(&second, &forms, 2).await;
    let after = resting(&club.server).await;

    println!(
        "{} + {} sendings over {} forms in {:?}; {settled} KiB, then {after} KiB",
        first.sent.borrow(),
        second.sent.borrow(),
        forms.len(),
        began.elapsed()
    );
    let complaints = [first.complaints.take(), second.complaints.take()].concat();
    assert!(
        complaints.is_empty(),
        "{} complaints:\n{}",
        complaints.len(),
        complaints.join("\n")
    );
    assert!(club.server.runs());
    let log = club.server.logged();
    assert!(!log.contains("panicked") && !log.contains("ERROR"), "{log}");
    let growth = after as f64 / settled as f64;
    assert!(
        (0.0..=1.1).contains(&growth),
        "memory grew from {settled} to {after} KiB"
    );
    // No page is stuck on what was saved, and the record is whole.
    let browser = second.browser.borrow().clone();
    pages::walk(&browser, &["/".to_owned()]).await;
    peglore::store::backup::prove(club.db.file())
        .await
        .expect("the record is whole");
}

async fn assault(sender: &Sender<'_>, forms: &[SentForm], every: usize) {
    for form in forms {
        sender.values(form, every).await;
        sender.bodies(form).await;
        if form.with_file {
            sender.files(form).await;
        }
    }
}

/// Memory once the last answers are sent, KiB.
async fn resting(server: &Server) -> u64 {
    tokio::time::sleep(Duration::from_secs(1)).await;
    server.memory_kib()
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn every_page_of_the_table_is_linked_from_another() {
    let club = Club::open().await;
    let walk = club.walk(&[]).await;
    let met: BTreeSet<_> = walk.pages.iter().map(|page| page.pattern).collect();
    let behind_a_file = |path: &str| path.starts_with("/imports/{");
    let missed: Vec<_> = routes::table()
        .iter()
        .filter(|route| route.method == axum::http::Method::GET)
        .map(|route| route.path)
        .filter(|path| !met.contains(path) && !NO_PAGE.contains(path) && !behind_a_file(path))
        .filter(|path| !path.ends_with(".csv") && *path != "/report/quick")
        .collect();
    assert!(missed.is_empty(), "no link leads to {missed:?}");
}
