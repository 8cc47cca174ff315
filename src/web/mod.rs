//! HTTP only: decode, ask, show. [`serve`] listens and stops cleanly; [`routes`] is the site.

use std::{convert::Infallible, net::SocketAddr, pin::pin, time::Duration};

use axum::{Router, body::Body, extract::ConnectInfo};
use hyper::{Request, body::Incoming, server::conn::http1};
use hyper_util::{
    rt::{TokioIo, TokioTimer},
    server::graceful::GracefulShutdown,
};
use tokio::net::TcpListener;
use tower::{Service, ServiceExt, service_fn};
use tower_http::{CompressionLevel, catch_panic::CatchPanicLayer, compression::CompressionLayer};

pub mod accounts;
mod addresses;
pub mod anglers;
pub mod answers;
pub mod assets;
pub mod committee;
pub mod errors;
pub mod exports;
pub mod figures;
pub mod filters;
pub mod forms;
pub mod health;
pub mod home;
pub mod imports;
mod kept;
pub mod links;
pub mod matches;
pub mod page;
pub mod people;
pub mod pictures;
mod places;
pub mod privacy;
mod reached;
pub mod routes;
pub mod security;
pub mod sessions;
pub mod state;
mod strips;
mod unread;
pub mod uploads;
pub mod venues;
pub mod weather;

use state::Site;

/// How long a request may take; a test shortens them.
#[derive(Clone, Copy, Debug)]
pub struct Limits {
    /// To send the request's head.
    pub head: Duration,
    /// To send its body, however it drips.
    pub body: Duration,
    /// To be answered, the sending included. Longer than `body`, so that whoever sent too slowly is
    /// told that and not that the server was slow.
    pub answer: Duration,
    /// For requests in flight once the server is told to stop.
    pub last_orders: Duration,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            head: Duration::from_secs(10),
            body: Duration::from_secs(60),
            answer: Duration::from_secs(65),
            last_orders: Duration::from_secs(4),
        }
    }
}

/// The whole site as one service: routes, and the layers that guard the machine.
pub fn site(site: Site) -> Router {
    site_within(site, Limits::default())
}

/// The same with other limits.
pub fn site_within(site: Site, limits: Limits) -> Router {
    around(routes::router(site.clone(), limits), site, limits)
}

/// What stands around every answer: protective headers, and the prefix of the public address.
pub fn around(inside: Router, site: Site, limits: Limits) -> Router {
    let prefix = site.settings.prefix().to_owned();
    // The prefix is taken off where it was kept by the proxy, and not missed where it was stripped.
    let either = service_fn(move |mut request: axum::extract::Request| {
        if let Some(inner) = without_prefix(&request, &prefix) {
            *request.uri_mut() = inner;
        }
        inside.clone().oneshot(request)
    });
    Router::new()
        .fallback_service(either)
        .layer(axum::middleware::from_fn_with_state(
            limits.body,
            unread::read_to_the_end,
        ))
        .layer(axum::middleware::from_fn_with_state(
            site,
            security::headers,
        ))
        .layer(CompressionLayer::new().quality(CompressionLevel::Fastest))
        .layer(CatchPanicLayer::new())
}

fn without_prefix(request: &axum::extract::Request, prefix: &str) -> Option<axum::http::Uri> {
    if prefix.is_empty() {
        return None;
    }
    let path = request.uri().path_and_query()?.as_str();
    let rest = path.strip_prefix(prefix)?;
    match rest.chars().next() {
        Some('/') => rest.parse().ok(),
        Some('?') | None => format!("/{rest}").parse().ok(),
        Some(_) => None,
    }
}

/// Answers on `listener` until `stop` resolves, then lets requests in flight finish.
pub async fn serve(
    listener: TcpListener,
    app: Router,
    stop: impl Future<Output = ()>,
) -> std::io::Result<()> {
    serve_within(listener, app, stop, Limits::default()).await
}

/// The same with other limits.
pub async fn serve_within(
    listener: TcpListener,
    app: Router,
    stop: impl Future<Output = ()>,
    limits: Limits,
) -> std::io::Result<()> {
    let graceful = GracefulShutdown::new();
    let mut stop = pin!(stop);
    loop {
        let (stream, peer) = tokio::select! {
            accepted = listener.accept() => match accepted {
                Ok(accepted) => accepted,
                Err(error) => {
                    // Out of file handles, say: wait a little rather than spin.
                    tracing::warn!("accepting a connection: {error}");
                    tokio::time::sleep(Duration::from_millis(50)).await;
                    continue;
                }
            },
            () = &mut stop => break,
        };
        // Small answers should not wait for the next acknowledgement.
        let _ = stream.set_nodelay(true);
        let service = for_peer(app.clone(), peer);
        let connection = http1::Builder::new()
            .timer(TokioTimer::new())
            .header_read_timeout(limits.head)
            .max_buf_size(64 * 1024)
            .serve_connection(TokioIo::new(stream), service);
        let watched = graceful.watch(connection);
        tokio::spawn(async move {
            if let Err(error) = watched.await {
                tracing::debug!("a connection ended early: {error}");
            }
        });
    }
    drop(listener);
    let _ = tokio::time::timeout(limits.last_orders, graceful.shutdown()).await;
    Ok(())
}

/// The site as hyper wants it, each request marked with the address it came from.
fn for_peer(
    app: Router,
    peer: SocketAddr,
) -> impl hyper::service::Service<
    Request<Incoming>,
    Response = axum::response::Response,
    Error = Infallible,
    Future: Send,
> {
    hyper::service::service_fn(move |request: Request<Incoming>| {
        let mut request = request.map(Body::new);
        request.extensions_mut().insert(ConnectInfo(peer));
        let mut app = app.clone();
        async move { app.call(request).await }
    })
}
