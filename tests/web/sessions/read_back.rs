//! What was understood of a report, told before anything of it is saved.

use super::{
    asked, form,
    quick::{ONE_WAY, quick},
    report, reported, with_water,
};
use crate::support::TestSite;

const READ_BACK: (&str, &str) = ("do", "read-back");

async fn sessions(site: &TestSite) -> i64 {
    asked(site, "SELECT COUNT(*) FROM sessions").await
}

#[tokio::test]
async fn a_whole_report_is_read_back_with_its_weights_and_numbers_and_not_saved() {
    let site = with_water().await;
    let member = site.member().await;
    member
        .get("/report?venue=1")
        .await
        .shown()
        .says("value=\"read-back\">Read it back to me first")
        .does_not_say("Nothing is saved yet");
    let told = [
        ("from_1", ""),
        ("to_1", ""),
        ("hours_1", "2½"),
        ("line_1", "6 ft"),
        ("aim_1", "L2"),
        ("fish_1", "1"),
        ("fish_weight_1", "9-2"),
    ];
    report(&member, &[&told[..], &[READ_BACK][..]].concat())
        .await
        .shown()
        .says("Nothing is saved yet")
        .says("Understood: <b>Carp, 4 fish, 31\u{a0}lb\u{a0}4\u{a0}oz</b>")
        .says("Understood: <b>9\u{a0}lb\u{a0}2\u{a0}oz</b>")
        .says("Understood: <b>2 hours 30 minutes</b>")
        .says("Understood: <b>1.83 m</b>")
        .says("Understood: <b>2 m left</b>")
        .says("name=\"line_1\" value=\"6 ft\"")
        .says("value=\"club\" checked");
    assert_eq!(sessions(&site).await, 0);
    report(&member, &[READ_BACK, ("carp_weight", "12.8")])
        .await
        .asks("This could be two weights.")
        .does_not_say("Nothing is saved yet");
    report(&member, &told).await.taken();
    assert_eq!(sessions(&site).await, 1);
}

#[tokio::test]
async fn a_quick_report_is_read_back_and_stays_quick() {
    let site = with_water().await;
    let member = site.member().await;
    reported(&member, &ONE_WAY).await;
    quick(&member, &[READ_BACK, ("carp_weight", "12-8")])
        .await
        .shown()
        .says("Nothing is saved yet")
        .says("Understood: <b>Carp, 3 fish, 12\u{a0}lb\u{a0}8\u{a0}oz</b>")
        .says("name=\"quick\" value=\"on\"")
        .says("value=\"a-quick-form-000001\"")
        .does_not_say("How you fished");
    assert_eq!(sessions(&site).await, 1);
    quick(&member, &[("carp_weight", "12-8")]).await.taken();
}

#[tokio::test]
async fn a_change_is_read_back_and_changes_nothing_yet() {
    let site = with_water().await;
    let member = site.member().await;
    let address = reported(&member, &[]).await;
    let changed = form(&[("ver", "1"), ("carp_number", "5"), READ_BACK]);
    member
        .submit(&format!("{address}/edit"), &changed)
        .await
        .shown()
        .says("Change your report")
        .says("Nothing is saved yet")
        .says("Understood: <b>Carp, 5 fish")
        .says("name=\"ver\" value=\"1\"");
    member.get(&address).await.shown().says("4 fish");
}
