//! What an address names by number. Whatever is no number of ours is not found.

use axum::{
    extract::{FromRequestParts, Path},
    http::request::Parts,
};
use serde::de::DeserializeOwned;

use super::errors::PageError;

/// The numbers in an address, in its order: one identifier, or a pair of them.
pub struct Place<T>(pub T);

impl<T, S> FromRequestParts<S> for Place<T>
where
    T: DeserializeOwned + Send,
    S: Send + Sync,
{
    type Rejection = PageError;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, PageError> {
        let named = Path::<T>::from_request_parts(parts, state).await;
        named
            .map(|Path(place)| Self(place))
            .map_err(|_| PageError::NotFound)
    }
}
