//! Eleven days at a venue, and the weather's figures as these pages write them.

use serde::Deserialize;

use crate::{
    domain::{
        dates::{Day, Instant, Zone},
        ids::{SourceId, VenueId},
        units::Speed,
        weather::{
            Cloud, DailyWeather, Ice, Snow, WindFrom,
            sources::Element,
            units::{PressureUnit, RainUnit, SpeedUnit, TemperatureUnit},
        },
    },
    statistics::wording,
    store::weather::{self, Choice, Source, SourceDay, WeatherVenue},
    web::{errors::PageError, state::Site},
};

/// What a day written down in full has.
const LOOKED_FOR: [Element; 5] = [
    Element::Min,
    Element::Max,
    Element::Rain,
    Element::Wind,
    Element::Pressure,
];

/// Days the grid shows: a day, and the ten before it that are its run-up.
const DAYS: usize = 11;

/// What an address of these pages can ask for.
#[derive(Deserialize, Default)]
pub struct Asked {
    /// The last day shown; today when absent.
    #[serde(default)]
    pub until: String,
    /// The unit of wind speed; the reader's own when absent.
    #[serde(default)]
    pub wind: String,
}

/// Eleven days at a venue with all that its sources say of them.
pub struct Window {
    pub venue: WeatherVenue,
    pub today: Day,
    pub from: Day,
    pub to: Day,
    pub unit: SpeedUnit,
    pub sources: Vec<Source>,
    said: Vec<SourceDay>,
    pub choices: Vec<Choice>,
}

impl Window {
    /// `usual`: the reader's choice for wind, where the address has none.
    pub async fn fetch(
        site: &Site,
        venue: VenueId,
        asked: &Asked,
        usual: Speed,
    ) -> Result<Self, PageError> {
        let mut reading = site.db.read().await?;
        let venue = weather::venue(&mut reading, venue)
            .await?
            .ok_or(PageError::NotFound)?;
        let today = today(&venue, site.now());
        let to = Day::parse(&asked.until).map_or(today, |day| day.min(today));
        let from = to.plus(1 - DAYS as i64);
        Ok(Self {
            sources: weather::sources_of(&mut reading, venue.id).await?,
            said: weather::days_by_source(&mut reading, venue.id, from, to).await?,
            choices: weather::choices(&mut reading, venue.id, from, to).await?,
            unit: SpeedUnit::from_slug(&asked.wind).unwrap_or(usual.typed_in()),
            venue,
            today,
            from,
            to,
        })
    }

    pub fn days(&self) -> impl Iterator<Item = Day> + use<> {
        let from = self.from;
        (0_i64..).take(DAYS).map(move |at| from.plus(at))
    }

    /// What each source says of a day, by rank.
    pub fn said(&self, day: Day) -> &[SourceDay] {
        let start = self.said.partition_point(|of| of.day < day);
        let end = self.said.partition_point(|of| of.day <= day);
        &self.said[start..end]
    }

    pub fn effective(&self, day: Day) -> DailyWeather {
        weather::effective(self.said(day), &self.choices)
    }

    /// The version of what was written by hand for a day; 0 when nothing was.
    pub fn version(&self, day: Day) -> i64 {
        let by_hand = |of: &&SourceDay| self.is_by_hand(of);
        self.said(day)
            .iter()
            .find(by_hand)
            .map_or(0, |of| of.version)
    }

    fn is_by_hand(&self, of: &SourceDay) -> bool {
        let source = self.sources.iter().find(|source| source.kind == "by hand");
        source.is_some_and(|source| source.id == of.source)
    }

    /// The name of a source, as the pages call it.
    pub fn name(&self, of: &SourceDay) -> String {
        if self.is_by_hand(of) {
            return "by hand".to_owned();
        }
        let source = self.sources.iter().find(|source| source.id == of.source);
        source.map(|source| source.name.clone()).unwrap_or_default()
    }

    /// Whose figures stand on a day, each named once.
    pub fn stands(&self, day: Day) -> String {
        let mut names: Vec<String> = Vec::new();
        for element in Element::ALL {
            let name = weather::believed(self.said(day), &self.choices, *element)
                .map(|of| self.name(of))
                .filter(|name| !names.contains(name));
            names.extend(name);
        }
        names.join(", ")
    }

    /// Where two sources know an element of a day and say it so differently that one must be
    /// chosen, or an officer has chosen already.
    pub fn conflicts(&self) -> Vec<Conflict<'_>> {
        self.differences().filter(|one| self.matters(one)).collect()
    }

    /// How many figures differ by less than anybody need choose between.
    pub fn small_differences(&self) -> usize {
        self.differences().filter(|one| !self.matters(one)).count()
    }

    /// Where two sources know an element of a day and show different figures.
    pub fn differences(&self) -> impl Iterator<Item = Conflict<'_>> {
        let each = self
            .days()
            .flat_map(|day| Element::ALL.iter().map(move |element| (day, *element)));
        each.filter_map(move |(day, element)| self.difference(day, element))
    }

    fn difference(&self, day: Day, element: Element) -> Option<Conflict<'_>> {
        let knows = |of: &&SourceDay| element.known(&of.weather);
        let said: Vec<_> = self.said(day).iter().filter(knows).collect();
        let words = |of: &SourceDay| in_words(element, &of.weather, self.unit);
        let differ = said.windows(2).any(|two| words(two[0]) != words(two[1]));
        let kept = weather::believed(self.said(day), &self.choices, element)?;
        let ranked = weather::believed(self.said(day), &[], element)?;
        differ.then_some(Conflict {
            day,
            element,
            said,
            kept,
            ranked,
        })
    }

    fn matters(&self, one: &Conflict<'_>) -> bool {
        let mut pairs = one.said.iter().enumerate().flat_map(|(at, a)| {
            let others = one.said[at + 1..].iter();
            others.map(move |b| (&a.weather, &b.weather))
        });
        self.choice(one.day, one.element).is_some()
            || pairs.any(|(a, b)| !one.element.is_near(a, b))
    }

    /// The source an officer has chosen.
    pub fn choice(&self, day: Day, element: Element) -> Option<SourceId> {
        let choice = self
            .choices
            .iter()
            .find(|choice| choice.day == day && choice.element == element);
        choice.map(|choice| choice.source)
    }

    /// What is written down, what is missing, and what the days lack that are written in part.
    pub fn known(&self) -> String {
        let lacking = self.lacking();
        let missing: Vec<_> = self
            .days()
            .filter(|day| self.effective(*day).is_empty())
            .map(Day::brief)
            .collect();
        let all = wording::number(DAYS);
        let said = match missing.len() {
            0 if lacking.is_empty() => format!("All {all} days are written down."),
            0 => format!("Something of all {all} days is written down."),
            DAYS => format!("None of the {all} days is written down."),
            1 => format!("All of the {all} days but {} are written down.", missing[0]),
            gaps => format!(
                "{} of {all} days {} written down. Missing: {}.",
                DAYS - gaps,
                wording::are(DAYS - gaps),
                missing.join(", ")
            ),
        };
        format!("{said}{lacking}")
    }

    /// ` Sun 29 Nov has no rain, wind or pressure.`, a sentence for the days that lack the same.
    fn lacking(&self) -> String {
        let mut lacks: Vec<(String, Vec<Day>)> = Vec::new();
        for day in self.days() {
            let known = self.effective(day);
            let without = LOOKED_FOR.iter().filter_map(|one| lack(*one, &known));
            let without: Vec<_> = without.map(str::to_owned).collect();
            if known.is_empty() || without.is_empty() {
                continue;
            }
            let without = wording::any_of(&without);
            match lacks.iter_mut().find(|(known, _)| *known == without) {
                Some((_, days)) => days.push(day),
                None => lacks.push((without, vec![day])),
            }
        }
        let each = lacks.into_iter().map(|(without, days)| {
            let has = if days.len() == 1 { "has" } else { "have" };
            let days = match days.len() {
                1..=3 => wording::days(&days),
                many => wording::count(many, "day", "days"),
            };
            wording::sentence(&format!("{days} {has} no {without}"))
        });
        each.map(|sentence| format!(" {sentence}")).collect()
    }

    /// The address of this window, or of the one that ends on another day.
    pub fn path(&self, page: &str, until: Day) -> String {
        let venue = self.venue.id;
        let unit = self.unit.slug();
        format!("/venues/{venue}/weather{page}?until={until}&wind={unit}")
    }
}

/// The word for what a day lacks of an element: of a wind that blew, its direction or its speed.
fn lack(element: Element, day: &DailyWeather) -> Option<&'static str> {
    match (element, day.wind_ms, day.wind_from) {
        (Element::Wind, Some(_), None) if !day.is_calm() => Some("direction of the wind"),
        (Element::Wind, None, Some(_)) => Some("speed of the wind"),
        _ => (!element.known(day)).then(|| element.label()),
    }
}

/// Two or more figures for one element of one day.
pub struct Conflict<'a> {
    pub day: Day,
    pub element: Element,
    pub said: Vec<&'a SourceDay>,
    /// The one that stands.
    pub kept: &'a SourceDay,
    /// The one that would stand by the venue's ranks alone.
    pub ranked: &'a SourceDay,
}

/// Today at a venue.
pub fn today(venue: &WeatherVenue, now: Instant) -> Day {
    now.day(&Zone::named(&venue.zone).unwrap_or_else(Zone::utc))
}

/// The bare figures of one box of the grid; empty for a gap.
pub fn figure(key: &str, weather: &DailyWeather, unit: SpeedUnit) -> String {
    let celsius = |kept: f64| TemperatureUnit::Celsius.figure(kept);
    let text = match key {
        "low" => weather.min_c.map(celsius),
        "high" => weather.max_c.map(celsius),
        "rain" if weather.rain_mm.is_none() && weather.rain_trace => Some("trace".to_owned()),
        "rain" => weather.rain_mm.map(|mm| RainUnit::Millimetres.figure(mm)),
        "wind" if weather.is_calm() => Some("calm".to_owned()),
        "from" if weather.is_calm() => None,
        "wind" => weather.wind_ms.map(|speed| unit.figure(speed)),
        "from" => weather.wind_from.map(|from| from.to_string()),
        "pressure" => weather
            .pressure_hpa
            .map(|hpa| PressureUnit::Hectopascals.figure(hpa)),
        "cloud" => weather.cloud.map(|cloud| cloud.slug().to_owned()),
        "snow" => weather.snow.map(|snow| snow.slug().to_owned()),
        "ice" => weather.ice.map(|ice| ice.slug().to_owned()),
        _ => None,
    };
    let text = text.unwrap_or_default();
    text.strip_suffix(".0").unwrap_or(&text).to_owned()
}

/// One element with its unit: `8.6 mm`, `12 mph from SW`, `calm`.
pub fn in_words(element: Element, weather: &DailyWeather, unit: SpeedUnit) -> String {
    let words = match element {
        Element::Min => weather.min_c.map(|c| TemperatureUnit::Celsius.show(c)),
        Element::Max => weather.max_c.map(|c| TemperatureUnit::Celsius.show(c)),
        Element::Rain if weather.rain_trace && weather.rain() == Some(0.0) => {
            Some("a trace, too little to measure".to_owned())
        }
        Element::Rain => weather.rain_mm.map(|mm| RainUnit::Millimetres.show(mm)),
        Element::Wind if weather.is_calm() => Some("calm".to_owned()),
        Element::Wind => {
            let speed = weather.wind_ms.map(|speed| unit.show(speed));
            Some(match (speed, weather.wind_from) {
                (Some(speed), Some(WindFrom::Variable)) => format!("{speed}, variable"),
                (None, Some(WindFrom::Variable)) => "variable".to_owned(),
                (Some(speed), Some(from)) => format!("{speed} from {from}"),
                (None, Some(from)) => format!("from {from}"),
                (speed, None) => speed.unwrap_or_default(),
            })
        }
        Element::Pressure => weather
            .pressure_hpa
            .map(|hpa| PressureUnit::Hectopascals.show(hpa)),
        Element::Cloud => weather.cloud.map(|cloud| Cloud::label(cloud).to_owned()),
        Element::Snow => weather.snow.map(|snow| Snow::label(snow).to_owned()),
        Element::Ice => weather.ice.map(|ice| Ice::label(ice).to_owned()),
    };
    words
        .filter(|words| !words.is_empty())
        .unwrap_or_else(|| "nothing".to_owned())
}
