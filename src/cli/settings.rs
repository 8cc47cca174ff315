//! `peglore settings`: every setting, its value here, and what it means.

use std::path::Path;

use super::{
    Ending,
    data_folder::{self, no_record},
};
use crate::settings::TABLE;

pub fn run(data: &Path) -> Result<(), Ending> {
    // A folder may have its settings before it has a record, so it need only be there.
    if !data.is_dir() {
        return Err(no_record(data));
    }
    let settings = data_folder::settings(data)?;
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
