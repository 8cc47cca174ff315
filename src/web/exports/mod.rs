//! Lists as CSV files to keep: results, matches, sessions. Names stand in them as on the pages.

pub mod matches;
pub mod result;
pub mod sessions;

use std::io;

use axum::{
    http::header,
    response::{IntoResponse, Response},
};

use super::errors::PageError;
use crate::formats::csv::Writer;

/// A list being written.
struct List {
    writer: Writer<Vec<u8>>,
}

impl List {
    fn under(header: &[&str]) -> Result<Self, PageError> {
        let writer = Writer::new(Vec::new(), header).map_err(fault)?;
        Ok(Self { writer })
    }

    fn row(&mut self, cells: &[String]) -> Result<(), PageError> {
        self.writer.row(cells).map_err(fault)
    }

    /// Answers with the file, to be kept under `name`.
    fn file(self, name: &str) -> Result<Response, PageError> {
        let body = self.writer.finish().map_err(fault)?;
        let kept = format!("attachment; filename=\"{name}\"");
        let headers = [
            (header::CONTENT_TYPE, "text/csv; charset=utf-8".to_owned()),
            (header::CONTENT_DISPOSITION, kept),
        ];
        Ok((headers, body).into_response())
    }
}

fn fault(error: io::Error) -> PageError {
    PageError::Fault(format!("writing a list: {error}"))
}
