//! What saving a weather file would do: days new, the same, corrected or refused, and where
//! another source says otherwise.

use std::collections::BTreeMap;

use sha2::{Digest, Sha256};

use super::{Brought, NAME_OF_OTHERS, NAME_TAKEN, Whose, as_source, the_venue, today};
use crate::{
    actions::ActionError,
    domain::{
        dates::{Day, Instant},
        ids::{SourceId, VenueId},
        imports::ImportKind,
        weather::{
            DailyWeather, WeatherDays,
            bringing_in::{Change, Planned, beside_the_written, plan},
            sources::Element,
        },
    },
    formats::{
        weather_csv::{Shifts, credit},
        weather_file::WeatherFile,
    },
    store::{
        Connection,
        weather::{self, Choice, Source, SourceDay},
    },
};

/// Clashes listed singly; beyond them, only their number.
const MOST_CLASHES: usize = 300;

/// Another source has a different figure for an element of a day in the file.
#[derive(Clone, Debug, PartialEq)]
pub struct Clash {
    pub day: Day,
    pub element: Element,
    /// The day as the file's source would say it.
    pub file: DailyWeather,
    /// The other sources that differ, by rank.
    pub others: Vec<(SourceId, DailyWeather)>,
    /// Whose figure stands once the file is saved.
    pub stands: SourceId,
}

/// Everything the page shows before anything is saved.
#[derive(Clone, Debug, Default)]
pub struct Preview {
    pub file: WeatherFile,
    /// The source the days belong to, once it is said; one still to be made has the identifier 0.
    pub source: Option<Source>,
    /// What the venue uses now, by rank.
    pub used: Vec<Source>,
    /// How the file's dates differ from those on which each period began.
    pub shifts: Shifts,
    /// By day, credited to the date on which each period began.
    pub planned: Vec<Planned>,
    /// The first few hundred.
    pub clashes: Vec<Clash>,
    pub clash_count: usize,
    /// Clashes after which the file's figure stands in place of another.
    pub overtaken: usize,
    /// The day it is at the venue.
    pub today: Option<Day>,
    /// What is still to be said.
    pub problems: Vec<String>,
}

impl Preview {
    pub fn new_days(&self) -> usize {
        self.count(|change| *change == Change::New)
    }

    pub fn same_days(&self) -> usize {
        self.count(|change| *change == Change::Same)
    }

    pub fn corrected_days(&self) -> usize {
        self.count(|change| matches!(change, Change::Corrected { .. }))
    }

    pub fn refused_days(&self) -> usize {
        self.count(|change| matches!(change, Change::Refused(_)))
    }

    /// The refused days that are still to come: nobody can mend them, and each can be kept once it
    /// is past.
    pub fn days_to_come(&self) -> usize {
        let to_come = |p: &&Planned| self.today.is_some_and(|today| p.day > today);
        self.planned.iter().filter(to_come).count()
    }

    /// All that is refused: rows that cannot be read, and days that cannot be kept.
    pub fn refused(&self) -> usize {
        self.file.refused_count + self.refused_days()
    }

    /// The lines on which the figures of a day stand in the file, as far as that is known. Some may
    /// be printed under another date.
    pub fn lines_of(&self, day: Day) -> Vec<u64> {
        let credited = |printed: &Day| {
            let weather = self.file.days.get(printed);
            let printed = weather.map(|weather| (*printed, weather));
            credit(printed, self.shifts).contains_key(&day)
        };
        let about = self.file.lines.range(day.plus(-1)..=day.plus(1));
        about
            .filter(|&(printed, _)| credited(printed))
            .map(|(_, line)| *line)
            .collect()
    }

    fn count(&self, which: impl Fn(&Change) -> bool) -> usize {
        self.planned.iter().filter(|p| which(&p.change)).count()
    }

    /// Days that would be written.
    pub fn writes(&self) -> usize {
        self.new_days() + self.corrected_days()
    }

    /// Changes whenever saving would do something else.
    pub fn fingerprint(&self) -> String {
        let all = format!(
            "{:?}",
            (
                &self.source,
                &self.planned,
                &self.clashes,
                self.clash_count,
                self.overtaken
            )
        );
        let sha256: [u8; 32] = Sha256::digest(all.as_bytes()).into();
        sha256[..16]
            .iter()
            .map(|byte| format!("{byte:02x}"))
            .collect()
    }
}

/// Plans a parsed file against the record as `connection` sees it.
pub(super) async fn of(
    connection: &mut Connection,
    now: Instant,
    brought: &Brought,
    file: WeatherFile,
) -> Result<Preview, ActionError> {
    let venue = brought.venue.ok_or(ActionError::NotFound)?;
    let venue = the_venue(connection, venue).await?;
    let mut preview = Preview {
        problems: file.problems.clone(),
        used: weather::sources_of(connection, venue.id).await?,
        file,
        ..Preview::default()
    };
    said(connection, venue.id, brought, &mut preview).await?;
    let (Some(source), true) = (preview.source.clone(), preview.problems.is_empty()) else {
        return Ok(preview);
    };
    let shifts = match brought.how.credited {
        true => Shifts::default(),
        false => Shifts {
            min: source.min_shift,
            max: source.max_shift,
            rain: source.rain_shift,
        },
    };
    preview.shifts = shifts;
    let days = credit(preview.file.days.iter().map(|(day, w)| (*day, w)), shifts);
    let (Some((first, _)), Some((last, _))) = (days.first_key_value(), days.last_key_value())
    else {
        return Ok(preview);
    };
    let (first, last) = (*first, *last);
    let before: WeatherDays = weather::days_of_source(connection, source.id, first, last)
        .await?
        .into_iter()
        .map(|of| (of.day, of.weather))
        .collect();
    let today = today(&venue, now);
    preview.today = Some(today);
    preview.planned = plan(&days, &before, today);
    if source.kind == "by hand" {
        preview.planned = beside_the_written(preview.planned);
    }
    let others = weather::days_by_source(connection, venue.id, first, last).await?;
    let choices = weather::choices(connection, venue.id, first, last).await?;
    find_clashes(&mut preview, &source, &others, &choices);
    Ok(preview)
}

const NO_LONGER_ITS: &str = "The source chosen is no longer there, or is written by hand, and then only a file in our own layout continues it. Choose another.";

/// Finds the source that was said, and what is wrong with it.
async fn said(
    connection: &mut Connection,
    venue: VenueId,
    brought: &Brought,
    preview: &mut Preview,
) -> Result<(), ActionError> {
    let known = weather::file_sources(connection, venue, brought.how.credited).await?;
    match &brought.whose {
        Whose::Unsaid => preview
            .problems
            .push("Say whose figures these are: choose a source, or name a new one.".to_owned()),
        Whose::Known(id) => match known.into_iter().find(|source| source.id == *id) {
            Some(source) => {
                let rank = preview.used.iter().find(|used| used.id == *id);
                let rank = rank.and_then(|used| used.rank);
                preview.source = Some(Source { rank, ..source });
            }
            None => preview.problems.push(NO_LONGER_ITS.to_owned()),
        },
        Whose::New(new) => {
            if known.iter().any(|source| source.is_called(&new.name)) {
                preview.problems.push(NAME_TAKEN.to_owned());
            } else if weather::is_source_named(connection, &new.name).await? {
                preview.problems.push(NAME_OF_OTHERS.to_owned());
            }
            preview.source = Some(as_source(SourceId(0), ImportKind::Weather, new));
        }
    }
    Ok(())
}

/// Looks for other sources that say otherwise on the days that would be written.
fn find_clashes(preview: &mut Preview, source: &Source, said: &[SourceDay], choices: &[Choice]) {
    let mut by_day: BTreeMap<Day, Vec<&SourceDay>> = BTreeMap::new();
    for of in said.iter().filter(|of| of.source != source.id) {
        by_day.entry(of.day).or_default().push(of);
    }
    let place = |id: SourceId| {
        let at = preview.used.iter().position(|used| used.id == id);
        at.unwrap_or(usize::MAX)
    };
    let mut clashes = Vec::new();
    let (mut count, mut overtaken) = (0, 0);
    for planned in preview.planned.iter().filter(|planned| planned.writes()) {
        let Some(others) = by_day.get(&planned.day) else {
            continue;
        };
        let mut after: Vec<SourceDay> = others.iter().map(|of| (*of).clone()).collect();
        let at = after.partition_point(|of| place(of.source) < place(source.id));
        let own = SourceDay {
            source: source.id,
            day: planned.day,
            version: 0,
            weather: planned.after,
        };
        after.insert(at, own);
        for element in Element::ALL {
            let differ: Vec<_> = others
                .iter()
                .filter(|of| element.known(&of.weather) && element.known(&planned.after))
                .filter(|of| !element.agrees(&of.weather, &planned.after))
                .map(|of| (of.source, of.weather))
                .collect();
            let stands = weather::believed(&after, choices, *element);
            let (false, Some(stands)) = (differ.is_empty(), stands) else {
                continue;
            };
            count += 1;
            overtaken += usize::from(stands.source == source.id);
            if clashes.len() < MOST_CLASHES {
                clashes.push(Clash {
                    day: planned.day,
                    element: *element,
                    file: planned.after,
                    others: differ,
                    stands: stands.source,
                });
            }
        }
    }
    (preview.clashes, preview.clash_count, preview.overtaken) = (clashes, count, overtaken);
}
