//! Hostile text in every free field of the record, and every page looked at in a real browser:
//! nothing in it becomes markup, and no page tries what its own policy forbids.

use std::collections::HashSet;

use peglore::{
    actions::plant_demo,
    demo::{self, Size},
    domain::{
        accounts::Role,
        dates::{Instant, Zone},
    },
    store::Db,
};
use serde_json::Value;
use tempfile::TempDir;

use super::chrome::{Chrome, Script};
use crate::{
    crash::harness::{club, http::Browser, process::Server},
    support::pages,
};

/// Each would leave an element with `data-planted`, set `planted`, or make a link that runs.
const PLANTED: [&str; 40] = [
    "<script data-planted>planted=1</script>",
    "<script data-planted src=//elsewhere.example/x.js></script>",
    "</script><script data-planted>planted=1</script>",
    "</title><script data-planted>planted=1</script>",
    "</textarea><script data-planted>planted=1</script>",
    "</option></select><script data-planted>planted=1</script>",
    "</style><script data-planted>planted=1</script>",
    "--><script data-planted>planted=1</script>",
    "]]><script data-planted>planted=1</script>",
    "<SCRIPT data-planted>planted=1</SCRIPT>",
    "<scr<script>ipt data-planted>planted=1</scr</script>ipt>",
    "<script/data-planted>planted=1</script>",
    "<script\tdata-planted>planted=1</script>",
    "<img data-planted src=x onerror=planted=1>",
    "\"><img data-planted src=x onerror=planted=1>",
    "'><img data-planted src=x onerror=planted=1>",
    "`><img data-planted src=x onerror=planted=1>",
    "<img data-planted src=x onerror=\"planted=1\"",
    "<svg data-planted onload=planted=1>",
    "</svg><svg data-planted onload=planted=1>",
    "</text></svg><img data-planted src=x onerror=planted=1>",
    "</desc></svg><script data-planted>planted=1</script>",
    "<svg><animate data-planted onbegin=planted=1 attributeName=x>",
    "<math data-planted><mi xlink:href=\"javascript:planted=1\">",
    "<iframe data-planted srcdoc=\"<script>parent.planted=1</script>\">",
    "<iframe data-planted src=javascript:parent.planted=1>",
    "<object data-planted data=javascript:planted=1>",
    "<embed data-planted src=javascript:planted=1>",
    "<body data-planted onload=planted=1>",
    "<input data-planted autofocus onfocus=planted=1>",
    "\" autofocus onfocus=planted=1 data-planted=\"",
    "' autofocus onfocus=planted=1 data-planted='",
    " autofocus onfocus=planted=1 data-planted ",
    "<details data-planted open ontoggle=planted=1>",
    "<video data-planted><source onerror=planted=1>",
    "<style data-planted>@import '//elsewhere.example/x.css';</style>",
    "<link data-planted rel=stylesheet href=//elsewhere.example/x.css>",
    "<base data-planted href=//elsewhere.example/>",
    "<meta data-planted http-equiv=refresh content=\"0;url=javascript:planted=1\">",
    "<a data-planted href=\"javascript:planted=1\">here</a>",
];

/// Free texts of the record that pages show or carry on, with one of the texts (`?1`) behind what stood there in every
/// fortieth row from row `?2` on; rows of its own where the demonstration has none, or where what
/// stands is never changed.
const FIELDS: [&str; 20] = [
    "UPDATE settings SET value = value || ' ' || ?1 WHERE key = 'club_name' AND ?2 = 1",
    "UPDATE labels SET given = given || ' ' || ?1 WHERE id % 40 = ?2",
    "UPDATE labels SET surname = surname || ' ' || ?1 WHERE id % 40 = ?2 AND surname IS NOT NULL",
    "UPDATE accounts SET name = name || ' ' || ?1 WHERE id % 40 = ?2",
    "UPDATE sign_ins SET device = device || ' ' || ?1 WHERE id % 40 = ?2",
    "UPDATE venues SET name = name || ' ' || ?1, rules_text = ?1, emergency_text = ?1 WHERE id % 40 = ?2",
    "UPDATE banks SET name = name || ' ' || ?1 WHERE id % 40 = ?2",
    "UPDATE peg_closures SET reason = reason || ' ' || ?1 WHERE id % 40 = ?2",
    "UPDATE venue_diary SET words = words || ' ' || ?1 WHERE id % 40 = ?2",
    "UPDATE weather_sources SET name = name || ' ' || ?1 WHERE id % 40 = ?2",
    "UPDATE methods SET name = name || ' ' || ?1 WHERE id % 40 = ?2",
    "UPDATE baits SET name = name || ' ' || ?1 WHERE id % 40 = ?2",
    "UPDATE sessions SET remarks = COALESCE(remarks, '') || ' ' || ?1 WHERE id % 40 = ?2",
    "UPDATE entries SET told_remarks = ?1 WHERE id % 40 = ?2",
    "UPDATE matches SET name = name || ' ' || ?1, meet_place = ?1 WHERE id % 40 = ?2",
    "UPDATE sections SET name = name || ' ' || ?1 WHERE id % 40 = ?2",
    "UPDATE match_teams SET name = name || ' ' || ?1 WHERE id % 40 = ?2",
    "INSERT INTO imports (file_name, file_sha256, kind, state, at_utc, done_utc, content)
     VALUES (?1 || '.csv', randomblob(32), 'results', 'done', ?2, ?2, x'')",
    "INSERT INTO publications (match_id, ord, state, at_utc, reason, figures_json, sha256)
     SELECT match_id, MAX(ord) + 1, state, at_utc + 1, ?1, figures_json, sha256
     FROM publications WHERE match_id % 40 = ?2 GROUP BY match_id",
    "INSERT INTO corrections (publication_id, replaced_by, field, old, new, at_utc, reason)
     SELECT p.id, q.id, ?1, ?1, ?1, q.at_utc, ?1
     FROM publications AS p JOIN publications AS q ON q.match_id = p.match_id AND q.ord = p.ord + 1
     WHERE q.reason = ?1 AND p.match_id % 40 = ?2",
];

/// What became of planted text on a page that is open.
const ALIVE: &str = "
const odd = [...document.querySelectorAll('*')].filter(e => e.hasAttribute('data-planted')
  || [...e.attributes].some(a => a.name.startsWith('on'))
  || ['href', 'src', 'action', 'formaction', 'xlink:href'].some(n => /^\\s*javascript:/i.test(e.getAttribute(n) ?? '')));
const found = odd.slice(0, 3).map(e => e.outerHTML.slice(0, 160));
if (window.planted !== undefined) found.push('a script ran');
return found;";

/// Is planted text to be read here, as text or in a field?
const SHOWN: &str = "
return document.body.textContent.includes('planted=1')
  || [...document.querySelectorAll('input, textarea')].some(e => e.value.includes('planted=1'));";

async fn planted_club(folder: &TempDir) -> String {
    let db = Db::open(folder.path()).await.expect("a fresh record");
    let now = Instant(jiff::Timestamp::now().as_second());
    let today = now.day(&Zone::named("Europe/London").expect("in the zone table"));
    let club = demo::make(demo::SEED, Size::Usual, today);
    plant_demo::plant(&db, now, &club)
        .await
        .expect("an empty record takes it");
    let cookie = club::sign_in(&db, "Somebody who may do all", Role::Administrator).await;
    let mut writing = db.write().await.expect("the writer is free");
    for statement in FIELDS {
        let mut changed = 0;
        for (number, text) in PLANTED.iter().enumerate() {
            // Rows count from one, so that the first texts reach the shortest tables.
            let row = (number as i64 + 1) % 40;
            let done = sqlx::query(statement)
                .bind(*text)
                .bind(row)
                .execute(&mut *writing)
                .await
                .unwrap_or_else(|e| panic!("{statement}: {e}"));
            changed += done.rows_affected();
        }
        assert!(changed > 0, "nothing was planted by {statement}");
        println!("{changed} rows: {statement}");
    }
    writing.commit().await.expect("kept");
    db.close().await;
    cookie
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn nothing_typed_becomes_markup_on_any_page_and_no_page_offends_its_policy() {
    let folder = TempDir::new().expect("a throw-away folder");
    let cookie = planted_club(&folder).await;
    let server = Server::start(folder.path());
    let origin = format!("http://{}", server.address);
    let chrome = Chrome::open(Script::On).await;
    // A page of the site first: a cookie belongs to a place.
    chrome.goto(&format!("{origin}/healthz")).await;
    chrome.keep_cookie(&cookie).await;
    // The log is seen to work: what a page may not do is in it.
    chrome.goto(&format!("{origin}/")).await;
    chrome
        .run(
            "const s = document.createElement('img'); s.src = 'data:image/gif;base64,R0lGODlhAQABAAAAACw='; document.body.append(s);",
            Vec::new(),
        )
        .await;
    let mut offences = Vec::new();
    for _ in 0..50 {
        offences = chrome.offences().await;
        if !offences.is_empty() {
            break;
        }
        tokio::time::sleep(std::time::Duration::from_millis(50)).await;
    }
    assert!(!offences.is_empty(), "what is forbidden was not reported");

    let browser = Browser {
        address: server.address,
        cookie,
    };
    let walk = pages::walk(&browser, &["/".to_owned()]).await;
    let mut seen = HashSet::new();
    let addresses = walk.pages.iter().map(|page| page.address.as_str());
    let (mut wrong, mut looked, mut shown) = (Vec::new(), 0, 0);
    for address in addresses.filter(|address| seen.insert(*address)) {
        chrome.goto(&format!("{origin}{address}")).await;
        let alive = chrome.run(ALIVE, Vec::new()).await;
        let alive = alive.as_array().cloned().unwrap_or_default();
        wrong.extend(alive.iter().map(|what| format!("{address}: {what}")));
        let offences = chrome.offences().await;
        wrong.extend(offences.iter().map(|what| format!("{address}: {what}")));
        shown += usize::from(chrome.run(SHOWN, Vec::new()).await == Value::Bool(true));
        looked += 1;
    }

    println!("{looked} pages, planted text on {shown} of them");
    assert!(looked > 25 && shown * 2 > looked, "{shown} of {looked}");
    assert!(
        wrong.is_empty(),
        "{} complaints:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}
