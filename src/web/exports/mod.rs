//! Lists as CSV files to keep: results, matches, sessions. Names stand in them as on the pages. A
//! list that grows with the club goes out in pieces, each read when the one before it is on its way.

pub mod matches;
pub mod result;
pub mod sessions;

use std::io;

use axum::{
    body::Body,
    http::header,
    response::{IntoResponse, Response},
};
use futures_util::stream;

use super::{errors::PageError, links::escaped};
use crate::formats::csv::Writer;

/// Rows, or sessions with their rows, read at once. Each row takes a kilobyte or two while it is
/// turned into text, so a piece of a list takes less than a megabyte.
pub const AT_ONCE: i64 = 250;

/// A list being written.
pub(super) struct List {
    writer: Writer<Vec<u8>>,
}

impl List {
    pub fn under(header: &[&str]) -> Result<Self, PageError> {
        let writer = Writer::new(Vec::new(), header).map_err(fault)?;
        Ok(Self { writer })
    }

    pub fn row(&mut self, cells: &[String]) -> Result<(), PageError> {
        self.writer.row(cells).map_err(fault)
    }

    /// Answers with the file, to be kept under `name`.
    pub fn file(self, name: &str) -> Result<Response, PageError> {
        let body = self.writer.finish().map_err(fault)?;
        Ok(csv_file(name, body))
    }
}

/// Answers with a file to be kept under `name`, which may hold what people typed: it is sent as
/// any system takes it, and as it stands for those that read the longer form.
pub(super) fn csv_file(name: &str, body: impl Into<Body>) -> Response {
    let plain: String = name
        .chars()
        .map(|c| match c {
            '.' | '-' => c,
            _ if c.is_ascii_alphanumeric() => c,
            _ => '-',
        })
        .collect();
    let disposition = format!(
        "attachment; filename=\"{plain}\"; filename*=UTF-8''{}",
        escaped(name)
    );
    let headers = [
        (header::CONTENT_TYPE, "text/csv; charset=utf-8".to_owned()),
        (header::CONTENT_DISPOSITION, disposition),
    ];
    let body: Body = body.into();
    (headers, body).into_response()
}

/// Some rows of a list, and after what to read on; `None` once there are no more.
pub(super) struct Piece<K, const N: usize> {
    pub rows: Vec<[String; N]>,
    pub on: Option<K>,
}

/// A list under its heading, sent as it is read: no more than a piece of it is in memory, and
/// `read` takes a reader for each and gives it back before anything is sent. What is saved
/// meanwhile may stand in a later piece.
///
/// Errors: whatever kept the first piece from being read. A later one that cannot be read breaks
/// the answer off, so that nobody takes half a list for the whole.
pub(super) async fn in_pieces<K, Read, Reading, const N: usize>(
    heading: &[&str; N],
    start: K,
    read: Read,
) -> Result<Body, PageError>
where
    K: Send + 'static,
    Read: Fn(K) -> Reading + Send + 'static,
    Reading: Future<Output = Result<Piece<K, N>, PageError>> + Send + 'static,
{
    let reading = read(start);
    let first = reading.await?;
    let list = Writer::new(Vec::new(), heading).map_err(fault)?;
    let begun = written(list, &first.rows)?;
    let state = (Some(begun), first.on, read);
    let pieces = stream::try_unfold(state, |(ready, on, read)| async move {
        if let Some(bytes) = ready {
            return Ok::<_, io::Error>(Some((bytes, (None, on, read))));
        }
        let Some(on) = on else {
            return Ok(None);
        };
        let reading = read(on);
        let piece = reading.await.map_err(broken_off)?;
        if piece.rows.is_empty() {
            return Ok(None);
        }
        let list = Writer::further(Vec::new(), N);
        let bytes = written(list, &piece.rows).map_err(broken_off)?;
        Ok(Some((bytes, (None, piece.on, read))))
    });
    Ok(Body::from_stream(pieces))
}

fn written<const N: usize>(
    mut list: Writer<Vec<u8>>,
    rows: &[[String; N]],
) -> Result<Vec<u8>, PageError> {
    for row in rows {
        list.row(row).map_err(fault)?;
    }
    list.finish().map_err(fault)
}

fn broken_off(error: PageError) -> io::Error {
    tracing::error!("a list broke off: {error}");
    io::Error::other(error.to_string())
}

fn fault(error: io::Error) -> PageError {
    PageError::Fault(format!("writing a list: {error}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_name_of_a_water_breaks_out_of_the_name_of_its_file() {
        let answer = csv_file("Réed \"Old\"; x=1\r\n.csv", "");

        let says = |name: header::HeaderName| answer.headers()[name].to_str().expect("plain");
        assert_eq!(says(header::CONTENT_TYPE), "text/csv; charset=utf-8");
        assert_eq!(
            says(header::CONTENT_DISPOSITION),
            "attachment; filename=\"R-ed--Old---x-1--.csv\"; \
             filename*=UTF-8''R%C3%A9ed%20%22Old%22%3B%20x%3D1%0D%0A.csv"
        );
    }
}
