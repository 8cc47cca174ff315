//! The same writing of figures inside templates: `{{ rain|millimetres }}`. A page's module says
//! `use crate::web::filters;` to have them.

use askama::{Result, Values, filter_fn};

use crate::domain::{dates::Day, units::Weight};

use super::figures::{self, Speed};

/// Anything that can be read as a number, however many references a template has put before it.
pub trait Figure {
    fn figure(&self) -> f64;
}

impl Figure for f64 {
    fn figure(&self) -> f64 {
        *self
    }
}

impl Figure for i64 {
    fn figure(&self) -> f64 {
        *self as f64
    }
}

impl Figure for usize {
    fn figure(&self) -> f64 {
        *self as f64
    }
}

impl<T: Figure + ?Sized> Figure for &T {
    fn figure(&self) -> f64 {
        (**self).figure()
    }
}

/// `{{ x|number(1) }}`: `1,240.5`, `−3.0`.
#[filter_fn]
pub fn number(value: impl Figure, _: &dyn Values, places: usize) -> Result<String> {
    Ok(figures::number(value.figure(), places))
}

/// `{{ x|signed(0) }}`: `+52`, `−9`.
#[filter_fn]
pub fn signed(value: impl Figure, _: &dyn Values, places: usize) -> Result<String> {
    Ok(figures::signed(value.figure(), places))
}

/// `{{ n|many("session", "sessions") }}`: `1 session`.
#[filter_fn]
pub fn many(value: impl Figure, _: &dyn Values, one: &str, more: &str) -> Result<String> {
    Ok(figures::many(value.figure() as i64, one, more))
}

/// `{{ share|per_cent }}`: `12 %` from 0.12.
#[filter_fn]
pub fn per_cent(share: impl Figure, _: &dyn Values) -> Result<String> {
    Ok(figures::per_cent(share.figure()))
}

/// `{{ ratio|change }}`: `+52 %` from 1.52.
#[filter_fn]
pub fn change(ratio: impl Figure, _: &dyn Values) -> Result<String> {
    Ok(figures::change(ratio.figure()))
}

/// `{{ air|celsius(1) }}`: `−2.5 °C`.
#[filter_fn]
pub fn celsius(degrees: impl Figure, _: &dyn Values, places: usize) -> Result<String> {
    Ok(figures::celsius(degrees.figure(), places))
}

/// `{{ rain|millimetres }}`: `8.6 mm`.
#[filter_fn]
pub fn millimetres(mm: impl Figure, _: &dyn Values) -> Result<String> {
    Ok(figures::millimetres(mm.figure()))
}

/// `{{ glass|hectopascals }}`: `1013 hPa`.
#[filter_fn]
pub fn hectopascals(hpa: impl Figure, _: &dyn Values) -> Result<String> {
    Ok(figures::hectopascals(hpa.figure()))
}

/// `{{ wind|speed(unit) }}`, from metres a second: `12 mph`, `5.4 m/s`, `force 4`.
#[filter_fn]
pub fn speed(metres_a_second: impl Figure, _: &dyn Values, unit: &Speed) -> Result<String> {
    Ok(figures::speed(metres_a_second.figure(), *unit))
}

/// `{{ from|compass }}`: `SW`.
#[filter_fn]
pub fn compass(degrees: impl Figure, _: &dyn Values) -> Result<&'static str> {
    Ok(figures::compass(degrees.figure()))
}

/// `{{ weight|weight }}`: `12 lb 8 oz`, held together.
#[filter_fn]
pub fn weight(weight: &Weight, _: &dyn Values) -> Result<String> {
    Ok(tight(&weight.words()))
}

/// `{{ weight|short_weight }}`: `12-8`, for a column whose heading names the unit.
#[filter_fn]
pub fn short_weight(weight: &Weight, _: &dyn Values) -> Result<String> {
    Ok(weight.short())
}

/// `{{ day|long_day }}`: `Saturday 15 November 2025`.
#[filter_fn]
pub fn long_day(day: &Day, _: &dyn Values) -> Result<String> {
    Ok(day.long())
}

/// `{{ day|short_day }}`: `Sat 15 Nov 2025`, held together.
#[filter_fn]
pub fn short_day(day: &Day, _: &dyn Values) -> Result<String> {
    Ok(tight(&day.short()))
}

/// `{{ day|brief_day }}`: `Sat 15 Nov`, held together.
#[filter_fn]
pub fn brief_day(day: &Day, _: &dyn Values) -> Result<String> {
    Ok(tight(&day.brief()))
}

/// `{{ name|unbroken }}`: `Frost Cup 2026–27`, its years on one line.
#[filter_fn]
pub fn unbroken(text: impl std::fmt::Display, _: &dyn Values) -> Result<String> {
    Ok(figures::unbroken(&text.to_string()))
}

/// `{{ sentence|weights_held }}`: no line ends inside a weight of it.
#[filter_fn]
pub fn weights_held(text: impl std::fmt::Display, _: &dyn Values) -> Result<String> {
    Ok(figures::weights_held(&text.to_string()))
}

fn tight(text: &str) -> String {
    text.replace(' ', "\u{a0}")
}

#[cfg(test)]
mod tests {
    use askama::Template;

    use crate::domain::units::Scale;
    use crate::web::filters;

    use super::*;

    #[derive(Template)]
    #[template(
        source = "{{ rain|millimetres }}; {{ air|number(1) }}; {{ days.len()|many(\"day\", \"days\") }}; \
                  {% for day in days %}{{ day|brief_day }}, {% endfor %}{{ net|weight }}; \
                  {{ wind|speed(unit) }}; {{ ratio|change }}",
        ext = "txt"
    )]
    struct Line {
        rain: f64,
        air: f64,
        days: Vec<Day>,
        net: Weight,
        wind: f64,
        unit: Speed,
        ratio: f64,
    }

    #[test]
    fn a_template_writes_figures_as_the_rest_of_the_page_does() {
        let line = Line {
            rain: 8.6,
            air: -0.5,
            days: vec![Day::new(2025, 11, 15).expect("a real day")],
            net: Weight::new(1420, Scale::Grams).expect("a real weight"),
            wind: 5.36,
            unit: Speed::Mph,
            ratio: 1.52,
        };
        let shown = line
            .render()
            .expect("writes to a string")
            .replace('\u{a0}', " ");
        assert_eq!(
            shown,
            "8.6 mm; −0.5; 1 day; Sat 15 Nov, 1.420 kg; 12 mph; +52 %"
        );
    }
}
