//! Waters that a sheet or the command line names and the record does not have.

use super::*;

#[tokio::test]
async fn a_water_that_is_not_on_record_is_refused_at_once_and_one_in_the_sheet_is_asked_about() {
    let (folder, file) = folder(SHEET).await;
    let words = "there is no water “Foo”; on record: Quillet Water";
    for more in [&["--look"][..], &[]] {
        let typed = [&["sheet", file.as_str(), "--venue", "Foo"][..], more].concat();
        let refused = import(folder.path(), &typed);
        says(&refused, false, &[words]);
        let told = String::from_utf8_lossy(&refused.stderr).into_owned();
        assert!(!told.contains("--hours"), "{told}");
    }
    assert_eq!(made(folder.path()).await, (0, vec![]));

    std::fs::write(
        &file,
        "Date,Match,Venue,Angler,Weight\n2019-01-05,Cup,Foo,Jem Coppleway,1-0\n",
    )
    .expect("written");
    let asked = import(folder.path(), &answered(&file));
    says(
        &asked,
        false,
        &[
            "one water of the sheet is not on record by that name",
            "/imports/1/names and say which it is",
        ],
    );
    let told = String::from_utf8_lossy(&asked.stderr).into_owned();
    assert!(!told.contains("in doubt"), "{told}");
}
