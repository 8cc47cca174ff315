//! A sheet that the command line left laid out, once the same file is saved under another number.

use super::*;

#[tokio::test]
async fn the_list_says_under_which_number_the_same_file_is_saved() {
    let text = "Date,Match,Angler,Weight\n2019-01-05,Cup,Jem Coppleway,1-0\n2019-01-12,Cup,Jem Coppleway,1-0\n2019-01-19,Cup,J Coppleway,1-0\n";
    let (folder, file) = folder(text).await;
    let all = answered(&file);
    says(
        &import(folder.path(), &all),
        false,
        &["one name is in doubt"],
    );
    let list = import(folder.path(), &["list"]);
    says(&list, true, &["1: old.csv"]);
    let told = String::from_utf8_lossy(&list.stdout).into_owned();
    assert!(!told.contains("saved as file"), "{told}");
    // As an officer may answer on the page.
    let db = Db::open(folder.path()).await.expect("the record opens");
    let mut writing = db.write().await.expect("a writer");
    sqlx::query("UPDATE imports SET mapping_json = json_set(mapping_json, '$.people', json('{\"j coppleway\":\"LeftOut\"}'))")
        .execute(&mut *writing)
        .await
        .expect("fits the schema");
    writing.commit().await.expect("kept");
    db.close().await;
    says(&import(folder.path(), &all), true, &["Saved as file 2"]);
    says(
        &import(folder.path(), &["list"]),
        true,
        &["not saved yet, but the same file is saved as file 2, brought nothing"],
    );
}
