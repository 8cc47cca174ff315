//! What a person can be told when something cannot be done, and the page that tells it.

use askama::Template;
use axum::{
    extract::{Request, State},
    http::StatusCode,
    middleware::Next,
    response::{Html, IntoResponse, Response},
};

use super::{
    page::{Frame, Section},
    people::Visitor,
    state::Site,
};
use crate::{actions::ActionError, store::StoreError};

#[derive(Debug, thiserror::Error)]
pub enum PageError {
    #[error("not found")]
    NotFound,
    #[error("not allowed")]
    NotAllowed,
    /// Somebody saved first. A page that can show both versions does so itself.
    #[error("changed meanwhile")]
    Changed,
    #[error("too large")]
    TooLarge,
    /// A file beyond the room of its page.
    #[error("a file too large")]
    FileTooLarge,
    #[error("cannot be read: {0}")]
    Unreadable(String),
    #[error("busy")]
    Busy,
    #[error("refused as coming from another site")]
    AnotherSite,
    #[error("no such method here")]
    Method,
    /// What was sent did not arrive in its time, so nothing was done with it.
    #[error("too slow")]
    TooSlow,
    /// No answer was ready in its time. What was sent may have been saved all the same.
    #[error("out of time")]
    OutOfTime { sent: bool },
    #[error(transparent)]
    Store(#[from] StoreError),
    #[error("a page could not be drawn: {0}")]
    Drawing(#[from] askama::Error),
    #[error("a fault: {0}")]
    Fault(String),
}

impl From<ActionError> for PageError {
    fn from(error: ActionError) -> Self {
        match error {
            ActionError::NotAllowed => Self::NotAllowed,
            ActionError::NotFound => Self::NotFound,
            ActionError::Changed => Self::Changed,
            ActionError::Refused { sentence, .. } => Self::Unreadable(sentence),
            ActionError::Busy => Self::Busy,
            ActionError::Store(e) => Self::Store(e),
        }
    }
}

/// What the error page says; carried in the response until the frame is known.
#[derive(Clone)]
struct Told {
    heading: &'static str,
    words: String,
}

impl PageError {
    fn status(&self) -> StatusCode {
        match self {
            Self::NotFound => StatusCode::NOT_FOUND,
            Self::NotAllowed | Self::AnotherSite => StatusCode::FORBIDDEN,
            Self::Changed => StatusCode::CONFLICT,
            Self::Store(e) if e.points_nowhere() => StatusCode::CONFLICT,
            Self::TooLarge | Self::FileTooLarge => StatusCode::PAYLOAD_TOO_LARGE,
            Self::Unreadable(_) => StatusCode::UNPROCESSABLE_ENTITY,
            Self::Method => StatusCode::METHOD_NOT_ALLOWED,
            Self::TooSlow => StatusCode::REQUEST_TIMEOUT,
            Self::Busy | Self::OutOfTime { .. } => StatusCode::SERVICE_UNAVAILABLE,
            Self::Store(e) if e.is_full() => StatusCode::INSUFFICIENT_STORAGE,
            Self::Store(StoreError::WritingStopped) => StatusCode::SERVICE_UNAVAILABLE,
            Self::Store(_) | Self::Drawing(_) | Self::Fault(_) => StatusCode::INTERNAL_SERVER_ERROR,
        }
    }

    fn told(&self) -> Told {
        let (heading, words) = match self {
            Self::NotFound => ("Not found", "There is nothing at this address, or it is not yours to see.".into()),
            Self::NotAllowed => ("Not allowed", "Your account may not do this. An administrator can change what it may do.".into()),
            Self::Changed => ("Somebody else saved first", "This was changed while you had it open. Go back, copy what you typed, fetch the page again and add it.".into()),
            Self::TooLarge => ("Too large", "What you sent is larger than this page takes. Nothing was saved. What you typed is still in your browser: go back, shorten it, and send it again.".into()),
            Self::FileTooLarge => ("The file is too large", "A sheet may have 2 MiB, a weather file 16 MiB. Nothing was saved. Split the file, for example by years, keep the heading on each part, and send them one after another.".into()),
            Self::Unreadable(why) => ("This could not be read", why.clone()),
            Self::Busy => ("Busy", "Too much is going on at once. Nothing was saved. Wait a few seconds and send it again.".into()),
            Self::AnotherSite => ("Not from this site", "Your browser says that this form came from another address, so nothing was changed. Open the club’s own address and send it from there. If you run this club’s server, check the setting public_address.".into()),
            Self::Method => ("Not done this way", "This address does not take that kind of request.".into()),
            Self::TooSlow => ("Too slow", "What you sent took too long to arrive. Nothing was saved. Try again where the signal is better.".into()),
            Self::OutOfTime { sent: true } => ("Too slow", "The server could not finish in a minute. Look whether it was saved before you send it again.".into()),
            Self::OutOfTime { sent: false } => ("Too slow", "The server could not finish this page in a minute. Ask for it again in a while.".into()),
            Self::Store(e) if e.points_nowhere() => ("Removed meanwhile", "What this belongs to, such as its water, was removed while you had the page open. Nothing was saved. What you typed is still in your browser: go back and copy it.".into()),
            Self::Store(e) if e.is_full() => ("No room", "The server is out of disk space. Nothing was saved. What you typed is still in your browser: go back and copy it.".into()),
            Self::Store(StoreError::WritingStopped) => ("Not saved", "The server’s disk reported a fault, so nothing more is written until it is started again. What you typed is still in your browser: go back and copy it.".into()),
            Self::Store(_) | Self::Drawing(_) | Self::Fault(_) => ("Something broke", "A fault on the server kept this from being done. Nothing was saved unless a page said so. It has been written in the server’s log.".into()),
        };
        Told { heading, words }
    }
}

impl IntoResponse for PageError {
    fn into_response(self) -> Response {
        let status = self.status();
        if status.is_server_error() {
            tracing::error!("{self}");
        }
        // Told as a removal, which it should be: kept in the log in case it ever is not.
        if let Self::Store(error) = &self
            && error.points_nowhere()
        {
            tracing::warn!("{error}");
        }
        let mut response = status.into_response();
        response.extensions_mut().insert(self.told());
        response
    }
}

#[derive(Template)]
#[template(path = "error.html")]
struct ErrorPage {
    frame: Frame,
    heading: &'static str,
    words: String,
}

/// Draws the error page, inside the frame, for every answer that carries a [`PageError`].
pub async fn drawn(State(site): State<Site>, request: Request, next: Next) -> Response {
    let visitor = request
        .extensions()
        .get::<Visitor>()
        .cloned()
        .unwrap_or_default();
    let response = next.run(request).await;
    let told = match response.extensions().get::<Told>() {
        Some(told) => told.clone(),
        None if response.status() == StatusCode::BAD_REQUEST => PageError::Unreadable(
            "The address is not one of this site’s. Go back and follow a link from there.".into(),
        )
        .told(),
        None if response.status() == StatusCode::METHOD_NOT_ALLOWED => PageError::Method.told(),
        None if response.status() == StatusCode::PAYLOAD_TOO_LARGE => PageError::TooLarge.told(),
        None => return response,
    };
    let status = response.status();
    let html = match Frame::new(&site, &visitor, Section::Nowhere).await {
        Ok(frame) => ErrorPage {
            frame: frame.with_problems(true),
            heading: told.heading,
            words: told.words.clone(),
        }
        .render()
        .ok(),
        Err(_) => None,
    };
    let mut answer = match html {
        Some(html) => (status, Html(html)).into_response(),
        None => (status, format!("{}\n\n{}\n", told.heading, told.words)).into_response(),
    };
    if let Some(allow) = response.headers().get("allow") {
        answer.headers_mut().insert("allow", allow.clone());
    }
    answer
}
