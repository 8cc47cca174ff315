//! What run-ups are worked out from: a venue's effective weather, its water readings and its
//! latitude, read once and kept in memory until the venue's weather mark moves.

use std::{
    collections::{BTreeSet, HashMap},
    sync::{Arc, Mutex, PoisonError},
};

use sqlx::SqliteConnection;

use crate::{
    domain::{
        dates::Day,
        ids::VenueId,
        weather::{DailyWeather, WeatherDays},
    },
    statistics::{
        run_up::{RunUp, Surroundings, Usual, usual_temperature},
        water_temperature::WaterReading,
    },
    store::{StoreError, weather},
};

/// Everything about a venue's weather that a page or a fit asks for.
#[derive(Clone, Debug, Default)]
pub struct WeatherRecord {
    pub weather: WeatherDays,
    /// Days whose low fell in the night after them, not in the one before.
    pub night_after: BTreeSet<Day>,
    pub water: Vec<WaterReading>,
    /// Degrees, north positive.
    pub latitude: Option<f64>,
}

impl WeatherRecord {
    /// What the run-up to `day` is worked out from.
    fn surroundings(&self, day: Day) -> Surroundings<'_> {
        Surroundings {
            weather: &self.weather,
            water: &self.water,
            latitude: self.latitude,
            // By custom nobody begins before sunrise, and the night's low falls about then;
            // where the low counted for `day` is of the night after it, it fell later.
            night_is_over: !self.night_after.contains(&day),
        }
    }

    /// The run-up to a day, water temperature included.
    pub fn run_up(&self, day: Day) -> RunUp {
        RunUp::of(day, &self.surroundings(day))
    }

    /// The same without the water temperature, which is worked out from every reading: for pages
    /// that show many days.
    pub fn run_up_of_air(&self, day: Day) -> RunUp {
        let surroundings = Surroundings {
            water: &[],
            ..self.surroundings(day)
        };
        RunUp::of(day, &surroundings)
    }

    /// The temperature usual for the season of a day.
    pub fn usual(&self, day: Day) -> Option<Usual> {
        usual_temperature(&self.weather, day)
    }

    /// The same record with these days in place of what it says of them.
    pub fn with(&self, days: impl IntoIterator<Item = (Day, DailyWeather)>) -> Self {
        let mut other = self.clone();
        for (day, weather) in days {
            other.weather.insert(day, weather);
            other.night_after.remove(&day);
        }
        other
    }
}

/// Records by venue, each with the mark it was read under.
#[derive(Clone, Debug, Default)]
pub struct WeatherRecords(Arc<Mutex<HashMap<VenueId, Marked>>>);

/// A record and the mark it was read under.
type Marked = (i64, Arc<WeatherRecord>);

impl WeatherRecords {
    /// The weather of a venue as the record stands now.
    ///
    /// The mark is read before the days: a change in between leaves the older mark, and the next
    /// asking reads again.
    pub async fn of(
        &self,
        connection: &mut SqliteConnection,
        venue: VenueId,
    ) -> Result<Arc<WeatherRecord>, StoreError> {
        let now = sqlx::query!(
            r#"SELECT lat, (SELECT mark FROM data_marks WHERE venue_id = v.id AND topic = 'weather') AS "mark?: i64"
               FROM venues AS v WHERE id = ?"#,
            venue
        )
        .fetch_optional(&mut *connection)
        .await?;
        let Some(now) = now else {
            return Ok(Arc::default());
        };
        let mark = now.mark.unwrap_or(0);
        if let Some(kept) = self.kept(venue, mark, now.lat) {
            return Ok(kept);
        }
        let record = Arc::new(WeatherRecord {
            latitude: now.lat,
            ..read(connection, venue).await?
        });
        let mut records = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        records.insert(venue, (mark, record.clone()));
        Ok(record)
    }

    fn kept(&self, venue: VenueId, mark: i64, latitude: Option<f64>) -> Option<Arc<WeatherRecord>> {
        let records = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let (read_under, record) = records.get(&venue)?;
        (*read_under == mark && record.latitude == latitude).then(|| record.clone())
    }
}

/// Reads a venue's whole weather, latitude apart.
async fn read(
    connection: &mut SqliteConnection,
    venue: VenueId,
) -> Result<WeatherRecord, StoreError> {
    let (first, last) = (Day::new(1900, 1, 1), Day::new(2200, 12, 31));
    let (Some(first), Some(last)) = (first, last) else {
        return Ok(WeatherRecord::default());
    };
    let said = weather::days_by_source(&mut *connection, venue, first, last).await?;
    let chosen = weather::choices(&mut *connection, venue, first, last).await?;
    let sources = weather::sources_of(&mut *connection, venue).await?;
    let water = sqlx::query_as!(
        WaterReading,
        r#"SELECT on_date AS "day: Day", temp_c AS "temp_c!" FROM water_readings
           WHERE venue_id = ? AND temp_c IS NOT NULL ORDER BY on_date, at_utc"#,
        venue
    )
    .fetch_all(connection)
    .await?;
    Ok(WeatherRecord {
        weather: weather::day_by_day(&said, &chosen).into_iter().collect(),
        night_after: weather::lows_of_the_night_after(&said, &chosen, &sources),
        water,
        latitude: None,
    })
}
