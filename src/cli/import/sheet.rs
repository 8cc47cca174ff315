//! `peglore import sheet`: past results or sessions from a CSV. What the headings do not settle
//! is given on the command line; names in doubt are asked on the site's page.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};

use crate::{
    actions::{
        By,
        import::{
            keep_file,
            sheet::{Plan, Said, look, open, rows_of, save},
        },
    },
    cli::Ending,
    domain::{
        dates::{Day, Instant, Zone, parse_time},
        groups::{Group, GroupSet},
        imports::ImportKind,
        matches::PegsAllotted,
        names::key,
        units::read_hours,
    },
    formats::{
        csv::Sheet,
        days::DayOrder,
        old_sheets::{BareWeights, Mapping, SameDay, SheetOf},
    },
    statistics::wording,
    store::{Db, imports::known},
};

mod columns;
mod told;

/// The most that is read, bytes: as much as the page takes.
const MOST: u64 = 2 * 1024 * 1024;

#[derive(Clone, Copy, ValueEnum)]
enum Holds {
    Results,
    Sessions,
}

#[derive(Clone, Copy, ValueEnum)]
enum Pegs {
    Bag,
    OfChoice,
    Roving,
    Unknown,
}

#[derive(Args)]
pub struct SheetArgs {
    /// The CSV files, as a spreadsheet saves them, taken one after another. At one that cannot be
    /// saved the rest wait: mend or answer it and say the same again; nothing is taken twice.
    #[arg(required = true)]
    files: Vec<PathBuf>,
    /// What a row is: an angler in a match (results), or one angler's day (sessions).
    #[arg(long, value_enum, default_value = "results")]
    holds: Holds,
    #[arg(long, value_name = "COLUMN=WHAT", help = columns::help())]
    column: Vec<String>,
    /// The venue, by its name on the site, for rows that name none.
    #[arg(long)]
    venue: Option<String>,
    /// The date, like 2019-01-05, where the sheet has none.
    #[arg(long)]
    date: Option<String>,
    /// The name of the matches, where the sheet has none.
    #[arg(long, visible_alias = "match")]
    name: Option<String>,
    /// How long was fished, like 5 or 4:30, or the word unknown.
    #[arg(long)]
    hours: Option<String>,
    /// When matches began, like 10:00, if that is known.
    #[arg(long)]
    start: Option<String>,
    /// How pegs came to anglers: drawn from a bag, of their own choice, roving without pegs, or unknown.
    #[arg(long, value_enum)]
    pegs: Option<Pegs>,
    /// Which fish the weights count: all, or groups divided by commas: carp,silvers,f1s,predators,other.
    #[arg(long)]
    fish: Option<String>,
    /// What weights without a unit are: pounds-point-ounces, decimal-pounds, ounces, kilograms or grams.
    #[arg(long)]
    weights: Option<String>,
    /// What comes first in dates like 5/1/2019: day-first or month-first.
    #[arg(long)]
    dates: Option<String>,
    /// Who may see sessions: club or private.
    #[arg(long)]
    seen_by: Option<String>,
    /// Where an angler has a session at that water that day already, at another peg or in other hours: is the row the same-outing or another-outing?
    #[arg(long)]
    same_day: Option<String>,
    /// Show what would be made, and save nothing.
    #[arg(long, visible_alias = "dry-run")]
    look: bool,
    /// Save the rest although some rows cannot be taken.
    #[arg(long)]
    leave_out: bool,
    /// Weights that are unlikely in one net are right as written.
    #[arg(long)]
    unlikely_right: bool,
    /// Rows that stand on record in a match of another name that day are of another match, and taken.
    #[arg(long)]
    another_match: bool,
}

fn sentence(text: impl Into<String>) -> Ending {
    Ending::Sentence(text.into())
}

pub async fn run(db: &Db, now: Instant, data: &Path, args: &SheetArgs) -> Result<(), Ending> {
    for (at, file) in args.files.iter().enumerate() {
        if args.files.len() > 1 {
            println!(
                "File {} of {}: {}",
                at + 1,
                args.files.len(),
                file.display()
            );
        }
        let waiting = args.files.len() - at - 1;
        let done = one(db, now, data, (args, file.as_path())).await;
        done.map_err(|why| with_those_waiting(why, waiting))?;
    }
    Ok(())
}

fn with_those_waiting(why: Ending, waiting: usize) -> Ending {
    match (why, waiting) {
        (Ending::Sentence(why), 1..) => sentence(format!(
            "{why}\n{} after it {}: once this one is mended or answered, say the same again; nothing is taken twice",
            wording::count(waiting, "file", "files"),
            if waiting == 1 { "waits" } else { "wait" }
        )),
        (why, _) => why,
    }
}

async fn one(
    db: &Db,
    now: Instant,
    data: &Path,
    (args, file): (&SheetArgs, &Path),
) -> Result<(), Ending> {
    let bytes = read_file(file)?;
    let sheet = open(&bytes).map_err(|why| sentence(format!("“{}”: {why}", file.display())))?;
    let kind = match args.holds {
        Holds::Results => ImportKind::Results,
        Holds::Sessions => ImportKind::Sessions,
    };
    let of = rows_of(kind).ok_or_else(|| sentence("this file holds no rows of a sheet"))?;
    let mut plan = begun(db, (&sheet, &bytes), (kind, of)).await?;
    if let Some(name) = &args.venue {
        on_record(db, &plan, name).await?;
    }
    answer(&mut plan.mapping, args)?;
    columns::answer(&mut plan.mapping, &sheet, &args.column)?;
    told::like(&plan);
    told::of_the_whole_file(&plan.mapping);
    let latest = now.day(&Zone::utc()).plus(1);
    let look = look(&mut *db.read().await?, &sheet, &plan, latest).await?;
    told::columns(&sheet, &plan.mapping);
    let look = look.map_err(|why| sentence(columns::refused(&why)))?;
    told::rows(&look);
    if args.look {
        told::matches(&look);
    }
    told::doubts(&look);
    if let Some(asks) = told::unanswered(&look) {
        return Err(sentence(asks));
    }
    if args.look {
        println!("Nothing was saved: this was a look only.");
        return Ok(());
    }
    if look.makes_nothing() && look.doubts() == 0 {
        println!("Nothing in this file is new, so nothing was saved.");
        return Ok(());
    }
    if !look.problems.is_empty() && !args.leave_out {
        let rows = look.problems.len();
        return Err(sentence(format!(
            "{} cannot be taken, so nothing was saved. Mend {} in the sheet, or say --leave-out",
            wording::count(rows, "row", "rows"),
            if rows == 1 { "it" } else { "them" }
        )));
    }
    let said = Said {
        leave_out: args.leave_out,
        right: match args.unlikely_right {
            true => look.unlikely_named(),
            false => String::new(),
        },
        another: match args.another_match {
            true => look.elsewhere_named(),
            false => String::new(),
        },
    };
    if !look.is_right(&said) {
        return Err(sentence(format!(
            "{} {} unlikely in one net, so nothing was saved. Mend the sheet, or say --unlikely-right",
            look.unlikely_named(),
            wording::are(look.unlikely.len())
        )));
    }
    if !look.is_another(&said) {
        return Err(sentence(format!(
            "Rows of {} stand in another match on record, so nothing was saved. If it is the same match, say its --name as on record; if it is another, say --another-match",
            look.elsewhere_named()
        )));
    }
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    let json = plan.json()?;
    let file = (&*name, bytes.as_slice());
    let id = keep_file(db, now, &By::CommandLine, file, kind, &json).await?;
    if look.doubts() > 0 {
        return Err(sentence(told::in_doubt(&look, id)));
    }
    let saved = save(db, now, &By::CommandLine, id, latest, &said).await?;
    println!(
        "Saved as file {id}: {}, {}, {}, {}. “{}” takes it all out again.",
        wording::count(saved.matches, "match", "matches"),
        wording::count(saved.entries, "entry", "entries"),
        wording::count(saved.sessions, "session", "sessions"),
        told::new_anglers(saved.anglers),
        super::undoing(data, id)
    );
    Ok(())
}

/// A water typed on the command line is on record by that name, or an earlier file that had the same
/// headings was answered which one it is.
async fn on_record(db: &Db, plan: &Plan, name: &str) -> Result<(), Ending> {
    let waters = known::waters(&mut *db.read().await?).await?;
    let own = key(name);
    if plan.waters.contains_key(&own) || waters.iter().any(|water| key(&water.name) == own) {
        return Ok(());
    }
    let names: Vec<&str> = waters.iter().map(|water| water.name.as_str()).collect();
    Err(super::no_such_water(name, &names))
}

/// Like an earlier file of the same headings in its columns, in what was answered of words and names,
/// and in the venue and the match of rows that name none, as the page is. A later file then begins
/// with that too.
async fn begun(
    db: &Db,
    (sheet, content): (&Sheet, &[u8]),
    (kind, of): (ImportKind, SheetOf),
) -> Result<Plan, Ending> {
    let guessed = Plan::guessed(sheet, of);
    let sent = (sheet, content);
    let mut begun = Plan::begun(&mut *db.read().await?, sent, (kind, of)).await?;
    let like = begun.like.take();
    begun.own.clear();
    let mapping = Mapping {
        columns: begun.mapping.columns,
        methods: begun.mapping.methods,
        baits: begun.mapping.baits,
        venue: begun.mapping.venue,
        match_name: begun.mapping.match_name,
        ..guessed.mapping.clone()
    };
    let plan = Plan { mapping, ..begun };
    Ok(match plan == guessed {
        true => guessed,
        false => Plan { like, ..plan },
    })
}

fn read_file(path: &Path) -> Result<Vec<u8>, Ending> {
    let unreadable =
        |e: std::io::Error| sentence(format!("“{}” cannot be read: {e}", path.display()));
    let size = std::fs::metadata(path).map_err(unreadable)?.len();
    if size > MOST {
        return Err(sentence(format!(
            "“{}” has more than 2 MiB. Split it by years, keep the heading on each part, and bring them in one after another",
            path.display()
        )));
    }
    std::fs::read(path).map_err(unreadable)
}

/// Puts what the command line answers into the mapping.
fn answer(mapping: &mut Mapping, args: &SheetArgs) -> Result<(), Ending> {
    if args.venue.is_some() {
        mapping.venue = args.venue.clone();
    }
    if args.name.is_some() {
        mapping.match_name = args.name.clone();
    }
    mapping.date = known(
        args.date.as_deref(),
        "--date",
        "like 2019-01-05",
        Day::parse,
    )?;
    mapping.start = known(args.start.as_deref(), "--start", "like 10:00", parse_time)?;
    mapping.day_order = known(
        args.dates.as_deref(),
        "--dates",
        "day-first or month-first",
        DayOrder::from_slug,
    )?;
    mapping.bare = known(
        args.weights.as_deref(),
        "--weights",
        "pounds-point-ounces, decimal-pounds, ounces, kilograms or grams",
        BareWeights::from_slug,
    )?;
    mapping.groups = known(
        args.fish.as_deref(),
        "--fish",
        "all, or groups like carp,silvers",
        groups,
    )?;
    mapping.visibility = known(
        args.seen_by.as_deref(),
        "--seen-by",
        "club or private",
        |word| matches!(word, "club" | "private").then(|| word.to_owned()),
    )?;
    mapping.same_day = known(
        args.same_day.as_deref(),
        "--same-day",
        "same-outing or another-outing",
        SameDay::from_slug,
    )?;
    mapping.hours_unknown = args.hours.as_deref() == Some("unknown");
    if let (Some(typed), false) = (&args.hours, mapping.hours_unknown) {
        mapping.minutes = Some(read_hours(typed, 48).map_err(sentence)?);
    }
    mapping.pegs_allotted = args.pegs.map(|pegs| match pegs {
        Pegs::Bag => PegsAllotted::Bag,
        Pegs::OfChoice => PegsAllotted::OfChoice,
        Pegs::Roving => PegsAllotted::Roving,
        Pegs::Unknown => PegsAllotted::Unknown,
    });
    Ok(())
}

fn known<T>(
    typed: Option<&str>,
    option: &str,
    form: &str,
    read: impl Fn(&str) -> Option<T>,
) -> Result<Option<T>, Ending> {
    match typed {
        None => Ok(None),
        Some(typed) => read(typed)
            .map(Some)
            .ok_or_else(|| sentence(format!("{option} cannot be “{typed}”; it is {form}"))),
    }
}

fn groups(typed: &str) -> Option<GroupSet> {
    if typed == "all" {
        return Some(GroupSet::ALL);
    }
    let groups: Option<Vec<Group>> = typed
        .split(',')
        .map(|g| Group::from_slug(g.trim()))
        .collect();
    GroupSet::of(groups?)
}
