//! A form refused as a whole: nothing that was typed is lost, and the way on is told.

use axum::http::StatusCode;

use super::{
    KEY, asked, form,
    quick::{ONE_WAY, quick},
    report, reported, with_water,
};
use crate::support::Answer;

/// The key of the form on a page.
fn key_of(answer: &Answer) -> &'static str {
    let (_, after) = answer
        .body
        .split_once("name=\"key\" value=\"")
        .expect("the form has its key");
    let key = after.split('"').next().expect("a value");
    key.to_owned().leak()
}

#[tokio::test]
async fn one_that_is_too_large_says_that_nothing_was_saved_and_where_it_still_is() {
    let site = with_water().await;
    let member = site.member().await;
    let long: &'static str = "x".repeat(300_000).leak();
    let answer = report(&member, &[("remarks", long)]).await;
    assert_eq!(answer.status, StatusCode::PAYLOAD_TOO_LARGE);
    answer
        .says("<title>Error:")
        .says("Nothing was saved. What you typed is still in your browser: go back");
}

#[tokio::test]
async fn one_saved_from_another_account_comes_back_and_can_be_saved_as_ones_own() {
    let site = with_water().await;
    let (member, other) = (site.member().await, site.other_member().await);
    report(&member, &[]).await.taken();

    let back = report(&other, &[("given", "Nell")])
        .await
        .asks("This form was saved before, from another account.");

    back.says("name=\"given\" value=\"Nell\"")
        .says("name=\"carp_weight\" value=\"31-4\"")
        .says("Quiet until the sun came round.")
        .does_not_say(KEY)
        .does_not_say("/edit\"");
    let own = [("given", "Nell"), ("key", key_of(&back))];
    report(&other, &own).await.taken();
    let count = "SELECT COUNT(DISTINCT angler_id) FROM sessions";
    assert_eq!(asked::<i64>(&site, count).await, 2);
}

#[tokio::test]
async fn one_sent_again_after_its_report_was_taken_back_becomes_a_new_report() {
    let site = with_water().await;
    let member = site.member().await;
    reported(&member, &ONE_WAY).await;
    let first = quick(&member, &[]).await.taken();
    let first = first.split('?').next().expect("an address");
    let removal = format!("{first}/removal");
    let sure = [("ver", "1"), ("sure", "on")];
    let gone = member.submit(&removal, &sure).await.taken();
    assert_eq!(
        member.submit(&removal, &sure).await.taken(),
        gone,
        "tapped twice"
    );

    let back = quick(&member, &[]).await;

    assert_eq!(back.status, StatusCode::CONFLICT);
    back.says("This report was taken back meanwhile")
        .says("name=\"carp_number\" value=\"3\"")
        .says("action=\"/report\"");
    let anew = quick(&member, &[("key", key_of(&back))]).await.taken();
    assert!(!anew.starts_with(first), "{anew}");
    let stranger = site.other_member().await;
    let theirs = stranger.submit(&removal, &sure).await;
    assert_eq!(theirs.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn one_of_an_old_version_keeps_everything_it_sent_for_the_choice() {
    let site = with_water().await;
    let member = site.member().await;
    let address = reported(&member, &[]).await;
    let edit = format!("{address}/edit");
    let first = form(&[("ver", "1"), ("carp_number", "5")]);
    member.submit(&edit, &first).await.taken();

    let late = form(&[("ver", "1"), ("carp_number", "6"), ("aim_1", "2 left")]);
    let answer = member.submit(&edit, &late).await;

    assert_eq!(answer.status, StatusCode::CONFLICT);
    answer.says("<title>Error:").says("ver\" value=\"2\"");
    for (name, value) in late.iter().filter(|(name, _)| *name != "ver") {
        answer.says(&format!("name=\"{name}\" value=\"{value}\""));
    }
}
