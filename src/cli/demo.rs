//! `peglore demo`: the invented club in a throw-away folder, or in one that is kept.

use std::path::{Path, PathBuf};

use clap::ValueEnum;
use tokio::net::TcpListener;

use super::{
    Ending,
    data_folder::{self, DataFolder},
    serve,
};
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
    // The port first: where it is taken, no folder is left half made.
    let listener = serve::listen(data_folder::settings(&path)?.listen).await?;
    let folder = DataFolder::take(&path)?;
    let kept = (!throw_away).then_some(path.as_path());
    let outcome = show(&folder, size, listener, kept).await;
    drop(folder);
    if throw_away && let Err(e) = std::fs::remove_dir_all(&path) {
        eprintln!(
            "peglore: the throw-away folder “{}” could not be removed: {e}",
            path.display()
        );
    }
    outcome
}

/// Plants the club and serves it; `kept` is the folder it stays in, if it does.
async fn show(
    folder: &DataFolder,
    size: DemoSize,
    listener: TcpListener,
    kept: Option<&Path>,
) -> Result<(), Ending> {
    let clock = Clock::system();
    let now = clock.now();
    let db = folder.open(now).await?;
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
    println!("{}", what_it_is(kept));
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

fn what_it_is(kept: Option<&Path>) -> String {
    match kept {
        Some(path) => format!(
            "An invented club, kept in “{}”: nothing in it is real.",
            path.display()
        ),
        None => "An invented club, in a throw-away folder: nothing in it is real, and it is gone when you stop.".to_owned(),
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_club_that_is_kept_is_not_said_to_be_gone() {
        let kept = what_it_is(Some(Path::new("shown")));
        assert!(kept.contains("“shown”") && !kept.contains("gone"), "{kept}");
        assert!(what_it_is(None).contains("gone when you stop"));
    }
}
