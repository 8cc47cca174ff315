//! A small club in a folder of its own, as its officers would have set it up: one water of forty
//! pegs and as many signed-in members as there are clients.

use std::path::Path;

use peglore::{
    actions::{By, accounts, one_time_links, passwords::Hasher, sign_in::SignInAnswer},
    domain::{accounts::Role, dates::Instant},
    store::Db,
};

/// The session cookies of `members` members of a fresh club in `folder`.
pub async fn found(folder: &Path, members: usize) -> Vec<String> {
    let db = Db::open(folder).await.expect("a fresh record");
    let mut writing = db.write().await.expect("the writer is free");
    sqlx::raw_sql(
        "INSERT INTO venues (id, pid, name) VALUES (1, '00000000000000000000000001', 'Quillet Water');
         INSERT INTO banks (id, venue_id, ord, name) VALUES (1, 1, 1, 'Long Reach');
         WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 40)
         INSERT INTO pegs (venue_id, bank_id, number, walk_order) SELECT 1, 1, CAST(i AS TEXT), i FROM n;",
    )
    .execute(&mut *writing)
    .await
    .expect("fits the schema");
    writing.commit().await.expect("kept");
    let mut cookies = Vec::new();
    for member in 1..=members {
        cookies.push(sign_in(&db, &format!("Member {member}"), Role::Member).await);
    }
    // Somebody must look after the club, or each start prints a link for the first administrator.
    sign_in(&db, "Administrator", Role::Administrator).await;
    db.close().await;
    cookies
}

/// Makes an account and signs it in; the cookie header of its browser.
pub async fn sign_in(db: &Db, name: &str, role: Role) -> String {
    let now = now();
    let (account, _) = accounts::invite(db, now, &By::CommandLine, name, role)
        .await
        .expect("the name is free");
    let secret = one_time_links::demo_link(db, now, account)
        .await
        .expect("a link");
    let hasher = Hasher::new(19_456);
    let answer = one_time_links::use_link(db, &hasher, now, &secret, None, None, "a test")
        .await
        .expect("the link works");
    let SignInAnswer::In { token, .. } = answer else {
        panic!("the link signs in");
    };
    format!("peglore={token}")
}

fn now() -> Instant {
    Instant(jiff::Timestamp::now().as_second())
}

/// Fills the record with sessions enough that copying it takes a while.
pub async fn fill(folder: &Path, sessions: i64) {
    let db = Db::open(folder).await.expect("the record opens");
    let mut writing = db.write().await.expect("the writer is free");
    sqlx::raw_sql("INSERT INTO anglers (id, pid) VALUES (900, '00000000000000000000000900')")
        .execute(&mut *writing)
        .await
        .expect("fits the schema");
    sqlx::query(
        "WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < ?)
         INSERT INTO sessions (pid, kind, angler_id, venue_id, fished_on, zone, effort_source, visibility, remarks, entered_utc, has_report)
         SELECT printf('9%025d', i), 'report', 900, 1, date('2020-01-01', (i % 1500) || ' days'), 'Europe/London', 'unknown', 'club',
                hex(randomblob(300)), 1790000000, 1 FROM n",
    )
    .bind(sessions)
    .execute(&mut *writing)
    .await
    .expect("fits the schema");
    writing.commit().await.expect("kept");
    db.close().await;
}
