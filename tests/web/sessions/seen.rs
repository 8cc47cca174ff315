//! Who sees a report, and what a match makes of it.

use axum::http::StatusCode;

use super::{asked, form, frost_cup, report, reported, tell, with_water};

#[tokio::test]
async fn who_sees_a_report_is_as_its_angler_chose() {
    let site = with_water().await;
    let (member, other) = (site.member().await, site.other_member().await);
    let open = reported(&member, &[("key", "the-first-form-0001")]).await;
    other
        .get(&open)
        .await
        .shown()
        .does_not_say("Change this report");
    let private = reported(
        &member,
        &[
            ("key", "the-second-form-001"),
            ("date", "2026-11-12"),
            ("visibility", "private"),
        ],
    )
    .await;
    let team = reported(
        &member,
        &[
            ("key", "the-third-form-0001"),
            ("date", "2026-11-11"),
            ("visibility", "team"),
        ],
    )
    .await;
    member.get(&private).await.shown();
    let administrator = site.administrator().await;
    for address in [&private, &team] {
        assert_eq!(other.get(address).await.status, StatusCode::NOT_FOUND);
        assert_eq!(
            administrator.get(address).await.status,
            StatusCode::NOT_FOUND
        );
    }
    for path in ["edit", "removal"] {
        let answer = other
            .submit(&format!("{open}/{path}"), &form(&[("ver", "1")]))
            .await;
        assert_eq!(answer.status, StatusCode::NOT_FOUND, "{path}");
    }
    reported(
        &other,
        &[
            ("key", "the-other-form-0001"),
            ("visibility", "club"),
            ("given", "Nell"),
        ],
    )
    .await;
    assert_eq!(other.get(&team).await.status, StatusCode::NOT_FOUND);
    tell(
        &site,
        "INSERT INTO club_teams (id, name) VALUES (1, 'Nethermoor A');
         INSERT INTO team_members (team_id, angler_id, from_on) SELECT 1, id, '2026-01-01' FROM anglers;",
    )
    .await;
    other.get(&team).await.shown();
    assert_eq!(other.get(&private).await.status, StatusCode::NOT_FOUND);
    assert_eq!(
        asked::<String>(
            &site,
            "SELECT default_visibility FROM anglers ORDER BY id LIMIT 1"
        )
        .await,
        "team",
        "the latest answer"
    );
    member
        .get("/report?venue=1")
        .await
        .shown()
        .says("value=\"team\" checked");
}

#[tokio::test]
async fn a_report_joins_the_match_fished_in_those_hours_and_official_weights_stay() {
    let site = with_water().await;
    let member = site.member().await;
    reported(
        &member,
        &[("key", "the-first-form-0001"), ("date", "2026-11-01")],
    )
    .await;
    frost_cup(&site, 1).await;
    let address = reported(&member, &[]).await;
    assert_eq!(address, "/sessions/00000000000000000000000003");
    member
        .get(&address)
        .await
        .shown()
        .says("Part of Frost Cup")
        .says("4 fish, 31\u{a0}lb\u{a0}4\u{a0}oz");
    let catches = "SELECT CAST(weight_g AS TEXT) || '/' || fish_count || '/' || official FROM session_catches WHERE session_id = 90 AND group_set = 1";
    assert_eq!(asked::<String>(&site, catches).await, "0.0/4/1");
    report(&member, &[("key", "the-third-form-0001")])
        .await
        .asks("in the record already")
        .says(&format!("href=\"{address}/edit\""));
    member
        .submit(
            &format!("{address}/removal"),
            &[("ver", "2"), ("sure", "on")],
        )
        .await
        .taken();
    assert_eq!(
        asked::<i64>(&site, "SELECT has_report FROM sessions WHERE id = 90").await,
        0
    );
    assert_eq!(
        asked::<f64>(
            &site,
            "SELECT SUM(minutes) FROM spells WHERE session_id = 90"
        )
        .await,
        300.0
    );
    let apart = reported(
        &member,
        &[
            ("key", "the-fourth-form-001"),
            ("start", "6:00"),
            ("end", "8:00"),
            ("spells", "1"),
            ("from_1", ""),
            ("to_1", ""),
            ("from_2", ""),
            ("to_2", ""),
        ],
    )
    .await;
    assert_ne!(apart, address);
}
