//! An entry of the diary is put right or taken out; a later save sees both versions.

use axum::http::StatusCode;

use crate::support::{Actor, TestSite};

/// An organiser, and the address of the first entry of the first water's diary.
async fn written(site: &TestSite) -> (Actor, String) {
    let mut writing = site.site.db.write().await.expect("the writer is free");
    sqlx::raw_sql("INSERT INTO venues (id, pid, name) VALUES (1, '00000000000000000000000001', 'Quillet Water')")
        .execute(&mut *writing)
        .await
        .expect("fits the schema");
    writing.commit().await.expect("kept");
    let organiser = site.organiser().await;
    organiser
        .submit("/venues/1/diary", &entry("Tench from the stew pond"))
        .await
        .taken();
    (organiser, "/venues/1/diary/1".to_owned())
}

fn entry(words: &'static str) -> Vec<(&'static str, &'static str)> {
    vec![
        ("version", "1"),
        ("on", "2026-11-02"),
        ("kind", "stocking"),
        ("words", words),
        ("kg", "120.5"),
        ("group", "silvers"),
    ]
}

async fn audited(site: &TestSite) -> i64 {
    let mut reading = site.site.db.read().await.expect("a reader");
    sqlx::query_scalar(
        "SELECT COUNT(*) FROM audit WHERE verb IN ('corrected a diary', 'took out of a diary')",
    )
    .fetch_one(&mut *reading)
    .await
    .expect("a number")
}

#[tokio::test]
async fn an_entry_is_put_right_and_the_later_of_two_saves_sees_both() {
    let site = TestSite::new().await;
    let (organiser, address) = written(&site).await;
    organiser
        .get(&address)
        .await
        .shown()
        .says("value=\"120.5\"")
        .says("Tench from the stew pond");

    organiser
        .submit(&address, &entry("Crucians from the stew pond"))
        .await
        .taken();
    let late = organiser
        .submit(&address, &entry("Rudd from the stew pond"))
        .await;

    assert_eq!(late.status, StatusCode::CONFLICT);
    late.says("Crucians from the stew pond")
        .says("Rudd from the stew pond")
        .says("name=\"version\" value=\"2\"");
    organiser
        .submit(&address, &entry(""))
        .await
        .asks("in a few words");
    assert_eq!(audited(&site).await, 1);
    assert_eq!(
        site.member()
            .await
            .submit(&address, &entry("Mine"))
            .await
            .status,
        StatusCode::FORBIDDEN
    );
}

#[tokio::test]
async fn a_weight_with_its_unit_is_understood_and_what_is_none_comes_back_as_typed() {
    let site = TestSite::new().await;
    let (organiser, address) = written(&site).await;
    let mut form = entry("Tench from the stew pond");
    form[4].1 = "200 lb";
    organiser.submit(&address, &form).await.taken();
    organiser
        .get("/venues/1/diary")
        .await
        .shown()
        .says("Tench from the stew pond</span> <span class=\"quiet\">(200 lb of silvers)</span>");
    crate::support::record::tell(&site, "UPDATE venues SET weighs_in = 'g'").await;
    organiser
        .get("/venues/1/diary")
        .await
        .shown()
        .says("(90.72 kg of silvers)");
    form[4].1 = "1,234";
    organiser
        .submit(&address, &form)
        .await
        .asks("Write 1234 for thousands, or 1.234 for a part of one")
        .says("value=\"1,234\"");
    form[4].1 = "a few";
    organiser
        .submit(&address, &form)
        .await
        .asks("with its unit, for example 200 lb")
        .says("value=\"a few\"");
}

#[tokio::test]
async fn what_happened_is_not_of_a_day_to_come_and_what_is_planned_is_asked_about() {
    let site = TestSite::new().await;
    let (organiser, address) = written(&site).await;
    let page = "/venues/1/diary";
    let mut form = entry("Tench for the far bank");
    form[1].1 = "2031-01-01";
    for path in [page, address.as_str()] {
        let answer = organiser.submit(path, &form).await;
        answer
            .asks("Wednesday 1 January 2031 is still to come. Enter the day on which it happened.")
            .says("Tench for the far bank")
            .does_not_say("on_sure");
    }
    form[2].1 = "bank works";
    organiser
        .submit(page, &form)
        .await
        .asks("is still to come. Mend the date, or tick that it is planned.")
        .says("Yes, it is planned for that day");
    form.push(("on_sure", "2031-01-01"));
    organiser.submit(page, &form).await.taken();
    form[1].1 = "1926-11-02";
    organiser
        .submit(page, &form)
        .await
        .asks("Tuesday 2 November 1926 is far from today.")
        .says("Yes, that is the date");
    // What stands planned is not asked about again.
    let mut planned = entry("New platforms");
    (planned[1].1, planned[2].1) = ("2031-01-01", "bank works");
    organiser
        .submit("/venues/1/diary/2", &planned)
        .await
        .taken();
}

#[tokio::test]
async fn an_entry_is_taken_out_unless_it_was_changed_meanwhile() {
    let site = TestSite::new().await;
    let (organiser, address) = written(&site).await;
    let removal = format!("{address}/removal");
    organiser
        .submit(&address, &entry("Crucians from the stew pond"))
        .await
        .taken();

    let late = organiser.submit(&removal, &[("version", "1")]).await;
    assert_eq!(late.status, StatusCode::CONFLICT);
    late.says("Crucians from the stew pond");
    let to = organiser
        .submit(&removal, &[("version", "2")])
        .await
        .taken();

    assert_eq!(to, "/venues/1/diary?done=taken-out");
    site.visitor()
        .get("/venues/1/diary")
        .await
        .shown()
        .does_not_say("Crucians");
    assert_eq!(audited(&site).await, 2);
    assert_eq!(organiser.get(&address).await.status, StatusCode::NOT_FOUND);
}

/// A link or a form of an entry that is gone names no entry written later.
#[tokio::test]
async fn the_address_of_an_entry_taken_out_is_never_another_entrys() {
    let site = TestSite::new().await;
    let (organiser, address) = written(&site).await;
    organiser
        .submit(&format!("{address}/removal"), &[("version", "1")])
        .await
        .taken();
    organiser
        .submit("/venues/1/diary", &entry("Rudd from the stew pond"))
        .await
        .taken();

    assert_eq!(organiser.get(&address).await.status, StatusCode::NOT_FOUND);
    let kept_open = organiser
        .submit(&address, &entry("Crucians from the stew pond"))
        .await;
    assert_eq!(kept_open.status, StatusCode::NOT_FOUND);
    site.visitor()
        .get("/venues/1/diary")
        .await
        .shown()
        .says("Rudd from the stew pond")
        .does_not_say("Crucians");
}
