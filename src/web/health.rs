//! Is the process alive, and can it write? Neither tells a visitor a version.

use axum::{extract::State, http::StatusCode};

use super::state::Site;
use crate::actions::health;

pub async fn alive() -> &'static str {
    "alive\n"
}

pub async fn ready(State(site): State<Site>) -> (StatusCode, String) {
    match health::ready(&site.db, site.settings.disk_floor_mib).await {
        Ok(()) => (StatusCode::OK, "ready\n".into()),
        Err(why) => {
            tracing::warn!("not ready: {why}");
            (StatusCode::SERVICE_UNAVAILABLE, "not ready\n".into())
        }
    }
}
