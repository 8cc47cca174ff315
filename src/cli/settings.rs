//! `peglore settings`: every setting, its value here, and what it means.

use std::path::Path;

use super::Ending;
use crate::settings::{Settings, TABLE};

pub fn run(data: &Path) -> Result<(), Ending> {
    let settings =
        Settings::read(data, std::env::vars()).map_err(|e| Ending::Sentence(e.to_string()))?;
    for (row, (name, value)) in TABLE.iter().zip(settings.shown()) {
        println!(
            "{name} = {value}\n    {} (Default: {})",
            row.meaning,
            if row.default.is_empty() {
                "empty"
            } else {
                row.default
            }
        );
    }
    Ok(())
}
