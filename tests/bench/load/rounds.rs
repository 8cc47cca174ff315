//! Rounds of asking: so many connections, each asking anew as soon as it is answered.

use std::{
    sync::Arc,
    time::{Duration, Instant},
};

use super::http::Client;

/// Connections of a round.
pub const CLIENTS: usize = 32;

/// What a round of asking gave.
pub struct Round {
    /// Answers a second.
    pub rate: f64,
    /// Milliseconds, ascending.
    latencies: Vec<f64>,
}

impl Round {
    /// The latency under which the share `p` of the answers came, ms.
    pub fn percentile(&self, p: f64) -> f64 {
        percentile(&self.latencies, p)
    }
}

/// The value under which the share `p` of the ascending ones lies; NaN of none.
pub fn percentile(ascending: &[f64], p: f64) -> f64 {
    let last = ascending.len().saturating_sub(1);
    let place = (p * last as f64).round() as usize;
    ascending.get(place).copied().unwrap_or(f64::NAN)
}

/// The paths by turns, over [`CLIENTS`] connections, for so long. Fails on any answer but 200.
pub async fn ask(address: &str, cookie: &str, paths: &Arc<Vec<String>>, time: Duration) -> Round {
    let begun = Instant::now();
    let clients: Vec<_> = (0..CLIENTS)
        .map(|place| {
            let (address, cookie, paths) = (address.to_owned(), cookie.to_owned(), paths.clone());
            tokio::spawn(async move {
                let mut client = Client::connect(&address, &cookie)
                    .await
                    .expect("it answers");
                let mut latencies = Vec::new();
                // Each starts elsewhere in the list.
                let mut next = place * paths.len() / CLIENTS;
                while begun.elapsed() < time {
                    let path = &paths[next % paths.len()];
                    next += 1;
                    let asked = Instant::now();
                    let answer = client.get(path).await.expect("it answers");
                    assert_eq!(answer.status, 200, "{path}");
                    latencies.push(asked.elapsed().as_secs_f64() * 1e3);
                }
                latencies
            })
        })
        .collect();
    let mut latencies = Vec::new();
    for client in clients {
        latencies.extend(client.await.expect("no client fails"));
    }
    let rate = latencies.len() as f64 / begun.elapsed().as_secs_f64();
    latencies.sort_by(f64::total_cmp);
    Round { rate, latencies }
}

/// The middle one; the mean of the middle two where their number is even.
pub fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    let middle = values.len() / 2;
    if values.len().is_multiple_of(2) {
        (values[middle - 1] + values[middle]) / 2.0
    } else {
        values[middle]
    }
}
