//! `peglore serve`: the club's site.

use std::path::Path;

use tokio::{
    net::TcpListener,
    signal::unix::{SignalKind, signal},
};

use super::{Ending, data_folder::DataFolder};
use crate::{
    actions::one_time_links,
    web::{
        self,
        state::{Clock, Record, Site},
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
    println!("Serving the club at {address}/");
    serve(
        Site::new(db.clone(), folder.settings.clone(), clock, Record::Real),
        listener,
    )
    .await?;
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

/// Serves until told to stop, by SIGTERM or from the keyboard.
pub async fn serve(site: Site, listener: TcpListener) -> Result<(), Ending> {
    let failed = |e: std::io::Error| Ending::Sentence(format!("serving stopped: {e}"));
    let mut terminate = signal(SignalKind::terminate()).map_err(failed)?;
    let stop = async move {
        tokio::select! {
            _ = terminate.recv() => {}
            _ = tokio::signal::ctrl_c() => {}
        }
        tracing::info!("stopping: requests in flight are finished first");
    };
    web::serve(listener, web::site(site), stop)
        .await
        .map_err(failed)
}
