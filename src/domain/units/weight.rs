//! A weight of fish: a whole number and the unit of the scales that made it.
//!
//! 16 dr = 1 oz, 256 dr = 1 lb, 1 dr = 1.7718451953125 g exactly, from 1 lb = 0.45359237 kg
//! (International yard and pound agreement 1959; Weights and Measures Act 1985, schedule 1).
//! Weights of one unit are added as they are; another unit is made of them once, and rounded
//! down to the ranking step once, so that ties are exact and no placing hangs on rounding.

use std::cmp::Ordering;

use serde::{Deserialize, Serialize};

/// Drams in an ounce.
pub const DRAMS_PER_OUNCE: i64 = 16;
/// Drams in a pound.
pub const DRAMS_PER_POUND: i64 = 256;
/// One dram is this many parts of [`GRAM_PARTS`] to the gram: 45 359 237 / 25 600 000 g.
const DRAM_PARTS: i128 = 45_359_237;
const GRAM_PARTS: i128 = 25_600_000;

/// A net heavier than this is asked about: keepnets are seldom filled so far.
/// Common practice, no source.
const UNLIKELY_NET_GRAMS: f64 = 45_000.0;
/// A net of more than fifty pounds is asked about where it is more than so many times every other of
/// its match. Common practice, no source.
const FAR_ABOVE_POUNDS: f64 = 50.0;
const FAR_ABOVE_TIMES: f64 = 3.0;

/// The unit that scales show: grams, or pounds and ounces kept as drams.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Scale {
    #[serde(rename = "g")]
    Grams,
    #[serde(rename = "dr")]
    Drams,
}

impl Scale {
    pub const ALL: [Self; 2] = [Self::Drams, Self::Grams];

    /// The word in the record: `g` or `dr`.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Grams => "g",
            Self::Drams => "dr",
        }
    }

    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|scale| scale.as_str() == text)
    }

    /// The word in addresses and forms: what people call the unit.
    pub fn slug(self) -> &'static str {
        match self {
            Self::Drams => "lb",
            Self::Grams => "kg",
        }
    }

    pub fn from_slug(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|scale| scale.slug() == text)
    }

    /// `pounds and ounces` or `kilograms`.
    pub fn words(self) -> &'static str {
        match self {
            Self::Grams => "kilograms",
            Self::Drams => "pounds and ounces",
        }
    }

    /// How many parts of 1/25 600 000 g one unit is.
    fn parts(self) -> i128 {
        match self {
            Self::Grams => GRAM_PARTS,
            Self::Drams => DRAM_PARTS,
        }
    }
}

/// A weight as the scales gave it; never negative.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "Kept")]
pub struct Weight {
    amount: i64,
    scale: Scale,
}

#[derive(Deserialize)]
struct Kept {
    amount: i64,
    scale: Scale,
}

impl TryFrom<Kept> for Weight {
    type Error = &'static str;

    fn try_from(kept: Kept) -> Result<Self, Self::Error> {
        Self::new(kept.amount, kept.scale).ok_or("a weight cannot be below nothing")
    }
}

impl Weight {
    /// `amount` units of `scale`; `None` when negative.
    pub fn new(amount: i64, scale: Scale) -> Option<Self> {
        (amount >= 0).then_some(Self { amount, scale })
    }

    pub const fn grams(amount: u32) -> Self {
        Self {
            amount: amount as i64,
            scale: Scale::Grams,
        }
    }

    pub const fn drams(amount: u32) -> Self {
        Self {
            amount: amount as i64,
            scale: Scale::Drams,
        }
    }

    /// `pounds` lb `ounces` oz.
    pub const fn lb_oz(pounds: u16, ounces: u8) -> Self {
        Self::drams(pounds as u32 * 256 + ounces as u32 * 16)
    }

    pub const fn nothing(scale: Scale) -> Self {
        Self { amount: 0, scale }
    }

    /// Whole units of [`Weight::scale`].
    pub fn amount(self) -> i64 {
        self.amount
    }

    pub fn scale(self) -> Scale {
        self.scale
    }

    pub fn is_nothing(self) -> bool {
        self.amount == 0
    }

    /// So heavy for one net that it is likelier a slip of the pencil.
    pub fn is_unlikely_of_a_net(self) -> bool {
        self.as_grams() > UNLIKELY_NET_GRAMS
    }

    /// Heavy, and so far above another net of its match that it is likelier a slip of the pencil.
    pub fn is_far_above(self, other: Self) -> bool {
        self.as_pounds() > FAR_ABOVE_POUNDS && self.as_grams() > FAR_ABOVE_TIMES * other.as_grams()
    }

    /// The two together; `None` when they are of different scales (use [`Total`]).
    pub fn plus(self, other: Self) -> Option<Self> {
        let amount = self.amount.checked_add(other.amount)?;
        (self.scale == other.scale).then_some(Self {
            amount,
            scale: self.scale,
        })
    }

    /// In `scale`, rounded down to its unit. Unchanged when it is of that scale already.
    pub fn to(self, scale: Scale) -> Self {
        Total::from(self).to(Ranking { scale, step: 1 })
    }

    /// Which of two weights is heavier, exactly, whatever their scales.
    pub fn compare(self, other: Self) -> Ordering {
        Total::from(self).parts().cmp(&Total::from(other).parts())
    }

    /// Grams, for statistics.
    pub fn as_grams(self) -> f64 {
        match self.scale {
            Scale::Grams => self.amount as f64,
            Scale::Drams => self.amount as f64 * 1.771_845_195_312_5,
        }
    }

    /// Kilograms, for statistics.
    pub fn as_kilograms(self) -> f64 {
        self.as_grams() / 1000.0
    }

    /// Pounds, for statistics.
    pub fn as_pounds(self) -> f64 {
        match self.scale {
            Scale::Drams => self.amount as f64 / DRAMS_PER_POUND as f64,
            Scale::Grams => self.amount as f64 / 453.592_37,
        }
    }

    /// Pounds, ounces and drams; of a weight in grams, rounded down to the dram.
    pub fn pounds_ounces_drams(self) -> (i64, i64, i64) {
        let drams = self.to(Scale::Drams).amount;
        (
            drams / DRAMS_PER_POUND,
            drams % DRAMS_PER_POUND / DRAMS_PER_OUNCE,
            drams % DRAMS_PER_OUNCE,
        )
    }

    /// As one says it: `31 lb 4 oz`, `8 oz`, `12 lb 0 oz 12 dr`, `5.670 kg`, `85 g`.
    pub fn words(self) -> String {
        if self.scale == Scale::Grams {
            return match self.amount {
                grams @ 0..1000 => format!("{grams} g"),
                grams => format!("{}.{:03} kg", grams / 1000, grams % 1000),
            };
        }
        let (pounds, ounces, drams) = self.pounds_ounces_drams();
        let mut words = Vec::new();
        if pounds > 0 {
            words.push(format!("{pounds} lb"));
        }
        let between = pounds > 0 && drams > 0;
        if ounces > 0 || between || self.amount < DRAMS_PER_OUNCE && drams == 0 {
            words.push(format!("{ounces} oz"));
        }
        if drams > 0 {
            words.push(format!("{drams} dr"));
        }
        words.join(" ")
    }

    /// As the weigh sheet has it: `31-4`, `31-4-8` where there are odd drams, `5.670`.
    pub fn short(self) -> String {
        if self.scale == Scale::Grams {
            return format!("{}.{:03}", self.amount / 1000, self.amount % 1000);
        }
        match self.pounds_ounces_drams() {
            (pounds, ounces, 0) => format!("{pounds}-{ounces}"),
            (pounds, ounces, drams) => format!("{pounds}-{ounces}-{drams}"),
        }
    }

    /// What a field of a form or an export holds: reads back as the same weight in any field.
    pub fn typed(self) -> String {
        match self.scale {
            Scale::Grams => format!("{} g", self.amount),
            Scale::Drams => self.words(),
        }
    }
}

/// How a match ranks: whole steps of `step` units of `scale`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Ranking {
    pub scale: Scale,
    /// Units of `scale` to a step, at least 1: 16 dr to rank by the ounce.
    pub step: i64,
}

impl Ranking {
    pub const OUNCE: Self = Self {
        scale: Scale::Drams,
        step: DRAMS_PER_OUNCE,
    };
    pub const GRAM: Self = Self {
        scale: Scale::Grams,
        step: 1,
    };

    /// The steps an organiser may choose from, with their words.
    pub const OFFERED: [(Self, &'static str); 7] = [
        (Self::OUNCE, "pounds and ounces, to the ounce"),
        (Self::of(Scale::Drams, 4), "pounds and ounces, to ¼ oz"),
        (Self::of(Scale::Drams, 1), "pounds, ounces and drams"),
        (Self::GRAM, "kilograms, to the gram"),
        (Self::of(Scale::Grams, 5), "kilograms, to 5 g"),
        (Self::of(Scale::Grams, 10), "kilograms, to 10 g"),
        (Self::of(Scale::Grams, 20), "kilograms, to 20 g"),
    ];

    /// `step` is at least 1.
    pub const fn of(scale: Scale, step: i64) -> Self {
        Self {
            scale,
            step: if step < 1 { 1 } else { step },
        }
    }

    /// What ranks of a weight kept in grams: made whole parts again, then rounded down to the step
    /// as [`Total::to`] rounds it, so that every page tells a weight as its result does.
    pub fn of_grams(self, grams: f64) -> Weight {
        let step = self.scale.parts() * i128::from(self.step.max(1));
        let parts = (grams * GRAM_PARTS as f64).round() as i128;
        self.weight(i64::try_from(parts / step).unwrap_or(i64::MAX))
    }

    /// The weight of `steps` whole steps.
    pub fn weight(self, steps: i64) -> Weight {
        Weight {
            amount: steps.max(0).saturating_mul(self.step.max(1)),
            scale: self.scale,
        }
    }
}

/// Nets added within each unit; another unit is made of the two sums once.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Total {
    grams: i64,
    drams: i64,
}

impl Total {
    pub fn add(&mut self, weight: Weight) {
        let sum = match weight.scale {
            Scale::Grams => &mut self.grams,
            Scale::Drams => &mut self.drams,
        };
        *sum = sum.saturating_add(weight.amount);
    }

    pub fn is_nothing(self) -> bool {
        self == Self::default()
    }

    /// In parts of 1/25 600 000 g: exact.
    fn parts(self) -> i128 {
        i128::from(self.grams) * GRAM_PARTS + i128::from(self.drams) * DRAM_PARTS
    }

    /// Whole ranking steps: ⌊(grams + drams × 1.7718451953125 g) ÷ step⌋, without rounding before.
    pub fn steps(self, ranking: Ranking) -> i64 {
        let step = ranking.scale.parts() * i128::from(ranking.step.max(1));
        i64::try_from(self.parts() / step).unwrap_or(i64::MAX)
    }

    /// The same as a weight, rounded down to the step once.
    pub fn to(self, ranking: Ranking) -> Weight {
        ranking.weight(self.steps(ranking))
    }

    /// As the scales gave it: `12 lb 8 oz`, `5.670 kg`, or both where both were used.
    pub fn words(self) -> String {
        let parts: Vec<_> = [(self.drams, Scale::Drams), (self.grams, Scale::Grams)]
            .into_iter()
            .filter(|(amount, _)| *amount > 0)
            .map(|(amount, scale)| Weight { amount, scale }.words())
            .collect();
        match parts.as_slice() {
            [] => "nothing".to_owned(),
            _ => parts.join(" and "),
        }
    }
}

impl From<Weight> for Total {
    fn from(weight: Weight) -> Self {
        let mut total = Self::default();
        total.add(weight);
        total
    }
}

impl FromIterator<Weight> for Total {
    fn from_iter<I: IntoIterator<Item = Weight>>(weights: I) -> Self {
        let mut total = Self::default();
        weights.into_iter().for_each(|weight| total.add(weight));
        total
    }
}
