//! The form in which an officer says which source is believed: what it says otherwise than it was
//! shown, what of that cannot be, and what another officer chose meanwhile.

use super::window::Window;
use crate::{
    actions::choose_weather::Belief,
    domain::{dates::Day, ids::SourceId, weather::sources::Element},
    web::forms::{Form, Problems},
};

/// A choice made on a page while another officer made another.
pub struct Both {
    /// `rain of Sat 14 Nov`.
    pub what: String,
    pub theirs: String,
    pub yours: String,
}

/// The box of one element of a day.
pub fn box_name(day: Day, element: Element) -> String {
    format!("{}_{day}", element.slug())
}

/// The box that holds what stood chosen when the page was made.
pub fn was_name(day: Day, element: Element) -> String {
    format!("was_{}", box_name(day, element))
}

/// The box of a whole day.
pub fn day_name(day: Day) -> String {
    format!("day_{day}")
}

/// Does the form say otherwise than it was shown?
pub fn touched(form: &Form, day: Day, element: Element) -> bool {
    let name = box_name(day, element);
    form.has(&name) && form.get(&name) != form.get(&was_name(day, element))
}

/// The source an officer has chosen, where it still knows the figure.
pub fn standing(window: &Window, day: Day, element: Element) -> Option<SourceId> {
    let chosen = window.choice(day, element);
    chosen.filter(|source| knows(window, day, element, *source))
}

fn knows(window: &Window, day: Day, element: Element, source: SourceId) -> bool {
    let mut said = window.said(day).iter();
    said.any(|of| of.source == source && element.known(&of.weather))
}

/// What the form says otherwise than it was shown; what cannot be is noted at its line. A source
/// believed for a whole day is believed wherever it differs from another, small differences
/// included.
pub fn read(window: &Window, form: &Form, problems: &mut Problems) -> Vec<Belief> {
    let mut beliefs = Vec::new();
    for day in window.days() {
        let whole = whole_day(window, form, day, problems);
        for element in Element::ALL.iter().copied() {
            let source = match &whole {
                Some((source, differs)) if differs.contains(&element) => Some(*source),
                _ if touched(form, day, element) => {
                    match one_figure(window, form, (day, element), problems) {
                        Some(source) => source,
                        None => continue,
                    }
                }
                _ => continue,
            };
            beliefs.push(Belief {
                day,
                element,
                source,
                was: source_in(form, &was_name(day, element)),
            });
        }
    }
    beliefs
}

/// The source believed for a whole day, and every element in which it differs from another.
fn whole_day(
    window: &Window,
    form: &Form,
    day: Day,
    problems: &mut Problems,
) -> Option<(SourceId, Vec<Element>)> {
    let name = day_name(day);
    if form.get(&name).is_empty() {
        return None;
    }
    if let Some(source) = source_in(form, &name) {
        let differs: Vec<_> = window
            .differences()
            .filter(|one| one.day == day && one.said.iter().any(|of| of.source == source))
            .map(|one| one.element)
            .collect();
        if !differs.is_empty() {
            return Some((source, differs));
        }
    }
    let shown = window.conflicts().iter().any(|one| one.day == day);
    note(
        problems,
        (name, shown),
        &format!("the whole of {}", day.brief()),
    );
    None
}

/// The source chosen for one element of a day, `Some(None)` being its ranks.
fn one_figure(
    window: &Window,
    form: &Form,
    (day, element): (Day, Element),
    problems: &mut Problems,
) -> Option<Option<SourceId>> {
    let name = box_name(day, element);
    if form.get(&name).is_empty() {
        return Some(None);
    }
    let source = source_in(form, &name).filter(|source| knows(window, day, element, *source));
    if source.is_some() {
        return Some(source);
    }
    let conflicts = window.conflicts();
    let mut conflicts = conflicts.iter();
    let shown = conflicts.any(|one| (one.day, one.element) == (day, element));
    note(
        problems,
        (name, shown),
        &format!("the {}", figure(day, element)),
    );
    None
}

/// The problem of a source that knows nothing of what it is chosen for: at its box, where the page
/// still has one.
fn note(problems: &mut Problems, (name, shown): (String, bool), what: &str) {
    let why = "the source you chose says nothing of it now";
    match shown {
        true => problems.add(
            name,
            format!("Choose again for {what}: {why}. Take one of those the page shows."),
        ),
        false => problems.add(
            "",
            format!("Nothing is left to choose for {what}: {why}. Save the rest again."),
        ),
    }
}

/// The source whose number a box holds.
fn source_in(form: &Form, name: &str) -> Option<SourceId> {
    form.get(name).parse().ok().map(SourceId)
}

/// Every choice where the record now holds another than the page was made from.
pub fn both(window: &Window, beliefs: &[Belief]) -> Vec<Both> {
    let changed = beliefs.iter().filter_map(|belief| {
        let stands = standing(window, belief.day, belief.element);
        (stands != belief.was && stands != belief.source).then(|| Both {
            what: figure(belief.day, belief.element),
            theirs: in_words(window, belief.day, stands),
            yours: in_words(window, belief.day, belief.source),
        })
    });
    changed.collect()
}

fn figure(day: Day, element: Element) -> String {
    format!("{} of {}", element.label(), day.brief())
}

fn in_words(window: &Window, day: Day, source: Option<SourceId>) -> String {
    let mut said = window.said(day).iter();
    match said.find(|of| Some(of.source) == source) {
        Some(of) => window.name(of),
        None => "by rank".to_owned(),
    }
}
