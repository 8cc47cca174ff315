//! `peglore demo`: the invented club in a throw-away folder.

use std::path::{Path, PathBuf};

use clap::ValueEnum;

use super::{Ending, data_folder::DataFolder, serve};
use crate::{
    actions::plant_demo,
    demo::{self, Size},
    domain::dates::Zone,
    web::state::{Clock, Site},
};

#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum DemoSize {
    Usual,
    Large,
}

pub async fn run(size: DemoSize, data: Option<PathBuf>) -> Result<(), Ending> {
    let throw_away = data.is_none();
    let path = data.unwrap_or_else(|| {
        std::env::temp_dir().join(format!("peglore-demo-{}", std::process::id()))
    });
    refuse_if_used(&path)?;
    let folder = DataFolder::take(&path)?;
    let outcome = show(&folder, size).await;
    drop(folder);
    if throw_away && let Err(e) = std::fs::remove_dir_all(&path) {
        eprintln!(
            "peglore: the throw-away folder “{}” could not be removed: {e}",
            path.display()
        );
    }
    outcome
}

async fn show(folder: &DataFolder, size: DemoSize) -> Result<(), Ending> {
    let clock = Clock::system();
    let now = clock.now();
    let db = folder.open(now).await?;
    let listener = serve::listen(folder.settings.listen).await?;
    let today = now.day(&Zone::named("Europe/London").unwrap_or_else(Zone::utc));
    let size = match size {
        DemoSize::Usual => Size::Usual,
        DemoSize::Large => Size::Large,
    };
    let club = demo::make(demo::SEED, size, today);
    let links = plant_demo::plant(&db, now, &club).await?;
    let site = Site::new(db.clone(), folder.settings.clone(), clock);
    let stop = serve::Stop::listen()?;
    let address = serve::address(&folder.settings, &listener);
    println!(
        "An invented club, in a throw-away folder: nothing in it is real, and it is gone when you stop."
    );
    println!("  {address}/");
    println!("Sign in, once each, as");
    println!("  an angler         {address}/links/{}", links.angler);
    println!("  an organiser      {address}/links/{}", links.organiser);
    println!(
        "  an administrator  {address}/links/{}",
        links.administrator
    );
    let upkeep = serve::upkeep(&site);
    serve::serve(site, listener, stop, upkeep).await?;
    db.close().await;
    Ok(())
}

/// The demonstration never goes near a folder with anything in it.
fn refuse_if_used(path: &Path) -> Result<(), Ending> {
    let used = path
        .read_dir()
        .is_ok_and(|mut inside| inside.next().is_some());
    if used {
        return Err(Ending::Sentence(format!(
            "the folder “{}” is not empty; the demonstration only writes into an empty one",
            path.display()
        )));
    }
    Ok(())
}
