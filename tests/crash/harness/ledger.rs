//! Clients that report sessions, and what each was told: the ledger that the record is compared with.

use std::{
    collections::{HashMap, HashSet},
    net::SocketAddr,
    path::Path,
    sync::{
        Arc,
        atomic::{AtomicBool, AtomicUsize, Ordering},
    },
};

use peglore::store::{self, Db};
use rand::{RngExt, SeedableRng, rngs::ChaCha8Rng};
use sqlx::Row;

use super::http::Browser;

/// A report as one client wrote it.
#[derive(Clone)]
pub struct Report {
    pub key: String,
    pub body: String,
    /// What the record must say of it; see [`KEPT`].
    pub whole: String,
}

/// A report that the server said it saved, and where.
pub struct Acknowledged {
    pub report: Report,
    pub address: String,
}

/// One client: what it was told, and the one report it has no answer for.
pub struct Client {
    number: usize,
    cookie: String,
    dice: ChaCha8Rng,
    written: u32,
    pub unanswered: Option<Report>,
    /// How often an answer never came.
    pub cut: usize,
    pub acknowledged: Vec<Acknowledged>,
    /// Answers so far, of all clients that share it.
    pub answers: Arc<AtomicUsize>,
}

impl Client {
    pub fn new(number: usize, cookie: String, seed: u64) -> Self {
        Self {
            number,
            cookie,
            dice: ChaCha8Rng::seed_from_u64(seed ^ ((number as u64) << 32)),
            written: 0,
            unanswered: None,
            cut: 0,
            acknowledged: Vec::new(),
            answers: Arc::default(),
        }
    }

    pub fn browser(&self, address: SocketAddr) -> Browser {
        Browser {
            address,
            cookie: self.cookie.clone(),
        }
    }

    /// Reports one session after another until told to stop or the server is gone. What had no
    /// answer is sent again first, under its own key; now and then so is what had one.
    pub async fn report_on(&mut self, address: SocketAddr, stop: Arc<AtomicBool>) {
        let browser = self.browser(address);
        while !stop.load(Ordering::SeqCst) || self.unanswered.is_some() {
            let report = self.unanswered.take().unwrap_or_else(|| self.write_one());
            if !self.send(&browser, report).await {
                return;
            }
            if self.dice.random_bool(0.2) {
                let again = self
                    .acknowledged
                    .last()
                    .expect("just answered")
                    .report
                    .clone();
                if !self.send(&browser, again).await {
                    return;
                }
            }
        }
    }

    /// Sends one report; was it answered?
    async fn send(&mut self, browser: &Browser, report: Report) -> bool {
        match browser.submit("/report", &report.body).await {
            Ok(reply) => {
                assert_eq!(reply.status, 303, "{}: {}", report.key, reply.text());
                self.answers.fetch_add(1, Ordering::SeqCst);
                let address = reply.header("location").unwrap_or("").to_owned();
                assert!(address.ends_with("done=report-saved"), "{address}");
                let before = self
                    .acknowledged
                    .iter()
                    .find(|a| a.report.key == report.key);
                match before {
                    Some(before) => assert_eq!(before.address, address, "{}", report.key),
                    None => self.acknowledged.push(Acknowledged { report, address }),
                }
                true
            }
            Err(_) => {
                self.cut += 1;
                if self.acknowledged.iter().all(|a| a.report.key != report.key) {
                    self.unanswered = Some(report);
                }
                false
            }
        }
    }

    /// A report not written before.
    pub(super) fn write_one(&mut self) -> Report {
        self.written += 1;
        let key = format!("client-{}-report-{:05}", self.number, self.written);
        let (peg, carp) = (
            self.dice.random_range(1..=40),
            self.dice.random_range(3..=40),
        );
        let (drams, named) = (
            self.dice.random_range(144..=500) * 16,
            self.dice.random_range(1..=9),
        );
        let remarks = format!(
            "{key} {}",
            "quiet water ".repeat(self.dice.random_range(1..=60))
        );
        let remarks = remarks.trim();
        let body = format!(
            "venue=1&key={key}&given=Client&surname=Number{}&peg={peg}&date=2026-01-10&start=10:00&end=15:00&start_sure=2026-01-10+10:00+15:00&spells=2\
             &from_1=10:00&to_1=12:30&method_1=1&from_2=13:00&to_2=15:00&method_2=2&carp_number={carp}&carp_weight={}oz\
             &silvers_number_unknown=on&silvers_weight=12-8&predators_number=0&carp_tally=1+0+2&fish_1=1&fish_weight_1={named}-0\
             &remarks={}&visibility=club",
            self.number,
            drams / 16,
            remarks.replace(' ', "+")
        );
        // Two spells and the half hour between them; totals of three groups; an hour's tally thrice.
        let whole = format!(
            "{peg}|3|300|{carp}|{drams}|3200|{}|4|3|3|{remarks}",
            named * 256
        );
        Report { key, body, whole }
    }
}

/// One line of the record per session that came from a form: the form's key, the address of the
/// session, and everything that a whole report leaves behind.
const KEPT: &str = "SELECT s.submission_key AS form, s.pid AS pid,
    (SELECT MIN(p.number) FROM spells AS x JOIN pegs AS p ON p.id = x.peg_id WHERE x.session_id = s.id)
    || '|' || (SELECT COUNT(*) FROM spells WHERE session_id = s.id)
    || '|' || (SELECT CAST(SUM(minutes) AS INTEGER) FROM spells WHERE session_id = s.id)
    || '|' || (SELECT count FROM fish WHERE session_id = s.id AND row_kind = 'total' AND group_set = 1)
    || '|' || (SELECT weight FROM fish WHERE session_id = s.id AND row_kind = 'total' AND group_set = 1)
    || '|' || (SELECT weight FROM fish WHERE session_id = s.id AND row_kind = 'total' AND group_set = 2)
    || '|' || (SELECT weight FROM fish WHERE session_id = s.id AND row_kind = 'named')
    || '|' || (SELECT COUNT(*) FROM fish WHERE session_id = s.id)
    || '|' || (SELECT COUNT(*) FROM catch_coverage WHERE session_id = s.id)
    || '|' || (SELECT COUNT(*) FROM tallies WHERE session_id = s.id)
    || '|' || s.remarks AS whole
    FROM sessions AS s WHERE s.submission_key IS NOT NULL";

/// What a comparison found. Nothing but the first may be other than nought.
#[derive(Debug, Default, PartialEq)]
pub struct Compared {
    pub kept: usize,
    pub lost: usize,
    pub duplicated: usize,
    pub half_written: usize,
    /// Sessions that nobody sent.
    pub strange: usize,
}

impl Compared {
    #[track_caller]
    pub fn must_hold(&self) {
        let wanted = Self {
            kept: self.kept,
            ..Self::default()
        };
        assert_eq!(*self, wanted);
    }
}

/// Compares the record in `folder` with what the clients were told. `owed` are the acknowledged
/// reports that must be there; whatever else the clients sent may be there, whole and once.
pub async fn compare<'a>(
    folder: &Path,
    owed: impl Iterator<Item = &'a Acknowledged>,
    sent: impl Iterator<Item = &'a Report>,
) -> Compared {
    let db = Db::open_to_read(&folder.join(store::FILE_NAME))
        .await
        .expect("the record opens");
    let mut reading = db.read().await.expect("a reader");
    let rows = sqlx::query(KEPT)
        .fetch_all(&mut *reading)
        .await
        .expect("the record answers");
    let faults: i64 = sqlx::query_scalar(
        "SELECT COUNT(*) FROM (SELECT session_id, group_set, weight_g, fish_count, official, peg_id, rod_hours FROM session_catches_worked
         EXCEPT SELECT session_id, group_set, weight_g, fish_count, official, peg_id, rod_hours FROM session_catches)",
    )
    .fetch_one(&mut *reading)
    .await
    .expect("the record answers");
    drop(reading);
    db.close_reading().await;
    let mut kept: HashMap<String, Vec<(String, Option<String>)>> = HashMap::new();
    for row in &rows {
        kept.entry(row.get("form"))
            .or_default()
            .push((row.get("pid"), row.get("whole")));
    }
    let mut found = Compared {
        kept: rows.len(),
        half_written: faults as usize,
        ..Compared::default()
    };
    for owed in owed {
        let there = kept.get(&owed.report.key);
        let at_its_address = there
            .and_then(|all| all.first())
            .is_some_and(|(pid, _)| owed.address.contains(pid.as_str()));
        found.lost += usize::from(!at_its_address);
    }
    let wholes: HashMap<_, _> = sent.map(|r| (r.key.as_str(), r.whole.as_str())).collect();
    let strangers: HashSet<_> = kept
        .keys()
        .filter(|k| !wholes.contains_key(k.as_str()))
        .collect();
    found.strange = strangers.len();
    for (key, sessions) in &kept {
        found.duplicated += sessions.len() - 1;
        let should = wholes.get(key.as_str()).copied();
        found.half_written += sessions
            .iter()
            .filter(|(_, whole)| should.is_some() && whole.as_deref() != should)
            .count();
    }
    found
}

/// Everything these clients were told, and everything they sent.
pub async fn compare_all(folder: &Path, clients: &[Client]) -> Compared {
    compare(
        folder,
        clients.iter().flat_map(|c| &c.acknowledged),
        clients.iter().flat_map(|c| {
            c.acknowledged
                .iter()
                .map(|a| &a.report)
                .chain(&c.unanswered)
        }),
    )
    .await
}
