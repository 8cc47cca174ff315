//! `peglore import weather`: days of weather from files, station files among them.

use std::path::{Path, PathBuf};

use clap::Args;

use crate::{
    actions::{
        By,
        import::{
            self,
            weather::{self as bring, Brought, NewSource, Preview, Saved, Whose, read_day_end},
        },
    },
    cli::Ending,
    domain::{
        dates::Instant,
        ids::{ImportId, VenueId},
    },
    formats::{days::DayOrder, weather_csv::Column},
    statistics::wording,
    store::{
        Db, imports,
        weather::{self, Source},
    },
};

/// The most a weather file may hold, bytes, as on the page.
const MOST_BYTES: u64 = 16 * 1024 * 1024;

mod told;

/// What is said about the files.
#[derive(Args)]
pub struct Weather {
    /// The files: CSV in any columns, or GHCN-Daily in its long form. Each can be undone by itself.
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// The water they are for, by its name.
    #[arg(long, value_name = "NAME")]
    venue: String,
    /// Whose figures they are. A source of this name that is not there yet is made.
    #[arg(long, value_name = "NAME")]
    source: String,
    /// When a new source's day ends, local time; 24:00 is midnight. Unsaid, a GHCN-Daily file says it
    /// by the hour at which its rain is read; any other file's day ends at midnight.
    #[arg(long, value_name = "HH:MM")]
    day_ends: Option<String>,
    /// What a new source prints a day late: low, high, rain, with commas between. Where neither this nor
    /// the hour is said, rain that a GHCN-Daily file reads before noon.
    #[arg(long, value_name = "WHAT", value_delimiter = ',')]
    day_before: Vec<String>,
    /// The dates are those on which each period began already, as in our own layout.
    #[arg(long)]
    credited: bool,
    /// Which source or station of a file that holds several.
    #[arg(long, value_name = "NAME")]
    only: Option<String>,
    #[arg(long, value_name = "COLUMN=WHAT", help = help_on_columns())]
    column: Vec<String>,
    /// How dates like 01/02/2025 are meant: day-first or month-first.
    #[arg(long, value_name = "ORDER")]
    dates: Option<String>,
    /// Only show what would change.
    #[arg(long)]
    look: bool,
}

fn help_on_columns() -> String {
    format!(
        "What a column holds where its name does not say it, as in --column \"Regen=rain-mm\". May be repeated. WHAT is one of: {}",
        slugs()
    )
}

fn slugs() -> String {
    let all: Vec<_> = Column::all().into_iter().map(Column::slug).collect();
    all.join(", ")
}

/// What of the files was not taken. A day that is still to come is nobody's to mend.
#[derive(Clone, Copy, Default)]
struct Left {
    to_mend: usize,
    to_come: usize,
}

impl Left {
    fn of(preview: &Preview) -> Self {
        let to_come = preview.days_to_come();
        Self {
            to_mend: preview.refused() - to_come,
            to_come,
        }
    }
}

pub async fn run(db: &Db, now: Instant, data: &Path, asked: &Weather) -> Result<(), Ending> {
    let venue = venue(db, &asked.venue).await?;
    let mut left = Left::default();
    for file in &asked.files {
        let of_it = one(db, now, venue, (data, file), asked).await?;
        left.to_mend += of_it.to_mend;
        left.to_come += of_it.to_come;
    }
    if left.to_come > 0 {
        println!("{}", told::to_come(left.to_come));
    }
    let refused = left.to_mend;
    if refused == 0 || asked.look {
        return Ok(());
    }
    Err(Ending::Sentence(format!(
        "{} refused, as told above; all else is taken. Mend {} and bring the file in again: nothing is taken twice",
        match refused {
            1 => "one row or day was".to_owned(),
            many => format!("{} rows or days were", wording::number(many)),
        },
        if refused == 1 { "it" } else { "them" }
    )))
}

/// Brings one file in; what of it was not taken.
async fn one(
    db: &Db,
    now: Instant,
    venue: VenueId,
    (data, path): (&Path, &Path),
    asked: &Weather,
) -> Result<Left, Ending> {
    let content = read(path)?;
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let of_this_file = |ending: Ending| match ending {
        Ending::Sentence(why) => Ending::Sentence(format!("{name}: {why}")),
        other => other,
    };
    let id = bring::lay_out(db, now, &By::CommandLine, venue, (&name, content)).await;
    let id = id.map_err(|error| of_this_file(error.into()))?;
    let outcome = laid_out(db, now, data, id, asked).await;
    if !matches!(outcome, Ok((true, _))) {
        import::discard(db, now, &By::CommandLine, id).await?;
    }
    outcome.map(|(_, left)| left).map_err(of_this_file)
}

/// Whether the file is in the record now, and what of it was not taken.
async fn laid_out(
    db: &Db,
    now: Instant,
    data: &Path,
    id: ImportId,
    asked: &Weather,
) -> Result<(bool, Left), Ending> {
    let fetched = imports::by_id(&mut *db.read().await?, id).await?;
    let mut import = fetched.ok_or_else(|| Ending::Sentence("the file is gone".to_owned()))?;
    let brought = as_asked(db, now, &import, asked).await?;
    bring::say_how(db, &By::CommandLine, &import, &brought).await?;
    let fetched = imports::by_id(&mut *db.read().await?, id).await?;
    import = fetched.unwrap_or(import);
    let preview = bring::look(db, now, &import).await?;
    if !preview.problems.is_empty() {
        let mut said = preview.problems.clone();
        said.extend(options(&preview, &brought));
        return Err(Ending::Sentence(said.join(" ")));
    }
    let left = Left::of(&preview);
    if preview.planned.is_empty() && preview.refused() == 0 {
        return Err(Ending::Sentence(
            "there is no day with any weather in it, so nothing was saved".to_owned(),
        ));
    }
    told::changes(&import.file_name, &preview, &brought);
    if asked.look || preview.writes() == 0 {
        return Ok((false, left));
    }
    match bring::save(db, now, &By::CommandLine, id, None).await? {
        Saved::Days { new, corrected } => {
            println!(
                "  Saved as file {id}: {}, {} with other figures. “{}” takes the whole file out again.",
                wording::count(new, "new day", "new days"),
                wording::alone(corrected),
                super::undoing(data, id)
            );
            Ok((true, left))
        }
        Saved::Otherwise => Ok((false, left)),
    }
}

/// The options that answer what is still to be said.
fn options(preview: &Preview, brought: &Brought) -> Vec<String> {
    let file = &preview.file;
    let names: Vec<&str> = file.columns.iter().map(|(name, _)| name.as_str()).collect();
    let taken = || brought.how.columns.iter().flatten();
    let mut options = Vec::new();
    if file.within.len() > 1 && brought.how.only.is_none() {
        let within: Vec<&str> = file.within.iter().map(|(name, _)| name.as_str()).collect();
        options.push(format!("Give --only with one of: {}.", within.join(", ")));
    } else if let Some(first) = file
        .columns_not_taken(&brought.how)
        .first()
        .or(names.first())
    {
        let unsaid = match taken().any(|column| *column == Column::Date) {
            true if taken().all(|c| matches!(c, Column::Date | Column::Source)) => "rain-mm",
            true => "",
            false => "date",
        };
        if !unsaid.is_empty() {
            options.push(format!(
                "Say it as in --column \"{first}={unsaid}\"; its columns are {}.",
                names.join(", ")
            ));
        }
    }
    if file.asks.is_some() {
        options.push("Give --dates day-first or --dates month-first.".to_owned());
    }
    options
}

/// The guess at the file, with what was said on the command line over it.
async fn as_asked(
    db: &Db,
    now: Instant,
    import: &imports::Import,
    asked: &Weather,
) -> Result<Brought, Ending> {
    let mut brought = Brought::of(import);
    brought.how.credited |= asked.credited;
    brought.whose = whose(db, &brought, asked).await?;
    if asked.only.is_some() {
        brought.how.only.clone_from(&asked.only);
    }
    if let Some(order) = &asked.dates {
        let order = DayOrder::from_slug(order).ok_or_else(|| {
            Ending::Sentence(format!(
                "“{order}” is no order of dates; it is day-first or month-first"
            ))
        })?;
        brought.how.day_order = Some(order);
    }
    if !asked.column.is_empty() {
        let columns = bring::look(db, now, import).await?.file.columns;
        for said in &asked.column {
            let (at, column) = column(said, &columns)?;
            brought.how.columns[at] = Some(column);
        }
    }
    if asked.day_ends.is_none()
        && let Some(stated) = bring::day_end_stated(db, import, &brought).await?
        && let Whose::New(new) = &mut brought.whose
    {
        match asked.day_before.is_empty() {
            true => new.count_from(stated),
            false => new.day_ends_at = stated,
        }
    }
    Ok(brought)
}

fn column(said: &str, columns: &[(String, Vec<String>)]) -> Result<(usize, Column), Ending> {
    let unreadable = |why: String| Ending::Sentence(why);
    let (name, slug) = said.rsplit_once('=').ok_or_else(|| {
        unreadable(format!(
            "“{said}” does not say what the column holds; write COLUMN=WHAT, where WHAT is one of {}",
            slugs()
        ))
    })?;
    let at = columns.iter().position(|(own, _)| own == name.trim());
    let at = at.ok_or_else(|| {
        let names: Vec<_> = columns.iter().map(|(name, _)| name.as_str()).collect();
        unreadable(format!(
            "there is no column “{name}”; its columns are {}",
            names.join(", ")
        ))
    })?;
    let column = Column::from_slug(slug.trim()).ok_or_else(|| {
        unreadable(format!(
            "a column cannot hold “{slug}”; it is one of {}",
            slugs()
        ))
    })?;
    Ok((at, column))
}

async fn whose(db: &Db, brought: &Brought, asked: &Weather) -> Result<Whose, Ending> {
    let new = as_new(asked)?;
    let venue = brought.venue.unwrap_or(VenueId(0));
    let own = brought.how.credited;
    let sources = weather::file_sources(&mut *db.read().await?, venue, own).await?;
    match sources.iter().find(|one| one.is_called(&asked.source)) {
        Some(source) => {
            counted_as_asked(source, &new, asked)?;
            Ok(Whose::Known(source.id))
        }
        None => Ok(Whose::New(new)),
    }
}

/// How a source that is there counts its days is set already, and not by a file.
fn counted_as_asked(source: &Source, new: &NewSource, asked: &Weather) -> Result<(), Ending> {
    let refused = |option: &str, is: String| {
        Err(Ending::Sentence(format!(
            "{} is there already, and {is}; {option} would count its days otherwise. Leave {option} out. If the source itself has changed, add another one for its days from then on; how a source counts its days is changed on the page of the water’s sources while it has none",
            source.name
        )))
    };
    if asked.day_ends.is_some() && new.day_ends_at != source.day_ends_at {
        return refused(
            "--day-ends",
            format!("its day ends at {}", source.day_ends_at),
        );
    }
    let shifts = (source.min_shift, source.max_shift, source.rain_shift);
    if !asked.day_before.is_empty() && (new.min_shift, new.max_shift, new.rain_shift) != shifts {
        let set = [("low", shifts.0), ("high", shifts.1), ("rain", shifts.2)];
        let late: Vec<&str> = set
            .iter()
            .filter(|(_, by)| *by != 0)
            .map(|(what, _)| *what)
            .collect();
        let is = match late.is_empty() {
            true => "nothing of it counts for the day before".to_owned(),
            false => format!("of the day before it counts {}", late.join(", ")),
        };
        return refused("--day-before", is);
    }
    Ok(())
}

/// The source as it would be made.
fn as_new(asked: &Weather) -> Result<NewSource, Ending> {
    let day_ends = asked.day_ends.as_deref().unwrap_or("24:00");
    let day_ends_at = read_day_end(day_ends).ok_or_else(|| {
        Ending::Sentence(format!(
            "“{day_ends}” is no hour at which a day can end; write it like 09:00, or 24:00 for midnight"
        ))
    })?;
    let known = ["low", "high", "rain"];
    if let Some(odd) = asked
        .day_before
        .iter()
        .find(|what| !known.contains(&what.as_str()))
    {
        return Err(Ending::Sentence(format!(
            "“{odd}” cannot be counted for the day before; it is low, high or rain"
        )));
    }
    let shift = |what: &str| -i64::from(asked.day_before.iter().any(|said| said == what));
    Ok(NewSource {
        name: asked.source.clone(),
        day_ends_at,
        min_shift: shift("low"),
        max_shift: shift("high"),
        rain_shift: shift("rain"),
    })
}

async fn venue(db: &Db, name: &str) -> Result<VenueId, Ending> {
    let venues = weather::venues(&mut *db.read().await?).await?;
    let named =
        |venue: &&weather::WeatherVenue| venue.name.to_lowercase() == name.trim().to_lowercase();
    if let Some(venue) = venues.iter().find(named) {
        return Ok(venue.id);
    }
    let names: Vec<_> = venues.iter().map(|venue| venue.name.as_str()).collect();
    Err(super::no_such_water(name, &names))
}

fn read(path: &Path) -> Result<Vec<u8>, Ending> {
    let unreadable = |error: std::io::Error| {
        Ending::Sentence(format!("“{}” cannot be read: {error}", path.display()))
    };
    let size = std::fs::metadata(path).map_err(unreadable)?.len();
    if size > MOST_BYTES {
        return Err(Ending::Sentence(format!(
            "“{}” is larger than 16 MiB; divide it, for example by years",
            path.display()
        )));
    }
    std::fs::read(path).map_err(unreadable)
}
