//! Builds an empty database from `migrations/` inside the build folder and points sqlx's
//! macros at it, so that a clean checkout needs only `cargo build` and a query that
//! disagrees with the schema does not compile.

use std::{env, error::Error, fs, path::PathBuf};

use sqlx::{ConnectOptions, Connection, migrate::Migrator, sqlite::SqliteConnectOptions};

#[tokio::main(flavor = "current_thread")]
async fn main() -> Result<(), Box<dyn Error>> {
    println!("cargo:rerun-if-changed=migrations");
    println!("cargo:rerun-if-changed=src/build.rs");
    println!("cargo:rerun-if-changed=static");
    let folder = PathBuf::from(env::var("OUT_DIR")?);
    let file = folder.join("schema.sqlite3");
    for old in ["schema.sqlite3", "schema.sqlite3-wal", "schema.sqlite3-shm"] {
        match fs::remove_file(folder.join(old)) {
            Err(e) if e.kind() != std::io::ErrorKind::NotFound => return Err(e.into()),
            _ => {}
        }
    }
    let root = PathBuf::from(env::var("CARGO_MANIFEST_DIR")?);
    let mut connection = SqliteConnectOptions::new()
        .filename(&file)
        .create_if_missing(true)
        .connect()
        .await?;
    Migrator::new(root.join("migrations"))
        .await?
        .run(&mut connection)
        .await?;
    connection.close().await?;
    println!("cargo:rustc-env=DATABASE_URL=sqlite://{}", file.display());
    Ok(())
}
