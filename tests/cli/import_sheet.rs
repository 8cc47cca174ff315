//! `peglore import sheet`, run as the program itself.

use std::{
    path::Path,
    process::{Command, Output},
};

use peglore::{
    domain::imports::ImportState,
    store::{Db, imports, matches::listing},
};
use tempfile::TempDir;

mod left;
mod ounces;
mod waters;

const SHEET: &str = "Date,Match,Peg,Angler,Weight\n\
2019-01-05,Frost Cup 1,14,Jem Coppleway,12.8\n2019-01-05,Frost Cup 1,15,Dot Hazelpatch,DNW\n2019-02-30,Frost Cup 2,3,Tam Oxbarrow,4.2\n";

/// A data folder with one water in it, and the sheet.
async fn folder(sheet: &str) -> (TempDir, String) {
    let folder = TempDir::new().expect("a throw-away folder");
    let db = Db::open(folder.path()).await.expect("a fresh record");
    let mut writing = db.write().await.expect("a writer");
    sqlx::query("INSERT INTO venues (id, pid, name) VALUES (1, '00000000000000000000000001', 'Quillet Water')")
        .execute(&mut *writing)
        .await
        .expect("a fresh venue");
    writing.commit().await.expect("kept");
    db.close().await;
    let file = folder.path().join("old.csv");
    std::fs::write(&file, sheet).expect("written");
    let file = file.to_string_lossy().into_owned();
    (folder, file)
}

fn import(folder: &Path, what: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_peglore"))
        .args(["import", "--data"])
        .arg(folder)
        .args(what)
        .output()
        .expect("the program runs")
}

#[track_caller]
fn says(output: &Output, done: bool, words: &[&str]) {
    let told = String::from_utf8_lossy(&output.stdout).into_owned()
        + &String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.success(), done, "{told}");
    for words in words {
        assert!(told.contains(words), "no “{words}” in {told}");
    }
}

const ONE_IN_DOUBT: &str = "Date,Match,Angler,Weight\n\
2019-01-05,Cup,Jem Coppleway,1-0\n2019-01-12,Cup,Jem Coppleway,1-0\n2019-01-19,Cup,J Coppleway,1-0\n";

/// A sheet that is laid out and waits for an answer about one name.
async fn one_in_doubt() -> (TempDir, String) {
    let (folder, file) = folder(ONE_IN_DOUBT).await;
    let laid = import(folder.path(), &answered(&file));
    says(&laid, false, &["one name is in doubt"]);
    (folder, file)
}

/// As an officer may answer on the page.
async fn leave_the_doubtful_out(folder: &Path) {
    let db = Db::open(folder).await.expect("the record opens");
    let mut writing = db.write().await.expect("a writer");
    sqlx::query("UPDATE imports SET mapping_json = json_set(mapping_json, '$.people', json('{\"j coppleway\":\"LeftOut\"}'))")
        .execute(&mut *writing)
        .await
        .expect("fits the schema");
    writing.commit().await.expect("kept");
    db.close().await;
}

async fn made(folder: &Path) -> (i64, Vec<ImportState>) {
    let db = Db::open(folder).await.expect("the record opens");
    let mut reading = db.read().await.expect("a reader");
    let results = listing::count_results(&mut reading).await.expect("counted");
    let files = imports::list(&mut reading, 10, 0).await.expect("a list");
    drop(reading);
    db.close().await;
    (results, files.into_iter().map(|file| file.state).collect())
}

const ANSWERS: [&str; 10] = [
    "--venue",
    "Quillet Water",
    "--hours",
    "5",
    "--pegs",
    "bag",
    "--fish",
    "all",
    "--weights",
    "pounds-point-ounces",
];

/// The sheet, with every question of it answered.
fn answered(file: &str) -> Vec<&str> {
    [&["sheet", file][..], &ANSWERS].concat()
}

#[tokio::test]
async fn a_sheet_says_what_it_leaves_out_and_comes_in_once_it_is_answered() {
    let (folder, file) = folder(SHEET).await;
    let sheet = ["sheet", file.as_str()];
    let asked = import(folder.path(), &sheet);
    says(
        &asked,
        false,
        &[
            "Weight: weight of a net",
            "--venue",
            "--hours",
            "--pegs",
            "--fish",
            "--weights",
            "nothing was saved",
            "Give --hours 5, or --hours unknown",
            "Give --fish all, or every group",
            "Give --pegs with one of: bag, of-choice, roving, unknown.",
            "Give --weights with one of: pounds-point-ounces, decimal-pounds",
        ],
    );
    let words = String::from_utf8_lossy(&asked.stderr).into_owned();
    assert!(!words.contains("Tick"), "{words}");

    let answered = answered(&file);
    let looked = import(folder.path(), &[&answered[..], &["--look"]].concat());
    says(
        &looked,
        true,
        &[
            "Two rows understood; one cannot be taken. To be made: one match with two entries, two new anglers.",
            "line 4 cannot be taken: ",
            "Sat 5 Jan 2019, Frost Cup 1, Quillet Water: two entries",
            "not a day of the calendar",
            "Nothing was saved",
        ],
    );
    let refused = ["one row cannot be taken", "Mend it", "--leave-out"];
    says(&import(folder.path(), &answered), false, &refused);
    assert_eq!(made(folder.path()).await, (0, vec![]));

    let saved = [&answered[..], &["--leave-out"]].concat();
    let undo = format!("“peglore import --data {} undo 1”", folder.path().display());
    says(
        &import(folder.path(), &saved),
        true,
        &[
            "Saved as file 1: one match, two entries, two sessions, two new anglers.",
            &undo,
        ],
    );
    says(
        &import(folder.path(), &saved),
        true,
        &["Nothing in this file is new"],
    );
    assert_eq!(made(folder.path()).await, (1, vec![ImportState::Done]));

    says(
        &import(folder.path(), &["list"]),
        true,
        &[
            "old.csv, match results, in the record, brought 2 anglers, 1 match, 2 entries, 2 sessions",
        ],
    );
    says(
        &import(folder.path(), &["undo", "1"]),
        true,
        &["File 1 is undone"],
    );
    assert_eq!(made(folder.path()).await, (0, vec![ImportState::Undone]));
}

#[tokio::test]
async fn a_session_that_may_be_on_record_is_asked_about_by_its_option() {
    let heading = "Date,Venue,Angler,Fish\n";
    let row = "2019-01-05,Quillet Water,Jem Coppleway";
    let (folder, file) = folder(&format!("{heading}{row},3\n")).await;
    let answers = [
        "--holds",
        "sessions",
        "--hours",
        "unknown",
        "--fish",
        "all",
        "--seen-by",
        "club",
    ];
    let sheet = [&["sheet", file.as_str()][..], &answers].concat();
    says(&import(folder.path(), &sheet), true, &["Saved as file 1"]);

    std::fs::write(&file, format!("{heading}{row},5\n")).expect("written");
    says(
        &import(folder.path(), &sheet),
        false,
        &["--same-day", "the same outing, or another?"],
    );
    let same = [&sheet[..], &["--same-day", "same-outing"]].concat();
    let left_out = import(folder.path(), &same);
    says(
        &left_out,
        true,
        &[
            "One row understood; one is on record already. To be made: nothing.",
            "  line 2: Jem Coppleway has a session on record there that day.",
            "It is left out as the same outing",
        ],
    );
    assert!(!String::from_utf8_lossy(&left_out.stdout).contains("taken so"));
    let another = [&sheet[..], &["--same-day", "another-outing"]].concat();
    says(
        &import(folder.path(), &another),
        true,
        &["To be made: one session, no new anglers."],
    );
}

#[tokio::test]
async fn names_in_doubt_are_left_to_the_page_with_the_file_laid_out() {
    let text = "Date,Match,Angler,Weight\n2019-01-05,Cup,Jem Coppleway,1-0\n2019-01-12,Cup,Jem Coppleway,1-0\n2019-01-19,Cup,J Coppleway,1-0\n";
    let (folder, file) = folder(text).await;
    let all = answered(&file);
    says(
        &import(folder.path(), &all),
        false,
        &["one name is in doubt", "/imports/1/names and say who it is"],
    );
    assert_eq!(made(folder.path()).await, (0, vec![ImportState::Uploaded]));
    // A look names them, and with whom they may be one.
    says(
        &import(folder.path(), &[&all[..], &["--look"]].concat()),
        true,
        &[
            "In doubt: J Coppleway (line 4). It may be",
            "    Jem Coppleway, also new in this file",
        ],
    );
}

#[tokio::test]
async fn what_is_wrong_with_every_row_is_told_once() {
    let heading = "Date,Match,Angler,Weight\n";
    let row = |n: usize| format!("2019-01-{n:02},Cup,Jem Coppleway,1-0\n");
    let rows: String = (1..=20).map(row).collect();
    let (folder, file) = folder(&format!("{heading}{rows}")).await;
    let all = [&["sheet", file.as_str()][..], &ANSWERS[2..]].concat();
    let asked = import(folder.path(), &all);
    let told = String::from_utf8_lossy(&asked.stdout).into_owned();
    assert!(
        told.contains(
            "20 rows (the first on lines 2, 3, 4, 5, 6) cannot be taken: The row does not give the venue."
        ),
        "{told}"
    );
    assert_eq!(told.matches("does not give the venue").count(), 1, "{told}");
}

#[tokio::test]
async fn the_order_of_dates_given_stands_before_what_a_cell_shows() {
    let text = "Date,Match,Peg,Angler,Weight\nSat 6.3.21,Cup,1,Jem Coppleway,1-0\n06/03/2021,Cup,2,Dot Hazelpatch,1-0\n04/13/21,Cup,3,Tam Oxbarrow,300 lb\n";
    let (folder, file) = folder(text).await;
    let all = answered(&file);
    let day_first = [&all[..], &["--dates", "day-first", "--leave-out"]].concat();
    says(
        &import(folder.path(), &day_first),
        true,
        &[
            "Two rows understood; one cannot be taken. To be made: one match with two entries",
            "line 4 cannot be taken: “04/13/21” is a day only with the month first",
        ],
    );
    let db = Db::open(folder.path()).await.expect("the record opens");
    let mut reading = db.read().await.expect("a reader");
    let on: String = sqlx::query_scalar("SELECT on_date FROM matches")
        .fetch_one(&mut *reading)
        .await
        .expect("one match");
    assert_eq!(on, "2021-03-06");
}

#[tokio::test]
async fn a_file_begins_with_what_was_answered_of_words_and_names_of_an_earlier_one() {
    let (folder, file) = one_in_doubt().await;
    let all = answered(&file);
    leave_the_doubtful_out(folder.path()).await;

    std::fs::write(&file, ONE_IN_DOUBT.replace("2019-01", "2019-02")).expect("written");
    says(
        &import(folder.path(), &all),
        true,
        &[
            "Begun like “old.csv”, which has the same headings",
            "one is left out with the angler or the water",
            "Saved as file 2: two matches, two entries",
        ],
    );
}

#[tokio::test]
async fn several_files_come_in_one_after_another_and_wait_behind_one_that_cannot() {
    let year = |n: u16, weight: &str| {
        format!("Date,Match,Angler,Weight\n{n}-01-05,Cup,Jem Coppleway,{weight}\n")
    };
    let (folder, first) = folder(&year(2019, "1-0")).await;
    let file = |name: &str, text: String| {
        let path = folder.path().join(name);
        std::fs::write(&path, text).expect("written");
        path.to_string_lossy().into_owned()
    };
    let second = file("second.csv", year(2020, "300 lb"));
    let third = file("third.csv", year(2021, "2-0"));
    let files = ["sheet", first.as_str(), second.as_str(), third.as_str()];
    let all = [&files[..], &ANSWERS].concat();
    says(
        &import(folder.path(), &all),
        false,
        &[
            "Saved as file 1",
            "300 lb on line 2 is unlikely in one net, so nothing was saved.",
            "say --unlikely-right",
            "one file after it waits",
        ],
    );
    assert_eq!(made(folder.path()).await.0, 1);

    let right = [&all[..], &["--unlikely-right"]].concat();
    says(
        &import(folder.path(), &right),
        true,
        &[
            "Nothing in this file is new",
            "Saved as file 2",
            "Saved as file 3",
        ],
    );
    assert_eq!(made(folder.path()).await.0, 3);
}

#[tokio::test]
async fn rows_of_a_match_on_record_are_refused_under_another_name_without_a_word() {
    let text = "Date,Peg,Angler,Weight\n2019-01-05,14,Jem Coppleway,12.8\n";
    let (folder, file) = folder(text).await;
    let all = answered(&file);
    let named = |name: &'static str, more: &[&'static str]| {
        import(
            folder.path(),
            &[&all[..], &["--match", name], more].concat(),
        )
    };
    says(&named("Cup", &[]), true, &["Saved as file 1"]);
    says(
        &named("Other", &[]),
        false,
        &[
            "Other of Sat 5 Jan 2019: its only row stands on record in Cup of that day",
            "so nothing was saved",
            "say --another-match",
        ],
    );
    assert_eq!(made(folder.path()).await, (1, vec![ImportState::Done]));
    says(
        &named("Other", &["--another-match"]),
        true,
        &["Saved as file 2"],
    );
}

#[tokio::test]
async fn the_venue_of_an_earlier_file_of_the_same_headings_is_filled_in() {
    let text = "Date,Match,Angler,Weight\n2019-01-05,Cup,Jem Coppleway,1-0\n";
    let (folder, file) = folder(text).await;
    let all = answered(&file);
    says(&import(folder.path(), &all), true, &["Saved as file 1"]);

    std::fs::write(&file, text.replace("2019", "2020")).expect("written");
    let without = [&["sheet", file.as_str()][..], &ANSWERS[2..]].concat();
    says(
        &import(folder.path(), &without),
        true,
        &[
            "Begun like “old.csv”",
            "Rows that name no venue are of Quillet Water.",
            "Saved as file 2",
        ],
    );
}
