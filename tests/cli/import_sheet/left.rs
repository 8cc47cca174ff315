//! A sheet that the command line left laid out, once the same file is saved under another number.

use super::*;

#[tokio::test]
async fn the_list_says_under_which_number_the_same_file_is_saved() {
    let (folder, file) = one_in_doubt().await;
    let all = answered(&file);
    let list = import(folder.path(), &["list"]);
    says(&list, true, &["1: old.csv"]);
    let told = String::from_utf8_lossy(&list.stdout).into_owned();
    assert!(!told.contains("saved as file"), "{told}");
    leave_the_doubtful_out(folder.path()).await;
    says(&import(folder.path(), &all), true, &["Saved as file 2"]);
    says(
        &import(folder.path(), &["list"]),
        true,
        &["not saved yet, but the same file is saved as file 2, brought nothing"],
    );
}
