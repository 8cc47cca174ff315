//! Waters, weather and sessions for tests of what the record teaches: a cut of the invented
//! club, and single reports.

use peglore::{
    actions::{keep_fits, plant_demo},
    demo::{self, DemoClub, Size},
    domain::{dates::Day, ids::VenueId, weather::DailyWeather},
    store::weather::{self, Written},
};

use super::TestSite;

/// The test clock stands on Saturday 14 November 2026.
pub const TODAY: Day = Day(jiff::civil::date(2026, 11, 14));
/// Silvers, and carp and silvers together.
pub const SILVERS: i64 = 2;
pub const BOTH: i64 = 3;

impl TestSite {
    /// The invented club with `venues` of its waters, `matches` on each and `reports` on each.
    pub async fn with_club(venues: usize, matches: usize, reports: usize) -> Self {
        let site = Self::new().await;
        let mut club = demo::make(demo::SEED, Size::Usual, TODAY);
        club.venues.rotate_left(1); // the smaller waters first
        club.venues.truncate(venues);
        for venue in &mut club.venues {
            venue.matches.truncate(matches);
            venue.reports.truncate(reports);
        }
        site.plant(&club).await;
        site
    }

    /// An invented club, put into a record with nothing in it.
    pub async fn plant(&self, club: &DemoClub) {
        plant_demo::plant(&self.site.db, self.site.now(), club)
            .await
            .expect("an empty record takes it");
    }

    pub async fn fitted(&self) -> keep_fits::Round {
        keep_fits::refresh(&self.site.db, self.site.now())
            .await
            .expect("a round of fits")
    }

    /// A water with nothing on record.
    pub async fn water(&self, id: i64) -> VenueId {
        let mut writing = self.site.db.write().await.expect("a writer");
        sqlx::query("INSERT INTO venues (id, pid, name) VALUES (?, ?, ?)")
            .bind(id)
            .bind(format!("{id:026}"))
            .bind(format!("Quillet Water {id}"))
            .execute(&mut *writing)
            .await
            .expect("a fresh venue");
        writing.commit().await.expect("kept");
        VenueId(id)
    }

    /// A report of silvers by an angler of this number, five hours with one rod.
    pub async fn report(&self, venue: VenueId, angler: i64, day: Day, fish: i64, visibility: &str) {
        let mut writing = self.site.db.write().await.expect("a writer");
        sqlx::query("INSERT INTO anglers (id, pid) VALUES (?, ?) ON CONFLICT DO NOTHING")
            .bind(angler)
            .bind(format!("{angler:026}"))
            .execute(&mut *writing)
            .await
            .expect("an angler");
        let session = sqlx::query(
            "INSERT INTO sessions (pid, kind, angler_id, venue_id, fished_on, zone, effort_source, visibility, entered_utc)
             VALUES (printf('%026d', 5000 + (SELECT COUNT(*) FROM sessions)), 'report', ?, ?, ?, 'Europe/London', 'session', ?, 0)",
        )
        .bind(angler)
        .bind(venue.0)
        .bind(day.to_string())
        .bind(visibility)
        .execute(&mut *writing)
        .await
        .expect("a session")
        .last_insert_rowid();
        for statement in [
            "INSERT INTO spells (session_id, ord, minutes, method_id) VALUES (?1, 1, 300, 1 + 0 * ?2)",
            "INSERT INTO fish (session_id, ord, row_kind, group_set, count) VALUES (?1, 1, 'total', 2, ?2)",
            "INSERT INTO session_catches (session_id, group_set, fish_count, official, rod_hours) VALUES (?1, 2, ?2, 0, 5)",
        ] {
            sqlx::query(statement)
                .bind(session)
                .bind(fish)
                .execute(&mut *writing)
                .await
                .expect("a part of the session");
        }
        writing.commit().await.expect("kept");
    }

    /// Weather of a day by the hand of the venue, over what it said before.
    pub async fn weather(&self, venue: VenueId, day: Day, says: DailyWeather) {
        let mut writing = self.site.db.write().await.expect("a writer");
        let source = match weather::by_hand(&mut writing, venue).await.expect("read") {
            Some(source) => source,
            None => {
                let name = format!("By hand at {venue}");
                let source = weather::insert_source(&mut writing, &name, "by hand", "24:00")
                    .await
                    .expect("a free name");
                weather::set_rank(&mut writing, venue, source, Some(1))
                    .await
                    .expect("ranked");
                source
            }
        };
        let written = Written {
            by: None,
            import: None,
            at: self.site.now(),
        };
        weather::put_day(&mut writing, source, day, &says, written)
            .await
            .expect("written");
        writing.commit().await.expect("kept");
    }
}
