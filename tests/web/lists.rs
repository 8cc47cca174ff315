//! Lists with nothing on them, with one row, with a thousand, and asked for beyond their end.

use super::matches::run;
use crate::support::{TestSite, reports::lay_water};

/// A list as an administrator who fishes reads it.
struct List {
    address: &'static str,
    /// What it says with nothing on it.
    empty: &'static str,
    /// Where the last of a thousand stands; the same address where all are on one page.
    end: &'static str,
    /// Words of the first row that was put on record, and of the last.
    rows: [&'static str; 2],
}

/// 2 January 2020 and the thousandth day from there.
const DAYS: [&str; 2] = ["Thu 2 Jan 2020", "Tue 27 Sep 2022"];
const NAMES: [&str; 2] = ["Jem0001 Coppleway", "Jem1000 Coppleway"];

const LISTS: [List; 9] = [
    List {
        address: "/anglers",
        empty: "Nobody is on the list yet.",
        end: "/anglers",
        rows: NAMES,
    },
    List {
        address: "/matches/1",
        empty: "Nobody is entered yet.",
        end: "/matches/1",
        rows: NAMES,
    },
    List {
        address: "/sessions",
        empty: "Nothing here yet.",
        end: "/sessions?from=951",
        rows: DAYS,
    },
    List {
        address: "/anglers/00000000000000000000000000",
        empty: "No session that you may see is on record.",
        end: "/anglers/00000000000000000000000000?from=951",
        rows: DAYS,
    },
    List {
        address: "/venues/1/diary",
        empty: "Nothing is written yet.",
        end: "/venues/1/diary",
        rows: ["Entry 0001", "Entry 1000"],
    },
    List {
        address: "/venues/1/closures",
        empty: "Every peg is open.",
        end: "/venues/1/closures",
        rows: ["Reason 0001", "Reason 1000"],
    },
    List {
        address: "/venues/1/water",
        empty: "No reading is in the record yet.",
        end: "/venues/1/water?from=951",
        rows: DAYS,
    },
    List {
        address: "/imports",
        empty: "No file has been brought in yet.",
        end: "/imports?page=20",
        rows: ["sheet-0001.csv", "sheet-1000.csv"],
    },
    List {
        address: "/committee/people",
        empty: "Administrator",
        end: "/committee/people",
        rows: ["Account 0001", "Account 1000"],
    },
];

/// A water, a match to come, and an angler who reads the lists.
async fn bare(site: &TestSite) {
    lay_water(site).await;
    run(
        site,
        "INSERT INTO anglers (id, pid, account_id) SELECT 5000, '00000000000000000000000000', id FROM accounts;
         INSERT INTO matches (id, pid, name, venue_id, on_date, zone, pegs_allotted, scale, step, state)
         VALUES (1, '00000000000000000000000001', 'Frost Cup', 1, '2026-12-05', 'Europe/London', 'bag', 'dr', 16, 'planned');",
    )
    .await;
}

/// Rows `from` to `to` of every list.
async fn fill(site: &TestSite, from: i64, to: i64) {
    let rows = [
        "INSERT INTO labels (id, given, surname, salt) SELECT i, printf('Jem%04d', i), 'Coppleway', zeroblob(16) FROM n",
        "INSERT INTO anglers (id, pid, label_id) SELECT i, printf('%026d', i), i FROM n",
        "INSERT INTO entries (match_id, number, angler_id) SELECT 1, i, i FROM n",
        "INSERT INTO sessions (pid, kind, angler_id, venue_id, fished_on, zone, effort_source, visibility, has_report, entered_utc)
         SELECT printf('%026d', i), 'report', 5000, 1, date('2020-01-01', i || ' days'), 'Europe/London', 'unknown', 'club', 1, 1 FROM n",
        "INSERT INTO venue_diary (venue_id, on_date, kind, words, at_utc) SELECT 1, '2026-01-01', 'other', printf('Entry %04d', i), 1 FROM n",
        "INSERT INTO peg_closures (peg_id, from_on, reason) SELECT 1, '2026-01-01', printf('Reason %04d', i) FROM n",
        "INSERT INTO water_readings (venue_id, on_date, at_utc, temp_c)
         SELECT 1, date('2020-01-01', i || ' days'), unixepoch('2020-01-01 12:00', i || ' days'), 10 FROM n",
        "INSERT INTO imports (file_name, file_sha256, kind, state, at_utc, done_utc, content)
         SELECT printf('sheet-%04d.csv', i), randomblob(32), 'results', 'done', i, i, x'' FROM n",
        "INSERT INTO accounts (pid, name, name_key, role, created_utc)
         SELECT printf('%026d', i), printf('Account %04d', i), printf('account %04d', i), 'member', 1 FROM n",
    ];
    let mut writing = site.site.db.write().await.expect("the writer is free");
    sqlx::query("CREATE TEMP TABLE IF NOT EXISTS n (i INTEGER)")
        .execute(&mut *writing)
        .await
        .expect("a table for a while");
    sqlx::query(
        "INSERT INTO n WITH RECURSIVE m (i) AS (SELECT ?1 UNION ALL SELECT i + 1 FROM m WHERE i < ?2) SELECT i FROM m",
    )
    .bind(from)
    .bind(to)
    .execute(&mut *writing)
    .await
    .expect("numbers");
    for row in rows {
        sqlx::query(row)
            .execute(&mut *writing)
            .await
            .unwrap_or_else(|e| panic!("{row}: {e}"));
    }
    sqlx::query("DROP TABLE n")
        .execute(&mut *writing)
        .await
        .expect("it was there");
    writing.commit().await.expect("kept");
}

#[tokio::test]
async fn every_list_works_with_nothing_with_one_row_and_with_a_thousand() {
    let site = TestSite::new().await;
    let administrator = site.administrator().await;
    bare(&site).await;
    for list in &LISTS {
        // Whoever reads is on the list of anglers, under no name.
        if list.address != "/anglers" {
            let page = administrator.get(list.address).await.shown();
            page.says(list.empty).does_not_say(list.rows[0]);
        }
    }

    fill(&site, 1, 1).await;
    for list in &LISTS {
        let page = administrator.get(list.address).await.shown();
        page.says(list.rows[0]).does_not_say(list.rows[1]);
    }

    fill(&site, 2, 1_000).await;
    for list in &LISTS {
        let first = administrator.get(list.address).await.shown();
        let last = administrator.get(list.end).await.shown();
        for row in list.rows {
            assert!(
                first.body.contains(row) || last.body.contains(row),
                "no “{row}” on {} or {}",
                list.address,
                list.end
            );
        }
    }
}

#[tokio::test]
async fn a_list_whose_newest_is_first_leads_on_to_what_is_earlier() {
    let site = TestSite::new().await;
    let administrator = site.administrator().await;
    bare(&site).await;
    fill(&site, 1, 60).await;

    for (address, second, earlier, later) in [
        (
            "/sessions",
            "/sessions?from=51",
            "Earlier sessions",
            "Later sessions",
        ),
        (
            "/anglers/00000000000000000000000000",
            "/anglers/00000000000000000000000000?from=51",
            "Earlier sessions",
            "Later sessions",
        ),
        (
            "/imports",
            "/imports?page=2",
            "Earlier files",
            "Later files",
        ),
    ] {
        for (page, said, unsaid) in [(address, earlier, later), (second, later, earlier)] {
            administrator
                .get(page)
                .await
                .shown()
                .says(said)
                .does_not_say(unsaid)
                .does_not_say("in the list</a>");
        }
    }
}

#[tokio::test]
async fn a_list_asked_for_beyond_its_end_does_not_say_that_it_is_empty() {
    let site = TestSite::new().await;
    let administrator = site.administrator().await;
    bare(&site).await;
    fill(&site, 1, 1).await;
    run(
        &site,
        "INSERT INTO matches (pid, name, venue_id, on_date, zone, pegs_allotted, scale, step, state)
         VALUES ('00000000000000000000000002', 'Leaf Fall Cup', 1, '2026-10-05', 'Europe/London', 'bag', 'dr', 16, 'published')",
    )
    .await;

    for (beyond, words) in [
        ("/sessions?from=51", "There are not so many sessions."),
        ("/matches?page=2", "There are not so many results."),
        ("/imports?page=2", "There are not so many files."),
        ("/venues/1/water?from=51", "There are not so many readings."),
    ] {
        administrator.get(beyond).await.shown().says(words);
    }
}
