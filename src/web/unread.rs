//! What a request sends has a time to arrive in, and beyond what was read of it is read to its end
//! and dropped. A browser that is still sending when the connection closes shows no page at all, so
//! the one that says what was too large would never be seen.

use std::{
    error::Error,
    future::poll_fn,
    pin::Pin,
    sync::{Arc, Mutex, PoisonError},
    task::{Context, Poll},
    time::Duration,
};

use axum::{
    body::{Body, Bytes},
    extract::{Request, State},
    http::StatusCode,
    middleware::Next,
    response::Response,
};
use http_body::{Body as _, Frame, SizeHint};
use tokio::time::{Instant, Sleep, sleep_until};

/// The most that is read only to be dropped, bytes: twice the largest room of any form.
const MOST: usize = 32 * 1024 * 1024;
/// How long it may take.
const PATIENCE: Duration = Duration::from_secs(10);

/// What reading a body ends with once its time is over.
#[derive(Debug, thiserror::Error)]
#[error("what was sent did not arrive in time")]
struct TooSlow;

/// Is it what reading a body ended with because its time was over?
pub fn is_too_slow(error: &(dyn Error + 'static)) -> bool {
    std::iter::successors(Some(error), |&error| error.source()).any(|error| error.is::<TooSlow>())
}

/// Answers, then reads what is left of the body before the answer is sent. The whole body has
/// `time` to arrive, however it drips.
pub async fn read_to_the_end(
    State(time): State<Duration>,
    request: Request,
    next: Next,
) -> Response {
    let (parts, body) = request.into_parts();
    let until = Box::pin(sleep_until(Instant::now() + time));
    let body = Shared(Arc::new(Mutex::new(Timed { body, until })));
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
struct Shared(Arc<Mutex<Timed>>);

struct Timed {
    body: Body,
    until: Pin<Box<Sleep>>,
}

impl http_body::Body for Shared {
    type Data = Bytes;
    type Error = axum::Error;

    fn poll_frame(
        self: Pin<&mut Self>,
        context: &mut Context<'_>,
    ) -> Poll<Option<Result<Frame<Bytes>, axum::Error>>> {
        let mut timed = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if timed.until.as_mut().poll(context).is_ready() {
            return Poll::Ready(Some(Err(axum::Error::new(TooSlow))));
        }
        Pin::new(&mut timed.body).poll_frame(context)
    }

    fn is_end_stream(&self) -> bool {
        let timed = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        timed.body.is_end_stream()
    }

    fn size_hint(&self) -> SizeHint {
        let timed = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        timed.body.size_hint()
    }
}
