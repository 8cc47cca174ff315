//! The made-up waters themselves: banks, pegs, closures, weather, readings and the diary.

use super::{ActionError, new_pid};
use crate::{
    demo::DemoVenue,
    domain::{
        dates::{Instant, Zone},
        ids::{PegId, VenueId},
        pegs::Closure,
        weather::{DailyWeather, Ice, WindFrom},
    },
    store::{
        Writing, demo as rows,
        venues::{
            self,
            diary::{self, DiaryEntry},
        },
    },
};

/// Answers with the venue and its pegs in walking order.
pub(super) async fn write(
    writing: &mut Writing,
    now: Instant,
    zone: &Zone,
    venue: &DemoVenue,
) -> Result<(VenueId, Vec<PegId>), ActionError> {
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
    weather(writing, now, zone, (id, venue)).await?;
    for line in &venue.closures {
        let closure = Closure {
            from: line.from,
            to: line.to,
            reason: line.reason.to_owned(),
        };
        venues::insert_closure(writing, pegs[line.peg], &closure).await?;
    }
    for line in &venue.diary {
        let entry = DiaryEntry {
            on: line.on,
            kind: line.kind.to_owned(),
            words: line.words.to_owned(),
            kg: line.kg,
            group: line.group.map(|group| group.bit()),
        };
        diary::insert(writing, id, &entry, None, now).await?;
    }
    Ok((id, pegs))
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

async fn weather(
    writing: &mut Writing,
    now: Instant,
    zone: &Zone,
    (id, venue): (VenueId, &DemoVenue),
) -> Result<(), ActionError> {
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
        let at = day.at(jiff::civil::time(8, 0, 0, 0), zone);
        rows::reading(writing, id, *day, at, *temp_c).await?;
    }
    Ok(())
}
