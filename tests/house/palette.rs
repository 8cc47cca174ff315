//! Contrast of every pair of colours that meet, computed from the style sheets themselves, in the
//! day scheme, at dusk and on paper; and that no sheet but `tokens.css` writes a colour.
//!
//! Relative luminance and contrast ratio: WCAG 2.2, definitions of "relative luminance" and
//! "contrast ratio". Our own figures are higher than its: 7:1 for text, 4.5:1 for controls and
//! focus; 3:1 for marks on paper as its criterion 1.4.11 has it.

use std::collections::HashMap;

use super::tree::below;

const TEXT: f64 = 7.0;
const CONTROL: f64 = 4.5;
const MARK: f64 = 3.0;

/// What stands on what, by the names of purpose in `tokens.css`.
const PAIRS: [(&str, &str, f64); 19] = [
    ("ink", "paper", TEXT),
    ("quiet", "paper", TEXT),
    ("link", "paper", TEXT),
    ("ink", "caution", TEXT),
    ("quiet", "caution", TEXT),
    ("link", "caution", TEXT),
    ("on-control", "control", TEXT),
    ("ink", "rain", TEXT),
    ("control", "paper", CONTROL),
    ("field-edge", "paper", CONTROL),
    ("field-edge", "caution", CONTROL),
    ("focus", "paper", CONTROL),
    ("focus", "caution", CONTROL),
    ("reed", "paper", MARK),
    ("doubtful", "paper", MARK),
    ("doubtful", "under", MARK),
    ("reed", "under", MARK),
    ("water", "paper", MARK),
    ("water", "rain", MARK),
];

/// The water under the reed line: `--rain` at this opacity over the paper (parts/pictures.css).
const UNDER: f64 = 0.4;

type Rgb = [f64; 3];

#[test]
fn text_controls_and_marks_stand_out_by_day_at_dusk_and_on_paper() {
    let sheet = tokens();

    for scheme in ["day", "(prefers-color-scheme: dark)", "print"] {
        let palette = palette(&sheet, scheme);
        for (front, back, least) in PAIRS {
            let ratio = contrast(
                colour(&sheet, &palette, front),
                colour(&sheet, &palette, back),
            );
            assert!(
                ratio >= least,
                "{scheme}: {front} on {back} is {ratio:.2}:1, wanted {least}:1"
            );
        }
    }
}

#[test]
fn the_contrast_formula_gives_the_published_ends() {
    let (black, white, grey) = (rgb("#000000"), rgb("#ffffff"), rgb("#767676"));

    assert!((contrast(black, white) - 21.0).abs() < 1e-9);
    assert!((contrast(white, white) - 1.0).abs() < 1e-9);
    // The well-known lightest grey that passes 4.5:1 on white.
    assert!((contrast(grey, white) - 4.54).abs() < 0.005);
}

#[test]
fn no_sheet_but_tokens_writes_a_colour_a_tiny_letter_or_an_identifier() {
    for (name, sheet) in sheets() {
        for (number, line) in sheet.lines().enumerate() {
            let at = format!("{name}:{}: {}", number + 1, line.trim());
            let code = line.split("/*").next().unwrap_or("");
            if !name.ends_with("tokens.css") {
                for colour in [
                    "rgb(", "rgba(", "hsl(", "oklch(", "oklab(", "color(", "white;", "black;",
                ] {
                    assert!(!code.contains(colour), "a raw colour at {at}");
                }
                let hash = code
                    .split('#')
                    .skip(1)
                    .any(|rest| rest.starts_with(|c: char| c.is_ascii_alphanumeric()));
                assert!(!hash, "a raw colour or an identifier at {at}");
            }
            assert!(!code.contains("!important"), "{at}");
            if let Some(size) = code.split("font-size:").nth(1).and_then(length_px) {
                assert!(size >= 16.0, "letters of {size} px at {at}");
            }
        }
    }
}

#[test]
fn every_sheet_keeps_to_its_layer() {
    for (name, sheet) in sheets() {
        let layers: Vec<&str> = sheet
            .lines()
            .filter(|line| line.starts_with("@layer"))
            .collect();
        assert_eq!(layers.len(), 1, "{name} opens one layer: {layers:?}");
    }
}

/// `0.89rem` or `16px` in pixels; print's points and variables are not judged here.
fn length_px(text: &str) -> Option<f64> {
    let text = text.trim().split([';', '}', ' ']).next()?;
    if let Some(rem) = text.strip_suffix("rem") {
        return rem.parse::<f64>().ok().map(|rem| rem * 18.0);
    }
    text.strip_suffix("px")?.parse().ok()
}

fn tokens() -> String {
    let tokens = sheets().into_iter().find(|(name, _)| name == "tokens.css");
    tokens.expect("the tokens are in the tree").1
}

fn sheets() -> Vec<(String, String)> {
    let found = below("static/css", "css");
    assert!(found.len() > 10, "the sheets were found");
    found
}

/// The raw colours of a scheme: the day's, with the scheme's own written over them.
fn palette(sheet: &str, scheme: &str) -> HashMap<String, Rgb> {
    let (day, _) = sheet
        .split_once("@media")
        .expect("the day palette comes first");
    let mut found = colours(day);
    if scheme != "day" {
        let opening = format!("@media {scheme} {{");
        let (_, rest) = sheet
            .split_once(&opening)
            .expect("the scheme has a palette");
        let (own, _) = rest.split_once("\n  }").expect("the palette ends");
        found.extend(colours(own));
    }
    found
}

fn colours(text: &str) -> HashMap<String, Rgb> {
    declarations(text)
        .filter(|(_, value)| value.starts_with('#'))
        .map(|(name, value)| (name.to_owned(), rgb(value)))
        .collect()
}

fn declarations(text: &str) -> impl Iterator<Item = (&str, &str)> {
    text.lines().filter_map(|line| {
        let (name, value) = line.trim().strip_prefix("--")?.split_once(':')?;
        Some((name, value.trim().trim_end_matches(';')))
    })
}

/// The colour a purpose has in a palette.
fn colour(sheet: &str, palette: &HashMap<String, Rgb>, purpose: &str) -> Rgb {
    if purpose == "under" {
        let (rain, paper) = (
            colour(sheet, palette, "rain"),
            colour(sheet, palette, "paper"),
        );
        return std::array::from_fn(|i| UNDER * rain[i] + (1.0 - UNDER) * paper[i]);
    }
    let (_, value) = declarations(sheet)
        .find(|(name, value)| *name == purpose && value.starts_with("var("))
        .unwrap_or_else(|| panic!("no purpose called {purpose}"));
    let raw = value.trim_start_matches("var(--").trim_end_matches(')');
    *palette
        .get(raw)
        .unwrap_or_else(|| panic!("{purpose} is {raw}, which has no colour"))
}

/// `#rrggbb` as shares of 255.
fn rgb(hex: &str) -> Rgb {
    let digits = hex.trim_start_matches('#');
    std::array::from_fn(|i| {
        let pair = &digits[2 * i..2 * i + 2];
        f64::from(u8::from_str_radix(pair, 16).expect("two hexadecimal digits")) / 255.0
    })
}

fn luminance(colour: Rgb) -> f64 {
    let linear = colour.map(|share| {
        if share <= 0.04045 {
            share / 12.92
        } else {
            ((share + 0.055) / 1.055).powf(2.4)
        }
    });
    0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
}

fn contrast(a: Rgb, b: Rgb) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}
