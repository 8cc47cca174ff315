//! A form with a file in it. The route's room bounds the whole; the file comes whole into
//! memory, since it is kept in the record as it came.

use axum::{
    extract::{FromRequest, Multipart, Request, multipart::MultipartError},
    http::StatusCode,
};

use super::{
    errors::PageError,
    forms::{Form, MOST_PAIRS, typeable},
    unread::is_too_slow,
};

/// The most that the ordinary fields beside a file may hold, bytes.
const FIELDS: usize = 256 * 1024;

/// A file as it was sent.
#[derive(Clone, Debug)]
pub struct File {
    /// The field it was chosen in.
    pub field: String,
    /// The name it has on the sender's device, as sent: not to be trusted.
    pub name: String,
    pub bytes: Vec<u8>,
}

/// The ordinary fields, and the files.
#[derive(Clone, Debug, Default)]
pub struct Upload {
    pub form: Form,
    pub files: Vec<File>,
}

impl Upload {
    /// The file chosen in `field`. A browser sends an empty one without a name where none was chosen.
    pub fn file(&self, field: &str) -> Option<&File> {
        self.files
            .iter()
            .find(|file| file.field == field && !(file.name.is_empty() && file.bytes.is_empty()))
    }

    async fn read(mut parts: Multipart) -> Result<Self, PageError> {
        let (mut pairs, mut files, mut typed) = (Vec::new(), Vec::new(), 0);
        while let Some(part) = parts.next_field().await.map_err(not_whole)? {
            if pairs.len() + files.len() == MOST_PAIRS {
                return Err(PageError::TooLarge);
            }
            let field = part.name().unwrap_or_default().to_owned();
            let file_name = part.file_name().map(str::to_owned);
            let bytes = part.bytes().await.map_err(not_whole)?;
            match file_name {
                Some(name) => files.push(File {
                    field,
                    name,
                    bytes: bytes.to_vec(),
                }),
                None => {
                    typed += bytes.len();
                    if typed > FIELDS {
                        return Err(PageError::TooLarge);
                    }
                    pairs.push((field, typeable(&String::from_utf8_lossy(&bytes))));
                }
            }
        }
        Ok(Self {
            form: Form::from_pairs(pairs),
            files,
        })
    }
}

fn not_whole(error: MultipartError) -> PageError {
    if is_too_slow(&error) {
        return PageError::TooSlow;
    }
    if error.status() == StatusCode::PAYLOAD_TOO_LARGE {
        return PageError::FileTooLarge;
    }
    PageError::Unreadable(
        "The file did not arrive whole. Go back, choose it again and send it once more.".into(),
    )
}

impl<S: Send + Sync> FromRequest<S> for Upload {
    type Rejection = PageError;

    async fn from_request(request: Request, state: &S) -> Result<Self, PageError> {
        let parts = Multipart::from_request(request, state).await.map_err(|_| {
            PageError::Unreadable(
                "This address takes a form with a file. Choose the file on the page and send it from there.".into(),
            )
        })?;
        Self::read(parts).await
    }
}
