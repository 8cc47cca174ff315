//! Names pasted in: one written in part is asked about, and who is new on the list is named.

use super::{a_match, number};
use crate::support::TestSite;

#[tokio::test]
async fn a_bare_surname_or_first_name_on_the_list_is_asked_about() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    for (bare, may_be) in [
        (
            "Hazelpatch",
            "Dot Hazelpatch: the surname agrees; one has no first name",
        ),
        (
            "Olly",
            "Olly Tarnside: the first name agrees; one has no surname",
        ),
        (
            "Olly T.",
            "Olly Tarnside: the first name agrees, and so does the initial of the surname",
        ),
    ] {
        organiser
            .submit("/matches/1/entries", &[("names", bare)])
            .await
            .asks(&format!("Say who {bare} is: somebody on record, or new."))
            .says(may_be);
    }
    assert_eq!(number(&site, "SELECT COUNT(*) FROM entries").await, 3);
}

#[tokio::test]
async fn who_is_newly_made_by_pasting_is_said_by_name() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;

    let back = organiser
        .submit(
            "/matches/1/entries",
            &[("names", "Bert Newman\nCharlie Tope")],
        )
        .await
        .taken();

    organiser
        .get(&back)
        .await
        .shown()
        .says("Saved.")
        .says("New on the list: Bert Newman, Charlie Tope.");
    for address in ["/matches/1/entries", "/matches/1/entries?new=999.x"] {
        organiser
            .get(address)
            .await
            .shown()
            .does_not_say("New on the list");
    }
}

/// Whoever is typed one at a time is made as surely, a second of one name among them.
#[tokio::test]
async fn all_who_are_newly_made_on_this_page_are_named_however_and_in_however_many_saves() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let page = "/matches/1/entries";
    let back = organiser
        .submit(page, &[("name-0", "Dot Hazelpatch")])
        .await
        .taken();
    let shown = organiser.get(&back).await.shown();
    shown.says("New on the list: Dot Hazelpatch.");
    let newly = shown.body.split("name=\"newly\" value=\"").nth(1);
    let newly = newly.and_then(|rest| rest.split('"').next());
    let newly = newly.expect("carried over");

    let asked = organiser
        .submit(page, &[("newly", newly), ("names", "Bert Newman\n17")])
        .await;
    asked
        .asks("New on the list: Dot Hazelpatch.")
        .says(&format!("name=\"newly\" value=\"{newly}\""));
    let back = organiser
        .submit(page, &[("newly", newly), ("names", "Bert Newman")])
        .await
        .taken();
    organiser
        .get(&back)
        .await
        .shown()
        .says("New on the list: Dot Hazelpatch, Bert Newman.");
}

#[tokio::test]
async fn columns_of_a_spreadsheet_are_refused_and_one_word_is_asked_about() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    for line in ["Una Dapplemere\tA", "Una Dapplemere;A"] {
        organiser
            .submit("/matches/1/entries", &[("names", line)])
            .await
            .asks("it has more than one column. Paste the column of names alone.");
    }
    organiser
        .submit("/matches/1/entries", &[("names", "Pellandine")])
        .await
        .asks("Pellandine is one word. Write the whole name in the list, or say that it is all there is.")
        .says("somebody new, known by this one word");
    assert_eq!(number(&site, "SELECT COUNT(*) FROM entries").await, 3);
    organiser
        .submit(
            "/matches/1/entries",
            &[
                ("names", "Pellandine"),
                ("whose-0", "Pellandine"),
                ("who-0", "new"),
            ],
        )
        .await
        .taken();
    assert_eq!(number(&site, "SELECT COUNT(*) FROM entries").await, 4);
}

#[tokio::test]
async fn a_grown_angler_pasted_as_a_junior_is_asked_about_and_said_to_be_none() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    for mark in ["(J)", "jnr", "jun.", "junior"] {
        organiser
            .submit(
                "/matches/1/entries",
                &[("names", &format!("Dot Hazelpatch {mark}"))],
            )
            .await
            .asks("Say who Dot Hazelpatch is: somebody on record, or new.")
            .says("Dot Hazelpatch: the same name, but no junior on the list")
            .says("somebody new, a junior");
    }
}
