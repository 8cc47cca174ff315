//! Pounds and ounces in two columns, from the command line.

use super::*;

#[tokio::test]
async fn a_column_of_ounces_is_taken_as_headed_or_as_the_command_line_says() {
    let row = "2019-01-05,Cup,Jem Coppleway,0,12\n";
    let (folder, file) = folder(&format!("Date,Match,Angler,lb,oz\n{row}")).await;
    // Every answer but what weights without a unit are.
    let all = [&["sheet", file.as_str()][..], &ANSWERS[..8]].concat();
    let taken = [
        "oz: ounces of the weight to its left",
        "one match with one entry",
    ];
    let look = [&all[..], &["--look"]].concat();
    says(&import(folder.path(), &look), true, &taken);
    let without = [&look[..], &["--column", "oz=nothing"]].concat();
    says(
        &import(folder.path(), &without),
        false,
        &[
            "Nothing is taken from the column “oz”",
            "--column \"COLUMN=WHAT\"",
        ],
    );

    std::fs::write(&file, format!("Date,Match,Angler,lb,Odd\n{row}")).expect("written");
    let said = [&all[..], &["--column", "odd=ounces"]].concat();
    says(&import(folder.path(), &said), true, &["Saved as file 1"]);
    let db = Db::open(folder.path()).await.expect("the record opens");
    let mut reading = db.read().await.expect("a reader");
    let weighed: i64 = sqlx::query_scalar("SELECT raw_weight FROM weighings")
        .fetch_one(&mut *reading)
        .await
        .expect("one net");
    assert_eq!(weighed, 12 * 16);
    drop(reading);
    db.close().await;
    let wrong = [&look[..], &["--column", "odd=onces"]].concat();
    says(
        &import(folder.path(), &wrong),
        false,
        &["a column cannot hold “onces”", "weight, ", "ounces, "],
    );
    let missing = [&look[..], &["--column", "ozs=ounces"]].concat();
    says(
        &import(folder.path(), &missing),
        false,
        &["there is no column “ozs”"],
    );
}
