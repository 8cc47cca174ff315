//! A weather file's page in words: what was typed about it, and what it would change.

use super::{import_figures, window::in_words};
use crate::{
    actions::import::weather::{Brought, NewSource, Preview, Whose, read_day_end},
    domain::{
        dates::Day,
        ids::SourceId,
        names::text::clean_line,
        weather::{
            bringing_in::{Change, Planned, differing, runs},
            sources::Element,
            typed,
            units::{SpeedUnit, TemperatureUnit},
        },
    },
    formats::{
        days::DayOrder,
        weather_csv::{Column, WHAT_STANDS},
        weather_file::{HowToRead, mostly_the_day_before},
    },
    store::weather::{Source, WeatherVenue},
    web::forms::{Form, Problems},
};

/// Lines of each list that are shown; beyond them, only their number.
const MOST_LINES: usize = 60;

/// What the form says besides the columns.
#[derive(Clone, Debug, Default)]
pub struct Said {
    /// A source's number, `new`, or empty.
    pub whose: String,
    pub new_name: String,
    pub day_ends: String,
    pub min: bool,
    pub max: bool,
    pub rain: bool,
    pub credited: bool,
    pub day_order: String,
    pub only: String,
}

impl Said {
    /// As somebody typed it.
    pub fn typed(form: &Form) -> Self {
        Self {
            whose: form.get("whose").to_owned(),
            new_name: form.raw("new_name").to_owned(),
            day_ends: form.raw("day_ends").to_owned(),
            min: form.has("min"),
            max: form.has("max"),
            rain: form.has("rain"),
            credited: form.get("credited") == "yes",
            day_order: form.get("day_order").to_owned(),
            only: form.raw("only").to_owned(),
        }
    }
}

/// As it was kept with the file; `day_ends` is the hour that the file itself states.
pub fn said(brought: &Brought, day_ends: Option<&str>) -> Said {
    let how = &brought.how;
    let mut said = Said {
        day_ends: day_ends.unwrap_or("24:00").to_owned(),
        rain: day_ends.is_some_and(mostly_the_day_before),
        new_name: how.only.clone().unwrap_or_default(),
        credited: how.credited,
        day_order: how.day_order.map_or("", DayOrder::slug).to_owned(),
        only: how.only.clone().unwrap_or_default(),
        ..Said::default()
    };
    match &brought.whose {
        Whose::Unsaid => {}
        Whose::Known(id) => said.whose = id.to_string(),
        Whose::New(new) => {
            said.whose = "new".to_owned();
            said.new_name = new.name.clone();
            said.day_ends = new.day_ends_at.clone();
            (said.min, said.max, said.rain) =
                (new.min_shift != 0, new.max_shift != 0, new.rain_shift != 0);
        }
    }
    said
}

/// Reads the form; every problem is noted at its box.
pub fn how_typed(
    form: &Form,
    (venue, known): (&WeatherVenue, &[Source]),
    before: &Brought,
    problems: &mut Problems,
) -> Brought {
    let columns = (0..before.how.columns.len())
        .map(|at| Column::from_slug(form.get(&format!("col_{at}"))))
        .collect();
    let only = match form.get("only") {
        "" => before.how.only.clone().filter(|_| !form.has("only")),
        only => Some(only.to_owned()),
    };
    Brought {
        venue: Some(venue.id),
        how: HowToRead {
            columns,
            day_order: DayOrder::from_slug(form.get("day_order")),
            only,
            credited: form.get("credited") == "yes",
        },
        whose: whose(form, known, before, problems),
    }
}

/// A name typed for a new source says that it is one, unless a name was there before anybody typed.
/// Rows chosen out of a file by a name that is known are of that source.
fn whose(form: &Form, known: &[Source], before: &Brought, problems: &mut Problems) -> Whose {
    let name = form.get("new_name");
    let named = !name.is_empty() && before.how.only.as_deref() != Some(name);
    match form.get("whose") {
        "" if named => new_source(form, problems),
        "" => match known.iter().find(|one| one.is_called(form.get("only"))) {
            Some(own) => Whose::Known(own.id),
            None => {
                problems.add(
                    "whose",
                    "The source: say whose figures these are. Choose a source, or name a new one.",
                );
                Whose::Unsaid
            }
        },
        "new" => new_source(form, problems),
        number => match number.parse() {
            Ok(id) => Whose::Known(SourceId(id)),
            Err(_) => {
                problems.add("whose", "Choose one of the sources in the list.");
                Whose::Unsaid
            }
        },
    }
}

fn new_source(form: &Form, problems: &mut Problems) -> Whose {
    let name = clean_line(form.raw("new_name"), "the name of the source", 80);
    let name = problems.take("new_name", name.and_then(fine_name));
    let day_ends = read_day_end(form.get("day_ends"));
    if day_ends.is_none() {
        problems.add("day_ends", "Enter the hour at which the source’s day ends, for example 09:00, or 24:00 for midnight.");
    }
    let shift = |box_name: &str| -i64::from(form.has(box_name));
    Whose::New(NewSource {
        name: name.unwrap_or_default(),
        day_ends_at: day_ends.unwrap_or_default(),
        min_shift: shift("min"),
        max_shift: shift("max"),
        rain_shift: shift("rain"),
    })
}

fn fine_name(name: String) -> Result<String, String> {
    match name.as_str() {
        "" => Err("Name the new source, for example “The station at Harl Top”.".to_owned()),
        WHAT_STANDS => Err(
            "“what stands” means every source together. Give this one a name of its own."
                .to_owned(),
        ),
        _ => Ok(name),
    }
}

/// A day on which something differs.
pub struct ChangeLine {
    pub day: String,
    pub words: String,
}

/// What saving would do, in words.
#[derive(Default)]
pub struct Changes {
    /// `Sun 1 Jan 2006 to Wed 31 Dec 2025 (7305 days)`.
    pub new_runs: Vec<String>,
    /// The first new days and the last, as they would be kept.
    pub figures: Vec<ChangeLine>,
    /// The lowest and the highest of each element over the file.
    pub ranges: String,
    pub corrected: Vec<ChangeLine>,
    pub refused: Vec<ChangeLine>,
    pub refused_count: usize,
    /// Cells of days that are taken; `day` names their line and column.
    pub unread: Vec<ChangeLine>,
    pub clashes: Vec<ChangeLine>,
    /// After which sources the file's figures are believed.
    pub believed_after: String,
}

impl Changes {
    pub fn of(preview: &Preview, brought: &Brought) -> Self {
        let new = preview.planned.iter().filter(|p| p.change == Change::New);
        let new_runs = runs(new.map(|p| p.day)).into_iter().take(MOST_LINES);
        let mut refused: Vec<ChangeLine> = preview
            .file
            .refused
            .iter()
            .map(|(line, sentence)| ChangeLine {
                day: line.map(|line| format!("Line {line}")).unwrap_or_default(),
                words: sentence.clone(),
            })
            .collect();
        refused.extend(preview.planned.iter().filter_map(|p| match &p.change {
            Change::Refused(sentence) => Some(ChangeLine {
                day: lines_of(preview, p.day),
                words: low_above_high(p, brought).unwrap_or_else(|| sentence.clone()),
            }),
            _ => None,
        }));
        refused.truncate(MOST_LINES);
        let unread = preview.file.unread.iter().take(MOST_LINES);
        let unread = unread.map(|cell| ChangeLine {
            day: format!("Line {}, column {}", cell.line, cell.column),
            words: cell.sentence.clone(),
        });
        Self {
            unread: unread.collect(),
            new_runs: new_runs.map(run_in_words).collect(),
            figures: import_figures::shown(preview),
            ranges: import_figures::ranges(preview).join("; "),
            corrected: corrected(preview),
            refused_count: preview.refused(),
            refused,
            clashes: clashes(preview, brought),
            believed_after: believed_after(preview),
        }
    }
}

/// `Line 4`: where the figures of a day stand in the file, as far as that is known.
fn lines_of(preview: &Preview, day: Day) -> String {
    match preview.lines_of(day).as_slice() {
        [] => String::new(),
        [line] => format!("Line {line}"),
        [first, .., last] => format!("Lines {first} and {last}"),
    }
}

/// Of a day whose low would stand above its high: the two as the file's columns have them, then ours.
fn low_above_high(planned: &Planned, brought: &Brought) -> Option<String> {
    let (low, high) = planned.after.min_c.zip(planned.after.max_c)?;
    let columns = brought.how.columns.iter().flatten();
    let unit = columns.copied().find_map(|column| match column {
        Column::Min(unit) | Column::Max(unit) => Some(unit),
        _ => None,
    })?;
    let crossed = low > high && unit != TemperatureUnit::Celsius;
    crossed.then(|| {
        let ours = |kept| TemperatureUnit::Celsius.show(kept);
        let high_words = format!("{} ({} and {})", unit.show(high), ours(low), ours(high));
        let sentence = typed::low_above_high(&unit.show(low), &high_words);
        format!("{}: {sentence}", planned.day.short())
    })
}

fn run_in_words((first, last): (Day, Day)) -> String {
    match last.days_since(first) + 1 {
        1 => first.short(),
        days => format!("{} to {} ({days} days)", first.short(), last.short()),
    }
}

fn corrected(preview: &Preview) -> Vec<ChangeLine> {
    let lines = preview.planned.iter().filter_map(|p| match &p.change {
        Change::Corrected { before } => {
            let each = differing(before, &p.after).into_iter().map(|element| {
                let words = |day| in_words(element, day, SpeedUnit::default());
                format!(
                    "{}: {} becomes {}",
                    element.label(),
                    words(before),
                    words(&p.after)
                )
            });
            let words = each.collect::<Vec<_>>().join("; ");
            Some(ChangeLine {
                day: p.day.short(),
                words: match words.is_empty() {
                    true => "a difference smaller than pages show".to_owned(),
                    false => words,
                },
            })
        }
        _ => None,
    });
    lines.take(MOST_LINES).collect()
}

fn clashes(preview: &Preview, brought: &Brought) -> Vec<ChangeLine> {
    let name = |id: SourceId| {
        let own = preview.source.as_ref().filter(|source| source.id == id);
        match own {
            Some(_) if matches!(brought.whose, Whose::New(_)) => "the new source".to_owned(),
            _ => {
                let used = preview.used.iter().find(|used| used.id == id);
                used.map(|used| used.name.clone()).unwrap_or_default()
            }
        }
    };
    let words = |element: Element, day| in_words(element, day, SpeedUnit::default());
    let lines = preview.clashes.iter().map(|clash| {
        let others = clash
            .others
            .iter()
            .map(|(id, day)| format!("{} says {}", name(*id), words(clash.element, day)));
        let others = others.collect::<Vec<_>>().join(", ");
        let file = words(clash.element, &clash.file);
        let own = preview.source.as_ref().map(|source| source.id);
        let stands = match own == Some(clash.stands) {
            true => "this file".to_owned(),
            false => name(clash.stands),
        };
        ChangeLine {
            day: clash.day.short(),
            words: format!(
                "{}: {others}; this file says {file}. What {stands} says stands.",
                clash.element.label()
            ),
        }
    });
    lines.take(MOST_LINES).collect()
}

fn believed_after(preview: &Preview) -> String {
    let own = preview.source.as_ref().and_then(|source| source.rank);
    let before: Vec<_> = preview
        .used
        .iter()
        .filter(|used| match own {
            Some(rank) => used.rank < Some(rank),
            None => true,
        })
        .map(|used| used.name.as_str())
        .collect();
    before.join(", ")
}
