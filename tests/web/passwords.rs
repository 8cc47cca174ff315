//! How passwords are kept: Argon2id with its parameters beside each, renewed when they were weaker;
//! and long ones of any script taken as they are.

use peglore::{actions::passwords::Hasher, domain::accounts::Role, settings::Settings};

use crate::support::TestSite;

/// 128 characters, most of them of two to four bytes.
fn long() -> String {
    let words = "čtyři žluté labutě 🐟 ";
    words.chars().cycle().take(127).chain(['!']).collect()
}

async fn invited(site: &TestSite, name: &str, password: &str) {
    let link = site.invited(name, Role::Member).await;
    let visitor = site.visitor();
    visitor
        .submit(&link, &[("password", password)])
        .await
        .taken();
}

async fn kept(site: &TestSite) -> String {
    let mut reading = site.site.db.read().await.expect("a reader");
    sqlx::query_scalar("SELECT phc FROM accounts")
        .fetch_one(&mut *reading)
        .await
        .expect("one account, with a password")
}

async fn keep(site: &TestSite, phc: &str) {
    let mut writing = site.site.db.write().await.expect("the writer is free");
    sqlx::query("UPDATE accounts SET phc = ?")
        .bind(phc)
        .execute(&mut *writing)
        .await
        .expect("fits the schema");
    writing.commit().await.expect("kept");
}

// The least that is called enough: OWASP Password Storage Cheat Sheet, Argon2id with 19 MiB and
// two passes, or 46 MiB and one.
#[tokio::test]
async fn a_password_is_kept_as_argon2id_with_its_parameters_beside_it() {
    let memory = Settings::default().password_memory_kib;
    assert!(memory >= 46 * 1024, "{memory}");
    for (memory, wanted) in [
        (memory, format!("$argon2id$v=19$m={memory},t=1,p=1$")),
        (19_456, "$argon2id$v=19$m=19456,t=2,p=1$".to_owned()),
    ] {
        let kept = Hasher::new(memory).hash("wet bank cold hands").await;
        let kept = kept.expect("a turn is free");
        assert!(kept.starts_with(&wanted), "{kept}");
    }
}

#[tokio::test]
async fn a_password_kept_with_weaker_parameters_is_renewed_when_it_is_next_given() {
    let site = TestSite::new().await;
    let password = "wet bank cold hands";
    invited(&site, "Jem", password).await;
    let weak = Hasher::new(8_192).hash(password).await;
    let weak = weak.expect("a turn is free");
    keep(&site, &weak).await;

    let wrong = [("name", "Jem"), ("password", "not this one")];
    site.visitor().submit("/sign-in", &wrong).await;
    assert_eq!(kept(&site).await, weak, "a wrong one renews nothing");
    let right = [("name", "Jem"), ("password", password)];
    site.visitor().submit("/sign-in", &right).await.taken();
    let renewed = kept(&site).await;
    assert!(renewed.contains("$m=19456,t=2,p=1$"), "{renewed}");
    site.visitor().submit("/sign-in", &right).await.taken();
    assert_eq!(kept(&site).await, renewed, "and is then left alone");
}

#[tokio::test]
async fn a_long_password_of_any_script_signs_in_and_nothing_shorter_than_it_does() {
    let site = TestSite::new().await;
    let password = long();
    assert_eq!(password.chars().count(), 128);
    invited(&site, "Jem", &password).await;
    let last_gone = &password[..password.len() - 1];
    let cut = [("name", "Jem"), ("password", last_gone)];
    let refused = site.visitor().submit("/sign-in", &cut).await;
    refused.says("The name or the password is not right");
    let whole = [("name", "Jem"), ("password", password.as_str())];
    site.visitor().submit("/sign-in", &whole).await.taken();
}
