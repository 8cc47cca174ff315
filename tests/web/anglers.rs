//! An angler's page lists what its reader may see, and no more.

use crate::support::{
    Actor, TestSite,
    planted::{MATCHES, Planted, Reported, day},
};

/// The address of the last page on the list of the angler whom officers see under this name.
pub(super) async fn page_of(officer: &Actor, name: &str) -> String {
    let list = officer.get("/anglers").await.shown();
    let at = list.body.rfind(&format!(">{name}<")).expect("listed");
    list.body[..at]
        .rsplit("href=\"")
        .next()
        .and_then(|rest| rest.split('"').next())
        .expect("a link")
        .to_owned()
}

fn report(angler: usize, visibility: &'static str, on: i8) -> Reported {
    Reported {
        angler,
        day: day(8, on),
        visibility,
        fish: 7,
        method: None,
    }
}

#[tokio::test]
async fn matches_and_shared_reports_are_listed_and_private_ones_are_not() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let (shared, private) = (report(1, "club", 1), report(1, "private", 2));
    planted.report(&site, &[shared, private]).await;

    let page = site
        .member()
        .await
        .get(&format!("/anglers/{}", planted.angler_pids[1]))
        .await
        .shown();

    page.says("Jem Coppleway")
        .says("Frost Cup, round 8")
        .says("A report<")
        .says(&format!("1 to {n} of {n} sessions", n = MATCHES + 1))
        .says("Sat 1 Aug 2026")
        .does_not_say("Sun 2 Aug 2026")
        .says(&format!("href=\"{}\"", planted.path));
}

#[tokio::test]
async fn a_junior_keeps_the_short_name_and_an_angler_without_sessions_says_so() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let organiser = site.organiser().await;
    let member = site.member().await;
    organiser
        .submit("/anglers", &[("given", "Wyn"), ("surname", "Ashgrove")])
        .await
        .taken();

    member
        .get(&format!("/anglers/{}", planted.angler_pids[5]))
        .await
        .shown()
        .says("Pip L")
        .does_not_say("Larkmoor");
    let wyn = page_of(&organiser, "Wyn Ashgrove").await;
    member
        .get(&wyn)
        .await
        .shown()
        .says("No session that you may see is on record.");
}

#[tokio::test]
async fn an_angler_added_with_the_mark_of_a_junior_is_one() {
    let site = TestSite::new().await;
    let organiser = site.organiser().await;
    organiser
        .submit("/anglers", &[("given", "Orla"), ("surname", "Stitch (J)")])
        .await
        .taken();
    let orla = page_of(&organiser, "Orla Stitch").await;
    site.member()
        .await
        .get(&orla)
        .await
        .shown()
        .says("Orla S")
        .does_not_say("Stitch");
}
