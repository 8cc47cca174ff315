//! What won is told alike in the result, on the front page, at the water and among the sessions
//! of its angler: by the scales and the step of its match.

use super::{a_match, post, run};
use crate::support::{TestSite, record::asked};

/// At a water of pounds and ounces.
#[tokio::test]
async fn what_won_is_told_everywhere_as_the_result_tells_it() {
    for (ranks, typed, told) in [
        (
            "UPDATE matches SET scale = 'g', step = 1",
            "5.675 kg",
            "5.675\u{a0}kg",
        ),
        (
            "UPDATE matches SET scale = 'g', step = 20",
            "5.675 kg",
            "5.660\u{a0}kg",
        ),
        (
            "UPDATE matches SET scale = 'dr', step = 4",
            "12-8-8",
            "12\u{a0}lb\u{a0}8\u{a0}oz\u{a0}8\u{a0}dr",
        ),
        (
            "UPDATE matches SET scale = 'dr', step = 16",
            "12-8-15",
            "12\u{a0}lb\u{a0}8\u{a0}oz",
        ),
    ] {
        let site = TestSite::new().await;
        let organiser = a_match(&site).await;
        run(&site, ranks).await;
        let sheet = [
            ("version", "2"),
            ("net-1-3-0", typed),
            ("outcome-2", "absent"),
            ("outcome-3", "blank"),
        ];
        post(&organiser, &sheet).await;

        let (visitor, member) = (site.visitor(), site.member().await);
        let result = visitor.get("/matches/1/result").await.shown();
        result.says(&format!(" won with {told}. 3 entered"));
        for path in ["/", "/venues/1"] {
            let page = visitor.get(path).await.shown();
            page.says(&format!("two anglers, won with {told}</span>"));
        }
        let pid =
            "SELECT g.pid FROM entries AS e JOIN anglers AS g ON g.id = e.angler_id WHERE e.id = 1";
        let pid: String = asked(&site, pid).await;
        let angler = member.get(&format!("/anglers/{pid}")).await.shown();
        angler.says(&format!("data-says=\"Weight\">{told}</td>"));
    }
}

#[tokio::test]
async fn a_weight_disqualified_is_told_to_the_unit_as_its_result_tells_it() {
    let site = TestSite::new().await;
    let organiser = a_match(&site).await;
    let sheet = [
        ("version", "2"),
        ("net-1-3-0", "12-8-15"),
        ("outcome-1", "disqualified"),
        ("outcome-2", "absent"),
        ("outcome-3", "blank"),
    ];
    post(&organiser, &sheet).await;

    let told = "12\u{a0}lb\u{a0}8\u{a0}oz\u{a0}15\u{a0}dr";
    let result = organiser.get("/matches/1/result").await.shown();
    result.says(&format!("weighed {told}"));
    let pid =
        "SELECT g.pid FROM entries AS e JOIN anglers AS g ON g.id = e.angler_id WHERE e.id = 1";
    let pid: String = asked(&site, pid).await;
    let angler = organiser.get(&format!("/anglers/{pid}")).await.shown();
    angler.says(&format!("data-says=\"Weight\">{told}, disqualified</td>"));
}
