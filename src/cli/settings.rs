//! `peglore settings`: every setting, its value here, and what it means.

use std::path::Path;

use super::{
    Ending,
    data_folder::{self, no_record},
};
use crate::settings::{Origin, TABLE};

pub fn run(data: &Path) -> Result<(), Ending> {
    // A folder may have its settings before it has a record, so it need only be there.
    if !data.is_dir() {
        return Err(no_record(data));
    }
    let settings = data_folder::settings(data)?;
    let origins = data_folder::origins_of_settings(data)?;
    for (row, (name, value)) in TABLE.iter().zip(settings.shown()) {
        let from = match origins.get(name) {
            Some(Origin::Environment) => format!("from PEGLORE_{}", name.to_uppercase()),
            Some(Origin::File) => "from settings.txt".to_owned(),
            None => "the default".to_owned(),
        };
        println!(
            "{name} = {value}\n    Here: {from}. {} (Default: {})",
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
