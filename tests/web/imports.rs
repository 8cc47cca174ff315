//! Old sheets over the pages: laid out, asked about, saved once, undone as a whole.

use axum::http::StatusCode;
use peglore::{
    actions::{By, anglers as people},
    domain::{dates::Day, names::Name},
    store::{Connection, imports, matches},
};

use crate::support::{Actor, TestSite};

const RESULTS: &str = "Date,Match,Venue,Peg,Angler,Section,Weight,Place\n\
2019-01-05,Frost Cup 1,Quillet Water,14,Jem Coppleway,A,12-8,1\n\
2019-01-05,Frost Cup 1,Quillet Water,15,\"Hazelpatch, Dot\",A,4-2,2\n\
2019-01-05,Frost Cup 1,Quillet Water,16,Tam Oxbarrow,B,DNW,\n\
2019-01-05,Frost Cup 1,Quillet Water,99,Ned Furrowby,B,0,\n\
2019-01-12,Frost Cup 2,Quillet Water,1,Jem Coppleway,A,7-0,1\n\
2019-01-12,Frost Cup 2,Quillet Water,2,Ivy Sallowfield,A,absent,\n";

/// A site with one water of forty pegs.
async fn with_water() -> (TestSite, Actor) {
    let site = TestSite::new().await;
    let organiser = site.organiser().await;
    organiser
        .submit(
            "/venues/new",
            &[
                ("name", "Quillet Water"),
                ("kind", "stillwater"),
                ("scale", "dr"),
                ("zone", "Europe/London"),
                ("bank0_name", "North bank"),
                ("bank0_pegs", "1–40"),
            ],
        )
        .await
        .taken();
    (site, organiser)
}

async fn lay_out(who: &Actor, kind: &str, text: &str) -> String {
    let file = ("file", "old.csv", text.as_bytes());
    let columns = who
        .upload("/imports/new", &[("kind", kind)], file)
        .await
        .taken();
    columns.trim_end_matches("/columns").to_owned()
}

const COLUMNS: [&str; 8] = [
    "date", "match", "venue", "peg", "angler", "section", "weight", "place",
];

/// The columns as headed, and what a sheet of results leaves out.
async fn answer(who: &Actor, import: &str, columns: &[&str], more: &[(&str, &str)]) -> String {
    let names: Vec<String> = (0..columns.len())
        .map(|at| format!("column-{at}"))
        .collect();
    let mut fields: Vec<(&str, &str)> = names
        .iter()
        .map(String::as_str)
        .zip(columns.iter().copied())
        .collect();
    fields.extend([
        ("hours", "5"),
        ("group-carp", "on"),
        ("group-silvers", "on"),
    ]);
    fields.extend(more);
    who.submit(&format!("{import}/columns"), &fields)
        .await
        .taken()
}

async fn bring_in(who: &Actor, text: &str) -> String {
    let import = lay_out(who, "results", text).await;
    let next = answer(
        who,
        &import,
        &COLUMNS,
        &[("pegs_allotted", "bag"), ("start", "10:00")],
    )
    .await;
    assert_eq!(next, import, "nothing is in doubt");
    let done = who.submit(&import, &[]).await.taken();
    assert_eq!(done, format!("{import}?done=imported"));
    import
}

async fn results(connection: &mut Connection) -> Vec<matches::listing::MatchLine> {
    use matches::listing::{SortBy, results};
    results(connection, SortBy::Date, false, 100, 0)
        .await
        .expect("a list")
}

#[tokio::test]
async fn an_organiser_brings_old_results_in_and_they_are_published() {
    let (site, organiser) = with_water().await;
    let import = lay_out(&organiser, "results", RESULTS).await;
    let shown = organiser.get(&format!("{import}/columns")).await.shown();
    shown
        .says("Jem Coppleway")
        .says("value=\"angler\" selected");
    organiser
        .submit(&format!("{import}/columns"), &[("column-0", "date")])
        .await
        .asks("No column is said to hold the angler")
        .says("value=\"date\" selected");
    answer(
        &organiser,
        &import,
        &COLUMNS,
        &[("pegs_allotted", "bag"), ("start", "10:00")],
    )
    .await;
    let preview = organiser.get(&import).await.shown();
    preview
        .says("Saving makes 2 matches, 6 entries, 5 anglers new")
        .says("Quillet Water has no peg “99”")
        .says("Nothing is in the record yet");
    assert!(
        results(&mut site.site.db.read().await.expect("a reader"))
            .await
            .is_empty()
    );

    organiser.submit(&import, &[]).await.taken();

    let made = results(&mut site.site.db.read().await.expect("a reader")).await;
    let names: Vec<_> = made.iter().map(|m| (m.name.as_str(), m.entered)).collect();
    assert_eq!(names, [("Frost Cup 1", 4), ("Frost Cup 2", 2)]);
    site.visitor()
        .get(&format!("/matches/{}/result", made[0].id))
        .await
        .shown()
        .says("J. Coppleway")
        .says("12")
        .says("did not weigh");
    organiser
        .get("/imports")
        .await
        .shown()
        .says("2 matches, 6 entries, 5 sessions")
        .says("Undo this file");
    organiser.get(&import).await.shown().says("in the record");
}

#[tokio::test]
async fn a_second_run_of_the_same_or_an_overlapping_file_makes_nothing_twice() {
    let (site, organiser) = with_water().await;
    bring_in(&organiser, RESULTS).await;

    let again = lay_out(&organiser, "results", RESULTS).await;
    answer(
        &organiser,
        &again,
        &COLUMNS,
        &[("pegs_allotted", "bag"), ("start", "10:00")],
    )
    .await;
    organiser
        .get(&again)
        .await
        .shown()
        .says("Nothing in this file is new")
        .says("The very same file");
    organiser
        .submit(&again, &[])
        .await
        .asks("Nothing in this file is new");

    let later = format!("{RESULTS}2019-01-19,Frost Cup 3,quillet water,3,jem coppleway,A,9-0,1\n");
    bring_in(&organiser, &later).await;
    let made = results(&mut site.site.db.read().await.expect("a reader")).await;
    let names: Vec<_> = made.iter().map(|m| (m.name.as_str(), m.entered)).collect();
    assert_eq!(
        names,
        [("Frost Cup 1", 4), ("Frost Cup 2", 2), ("Frost Cup 3", 1)]
    );
    let anglers =
        peglore::store::anglers::all(&mut site.site.db.read().await.expect("a reader")).await;
    assert_eq!(anglers.expect("a list").len(), 5);
}

#[tokio::test]
async fn one_undo_hides_the_whole_file_everywhere_and_it_can_come_in_again() {
    let (site, organiser) = with_water().await;
    let import = bring_in(&organiser, RESULTS).await;
    let made = results(&mut site.site.db.read().await.expect("a reader")).await;
    let page = format!("/matches/{}/result", made[0].id);
    organiser.get(&page).await.shown();

    let undone = organiser
        .submit(&format!("{import}/undo"), &[])
        .await
        .taken();
    assert_eq!(undone, format!("{import}?done=undone"));

    assert_eq!(organiser.get(&page).await.status, StatusCode::NOT_FOUND);
    organiser
        .get("/matches")
        .await
        .shown()
        .does_not_say("Frost Cup");
    organiser
        .get("/anglers")
        .await
        .shown()
        .does_not_say("Coppleway");
    let mut reading = site.site.db.read().await.expect("a reader");
    assert!(results(&mut reading).await.is_empty());
    assert_eq!(
        imports::known::entry_rows(&mut reading)
            .await
            .expect("rows")
            .len(),
        0
    );
    let day = |text| Day::parse(text).expect("a real day");
    let outings =
        imports::known::outings_between(&mut reading, day("2019-01-01"), day("2019-12-31")).await;
    assert!(outings.expect("a list").is_empty());
    drop(reading);
    organiser
        .submit(&format!("{import}/undo"), &[])
        .await
        .asks("nothing to undo");

    bring_in(&organiser, RESULTS).await;
    assert_eq!(
        results(&mut site.site.db.read().await.expect("a reader"))
            .await
            .len(),
        2
    );
    organiser.get("/anglers").await.shown().says("Coppleway");
}

#[tokio::test]
async fn every_doubt_of_a_name_is_asked_and_each_answer_is_kept() {
    let (site, organiser) = with_water().await;
    let jem = Name::read("Jem Coppleway").expect("a name");
    people::add(
        &site.site.db,
        site.site.now(),
        &By::CommandLine,
        &jem,
        false,
    )
    .await
    .expect("added");
    let text = "Date,Match,Venue,Peg,Angler,Section,Weight,Place\n\
        2019-01-05,Cup,Quillet Water,1,J. Coppleway,,2-0,\n2019-01-05,Cup,Quillet Water,2,Dot Hazelpatch,,1-0,\n\
        2019-01-12,Cup,Quillet Water,3,Dot Hazelpatch,,1-0,\n2019-01-12,Cup,Quillet Water,4,D Hazelpatch,,3-0,\n2019-01-12,Cup,Quillet,5,Tam Oxbarrow,,3-0,\n";
    let import = lay_out(&organiser, "results", text).await;
    let next = answer(&organiser, &import, &COLUMNS, &[("pegs_allotted", "bag")]).await;
    assert_eq!(next, format!("{import}/names"));
    let names = organiser.get(&next).await.shown();
    names
        .says("the same surname, and the initial agrees")
        .says("Dot Hazelpatch, also new in this file")
        .says("Waters not on record");
    organiser
        .submit(&import, &[])
        .await
        .asks("names still have to be answered");
    let hex = |text: &str| text.bytes().map(|b| format!("{b:02x}")).collect::<String>();
    let choice = names
        .body
        .split("value=\"angler.")
        .nth(1)
        .and_then(|rest| rest.split('"').next())
        .expect("offered")
        .to_owned();
    let (jem, dot) = (
        format!("person-{}", hex("j coppleway")),
        format!("person-{}", hex("d hazelpatch")),
    );
    let quillet = format!("water-{}", hex("quillet"));

    let half = organiser
        .submit(&next, &[(&jem, &format!("angler.{choice}")), (&dot, "")])
        .await;
    half.asks("Say who D Hazelpatch is")
        .says(&format!("value=\"angler.{choice}\" selected"));
    let venue = names
        .body
        .split(&quillet)
        .last()
        .and_then(|rest| rest.split("<option value=\"").nth(2))
        .and_then(|rest| rest.split('"').next())
        .expect("a water")
        .to_owned();
    let fields = [
        (jem.as_str(), &*format!("angler.{choice}")),
        (dot.as_str(), &*format!("same.{}", hex("dot hazelpatch"))),
        (quillet.as_str(), venue.as_str()),
    ];
    assert_eq!(organiser.submit(&next, &fields).await.taken(), import);

    organiser
        .get(&import)
        .await
        .shown()
        .says("same angler as on line 4")
        .says("2 anglers new");
    organiser
        .submit(&import, &[])
        .await
        .asks("Rows that cannot be taken: 1.");
    organiser
        .submit(&import, &[("leave_out", "on")])
        .await
        .taken();
    let anglers = peglore::store::anglers::all(&mut site.site.db.read().await.expect("a reader"))
        .await
        .expect("a list");
    assert_eq!(anglers.len(), 3, "Jem, Dot and Tam");
}

#[tokio::test]
async fn old_sessions_come_in_once_with_their_numbers_and_hours() {
    let (site, organiser) = with_water().await;
    let text = "Day,Water,Swim,Name,Fish,Weight,Hours\n5/1/2019,Quillet Water,7,Jem Coppleway,12,8-4,4\n13/1/2019,Quillet Water,8,Dot Hazelpatch,,blank,\n14/1/2019,Quillet Water,9,Tam Oxbarrow,3,,\n";
    let columns = ["date", "venue", "peg", "angler", "count", "weight", "hours"];
    let bring = async || {
        let import = lay_out(&organiser, "sessions", text).await;
        answer(&organiser, &import, &columns, &[("visibility", "club")]).await;
        import
    };
    let import = bring().await;
    organiser
        .get(&import)
        .await
        .shown()
        .says("Saving makes 3 sessions");
    organiser.submit(&import, &[]).await.taken();
    let day = |text| Day::parse(text).expect("a real day");
    let outings = imports::known::outings_between(
        &mut site.site.db.read().await.expect("a reader"),
        day("2019-01-01"),
        day("2019-12-31"),
    )
    .await;
    assert_eq!(outings.expect("a list").len(), 3);

    let again = bring().await;
    organiser
        .submit(&again, &[])
        .await
        .asks("Nothing in this file is new");
}

#[tokio::test]
async fn a_report_that_joined_an_imported_match_stands_by_itself_after_the_undo() {
    let (site, organiser) = with_water().await;
    let text =
        "Date,Venue,Peg,Name,Fish,Weight\n2019-01-05,Quillet Water,14,Jem Coppleway,12,8-4\n";
    let sessions = lay_out(&organiser, "sessions", text).await;
    let columns = ["date", "venue", "peg", "angler", "count", "weight"];
    answer(&organiser, &sessions, &columns, &[("visibility", "club")]).await;
    organiser.submit(&sessions, &[]).await.taken();
    let results = lay_out(&organiser, "results", RESULTS).await;
    answer(&organiser, &results, &COLUMNS, &[("pegs_allotted", "bag")]).await;
    organiser.submit(&results, &[]).await.taken();
    let in_matches = async || {
        let day = Day::parse("2019-01-05").expect("a real day");
        let mut reading = site.site.db.read().await.expect("a reader");
        let outings = imports::known::outings_between(&mut reading, day, day).await;
        let outings = outings.expect("a list");
        (outings.len(), outings.iter().filter(|o| o.in_match).count())
    };
    assert_eq!(
        in_matches().await,
        (4, 4),
        "one session an angler, all of the match"
    );

    organiser
        .submit(&format!("{results}/undo"), &[])
        .await
        .taken();
    assert_eq!(in_matches().await, (1, 0), "the report alone");

    organiser
        .submit(&format!("{sessions}/undo"), &[])
        .await
        .taken();
    assert_eq!(in_matches().await, (0, 0));
}

#[tokio::test]
async fn a_thousand_rows_are_comfortable() {
    let (site, organiser) = with_water().await;
    let mut text = String::from("Date,Match,Venue,Peg,Angler,Section,Weight,Place\n");
    for round in 0..50 {
        for peg in 1..=20 {
            let day = Day::parse("2018-01-06")
                .expect("a real day")
                .plus(7 * round);
            text.push_str(&format!(
                "{day},Round {round},Quillet Water,{peg},Angler{} Reedmace{},A,{}-{},\n",
                (b'a' + peg as u8) as char,
                (b'a' + peg as u8) as char,
                1 + (peg * 7 + round) % 30,
                peg % 16
            ));
        }
    }
    let began = std::time::Instant::now();
    let import = lay_out(&organiser, "results", &text).await;
    let next = answer(&organiser, &import, &COLUMNS, &[("pegs_allotted", "bag")]).await;
    if next.ends_with("/names") {
        let names = organiser.get(&next).await.shown();
        let fields: Vec<String> = names
            .body
            .split("<select id=\"person-")
            .skip(1)
            .filter_map(|rest| Some(format!("person-{}", rest.split('"').next()?)))
            .collect();
        let fields: Vec<(&str, &str)> = fields.iter().map(|name| (name.as_str(), "new")).collect();
        organiser.submit(&next, &fields).await.taken();
    }
    organiser.submit(&import, &[]).await.taken();
    let made = results(&mut site.site.db.read().await.expect("a reader")).await;
    assert_eq!(
        (made.len(), made.iter().map(|m| m.entered).sum::<i64>()),
        (50, 1_000)
    );
    assert!(began.elapsed().as_secs() < 60, "{:?}", began.elapsed());
}

#[tokio::test]
async fn hostile_files_are_answered_with_a_sentence_and_nothing_breaks() {
    let (site, organiser) = with_water().await;
    let utf16: Vec<u8> = std::iter::once(0xfeff_u16)
        .chain(RESULTS.encode_utf16())
        .flat_map(u16::to_le_bytes)
        .collect();
    let long = format!("Name,Weight\n{}", "a,1\n".repeat(100_001));
    let refused: [(&[u8], &str); 6] = [
        (b"", "Choose the file"),
        (b"\x89PNG\r\n\x1a\nxx", "a picture, not CSV"),
        (b"PK\x03\x04zip", "a spreadsheet or a zip archive"),
        (b"   \n  \n", "The file is empty"),
        (b"\x00\x01\x02\x03\x04", "not"),
        (long.as_bytes(), "100"),
    ];
    for (bytes, sentence) in refused {
        let name = if bytes.is_empty() { "" } else { "../../x.csv" };
        let answer = organiser
            .upload(
                "/imports/new",
                &[("kind", "results")],
                ("file", name, bytes),
            )
            .await;
        answer.asks(sentence);
    }
    let taken: [&[u8]; 7] = [
        &utf16,
        b"Name;Weight\nCr\xe9mer;1-0\n",
        b"Name,Name,Weight\na,b,1-0\n",
        b"2019-01-05,Jem,12-8\n2019-01-06,Dot,1-0\n",
        b"Name,Weight\nJem,1-0\nDo",
        b"Name,Weight\n=cmd(),-1\n\"a\nb\",1e9\n@x,NaN\n+1,0x10\n<script>,\xd9\xa4\n",
        "Name,Weight\n\u{202e}evil,12.8\nŁukasz,1.234,5\n".as_bytes(),
    ];
    for bytes in taken {
        let columns = organiser
            .upload(
                "/imports/new",
                &[("kind", "results")],
                ("file", "x.csv", bytes),
            )
            .await
            .taken();
        organiser
            .get(&columns)
            .await
            .shown()
            .does_not_say("<script>,");
        let import = columns.trim_end_matches("/columns");
        for page in [import.to_owned(), format!("{import}/names")] {
            let status = organiser.get(&page).await.status;
            assert!(!status.is_server_error(), "{page}: {status}");
        }
        let nonsense = [
            ("column-0", "angler"),
            ("column-1", "weight"),
            ("hours", "400"),
            ("start", "25:00"),
            ("date", "0001-01-01"),
            ("venue", "' OR 1=1--"),
            ("match_name", "\u{202e}x"),
        ];
        let answer = organiser.submit(&columns, &nonsense).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        answer.says("value=\"400\"").says("value=\"25:00\"");
        organiser
            .submit(&format!("{import}/discard"), &[])
            .await
            .taken();
        assert_eq!(organiser.get(import).await.status, StatusCode::NOT_FOUND);
    }
    let large = vec![b'x'; 2 * 1024 * 1024 + 1];
    let answer = organiser
        .upload(
            "/imports/new",
            &[("kind", "results")],
            ("file", "x.csv", &large),
        )
        .await;
    assert_eq!(answer.status, StatusCode::PAYLOAD_TOO_LARGE);
    answer.says("The file is too large");
    let cut =
        b"----cut\r\nContent-Disposition: form-data; name=\"file\"; filename=\"x\"\r\n\r\nhalf"
            .to_vec();
    let kind = "multipart/form-data; boundary=--cut";
    let answer = organiser
        .send(axum::http::Method::POST, "/imports/new", cut, kind)
        .await;
    answer.asks("did not arrive whole");
    assert_eq!(
        site.member().await.get("/imports").await.status,
        StatusCode::FORBIDDEN
    );
}
