//! A club that does not exist, made from a seed, for asking how often the statistics are
//! right. Nothing of it is real, and nothing of it is shown to anybody.
//!
//! One match a week, unless said otherwise. Weather, day by day: air temperature, a yearly wave (mean 10 °C, 7 °C
//! either side, warmest on day 205) with a first-order autoregression about it (0.8 from day
//! to day, 3 °C); night minimum 4 °C under the mean, 2 °C either way; wind components and
//! pressure, autoregressions (0.6 and 3 m/s; 0.85 and 9 hPa), westerly wind and low pressure
//! going together; rain on days when pressure is low, exponential, 5 mm.
//!
//! Catch of a day: negative binomial (size 2) about
//! `h · exp(season + form + effect · z)`: season a wave of 0.7 peaking on day 190; form an
//! autoregression fading over 30 days with spread `form_spread`; `z` the club's planted
//! reading of the weather, in its own spread; `h` 10 to 25 anglers for five hours.

use std::f64::consts::TAU;

use peglore::statistics::expectation::{Features, Layout, Row};
use rand::{Rng, RngExt, SeedableRng, rngs::ChaCha8Rng};

/// Days from one match to the next in the usual club.
pub const WEEKLY: usize = 7;
/// Days of weather before the first match.
const LEAD: usize = 10;
/// Fish a rod-hour in an ordinary season.
const ORDINARY_RATE: f64 = 1.2;
/// Negative binomial size of a day.
const SIZE: f64 = 2.0;
/// Days over which form fades.
const FORM_DAYS: f64 = 30.0;

/// What kind of club.
#[derive(Clone, Copy, Debug)]
pub struct Club {
    pub match_days: usize,
    /// Days from one to the next.
    pub every: usize,
    /// Spread of the log of form; 0 for a club whose form never changes.
    pub form_spread: f64,
    /// Log catch for one spread of the planted reading of the weather; 0 for none.
    pub effect: f64,
}

impl Club {
    /// The club's match days, weather of the days before included, the same from the same seed.
    pub fn rows(&self, seed: u64) -> Vec<Row> {
        let mut generator = ChaCha8Rng::seed_from_u64(seed);
        let start = generator.random_range(0..365usize);
        let weather = weather(&mut generator, start, LEAD + self.every * self.match_days);
        let fade = (-(self.every as f64) / FORM_DAYS).exp();
        let mut form = self.form_spread * normal(&mut generator);
        (0..self.match_days)
            .map(|i| {
                let today = LEAD + self.every * i;
                let features = features(&weather, today);
                let doy = ((start + today) % 365) as i32 + 1;
                let anglers = generator.random_range(10..=25u32);
                let effort = f64::from(anglers) * 5.0;
                let season = 0.7 * (TAU * f64::from(doy - 190) / 365.25).cos();
                let log_rate = season + form + self.effect * planted(&weather[today - 3..today]);
                let mu = effort * ORDINARY_RATE * log_rate.exp();
                let catch = negative_binomial(&mut generator, mu, SIZE);
                form = fade * form
                    + (1.0 - fade * fade).sqrt() * self.form_spread * normal(&mut generator);
                Row {
                    day: (start + today) as i64,
                    doy,
                    effort,
                    catch,
                    features,
                }
            })
            .collect()
    }
}

/// Days whose true rate is known, for asking how it fishes.
#[derive(Clone, Copy, Debug)]
pub struct Days {
    /// True fish a rod-hour.
    pub rate: f64,
    /// Least and most rods out on a day, each for five hours.
    pub rods: (u32, u32),
    /// Negative binomial size of a day.
    pub size: f64,
    /// Spread of the log of what one day gives.
    pub spread: f64,
}

impl Days {
    /// Kinds of days asked about, and in words.
    pub const KINDS: [(&str, Self); 3] = [
        (
            "lumpy match days, 10 to 25 anglers, 1.2 fish an hour",
            Self {
                rate: 1.2,
                rods: (10, 25),
                size: SIZE,
                spread: 0.4,
            },
        ),
        (
            "lumpy days of one to three anglers, 0.4 fish an hour",
            Self {
                rate: 0.4,
                rods: (1, 3),
                size: SIZE,
                spread: 0.4,
            },
        ),
        (
            "even match days, 10 to 25 anglers, 1.2 fish an hour",
            Self {
                rate: 1.2,
                rods: (10, 25),
                size: 50.0,
                spread: 0.1,
            },
        ),
    ];

    /// Rod-hours and fish of each of `number` days: negative binomial about
    /// `h · rate · exp(σN − σ²/2)`, so that the rate is true on average.
    pub fn drawn(&self, number: usize, generator: &mut impl Rng) -> Vec<(f64, f64)> {
        let spread = self.spread;
        (0..number)
            .map(|_| {
                let hours = 5.0 * f64::from(generator.random_range(self.rods.0..=self.rods.1));
                let day = (spread * normal(generator) - spread * spread / 2.0).exp();
                let mu = hours * self.rate * day;
                (hours, negative_binomial(generator, mu, self.size))
            })
            .collect()
    }
}

/// One day's weather.
struct Weather {
    /// Departure of the mean temperature from its season, °C.
    warmth: f64,
    mean_c: f64,
    min_c: f64,
    rain_mm: f64,
    westerly: f64,
    southerly: f64,
    pressure: f64,
}

/// The planted reading: three mild and westerly days are good; mean 0, spread about 1.
fn planted(three: &[Weather]) -> f64 {
    let mean = |value: fn(&Weather) -> f64| three.iter().map(value).sum::<f64>() / 3.0;
    (mean(|day| day.warmth) / 2.8 + mean(|day| day.westerly) / 2.5) / 2f64.sqrt()
}

fn weather(generator: &mut impl Rng, start: usize, days: usize) -> Vec<Weather> {
    let (mut warmth, mut west, mut south, mut low) = (0.0, 0.0, 0.0, 0.0);
    let step = |before: f64, kept: f64, spread: f64, noise: f64| {
        kept * before + (1.0 - kept * kept).sqrt() * spread * noise
    };
    (0..days)
        .map(|i| {
            let doy = ((start + i) % 365) as f64 + 1.0;
            let shared = normal(generator);
            let mut mixed =
                |share: f64| share * shared + (1.0 - share * share).sqrt() * normal(generator);
            warmth = step(warmth, 0.8, 3.0, mixed(0.2));
            west = step(west, 0.6, 3.0, mixed(0.5));
            south = step(south, 0.6, 3.0, mixed(0.1));
            low = step(low, 0.85, 9.0, mixed(0.7));
            let mean_c = 10.0 + 7.0 * (TAU * (doy - 205.0) / 365.25).cos() + warmth;
            let wet = low + 9.0 * normal(generator) > 3.0;
            let rain_mm = if wet {
                -5.0 * generator.random::<f64>().max(1e-12).ln()
            } else {
                0.0
            };
            Weather {
                warmth,
                mean_c,
                min_c: mean_c - 4.0 + 2.0 * normal(generator),
                rain_mm,
                westerly: west,
                southerly: south,
                pressure: 1014.0 - low,
            }
        })
        .collect()
}

/// The run-up features of the session on day `today`, in the order of [`Layout::RUN_UP`].
fn features(weather: &[Weather], today: usize) -> Features {
    let three = &weather[today - 3..today];
    let mean = |value: fn(&Weather) -> f64| three.iter().map(value).sum::<f64>() / 3.0;
    let seven = &weather[today - 7..today];
    let rain: f64 = three.iter().map(|day| day.rain_mm).sum();
    let frost = seven.iter().filter(|day| day.min_c < 0.0).count();
    let yesterday = &weather[today - 1];
    [
        Some(mean(|day| day.mean_c)),
        Some(median_slope(seven)),
        Some(frost as f64),
        Some(rain.ln_1p()),
        Some(mean(|day| day.westerly)),
        Some(mean(|day| day.southerly)),
        Some(yesterday.pressure),
        Some(yesterday.pressure - weather[today - 4].pressure),
    ]
}

/// Median of the slopes between all pairs of days, °C a day.
fn median_slope(days: &[Weather]) -> f64 {
    let mut slopes = Vec::new();
    for (i, one) in days.iter().enumerate() {
        for (j, other) in days.iter().enumerate().skip(i + 1) {
            slopes.push((other.mean_c - one.mean_c) / (j - i) as f64);
        }
    }
    slopes.sort_by(f64::total_cmp);
    slopes[slopes.len() / 2]
}

/// Standard normal (Box & Muller 1958).
pub fn normal(generator: &mut impl Rng) -> f64 {
    let radius = (-2.0 * (1.0 - generator.random::<f64>()).ln()).sqrt();
    radius * (TAU * generator.random::<f64>()).cos()
}

/// Negative binomial of mean `mu` and the given size: a Poisson about a gamma mean.
pub fn negative_binomial(generator: &mut impl Rng, mu: f64, size: f64) -> f64 {
    let mean = mu / size * gamma(generator, size);
    poisson(generator, mean)
}

/// Gamma of the given shape, at least 1, scale 1 (Marsaglia & Tsang 2000).
fn gamma(generator: &mut impl Rng, shape: f64) -> f64 {
    let d = shape - 1.0 / 3.0;
    let c = 1.0 / (9.0 * d).sqrt();
    loop {
        let x = normal(generator);
        let v = (1.0 + c * x).powi(3);
        let u = 1.0 - generator.random::<f64>();
        if v > 0.0 && u.ln() < 0.5 * x * x + d - d * v + d * v.ln() {
            return d * v;
        }
    }
}

/// Poisson, as a sum of parts of mean at most 30, each by multiplying uniforms.
fn poisson(generator: &mut impl Rng, mean: f64) -> f64 {
    let mut left = mean;
    let mut total = 0.0;
    while left > 0.0 {
        let limit = (-left.min(30.0)).exp();
        left -= 30.0;
        let mut product = generator.random::<f64>();
        while product > limit {
            product *= generator.random::<f64>();
            total += 1.0;
        }
    }
    total
}

/// The app's own layout, which the club's rows follow.
pub const LAYOUT: Layout = Layout::RUN_UP;
