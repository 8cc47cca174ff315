//! What tests of reports begin with: a water, and a form that is filled in.

use super::{TestSite, record::tell};

pub const KEY: &str = "a-form-of-its-own-0001";

/// Quillet Water with two pegs on one bank, as an organiser would have set it up.
pub async fn lay_water(site: &TestSite) {
    tell(
        site,
        "INSERT INTO venues (id, pid, name) VALUES (1, '00000000000000000000000001', 'Quillet Water');
         INSERT INTO banks (id, venue_id, ord, name) VALUES (1, 1, 1, 'Long Reach');
         INSERT INTO pegs (id, venue_id, bank_id, number, walk_order) VALUES (1, 1, 1, '14', 1), (2, 1, 1, '15', 2);",
    )
    .await;
}

pub async fn with_water() -> TestSite {
    let site = TestSite::new().await;
    lay_water(&site).await;
    site
}

/// A report of the day before, five hours of it, open to the club, with these fields over it.
pub fn a_report(fields: &[(&'static str, &'static str)]) -> Vec<(&'static str, &'static str)> {
    let mut form = vec![
        ("venue", "1"),
        ("key", KEY),
        ("given", "Jem"),
        ("surname", "Coppleway"),
        ("date", "2026-11-13"),
        ("start", "10:00"),
        ("end", "15:00"),
        ("visibility", "club"),
    ];
    for (name, value) in fields {
        form.retain(|(known, _)| known != name);
        form.push((name, value));
    }
    form
}
