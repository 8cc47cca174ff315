//! Reports sent again, changed, and taken back.

use axum::http::StatusCode;

use super::{asked, form, report, reported, with_water};

#[tokio::test]
async fn an_edit_shows_what_was_saved_and_a_later_save_sees_both_versions() {
    let site = with_water().await;
    let member = site.member().await;
    let address = reported(&member, &[]).await;
    let edit = format!("{address}/edit");
    member
        .get(&edit)
        .await
        .shown()
        .says("value=\"4\"")
        .says("name=\"ver\" value=\"1\"");
    let changed = form(&[("ver", "1"), ("carp_number", "5")]);
    member.submit(&edit, &changed).await.taken();
    member.submit(&edit, &changed).await.taken();
    let late = member
        .submit(&edit, &form(&[("ver", "1"), ("carp_number", "6")]))
        .await;
    assert_eq!(late.status, StatusCode::CONFLICT);
    late.says("What is saved")
        .says("5 fish, 31\u{a0}lb\u{a0}4\u{a0}oz")
        .says("6 fish, 31\u{a0}lb\u{a0}4\u{a0}oz <b>(differs)</b>")
        .says("5 fish, 31\u{a0}lb\u{a0}4\u{a0}oz <b>(differs)</b>")
        .says("name=\"ver\" value=\"2\"");
    assert_eq!(
        late.body.matches("(differs)").count(),
        2,
        "and nothing else does"
    );
    member
        .submit(&edit, &form(&[("ver", "2"), ("carp_number", "6")]))
        .await
        .taken();
    member
        .get(&address)
        .await
        .shown()
        .says("6 fish, 31\u{a0}lb\u{a0}4\u{a0}oz");
    member
        .submit(&edit, &form(&[("ver", "3"), ("end", "never")]))
        .await
        .asks("not a time of day");
    member
        .submit(
            &format!("{address}/removal"),
            &[("ver", "3"), ("sure", "on")],
        )
        .await
        .taken();
    assert_eq!(member.get(&address).await.status, StatusCode::NOT_FOUND);
    member
        .get("/sessions")
        .await
        .shown()
        .says("Nothing here yet");
}

/// What would be wiped unsaid is a row that the other version does not have.
#[tokio::test]
async fn two_versions_show_each_row_that_one_of_them_has() {
    let site = with_water().await;
    let member = site.member().await;
    let edit = format!("{}/edit", reported(&member, &[]).await);
    let second = [("ver", "1"), ("remarks", "Second tab.")];
    member.submit(&edit, &form(&second)).await.taken();
    let mut sent = form(&[
        ("ver", "1"),
        ("remarks", ""),
        ("spells", "1"),
        ("to_1", "15:00"),
        ("from_2", ""),
        ("to_2", ""),
        ("method_2", ""),
        ("silvers_weight", ""),
        ("fish_1", "1"),
    ]);
    sent.retain(|(name, _)| *name != "silvers_number_unknown");
    let late = member.submit(&edit, &sent).await;
    assert_eq!(late.status, StatusCode::CONFLICT);
    let (saved, yours) = late
        .body
        .split_once("What you sent")
        .expect("both versions");
    for row in [
        "Second tab. <b>(differs)</b>",
        "<dt>Worth naming</dt><dd>none <b>(differs)</b>",
    ] {
        assert!(saved.contains(row), "no “{row}” in {saved}");
    }
    for row in [
        "<dt>Remarks</dt><dd class=\"remarks\">none <b>(differs)</b>",
        "<dt>Spell 2</dt><dd>none <b>(differs)</b>",
        "<dt>No spell</dt><dd>no such time <b>(differs)</b>",
        "<dt>Caught</dt><dd>Silvers: not written down <b>(differs)</b>",
    ] {
        assert!(yours.contains(row), "no “{row}” in {yours}");
    }
    let at = |label: &str| yours.find(label).expect("it is told");
    assert!(
        at("<dt>Spell 2</dt>") < at("<dt>Rod-hours</dt>"),
        "in its place"
    );
}

#[tokio::test]
async fn an_edit_sent_back_unchanged_changes_nothing_of_the_record() {
    let site = with_water().await;
    let member = site.member().await;
    let address = reported(&member, &[("carp_tally", "1 - 2")]).await;
    let page = member.get(&format!("{address}/edit")).await.shown();
    page.says("value=\"1 - 2\"")
        .says("value=\"10:00\"")
        .says("name=\"spells\" value=\"2\"");
}

#[tokio::test]
async fn a_form_sent_twice_is_saved_once_and_with_other_words_is_a_conflict() {
    let site = with_water().await;
    let member = site.member().await;
    let first = report(&member, &[]).await.taken();
    assert_eq!(report(&member, &[]).await.taken(), first);
    let other = report(&member, &[("carp_number", "5")]).await;
    assert_eq!(other.status, StatusCode::CONFLICT);
    other
        .says("saved before, and now says something else")
        .says("What is saved")
        .says("Carp: 4 fish, 31\u{a0}lb\u{a0}4\u{a0}oz <b>(differs)</b>")
        .says("<title>Error:")
        .says("/edit\"")
        .says("value=\"5\"");
    assert_eq!(
        asked::<i64>(&site, "SELECT COUNT(*) FROM sessions").await,
        1
    );
}

#[tokio::test]
async fn an_edit_of_a_report_taken_back_meanwhile_keeps_what_was_typed() {
    let site = with_water().await;
    let member = site.member().await;
    let address = reported(&member, &[]).await;
    let removal = format!("{address}/removal");
    member
        .submit(&removal, &[("ver", "1")])
        .await
        .asks("Tick that this report is to be taken back.")
        .says("before the report is taken back");
    let page = member.get(&format!("{address}/edit")).await.shown();
    page.says(&format!("formaction=\"{removal}\""));
    assert_eq!(
        page.body.matches("action=\"/sessions/").count(),
        page.body.matches("formaction=\"/sessions/").count() + 1,
        "one form: the tick is sent with all that is typed"
    );
    member
        .submit(
            &removal,
            &form(&[
                ("ver", "1"),
                ("carp_number", "7"),
                ("remarks", "Not saved."),
            ]),
        )
        .await
        .asks("Tick that this report is to be taken back.")
        .says("before the report is taken back")
        .says("name=\"carp_number\" value=\"7\"")
        .says("Not saved.</textarea>")
        .says("name=\"ver\" value=\"1\"");
    let saved = member.get(&address).await.shown();
    saved.does_not_say("Not saved.");
    member
        .submit(&removal, &[("ver", "1"), ("sure", "on")])
        .await
        .taken();

    let late = member
        .submit(
            &format!("{address}/edit"),
            &form(&[("ver", "1"), ("remarks", "Wind off the back.")]),
        )
        .await;

    assert_eq!(late.status, StatusCode::CONFLICT);
    late.says("This report was taken back meanwhile")
        .says("Wind off the back.")
        .says("action=\"/report\"");
    let stranger = site.other_member().await;
    let other = stranger
        .submit(&format!("{address}/edit"), &form(&[("ver", "1")]))
        .await;
    assert_eq!(other.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn an_edit_gives_back_a_line_and_an_aim_as_people_say_them() {
    let site = with_water().await;
    let member = site.member().await;
    let typed = [
        ("line_1", "33 yards"),
        ("depth_1", "6 ft"),
        ("aim_1", "1.5 left"),
    ];
    let address = reported(&member, &typed).await;
    member
        .get(&format!("{address}/edit"))
        .await
        .shown()
        .says("value=\"33 yd\"")
        .says("value=\"6 ft\"")
        .says("value=\"1.5 m left\"");
}

#[tokio::test]
async fn an_edit_leaves_rods_empty_where_one_was_out_and_an_unknown_peg_unknown() {
    let site = with_water().await;
    let member = site.member().await;
    let moved = [("peg_2", "15")];
    let address = reported(&member, &moved).await;
    let unknown = "SELECT COUNT(*) FROM spells WHERE uncovered = 1 AND peg_id IS NULL";
    assert_eq!(asked::<i64>(&site, unknown).await, 1);
    member
        .get(&format!("{address}/edit"))
        .await
        .shown()
        .says("name=\"rods_1\" value=\"\"")
        .says("name=\"peg_2\" value=\"15\"");

    // One spell at another peg than the session's: what is left was fished on the session's.
    let one = [
        ("key", "the-second-form-001"),
        ("date", "2026-11-12"),
        ("spells", "1"),
        ("peg_1", "15"),
        ("from_2", ""),
        ("to_2", ""),
        ("method_2", ""),
    ];
    let address = reported(&member, &one).await;
    let kept = async |times: &str| {
        member
            .get(&address)
            .await
            .shown()
            .says(&format!("{times} not written down, peg 14"));
        let edit = member.get(&format!("{address}/edit")).await.shown();
        edit.says("name=\"peg\" value=\"14\"")
            .says("name=\"peg_1\" value=\"15\"");
    };
    kept("12:30 to 15:00").await;
    let of_no_time_of_day = [("ver", "1"), ("from_1", ""), ("to_1", ""), ("hours_1", "2")];
    let again = form(&[&one[..], &of_no_time_of_day[..]].concat());
    member
        .submit(&format!("{address}/edit"), &again)
        .await
        .taken();
    kept("3 hours").await;
    assert_eq!(asked::<i64>(&site, unknown).await, 1);
}

#[tokio::test]
async fn an_edit_sent_back_unchanged_gives_no_spell_the_peg_of_another() {
    let site = with_water().await;
    let member = site.member().await;
    let pegs = [("peg", ""), ("peg_1", "15"), ("peg_2", "")];
    let address = reported(&member, &pegs).await;
    let edit = format!("{address}/edit");
    let page = member.get(&edit).await.shown();
    for (name, value) in pegs {
        page.says(&format!("name=\"{name}\" value=\"{value}\""));
    }

    let unchanged = form(&[&pegs[..], &[("ver", "1")][..]].concat());
    member.submit(&edit, &unchanged).await.taken();

    let known = "SELECT COUNT(*) FROM spells WHERE peg_id IS NOT NULL";
    assert_eq!(asked::<i64>(&site, known).await, 1);
    let counted = "SELECT COUNT(*) FROM session_catches WHERE peg_id IS NOT NULL";
    assert_eq!(asked::<i64>(&site, counted).await, 0);
}

#[tokio::test]
async fn a_sessions_peg_for_which_no_time_is_left_is_named_and_not_lost() {
    let site = with_water().await;
    let member = site.member().await;
    let elsewhere = [
        ("spells", "1"),
        ("peg_1", "15"),
        ("from_1", ""),
        ("to_1", ""),
        ("from_2", ""),
        ("to_2", ""),
        ("method_2", ""),
    ];
    let no_hours = [("start", ""), ("end", "")];
    let all_day = [("peg_1", "15"), ("to_1", "13:00"), ("peg_2", "15")];
    let lost = "Peg 14: every spell names another peg";
    for changes in [
        elsewhere.to_vec(),
        [&elsewhere[..], &no_hours[..]].concat(),
        all_day.to_vec(),
    ] {
        let back = report(&member, &changes).await.asks(lost);
        back.says("href=\"#peg\"")
            .says("name=\"peg\" value=\"14\"")
            .says("name=\"peg_1\" value=\"15\"");
    }
    let late = [&elsewhere[..], &[("end", "late")][..]].concat();
    let late = report(&member, &late).await.asks("not a time of day");
    late.does_not_say(lost);

    // As the sentence says; an edit of it that is sent back unchanged meets nothing to mend.
    let left_empty = [&elsewhere[..], &[("peg", "")][..]].concat();
    let address = reported(&member, &left_empty).await;
    let edit = format!("{address}/edit");
    let page = member.get(&edit).await.shown();
    page.says("name=\"peg\" value=\"15\"")
        .says("name=\"peg_1\" value=\"\"")
        .says("name=\"from_1\" value=\"10:00\"");
    let shown = [
        ("ver", "1"),
        ("peg", "15"),
        ("peg_1", ""),
        ("from_1", "10:00"),
        ("to_1", "15:00"),
    ];
    let unchanged = form(&[&elsewhere[..], &shown[..]].concat());
    member.submit(&edit, &unchanged).await.taken();
}

#[tokio::test]
async fn an_edit_gives_back_a_spell_of_which_its_peg_alone_is_known() {
    let site = with_water().await;
    let member = site.member().await;
    let pegs_alone = [
        ("peg", ""),
        ("start", ""),
        ("end", ""),
        ("peg_1", "14"),
        ("from_1", ""),
        ("to_1", ""),
        ("method_1", ""),
        ("line_1", ""),
        ("peg_2", "15"),
        ("from_2", ""),
        ("to_2", ""),
        ("method_2", ""),
    ];
    let address = reported(&member, &pegs_alone).await;
    let edit = format!("{address}/edit");
    let page = member.get(&edit).await.shown();
    page.says("name=\"peg\" value=\"14\"")
        .says("name=\"peg_1\" value=\"14\"")
        .says("name=\"peg_2\" value=\"15\"");
    let shown = [("ver", "1"), ("peg", "14")];
    let unchanged = form(&[&pegs_alone[..], &shown[..]].concat());
    member.submit(&edit, &unchanged).await.taken();
    let spells = "SELECT COUNT(*) FROM spells WHERE uncovered = 0";
    assert_eq!(asked::<i64>(&site, spells).await, 2);
}

#[tokio::test]
async fn only_forms_of_ones_own_typing_may_be_kept_for_going_back() {
    let site = with_water().await;
    let member = site.member().await;
    let address = reported(&member, &[]).await;
    let edit = format!("{address}/edit");
    for path in ["/report?venue=1", "/report/quick", edit.as_str()] {
        let form = member.get(path).await.shown();
        assert_eq!(form.headers["cache-control"], "private, no-cache", "{path}");
    }
    let back = report(&member, &[("carp_number", "four")]).await;
    assert_eq!(back.headers["cache-control"], "private, no-cache");
    for path in [address.as_str(), "/sessions", "/venues/1", "/account"] {
        let page = member.get(path).await;
        assert_eq!(page.headers["cache-control"], "no-store", "{path}");
    }
}
