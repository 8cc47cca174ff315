//! What a request sends beyond what was read of it is read to its end and dropped. A browser that
//! is still sending when the connection closes shows no page at all, so the one that says what was
//! too large would never be seen.

use std::{
    future::poll_fn,
    pin::Pin,
    sync::{Arc, Mutex, PoisonError},
    task::{Context, Poll},
    time::Duration,
};

use axum::{
    body::{Body, Bytes},
    extract::Request,
    http::StatusCode,
    middleware::Next,
    response::Response,
};
use http_body::{Body as _, Frame, SizeHint};

/// The most that is read only to be dropped, bytes: twice the largest room of any form.
const MOST: usize = 32 * 1024 * 1024;
/// How long it may take.
const PATIENCE: Duration = Duration::from_secs(10);

/// Answers, then reads what is left of the body before the answer is sent.
pub async fn read_to_the_end(request: Request, next: Next) -> Response {
    let (parts, body) = request.into_parts();
    let body = Shared(Arc::new(Mutex::new(body)));
    let inner = Request::from_parts(parts, Body::new(body.clone()));
    let response = next.run(inner).await;
    // Whoever was too slow has had all the time there is.
    if response.status() == StatusCode::REQUEST_TIMEOUT {
        return response;
    }
    // A sender slower than our patience meets a closed connection, as it would have before.
    let _ = tokio::time::timeout(PATIENCE, drop_rest(body)).await;
    response
}

async fn drop_rest(mut body: Shared) {
    let mut left = MOST;
    while left > 0 && !body.is_end_stream() {
        let next = poll_fn(|context| Pin::new(&mut body).poll_frame(context)).await;
        let Some(Ok(frame)) = next else { return };
        left = left.saturating_sub(frame.data_ref().map_or(0, Bytes::len));
    }
}

/// A body that two may hold, one after the other.
#[derive(Clone)]
struct Shared(Arc<Mutex<Body>>);

impl http_body::Body for Shared {
    type Data = Bytes;
    type Error = axum::Error;

    fn poll_frame(
        self: Pin<&mut Self>,
        context: &mut Context<'_>,
    ) -> Poll<Option<Result<Frame<Bytes>, axum::Error>>> {
        let mut body = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        Pin::new(&mut *body).poll_frame(context)
    }

    fn is_end_stream(&self) -> bool {
        let body = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        body.is_end_stream()
    }

    fn size_hint(&self) -> SizeHint {
        let body = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        body.size_hint()
    }
}
