//! `peglore import`: files brought into the record from the machine itself.

use std::path::Path;

use clap::Subcommand;

use super::{
    Ending,
    data_folder::{DataFolder, pasted},
};
use crate::{
    actions::{ActionError, By, import},
    domain::{dates::Instant, ids::ImportId, imports::ImportState},
    store::{Db, imports, settings},
    web::state::Clock,
};

mod sheet;
mod weather;

#[derive(Subcommand)]
pub enum What {
    /// Bring past results or sessions in from a CSV. A file brought in twice makes nothing twice.
    Sheet(Box<sheet::SheetArgs>),
    /// Bring days of weather in from files. A file brought in twice changes nothing.
    Weather(weather::Weather),
    /// List the files brought in so far, newest first, and what each became.
    List,
    /// Take a whole file out of the record again. Nothing is deleted: all it brought in is hidden.
    Undo {
        /// The number of the file, as “import list” shows it.
        #[arg(value_parser = number_of_a_file)]
        number: i64,
    },
}

fn number_of_a_file(text: &str) -> Result<i64, String> {
    text.trim()
        .parse()
        .map_err(|_| "it wants the number of the file, as “import list” shows it".to_owned())
}

pub async fn run(data: &Path, what: What) -> Result<(), Ending> {
    let page = match what {
        What::Weather(_) => "Weather",
        What::Sheet(_) | What::List | What::Undo { .. } => "Committee, Old sheets",
    };
    let folder = DataFolder::with_record(data, page)?;
    let now = Clock::system().now();
    let db = folder.open(now).await?;
    let outcome = done(&db, now, data, what).await;
    db.close().await;
    outcome
}

async fn done(db: &Db, now: Instant, data: &Path, what: What) -> Result<(), Ending> {
    match what {
        What::Sheet(args) => sheet::run(db, now, data, &args).await,
        What::Weather(asked) => weather::run(db, now, data, &asked).await,
        What::List => list(db).await,
        What::Undo { number } => {
            let undone = import::undo(db, now, &By::CommandLine, ImportId(number)).await;
            undone.map_err(|error| match error {
                ActionError::NotFound => Ending::Sentence(format!(
                    "no file {number} has been brought in; “peglore import --data {} list” lists them",
                    pasted(data)
                )),
                other => other.into(),
            })?;
            println!(
                "File {number} is undone: nothing it brought in is shown or counted now. To have it back, bring the file in again."
            );
            Ok(())
        }
    }
}

fn no_such_water(name: &str, on_record: &[&str]) -> Ending {
    Ending::Sentence(match on_record.is_empty() {
        true => "no water is in the record yet; set one up on its page first".to_owned(),
        false => format!(
            "there is no water “{name}”; on record: {}",
            on_record.join(", ")
        ),
    })
}

/// The command that takes a file out again.
fn undoing(data: &Path, id: ImportId) -> String {
    format!("peglore import --data {} undo {id}", pasted(data))
}

async fn list(db: &Db) -> Result<(), Ending> {
    let mut reading = db.read().await?;
    let zone = settings::club(&mut reading).await?.zone;
    let files = imports::list(&mut reading, i64::MAX, 0).await?;
    if files.is_empty() {
        println!("No file has been brought in yet.");
    }
    for file in files {
        let made = imports::made(&mut reading, file.id).await?;
        let made: Vec<String> = made.iter().map(|(kind, n)| kind.counted(*n)).collect();
        let made = match made.is_empty() {
            true => "nothing".to_owned(),
            false => made.join(", "),
        };
        let twin = match file.state {
            ImportState::Uploaded => imports::same_file(&mut reading, &file.file_sha256).await?,
            ImportState::Done | ImportState::Undone => None,
        };
        let twin = twin.map(|twin| format!(", but the same file is saved as file {twin}"));
        println!(
            "{}: {}, {}, {}{}, brought {made}, {}",
            file.id,
            file.file_name,
            file.kind,
            file.state.words(),
            twin.unwrap_or_default(),
            file.at.in_words(&zone)
        );
    }
    Ok(())
}
