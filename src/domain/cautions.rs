//! The usual cautions, in one table: each with its source or marked as common practice, and
//! what calls for it.
//!
//! They always defer to the water's own rules, local byelaws and licensed practice. Nothing
//! here says that ice, a bank or a river is safe, and the lack of a caution says nothing.

use serde::{Deserialize, Serialize};

use super::{
    dates::Day,
    weather::units::{RainUnit, TemperatureUnit},
};

/// Stands under every list of cautions.
pub const DEFERS: &str = "The water’s own rules, local byelaws and licensed practice come first. \
    These are the usual cautions; that one is not shown does not mean there is no danger.";

/// What is known of a day and the days before it. Absent values call for nothing.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Around {
    pub day: Day,
    /// Days since ice was last seen on the water.
    pub days_since_ice: Option<i64>,
    /// Frost nights in seven.
    pub frost_nights: Option<f64>,
    /// Last night's minimum, °C.
    pub last_night_min_c: Option<f64>,
    /// Mean air temperature of three days, °C.
    pub mean_3d_c: Option<f64>,
    /// Mean air temperature of seven days, °C.
    pub mean_7d_c: Option<f64>,
    /// Water temperature, °C, measured or estimated.
    pub water_c: Option<f64>,
    /// Rain of one, three and seven days, mm.
    pub rain_1d_mm: Option<f64>,
    pub rain_3d_mm: Option<f64>,
    pub rain_7d_mm: Option<f64>,
}

impl Around {
    /// A day of which nothing is known.
    pub fn unknown(day: Day) -> Self {
        Self {
            day,
            days_since_ice: None,
            frost_nights: None,
            last_night_min_c: None,
            mean_3d_c: None,
            mean_7d_c: None,
            water_c: None,
            rain_1d_mm: None,
            rain_3d_mm: None,
            rain_7d_mm: None,
        }
    }
}

/// What a caution is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Topic {
    OverheadLines,
    Lightning,
    Ice,
    ColdWater,
    Flood,
    Heat,
    WaterborneDisease,
    FishHandling,
}

/// One row of the table.
#[derive(Debug, PartialEq)]
pub struct Caution {
    pub topic: Topic,
    pub heading: &'static str,
    pub words: &'static str,
    /// The kind of source and whose, or that it is common practice. No guidance is quoted: the words
    /// are the project’s own, written without the text at hand.
    pub source: &'static str,
}

/// The whole table, in the order in which cautions are shown.
pub static CAUTIONS: [Caution; 8] = [
    Caution {
        topic: Topic::Ice,
        heading: "Ice",
        words: "Never step on to ice, and keep children and dogs off it, however thick it looks. Banks and \
            platforms freeze too. If someone goes through, ring 999, reach or throw something from the bank, \
            and do not follow them.",
        source: "Published safety guidance (RoSPA, RLSS UK), in our words",
    },
    Caution {
        topic: Topic::ColdWater,
        heading: "Cold water",
        words: "Water under 15\u{a0}°C takes the breath away, and the first minutes are the worst. Wear something that \
            floats where you could fall in. If you do: float on your back until your breathing settles, then call \
            for help. For someone else: ring 999, throw a line, stay out.",
        source: "Published safety guidance (RNLI, Float to Live; RLSS UK), in our words",
    },
    Caution {
        topic: Topic::Flood,
        heading: "High water",
        words: "After heavy rain levels can rise while you fish, banks give way and flood water hides their edge. \
            Look up the river level and any flood warning before going, keep a way out behind you, never wade \
            through flood water, and go home if in doubt.",
        source: "Common practice, no source",
    },
    Caution {
        topic: Topic::Lightning,
        heading: "Lightning",
        words: "Put rods and poles down at the first thunder and leave the bank for a building or a car. If thunder \
            follows the flash within 30 seconds, be under cover; wait 30 minutes after the last thunder. Agree the \
            signal to stop before a match starts.",
        source: "Published safety guidance (RoSPA; US National Weather Service, the 30/30 rule), in our words",
    },
    Caution {
        topic: Topic::Heat,
        heading: "Warm water and keepnets",
        words: "Warm water holds less oxygen: keep fish in nets for a shorter time, put fewer in each, or weigh and \
            return them as they are caught. Many waters ban keepnets at about 22 to 25\u{a0}°C; ask here. Drink, and \
            keep out of the sun yourself.",
        source: "Common practice, no source; the threshold is local",
    },
    Caution {
        topic: Topic::OverheadLines,
        heading: "Overhead lines",
        words: "Look up before choosing a place and before lifting a rod or pole. Stay at least 30 metres, along the \
            ground, from overhead power lines: electricity jumps gaps, and carbon conducts. Carry rods taken down \
            and level. After contact keep everyone at least 5 metres off and ring 105 (Great Britain) or 999.",
        source: "Energy Networks Association, message to anglers, about 2010; Northern Powergrid with the Angling \
            Trust, 2025 (5 metres); the number 105 common practice, no source",
    },
    Caution {
        topic: Topic::WaterborneDisease,
        heading: "Weil’s disease",
        words: "Water and banks can carry it from rats. Cover cuts, wash or clean your hands before eating, and keep \
            bait and line out of your mouth. If you feel as with flu within a month, tell the doctor that you fish.",
        source: "Published health guidance (NHS; Health and Safety Executive, INDG84), in our words",
    },
    Caution {
        topic: Topic::FishHandling,
        heading: "Handling fish",
        words: "Wet hands, a wet mat, a soft landing net without knots, and back in the water quickly. Keepnets in \
            England and Wales: no knotted or metal mesh, holes of at most 25\u{a0}mm round the inside, at least 2 m \
            long, rings at most 40 cm apart and at least 120 cm round. Dry nets between waters.",
        source: "Environment Agency national byelaws, as reproduced about 2000 (net measures); the rest common \
            practice, no source",
    },
];

/// A caution to show, and what called for it.
#[derive(Clone, Debug, PartialEq)]
pub struct Called {
    pub caution: &'static Caution,
    /// The figure that called for it; `None` for what holds on any day.
    pub because: Option<String>,
}

/// The cautions for a day: first those that its conditions call for, then those of any day.
pub fn cautions(around: &Around) -> Vec<Called> {
    let mut called = Vec::new();
    let mut any_day = Vec::new();
    for caution in &CAUTIONS {
        let because = called_by(caution.topic, around);
        match (because, holds_on_any_day(caution.topic)) {
            (Some(because), _) => called.push(Called {
                caution,
                because: Some(because),
            }),
            (None, true) => any_day.push(Called {
                caution,
                because: None,
            }),
            (None, false) => {}
        }
    }
    called.extend(any_day);
    called
}

fn holds_on_any_day(topic: Topic) -> bool {
    matches!(
        topic,
        Topic::OverheadLines | Topic::WaterborneDisease | Topic::FishHandling
    )
}

/// What in the conditions calls for a caution. Thresholds are common practice, no source, but
/// for the 15 °C of cold water.
fn called_by(topic: Topic, around: &Around) -> Option<String> {
    let celsius = |c: f64| TemperatureUnit::Celsius.held(c);
    match topic {
        Topic::Ice => frozen(around),
        Topic::ColdWater => match around.water_c {
            Some(water) => (water < 15.0).then(|| format!("water about {}", celsius(water))),
            None => around
                .mean_7d_c
                .filter(|mean| *mean < 15.0)
                .map(|mean| format!("a week of air at {}", celsius(mean))),
        },
        Topic::Flood | Topic::WaterborneDisease => heavy_rain(around),
        Topic::Lightning => (5..=9)
            .contains(&around.day.0.month())
            .then(|| "thunder is likeliest from May to September".to_owned()),
        Topic::Heat => match around.water_c {
            Some(water) => (water >= 20.0).then(|| format!("water about {}", celsius(water))),
            None => around
                .mean_3d_c
                .filter(|mean| *mean >= 18.0)
                .map(|mean| format!("three days of air at {}", celsius(mean))),
        },
        Topic::OverheadLines | Topic::FishHandling => None,
    }
}

fn frozen(around: &Around) -> Option<String> {
    if let Some(ago) = around.days_since_ice {
        let when = match ago {
            1 => "yesterday".to_owned(),
            ago => format!("{ago} days ago"),
        };
        return Some(format!("ice on the water {when}"));
    }
    if let Some(min) = around.last_night_min_c.filter(|min| *min < 0.0) {
        return Some(format!("{} last night", TemperatureUnit::Celsius.held(min)));
    }
    if around.frost_nights.is_some_and(|nights| nights >= 1.0) {
        return Some("frost within the week".to_owned());
    }
    around.mean_3d_c.filter(|mean| *mean < 3.0).map(|mean| {
        format!(
            "three days of air at {}",
            TemperatureUnit::Celsius.held(mean)
        )
    })
}

fn heavy_rain(around: &Around) -> Option<String> {
    [
        (around.rain_1d_mm, 15.0, "a day"),
        (around.rain_3d_mm, 25.0, "three days"),
        (around.rain_7d_mm, 50.0, "a week"),
    ]
    .into_iter()
    .find_map(|(rain, from, over)| {
        let rain = rain.filter(|rain| *rain >= from)?;
        Some(format!(
            "{} of rain in {over}",
            RainUnit::Millimetres.held(rain)
        ))
    })
}
