//! `peglore serve`: the club's site.

use std::{path::Path, time::Duration};

use tokio::{
    net::TcpListener,
    signal::unix::{Signal, SignalKind, signal},
};

use super::{Ending, data_folder::DataFolder};
use crate::{
    actions::{daily_backup, one_time_links},
    memory,
    upkeep::Upkeep,
    web::{
        self,
        state::{Clock, Site},
    },
};

pub async fn run(data: &Path) -> Result<(), Ending> {
    let folder = DataFolder::take(data)?;
    let clock = Clock::system();
    let db = folder.open(clock.now()).await?;
    let listener = listen(folder.settings.listen).await?;
    let address = address(&folder.settings, &listener);
    if let Some(secret) = one_time_links::first_administrator_link(&db, clock.now()).await? {
        println!(
            "Nobody can sign in yet. The first administrator opens this link, once, within seven days:\n  {address}/links/{secret}"
        );
    }
    let site = Site::new(db.clone(), folder.settings.clone(), clock);
    // Whoever reads the address may stop it at once, and is heard.
    let stop = Stop::listen()?;
    println!("Serving the club at {address}/");
    let backups = daily_backup::folder(&db);
    let upkeep = upkeep(&site).backing_up(backups, folder.settings.backups_kept);
    serve(site, listener, stop, upkeep).await?;
    db.close().await;
    Ok(())
}

pub async fn listen(address: std::net::SocketAddr) -> Result<TcpListener, Ending> {
    TcpListener::bind(address).await.map_err(|e| {
        Ending::Sentence(format!(
            "cannot answer on {address}: {e}. Choose another with PEGLORE_LISTEN"
        ))
    })
}

/// The address people type.
pub fn address(settings: &crate::settings::Settings, listener: &TcpListener) -> String {
    match (&settings.public_address, listener.local_addr()) {
        (Some(public), _) => format!("{}{}", public.origin, public.prefix),
        (None, Ok(local)) => format!("http://{local}"),
        (None, Err(_)) => format!("http://{}", settings.listen),
    }
}

/// What stops a server: SIGTERM, or Ctrl-C. Heard from when this is made.
pub struct Stop {
    terminate: Signal,
    interrupt: Signal,
}

impl Stop {
    pub fn listen() -> Result<Self, Ending> {
        Ok(Self {
            terminate: signal(SignalKind::terminate()).map_err(stopped)?,
            interrupt: signal(SignalKind::interrupt()).map_err(stopped)?,
        })
    }

    async fn told(mut self) {
        tokio::select! {
            _ = self.terminate.recv() => {}
            _ = self.interrupt.recv() => {}
        }
        tracing::info!("stopping: requests in flight are finished first");
    }
}

/// The upkeep of a site's record, on the site's clock.
pub fn upkeep(site: &Site) -> Upkeep {
    let clock = site.clock.clone();
    Upkeep::new(site.db.clone(), move || clock.now())
}

/// Serves until told to stop, with the upkeep going on beside.
pub async fn serve(
    site: Site,
    listener: TcpListener,
    stop: Stop,
    upkeep: Upkeep,
) -> Result<(), Ending> {
    let upkeep = tokio::spawn(upkeep.run());
    let tidying = tokio::spawn(give_memory_back());
    let outcome = web::serve(listener, web::site(site), stop.told()).await;
    // What it was writing is rolled back, or seen through where its commit had begun; it looks
    // again at the next start.
    upkeep.abort();
    tidying.abort();
    let _ = upkeep.await;
    outcome.map_err(stopped)
}

/// Gives back every few seconds what memory nothing uses any more, until it is dropped.
async fn give_memory_back() {
    loop {
        tokio::time::sleep(Duration::from_secs(10)).await;
        memory::give_back_the_rest();
    }
}

fn stopped(error: std::io::Error) -> Ending {
    Ending::Sentence(format!("serving stopped: {error}"))
}
