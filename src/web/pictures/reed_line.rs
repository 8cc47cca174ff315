//! The reed line: pegs in walking order along a bank, a stem for each. A stem stands up by what
//! the peg adds and bends under the water line by what it takes away, on a log scale; its foot is
//! as wide as the doubt. Full ink is clear of chance, pale ink is not. To twelve pegs the line is
//! one piece, to twenty-four two halves (stacked on a phone), beyond that it runs down the page.

use askama::Template;

use super::{Place, left, middle};
use crate::web::figures;

/// Where the water lies across a lying line, and how far a stem may reach either way, px.
const WATER: f64 = 116.0;
const REACH: f64 = 104.0;
/// Where the water lies down a standing line, per cent across, and a stem's reach, per cent.
const BANK_SIDE: f64 = 50.0;
const SIDE_REACH: f64 = 36.0;
/// Natural log that fills `REACH` unless a stem needs more: ruled lines fall at 1.5 and 2/3.
const USUAL_SPAN: f64 = 0.59;
/// Pixels of half a foot for one unit of log doubt, and its least and most.
const FOOT: (f64, f64, f64) = (21.0, 4.0, 22.0);
const ROW: f64 = 36.0;
const LONGEST_LYING_LINE: usize = 24;
const HALF: usize = 12;

/// What a peg is worth: multipliers, 1 for an even peg.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Adds {
    pub ratio: f64,
    pub low: f64,
    pub high: f64,
    /// It is clear of chance, which an interval without an even peg alone does not make it.
    pub clear: bool,
}

impl Adds {
    fn words(self) -> String {
        let (low, high) = (figures::change(self.low), figures::change(self.high));
        format!("{} ({low} to {high})", figures::change(self.ratio))
    }
}

/// One peg.
#[derive(Clone, Debug, PartialEq)]
pub struct Reed {
    pub number: String,
    /// Address of the peg's page.
    pub href: String,
    /// `None` until drawn matches have told something.
    pub adds: Option<Adds>,
    pub closed: bool,
    /// Drawn matches behind the figure.
    pub matches: i64,
    /// For the table: `clear of chance`, `cannot tell`, `closed since 9 November`.
    pub words: String,
}

/// What a reed line is drawn from.
#[derive(Clone, Debug, PartialEq)]
pub struct Bank {
    /// Unlike any other picture's on the page; letters, digits and hyphens.
    pub id: String,
    /// The bank's name.
    pub name: String,
    /// In walking order.
    pub reeds: Vec<Reed>,
    /// The finding in a sentence, for those who hear the page.
    pub summary: String,
    /// Which end the walk begins at, such as `car park end first`; may be empty.
    pub begins: String,
}

/// A peg's place in the drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Stem {
    pub reed: Reed,
    /// Middle and left edge: per cent across a lying line, px down a standing one.
    pub at: Place,
    pub edge: Place,
    /// The stroke, from its foot.
    pub path: String,
    /// Height above the water, negative below: px, or per cent on a standing line.
    pub rise: Place,
    pub foot: Place,
    pub sure: bool,
}

impl Stem {
    fn spoken(&self) -> String {
        let number = &self.reed.number;
        match self.reed.adds {
            _ if self.reed.closed => format!("Peg {number}: closed"),
            Some(adds) => format!("Peg {number}: {}", adds.words()),
            None if self.reed.matches > 0 => format!("Peg {number}: too few drawn matches yet"),
            None => format!("Peg {number}: no drawn match yet"),
        }
    }
}

/// A ruled line and its words.
#[derive(Clone, Debug, PartialEq)]
pub struct Ruling {
    pub at: Place,
    pub words: &'static str,
}

/// A piece of the line.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// `a`, `b`: tells the pieces' titles apart.
    pub letter: char,
    pub stems: Vec<Stem>,
    pub breadth: Place,
    pub height: Place,
}

#[derive(Template)]
#[template(path = "pictures/reed_line.html")]
pub struct ReedLine {
    bank: Bank,
    pieces: Vec<Piece>,
    above: Ruling,
    below: Ruling,
    water: Place,
    standing: bool,
}

impl ReedLine {
    pub fn new(bank: Bank) -> Self {
        let standing = bank.reeds.len() > LONGEST_LYING_LINE;
        let span = span(&bank.reeds);
        let reach = if standing { SIDE_REACH } else { REACH };
        let share = |ratio: f64| ratio.ln() / span * reach;
        let pieces = if standing {
            vec![standing_piece(&bank.reeds, share)]
        } else {
            lying_pieces(&bank.reeds, share)
        };
        let (more, words_above, words_below) = rulings(span);
        let ruled = |away: f64| match standing {
            true => Place(BANK_SIDE + away),
            false => Place(WATER - away),
        };
        Self {
            above: Ruling {
                at: ruled(share(more)),
                words: words_above,
            },
            below: Ruling {
                at: ruled(-share(more)),
                words: words_below,
            },
            water: Place(if standing { BANK_SIDE } else { WATER }),
            pieces,
            bank,
            standing,
        }
    }

    fn cell(&self, reed: &Reed) -> String {
        reed.adds.map(Adds::words).unwrap_or_default()
    }
}

/// The log multiplier that fills the reach: the usual one, or what the longest stem needs.
fn span(reeds: &[Reed]) -> f64 {
    let adds = reeds.iter().filter_map(|reed| reed.adds);
    adds.map(|adds| adds.ratio.ln().abs())
        .filter(|log| log.is_finite())
        .fold(USUAL_SPAN, f64::max)
}

/// The multiplier ruled above the water (its reciprocal is ruled below) and their words.
fn rulings(span: f64) -> (f64, &'static str, &'static str) {
    if span < 1.0 {
        (1.5, "half as much again", "a third less")
    } else {
        (2.0, "twice as much", "half as much")
    }
}

fn lying_pieces(reeds: &[Reed], share: impl Fn(f64) -> f64) -> Vec<Piece> {
    let half = if reeds.len() > HALF {
        reeds.len().div_ceil(2)
    } else {
        reeds.len()
    };
    let chunks = reeds.chunks(half.max(1));
    chunks
        .zip('a'..)
        .map(|(chunk, letter)| Piece {
            letter,
            stems: (chunk.iter().enumerate())
                .map(|(at, reed)| stem(reed, at, middle(at, half), left(at, half), &share, false))
                .collect(),
            breadth: Place(100.0 / half as f64),
            height: Place(232.0),
        })
        .collect()
}

fn standing_piece(reeds: &[Reed], share: impl Fn(f64) -> f64) -> Piece {
    // Room above the first peg for the words of the ruled lines.
    let row = |at: usize, part: f64| Place(30.0 + ROW * (at as f64 + part));
    Piece {
        letter: 'a',
        stems: (reeds.iter().enumerate())
            .map(|(at, reed)| stem(reed, at, row(at, 0.5), row(at, 0.0), &share, true))
            .collect(),
        breadth: Place(ROW),
        height: row(reeds.len(), 0.2),
    }
}

fn stem(
    reed: &Reed,
    at: usize,
    place: Place,
    edge: Place,
    share: &impl Fn(f64) -> f64,
    standing: bool,
) -> Stem {
    let adds = reed
        .adds
        .filter(|adds| adds.ratio > 0.0 && adds.low > 0.0 && adds.high.is_finite());
    let rise = adds.map(|adds| share(adds.ratio)).unwrap_or(0.0);
    let doubt = adds
        .map(|adds| (adds.high / adds.low).ln() / 2.0)
        .unwrap_or(0.0);
    let (scale, least, most) = FOOT;
    // Neighbours lean apart, as reeds do.
    let lean = if at.is_multiple_of(2) { 1.0 } else { -1.0 };
    Stem {
        reed: reed.clone(),
        at: place,
        edge,
        path: if standing {
            String::new()
        } else {
            stroke(rise, lean)
        },
        rise: Place(rise),
        foot: Place((doubt * scale).clamp(least, if standing { ROW * 0.4 } else { most })),
        sure: adds.is_some_and(|adds| adds.clear),
    }
}

/// A stem `rise` px high, leaning a little; below nought it bends over and goes under.
fn stroke(rise: f64, lean: f64) -> String {
    if rise >= 0.0 {
        let (third, two_thirds) = (Place(-rise * 0.4), Place(-rise * 0.7));
        let (bow, tip) = (Place(lean * 0.8), Place(lean * 4.0));
        return format!("M0 0C0 {third} {bow} {two_thirds} {tip} {}", Place(-rise));
    }
    let aside = Place(lean * 9.0);
    format!("M0 0C0 -14 {aside} -14 {aside} 0V{}", Place(-rise))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reed(number: usize, ratio: f64, low: f64, high: f64) -> Reed {
        Reed {
            number: number.to_string(),
            href: format!("/pegs/{number}"),
            adds: Some(Adds {
                ratio,
                low,
                high,
                clear: low > 1.0 || high < 1.0,
            }),
            closed: false,
            matches: 20,
            words: String::new(),
        }
    }

    fn line(reeds: Vec<Reed>) -> ReedLine {
        ReedLine::new(Bank {
            id: "reeds".into(),
            name: "Long Reach".into(),
            reeds,
            summary: String::new(),
            begins: String::new(),
        })
    }

    #[test]
    fn a_peg_that_adds_stands_and_one_that_takes_bends_under_by_as_much() {
        let line = line(vec![reed(1, 1.5, 1.1, 2.0), reed(2, 1.0 / 1.5, 0.5, 0.9)]);

        let rises: Vec<f64> = line.pieces[0]
            .stems
            .iter()
            .map(|stem| stem.rise.0)
            .collect();

        assert!(
            (rises[0] + rises[1]).abs() < 1e-9,
            "equal on a log scale: {rises:?}"
        );
        assert!(
            (WATER - rises[0] - line.above.at.0).abs() < 1e-9,
            "its tip touches the ruled line"
        );
        assert!(
            line.pieces[0].stems[1]
                .path
                .ends_with(&format!("V{}", Place(-rises[1])))
        );
    }

    #[test]
    fn the_foot_is_as_wide_as_the_doubt_and_pale_ink_means_it_may_be_chance() {
        let line = line(vec![reed(1, 1.5, 1.2, 1.9), reed(2, 1.5, 0.6, 3.8)]);
        let stems = &line.pieces[0].stems;

        assert!(stems[0].foot < stems[1].foot);
        assert!(stems[0].sure);
        assert!(!stems[1].sure);
    }

    #[test]
    fn ink_is_pale_where_the_draw_may_have_made_it_however_narrow_the_foot() {
        let mut lucky = reed(1, 1.5, 1.2, 1.9);
        lucky.adds = lucky.adds.map(|adds| Adds {
            clear: false,
            ..adds
        });

        assert!(!line(vec![lucky]).pieces[0].stems[0].sure);
    }

    #[test]
    fn no_stem_leaves_the_picture_however_good_the_peg() {
        let line = line(vec![reed(1, 9.0, 4.0, 20.0), reed(2, 0.05, 0.01, 0.3)]);

        for stem in &line.pieces[0].stems {
            assert!(stem.rise.0.abs() <= REACH + 1e-9);
        }
        assert_eq!(line.above.words, "twice as much");
    }

    #[test]
    fn a_longer_bank_is_halved_and_a_very_long_one_runs_down_the_page() {
        let bank = |pegs: usize| line((1..=pegs).map(|n| reed(n, 1.1, 0.8, 1.5)).collect());

        assert_eq!(bank(12).pieces.len(), 1);
        let halves: Vec<usize> = bank(23)
            .pieces
            .iter()
            .map(|piece| piece.stems.len())
            .collect();
        assert_eq!(halves, [12, 11]);
        assert!(bank(25).standing);
        assert_eq!(bank(40).pieces[0].stems.len(), 40);
        assert!(bank(0).pieces.is_empty());
    }

    #[test]
    fn a_peg_without_a_drawn_match_says_so_and_claims_nothing() {
        let mut unknown = reed(7, 1.0, 1.0, 1.0);
        unknown.adds = None;
        unknown.matches = 0;

        let line = line(vec![unknown]);

        let stem = &line.pieces[0].stems[0];
        assert_eq!(stem.spoken(), "Peg 7: no drawn match yet");
        assert_eq!(stem.rise, Place(0.0));
        assert!(!stem.sure);
    }
}
