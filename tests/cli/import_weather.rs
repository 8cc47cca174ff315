//! `peglore import weather`, run as the program itself.

use std::{
    path::Path,
    process::{Command, Output},
};

use peglore::{
    domain::{dates::Day, ids::VenueId},
    store::{Db, weather},
};
use tempfile::TempDir;

/// A data folder with one water in it.
async fn folder() -> TempDir {
    let folder = TempDir::new().expect("a throw-away folder");
    let db = Db::open(folder.path()).await.expect("a fresh record");
    let mut writing = db.write().await.expect("a writer");
    sqlx::query("INSERT INTO venues (id, pid, name) VALUES (1, '00000000000000000000000001', 'Quillet Water')")
        .execute(&mut *writing)
        .await
        .expect("a fresh venue");
    writing.commit().await.expect("kept");
    db.close().await;
    folder
}

/// The same, with a file of days.
async fn folder_with(name: &str, days: &str) -> (TempDir, String) {
    let folder = folder().await;
    let file = folder.path().join(name);
    std::fs::write(&file, days).expect("written");
    let file = file.to_string_lossy().into_owned();
    (folder, file)
}

/// A file is brought in as days of a source of that water.
fn of_a_source<'a>(file: &'a str, source: &'a str) -> [&'a str; 6] {
    [
        "weather",
        file,
        "--venue",
        "Quillet Water",
        "--source",
        source,
    ]
}

fn import(folder: &Path, what: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_peglore"))
        .arg("import")
        .arg("--data")
        .arg(folder)
        .args(what)
        .output()
        .expect("the program runs")
}

fn told(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr)
}

async fn days(folder: &Path) -> usize {
    let db = Db::open(folder).await.expect("the record opens");
    let (first, last) = Day::ALL;
    let days = {
        let mut reading = db.read().await.expect("a reader");
        weather::effective_days(&mut reading, VenueId(1), first, last)
            .await
            .expect("read")
    };
    db.close().await;
    days.len()
}

#[tokio::test]
async fn a_file_comes_in_from_the_command_line_once_and_can_be_undone() {
    let (folder, file) = folder_with(
        "harl.csv",
        "Day;Regen;Low C;Humidity\n01/02/2025;3,2;-1;81\n13/02/2025;0;2;77\n",
    )
    .await;
    let all = [
        "weather",
        &file,
        "--venue",
        "quillet water",
        "--source",
        "Harl Top",
        "--column",
        "Regen=rain-mm",
    ];
    let looked = import(folder.path(), &[&all[..], &["--look"]].concat());
    assert!(
        told(&looked).contains("two new days, none in"),
        "{}",
        told(&looked)
    );
    assert!(
        told(&looked).contains("Columns not taken: Humidity."),
        "{}",
        told(&looked)
    );
    assert_eq!(days(folder.path()).await, 0);

    let saved = import(folder.path(), &all);
    assert!(told(&saved).contains("Columns not taken: Humidity."));
    assert!(
        saved.status.success() && told(&saved).contains("Saved as file"),
        "{}",
        told(&saved)
    );
    // The first number went to the look, which left nothing: it is never given again.
    let undo = format!("“peglore import --data {} undo 2”", folder.path().display());
    assert!(told(&saved).contains(&undo), "{}", told(&saved));
    assert_eq!(days(folder.path()).await, 2);
    let again = import(folder.path(), &all);
    assert!(
        told(&again).contains("no new days, two in the record already"),
        "{}",
        told(&again)
    );

    let number = told(&saved);
    let number = number.split("undo ").nth(1).expect("its number");
    let number: String = number.chars().take_while(char::is_ascii_digit).collect();
    let undone = import(folder.path(), &["undo", &number]);
    assert!(undone.status.success(), "{}", told(&undone));
    let twice = import(folder.path(), &["undo", &number]);
    assert!(
        !twice.status.success() && told(&twice).contains("undone already"),
        "{}",
        told(&twice)
    );
    assert_eq!(days(folder.path()).await, 0);
}

#[tokio::test]
async fn what_is_said_wrongly_is_told_in_a_sentence_and_leaves_nothing() {
    let (folder, file) = folder_with("harl.csv", "Day;Rain mm\n01/02/2025;3,2\n").await;
    let base = of_a_source(&file, "Harl Top");
    for (more, sentence) in [
        (&["--dates", "backwards"][..], "day-first or month-first"),
        (&["--column", "Rain"], "COLUMN=WHAT"),
        (&["--column", "Hail=rain-mm"], "there is no column"),
        (&["--day-ends", "noon"], "no hour at which a day can end"),
        (&["--day-before", "snow"], "low, high or rain"),
        (&[], "Does the day or the month come first"),
        (&[], "Give --dates day-first or --dates month-first"),
    ] {
        let output = import(folder.path(), &[&base[..], more].concat());
        assert!(!output.status.success(), "{more:?}");
        assert!(
            told(&output).contains(sentence),
            "{more:?}: {}",
            told(&output)
        );
    }
    let nowhere = import(
        folder.path(),
        &["weather", &file, "--venue", "Elsewhere", "--source", "x"],
    );
    assert!(
        told(&nowhere).contains("on record: Quillet Water"),
        "{}",
        told(&nowhere)
    );
    assert_eq!(days(folder.path()).await, 0);
}

#[tokio::test]
async fn a_station_files_rain_counts_by_the_hour_at_which_it_is_read() {
    for (more, first, ends) in [
        (&[][..], "2025-02-01", "07:00"),
        (&["--day-before", "low"], "2025-02-02", "07:00"),
        (&["--day-ends", "24:00"], "2025-02-02", "24:00"),
    ] {
        let text = "XX000012345,20250202,PRCP,86,,,E,0700\nXX000012345,20250203,PRCP,12,,,E,0700\n";
        let (folder, file) = folder_with("station.csv", text).await;
        let asked = of_a_source(&file, "Harl");
        let saved = import(folder.path(), &[&asked[..], more].concat());
        assert!(saved.status.success(), "{}", told(&saved));

        let db = Db::open(folder.path()).await.expect("the record opens");
        let mut found: Vec<String> = Vec::new();
        for question in [
            "SELECT MIN(on_date) FROM weather_days WHERE rain_mm > 8",
            "SELECT day_ends_at FROM weather_sources WHERE name = 'Harl'",
        ] {
            let mut reading = db.read().await.expect("a reader");
            let one = sqlx::query_scalar(question).fetch_one(&mut *reading);
            found.push(one.await.expect("one row"));
        }
        db.close().await;
        assert_eq!(found, [first, ends], "{more:?}");
    }
}

#[tokio::test]
async fn what_is_refused_is_told_by_its_line_and_shows_in_the_exit_code() {
    let text =
        "date,max_c,rain_mm\n2025-02-01,8,3\n2190-02-02,9,1\n2025-02-30,7,0\n2025-02-03,6,2\n";
    let (folder, file) = folder_with("harl.csv", text).await;
    let asked = of_a_source(&file, "Harl");
    for more in [&["--look"][..], &[]] {
        let output = import(folder.path(), &[&asked[..], more].concat());
        let told = told(&output);
        // A look saves nothing that could be lacking.
        assert_eq!(output.status.success(), more == ["--look"], "{told}");
        for words in ["two refused", "Line 3: ", "still to come", "Line 4: "] {
            assert!(told.contains(words), "no “{words}” in {told}");
        }
    }
    assert_eq!(days(folder.path()).await, 2);

    // Twenty are told one by one, and the rest are counted.
    let mut text = "date,max_c\n".to_owned();
    for day in 1..=22 {
        text.push_str(&format!("2190-01-{day:02},9\n"));
    }
    std::fs::write(&*file, text).expect("written");
    // All of them are still to come: nobody can mend them.
    let output = import(folder.path(), &asked);
    let told = told(&output);
    assert!(output.status.success(), "{told}");
    for words in [
        "Line 21: ",
        "And 2 more refused.",
        "22 days are still to come: bring the file in again once they are past.",
    ] {
        assert!(told.contains(words), "no “{words}” in {told}");
    }
    assert!(!told.contains("Line 22: "), "{told}");
    assert!(!told.contains("Mend"), "{told}");
}

#[tokio::test]
async fn a_day_still_to_come_is_no_failure_whether_looked_at_or_saved() {
    let (folder, file) = folder_with("harl.csv", "date,max_c\n2025-02-01,8\n2190-02-02,9\n").await;
    let asked = of_a_source(&file, "Harl");
    // Looked at, saved, and brought in again with nothing left to save.
    for more in [&["--look"][..], &[], &[]] {
        let output = import(folder.path(), &[&asked[..], more].concat());
        let told = told(&output);
        assert!(output.status.success(), "{told}");
        for words in [
            "Line 3: Tue 2 Feb 2190 is still to come",
            "One day is still to come: bring the file in again once it is past.",
        ] {
            assert!(told.contains(words), "no “{words}” in {told}");
        }
        assert!(!told.contains("Mend"), "{told}");
    }
    assert_eq!(days(folder.path()).await, 1);
}

#[tokio::test]
async fn a_source_that_is_there_is_not_counted_otherwise_by_a_file() {
    let folder = folder().await;
    let file = folder.path().join("harl.csv");
    std::fs::write(&file, "date,max_c\n2025-02-01,8\n").expect("written");
    let path = file.to_string_lossy().into_owned();
    let asked = [
        "weather",
        &path,
        "--venue",
        "Quillet Water",
        "--source",
        "Harl",
    ];
    let nine = [&asked[..], &["--day-ends", "9"]].concat();
    let saved = import(folder.path(), &nine);
    assert!(saved.status.success(), "{}", told(&saved));
    std::fs::write(&file, "date,max_c\n2025-02-02,8\n").expect("written");
    for (more, words) in [
        (
            ["--day-ends", "10"],
            "Harl is there already, and its day ends at 09:00; --day-ends would count",
        ),
        (
            ["--day-before", "rain"],
            "nothing of it counts for the day before; --day-before would count",
        ),
    ] {
        let refused = import(folder.path(), &[&asked[..], &more].concat());
        assert!(!refused.status.success(), "{}", told(&refused));
        assert!(told(&refused).contains(words), "{}", told(&refused));
    }
    assert_eq!(days(folder.path()).await, 1);
    let saved = import(folder.path(), &nine);
    assert!(saved.status.success(), "{}", told(&saved));
    assert_eq!(days(folder.path()).await, 2);
}

#[tokio::test]
async fn a_refused_day_that_is_credited_to_the_day_before_is_told_by_the_line_it_stands_on() {
    let text = "date,rain_mm\n2025-02-01,3\n2190-02-02,1\n2190-02-03,2\n";
    let (folder, file) = folder_with("gauge.csv", text).await;
    let asked = [
        "weather",
        &file,
        "--venue",
        "Quillet Water",
        "--source",
        "Gauge",
        "--day-ends",
        "9 am",
        "--day-before",
        "rain",
        "--look",
    ];
    let told = told(&import(folder.path(), &asked));
    for words in [
        "Line 3: Mon 1 Feb 2190 is still to come",
        "Line 4: Tue 2 Feb 2190 is still to come",
    ] {
        assert!(told.contains(words), "no “{words}” in {told}");
    }
}

#[tokio::test]
async fn a_file_without_days_or_a_column_of_dates_is_told_by_its_name() {
    let folder = folder().await;
    let base = ["--venue", "Quillet Water", "--source", "Harl"];
    for (name, text, sentence) in [
        ("none.csv", "", "none.csv: The file is empty"),
        (
            "odd.csv",
            "\u{1}\u{2}\u{3}\u{4}",
            "odd.csv: The file is not text",
        ),
        ("head.csv", "date,max_c,rain_mm\n", "head.csv: "),
        ("tag.csv", "Tag,rain_mm\nfirst,3\n", "--column \"Tag=date\""),
    ] {
        let file = folder.path().join(name);
        std::fs::write(&file, text).expect("written");
        let file = file.to_string_lossy();
        let output = import(folder.path(), &[&["weather", &file][..], &base].concat());
        assert!(!output.status.success(), "{name}: {}", told(&output));
        assert!(told(&output).contains(sentence), "{}", told(&output));
    }
    let help = import(folder.path(), &["weather", "--help"]);
    for word in ["rain-mm", "wind-from", "pressure-hpa"] {
        assert!(told(&help).contains(word), "{}", told(&help));
    }
}
