//! A small water with a record whose every figure the test knows: eight drawn matches of six
//! anglers on six pegs, and whatever reports a test adds.

use peglore::{
    domain::{
        dates::{Day, Zone},
        groups::{Group, GroupSet},
        ids::*,
        units::Scale,
    },
    statistics::{
        fished_days::{FishedSession, Series},
        rates::CatchRow,
        record::RecordRow,
        wording::DRAM_G,
    },
    store::{Writing, anglers},
};

use super::{TestSite, planted_rows as rows};

pub const MATCHES: i64 = 8;
const PEGS: usize = 6;

/// The members’ names; the last is a junior.
pub const NAMES: [(&str, &str); PEGS] = [
    ("Dot", "Hazelpatch"),
    ("Jem", "Coppleway"),
    ("Olly", "Tarnside"),
    ("Bryn", "Sedgewick"),
    ("Una", "Fallowes"),
    ("Pip", "Larkmoor"),
];

/// One angler of one match, as planted.
#[derive(Clone, Copy, Debug)]
pub struct Weighed {
    pub match_id: MatchId,
    pub day: Day,
    pub angler: AnglerId,
    pub peg: PegId,
    pub carp_dr: i64,
    pub silvers_dr: i64,
    pub did_not_weigh: bool,
}

impl Weighed {
    /// Grams, where it weighed.
    pub fn grams(&self) -> Option<f64> {
        let drams = (self.carp_dr + self.silvers_dr) as f64;
        (!self.did_not_weigh).then_some(drams * DRAM_G)
    }
}

pub struct Planted {
    pub venue: VenueId,
    pub path: String,
    pub pegs: Vec<PegId>,
    pub anglers: Vec<AnglerId>,
    pub angler_pids: Vec<Pid>,
    pub weighed: Vec<Weighed>,
}

/// A report to add: who (by place in [`NAMES`]), when, seen by whom, and fish.
pub struct Reported {
    pub angler: usize,
    pub day: Day,
    pub visibility: &'static str,
    pub fish: i64,
    pub method: Option<i64>,
}

/// Reports of peg 1, one a day from `first`, by the anglers at these places.
pub fn reports(first: Day, anglers: &[usize], visibility: &'static str) -> Vec<Reported> {
    (0..)
        .zip(anglers)
        .map(|(n, angler)| Reported {
            angler: *angler,
            day: first.plus(n),
            visibility,
            fish: 6 + n % 3,
            method: Some(1),
        })
        .collect()
}

/// Sallow Mere: one bank of three pegs, and nothing on record. Its address is `/venues/1`.
pub async fn bare_water(site: &TestSite) {
    let form = [
        ("name", "Sallow Mere"),
        ("kind", "stillwater"),
        ("scale", "g"),
        ("zone", "Europe/London"),
        ("bank0_name", "Hut Bank"),
        ("bank0_pegs", "1-3"),
    ];
    let organiser = site.organiser().await;
    organiser.submit("/venues/new", &form).await.taken();
}

fn pid(n: u128) -> Pid {
    Pid::from_bits(n)
}

pub fn day(month: i8, date: i8) -> Day {
    Day::new(2026, month, date).expect("a real day")
}

fn zone() -> Zone {
    Zone::named("Europe/London").expect("shipped")
}

/// The day of match `m` of eight: Saturdays from 5 September 2026.
fn match_day(m: i64) -> Day {
    day(9, 5).plus(7 * m)
}

impl Planted {
    pub async fn at(site: &TestSite) -> Self {
        let mut writing = site.site.db.write().await.expect("a writer");
        let w = &mut *writing;
        let venue = rows::venue(
            w,
            &pid(1),
            "Quillet Water",
            "stillwater",
            (53.2, -1.4),
            "Barbless.",
            "999",
        )
        .await
        .expect("a venue");
        let bank = rows::bank(w, venue, 1, "Long Reach", 225.0)
            .await
            .expect("a bank");
        let mut planted = Self {
            venue,
            path: format!("/venues/{venue}"),
            pegs: Vec::new(),
            anglers: Vec::new(),
            angler_pids: Vec::new(),
            weighed: Vec::new(),
        };
        for (at, (given, surname)) in NAMES.into_iter().enumerate() {
            let number = (at + 1).to_string();
            let peg = rows::peg(
                w,
                venue,
                bank,
                &number,
                at as i64 + 1,
                at == 0 || at == 5,
                false,
            );
            planted.pegs.push(peg.await.expect("a peg"));
            let own = pid(100 + at as u128);
            let junior = at == PEGS - 1;
            let angler = anglers::insert(w, &own, given, Some(surname), &[0; 16], junior, None);
            planted.anglers.push(angler.await.expect("an angler"));
            planted.angler_pids.push(own);
        }
        for m in 0..MATCHES {
            planted.plant_match(&mut writing, m).await;
        }
        rows::refresh_all_catches(&mut writing)
            .await
            .expect("worked out");
        writing.commit().await.expect("kept");
        planted
    }

    async fn plant_match(&mut self, writing: &mut Writing, m: i64) {
        let on = match_day(m);
        let at = |hour| on.at(jiff::civil::time(hour, 0, 0, 0), &zone());
        let hours = (at(10), at(15));
        let name = format!("Frost Cup, round {}", m + 1);
        let own = pid(1_000 + m as u128);
        let the_match = rows::a_match(writing, &own, &name, self.venue, on, &zone(), hours)
            .await
            .expect("a match");
        let section = rows::section(writing, the_match, 1, "A")
            .await
            .expect("a section");
        for angler in 0..PEGS {
            let place = (angler + m as usize) % PEGS;
            let peg = self.pegs[place];
            // Peg 1 gives the most; angler 5 does not weigh in the last two matches; angler 4 blanks once.
            let did_not_weigh = angler == 4 && m >= 6;
            let blank = angler == 3 && m == 2;
            let carp_dr = if blank || did_not_weigh {
                0
            } else {
                256 * (6 - place as i64)
            };
            let silvers_dr = if blank || did_not_weigh {
                0
            } else {
                40 + 16 * angler as i64 + 24 * m
            };
            let entry = rows::NewEntry {
                the_match,
                number: angler as i64 + 1,
                angler: self.anglers[angler],
                section,
                peg,
                outcome: match (did_not_weigh, blank) {
                    (true, _) => "did not weigh",
                    (_, true) => "blank",
                    _ => "fished",
                },
                was_junior: angler == PEGS - 1,
            };
            let entry_id = rows::entry(writing, &entry).await.expect("an entry");
            for (no, (group, drams)) in [(Group::Carp, carp_dr), (Group::Silvers, silvers_dr)]
                .into_iter()
                .enumerate()
            {
                if drams > 0 {
                    rows::net(
                        writing,
                        entry_id,
                        no as i64 + 1,
                        group.into(),
                        drams,
                        hours.1,
                    )
                    .await
                    .expect("a net");
                }
            }
            let session = rows::NewSession {
                pid: &pid(10_000 + 100 * m as u128 + angler as u128),
                angler: entry.angler,
                venue: self.venue,
                day: on,
                zone: &zone(),
                hours,
                entry: Some(entry_id),
                visibility: "club",
                peg,
                method: None,
                line_m: None,
                was_junior: entry.was_junior,
            };
            rows::session(writing, &session).await.expect("a session");
            self.weighed.push(Weighed {
                match_id: the_match,
                day: on,
                angler: entry.angler,
                peg,
                carp_dr,
                silvers_dr,
                did_not_weigh,
            });
        }
    }

    /// Adds reports of five hours from peg 1, silvers only, four ounces a fish.
    pub async fn report(&self, site: &TestSite, reports: &[Reported]) {
        let mut writing = site.site.db.write().await.expect("a writer");
        for (n, report) in reports.iter().enumerate() {
            let at = |hour| report.day.at(jiff::civil::time(hour, 0, 0, 0), &zone());
            let number = report.day.number() as u128 * 100_000
                + u128::from(report.visibility.as_bytes()[0]) * 100
                + n as u128;
            let session = rows::NewSession {
                pid: &pid(1_000_000 + number),
                angler: self.anglers[report.angler],
                venue: self.venue,
                day: report.day,
                zone: &zone(),
                hours: (at(9), at(14)),
                entry: None,
                visibility: report.visibility,
                peg: self.pegs[0],
                method: report.method.map(MethodId),
                line_m: None,
                was_junior: report.angler == PEGS - 1,
            };
            let id = rows::session(&mut writing, &session)
                .await
                .expect("a session");
            rows::total(
                &mut writing,
                id,
                1,
                Group::Silvers.into(),
                report.fish,
                64 * report.fish,
            )
            .await
            .expect("a total");
        }
        rows::refresh_all_catches(&mut writing)
            .await
            .expect("worked out");
        writing.commit().await.expect("kept");
    }

    /// The rows of the matches for everything weighed.
    pub fn record_rows(&self) -> Vec<RecordRow> {
        let both = GroupSet::of([Group::Carp, Group::Silvers]).expect("two groups");
        let row = |one: &Weighed| RecordRow {
            series: Series::Match,
            groups: both,
            angler: one.angler,
            caught: CatchRow {
                day: one.day,
                rod_hours: Some(5.0),
                fish: None,
                weight_g: one.grams(),
                did_not_weigh: one.did_not_weigh,
                match_id: Some(one.match_id),
                lowest_beside_g: None,
            },
        };
        self.weighed.iter().map(row).collect()
    }

    /// The sessions of the matches for everything weighed.
    pub fn drawn(&self) -> Vec<FishedSession> {
        let session = |one: &Weighed| FishedSession {
            day: one.day,
            angler: one.angler,
            rod_hours: Some(5.0),
            fish: None,
            weight_g: one.grams(),
            did_not_weigh: one.did_not_weigh,
            match_id: Some(one.match_id),
            drawn_peg: Some(one.peg),
        };
        self.weighed.iter().map(session).collect()
    }

    /// What the planted water’s scales show.
    pub fn scale(&self) -> Scale {
        Scale::Drams
    }
}
