//! Writes the made-up club into an empty record.

use super::{
    ActionError, one_time_links,
    tokens::{new_pid, random},
};
use crate::{
    demo::{Catch, DemoClub, DemoVenue},
    domain::{
        accounts::{Role, folded_name},
        dates::{Instant, Zone},
        groups::Group,
        ids::{AccountId, AnglerId, EntryId, MethodId, PegId, SessionId, VenueId},
        weather::{DailyWeather, Ice, WindFrom},
    },
    store::{Db, Writing, accounts, anglers, demo as rows, settings},
};

/// The one-time links with which a newcomer signs in to the demonstration.
pub struct DemoLinks {
    pub angler: String,
    pub organiser: String,
    pub administrator: String,
}

/// Writes `club` down. The record must be empty.
pub async fn plant(db: &Db, now: Instant, club: &DemoClub) -> Result<DemoLinks, ActionError> {
    let zone = Zone::named("Europe/London").ok_or(ActionError::NotFound)?;
    let mut writing = db.write().await?;
    if !accounts::all(&mut writing).await?.is_empty() {
        return Err(ActionError::refused(
            "data",
            "The demonstration is only written into an empty folder.",
        ));
    }
    settings::put(&mut writing, "club_name", club.name).await?;
    let mut people = Vec::new();
    for angler in &club.anglers {
        people.push(
            anglers::insert(
                &mut writing,
                &new_pid(),
                angler.given,
                Some(angler.surname),
                &random::<16>(),
                angler.is_junior,
                None,
            )
            .await?,
        );
    }
    let signs_in = [Role::Member, Role::Organiser, Role::Administrator];
    let mut made = Vec::new();
    for (role, angler) in signs_in.into_iter().zip(&people) {
        made.push(account(&mut writing, now, role, *angler, club).await?);
    }
    for venue in &club.venues {
        water(&mut writing, now, &zone, venue, club, &people).await?;
    }
    rows::refresh_all_catches(&mut writing).await?;
    writing.commit().await?;
    let link = async |place: usize| one_time_links::demo_link(db, now, made[place]).await;
    Ok(DemoLinks {
        angler: link(0).await?,
        organiser: link(1).await?,
        administrator: link(2).await?,
    })
}

/// An account under the angler's own name, joined to the angler.
async fn account(
    writing: &mut Writing,
    now: Instant,
    role: Role,
    angler: AnglerId,
    club: &DemoClub,
) -> Result<AccountId, ActionError> {
    let place = match role {
        Role::Member => 0,
        Role::Organiser => 1,
        Role::Administrator => 2,
    };
    let name = format!(
        "{} {}",
        club.anglers[place].given, club.anglers[place].surname
    );
    let id = accounts::insert(writing, &new_pid(), &name, &folded_name(&name), role, now).await?;
    anglers::set_account(writing, angler, Some(id)).await?;
    anglers::set_default_visibility(writing, angler, "club").await?;
    Ok(id)
}

async fn water(
    writing: &mut Writing,
    now: Instant,
    zone: &Zone,
    venue: &DemoVenue,
    club: &DemoClub,
    people: &[AnglerId],
) -> Result<(), ActionError> {
    let id = rows::venue(
        writing,
        &new_pid(),
        venue.name,
        venue.kind,
        (venue.latitude, venue.longitude),
        venue.rules,
        venue.emergency,
    )
    .await?;
    let pegs = lay_pegs(writing, id, venue).await?;
    let source = rows::source(writing, id, &format!("{}, by hand", venue.name)).await?;
    for w in venue.weather.iter().filter(|w| !w.gap) {
        let day = DailyWeather {
            min_c: Some(w.min_c),
            max_c: Some(w.max_c),
            rain_mm: Some(w.rain_mm),
            wind_ms: Some(w.wind_ms),
            wind_from: Some(WindFrom::degrees(w.wind_from_deg)),
            pressure_hpa: Some(w.pressure_hpa),
            ice: w.ice.then_some(Ice::Edges),
            ..DailyWeather::default()
        };
        rows::weather_day(writing, source, w.day, &day, now).await?;
    }
    for (day, temp_c) in &venue.readings {
        rows::reading(
            writing,
            id,
            *day,
            day.at(jiff::civil::time(8, 0, 0, 0), zone),
            *temp_c,
        )
        .await?;
    }
    for (day, kind, words) in &venue.diary {
        rows::diary(writing, id, *day, kind, words, now).await?;
    }
    let scene = Scene {
        id,
        zone,
        pegs: &pegs,
        people,
        club,
    };
    matches(writing, &scene, venue).await?;
    reports(writing, &scene, venue).await
}

/// What every session of a venue needs.
struct Scene<'a> {
    id: VenueId,
    zone: &'a Zone,
    pegs: &'a [PegId],
    people: &'a [AnglerId],
    club: &'a DemoClub,
}

async fn lay_pegs(
    writing: &mut Writing,
    id: VenueId,
    venue: &DemoVenue,
) -> Result<Vec<PegId>, ActionError> {
    let mut pegs = Vec::new();
    for (ord, bank) in venue.banks.iter().enumerate() {
        let bank_id = rows::bank(writing, id, ord as i64 + 1, bank.name, bank.facing_deg).await?;
        for (walk, number) in bank.pegs.clone().enumerate() {
            let end = number == *bank.pegs.start() || number == *bank.pegs.end();
            pegs.push(
                rows::peg(
                    writing,
                    id,
                    bank_id,
                    &number.to_string(),
                    walk as i64 + 1,
                    end,
                    walk < 4,
                )
                .await?,
            );
        }
    }
    Ok(pegs)
}

async fn matches(
    writing: &mut Writing,
    scene: &Scene<'_>,
    venue: &DemoVenue,
) -> Result<(), ActionError> {
    for the_match in &venue.matches {
        let at = |hour| {
            the_match
                .day
                .at(jiff::civil::time(hour, 0, 0, 0), scene.zone)
        };
        let (start, finish) = (at(10), at(15));
        let id = rows::a_match(
            writing,
            &new_pid(),
            &the_match.name,
            scene.id,
            the_match.day,
            scene.zone,
            (start, finish),
        )
        .await?;
        let halves = [
            rows::section(writing, id, 1, "A").await?,
            rows::section(writing, id, 2, "B").await?,
        ];
        for (place, entry) in the_match.entries.iter().enumerate() {
            let weight = entry.catch.silvers_dr + entry.catch.carp_dr;
            let outcome = match (entry.did_not_weigh, weight) {
                (true, _) => "did not weigh",
                (false, 0) => "blank",
                (false, _) => "fished",
            };
            let was_junior = scene.club.anglers[entry.angler].is_junior;
            let peg = scene.pegs[entry.peg];
            let new = rows::NewEntry {
                the_match: id,
                number: place as i64 + 1,
                angler: scene.people[entry.angler],
                section: halves[usize::from(entry.peg >= scene.pegs.len() / 2)],
                peg,
                outcome,
                was_junior,
            };
            let entry_id = rows::entry(writing, &new).await?;
            if outcome == "fished" {
                weigh(writing, entry_id, &entry.catch, finish).await?;
            }
            let session = rows::NewSession {
                pid: &new_pid(),
                angler: new.angler,
                venue: scene.id,
                day: the_match.day,
                zone: scene.zone,
                hours: (start, finish),
                entry: Some(entry_id),
                visibility: "club",
                peg,
                method: None,
                line_m: None,
                was_junior,
            };
            rows::session(writing, &session).await?;
        }
    }
    Ok(())
}

/// Carp in one net, silvers in another, as far as there were any.
async fn weigh(
    writing: &mut Writing,
    entry: EntryId,
    catch: &Catch,
    at: Instant,
) -> Result<(), ActionError> {
    for (net_no, (group, drams)) in [
        (Group::Carp, catch.carp_dr),
        (Group::Silvers, catch.silvers_dr),
    ]
    .into_iter()
    .enumerate()
    {
        if drams > 0 {
            rows::net(
                writing,
                entry,
                net_no as i64 + 1,
                group.into(),
                i64::from(drams),
                at,
            )
            .await?;
        }
    }
    Ok(())
}

async fn reports(
    writing: &mut Writing,
    scene: &Scene<'_>,
    venue: &DemoVenue,
) -> Result<(), ActionError> {
    for (place, report) in venue.reports.iter().enumerate() {
        let start = report
            .day
            .at(jiff::civil::time(report.start_hour, 0, 0, 0), scene.zone);
        let session = rows::NewSession {
            pid: &new_pid(),
            angler: scene.people[report.angler],
            venue: scene.id,
            day: report.day,
            zone: scene.zone,
            hours: (start, start.plus_seconds(i64::from(report.hours) * 3_600)),
            entry: None,
            visibility: if report.private { "private" } else { "club" },
            peg: scene.pegs[report.peg],
            method: Some(MethodId(report.method as i64 + 1)),
            line_m: Some(report.line_m),
            was_junior: scene.club.anglers[report.angler].is_junior,
        };
        let id = rows::session(writing, &session).await?;
        let catch = &report.catch;
        let totals = [
            (Group::Carp, catch.carp, catch.carp_dr),
            (Group::Silvers, catch.silvers, catch.silvers_dr),
        ];
        for (ord, (group, count, drams)) in totals.into_iter().enumerate() {
            rows::total(
                writing,
                id,
                ord as i64 + 1,
                group.into(),
                i64::from(count),
                i64::from(drams),
            )
            .await?;
            // Every third angler keeps an hourly tally.
            if place % 3 == 0 {
                tally(writing, id, group, count, (start, i64::from(report.hours))).await?;
            }
        }
    }
    Ok(())
}

/// Spreads the fish of a group over the hours as evenly as they go: no magic hour is planted.
async fn tally(
    writing: &mut Writing,
    session: SessionId,
    group: Group,
    count: u32,
    (start, hours): (Instant, i64),
) -> Result<(), ActionError> {
    let count = i64::from(count);
    for hour in 0..hours {
        let of_hour = count * (hour + 1) / hours - count * hour / hours;
        let span = (
            start.plus_seconds(hour * 3_600),
            start.plus_seconds((hour + 1) * 3_600),
        );
        if of_hour > 0 {
            rows::tally(writing, session, group, span, of_hour).await?;
        }
    }
    Ok(())
}
