//! Can the record be written, and is it whole? Writing is tried for real, in a transaction that is
//! rolled back; the whole of it is read through now and then.

use crate::store::{Db, StoreError, checks, settings};

/// Reads the record through and keeps what was found for whoever asks whether all is well: every
/// fault, and none when it is whole.
pub async fn check(db: &Db) -> Result<Vec<String>, StoreError> {
    let faults = checks::quick_check(db).await?;
    db.damage.note(faults.len());
    Ok(faults)
}

/// `Err` says what stands in the way.
pub async fn ready(db: &Db, disk_floor_mib: u64) -> Result<(), String> {
    if db.damage.faults() > 0 {
        return Err("the record is damaged".to_owned());
    }
    let free = free_mib(db.file()).map_err(|e| format!("free disk cannot be read: {e}"))?;
    if free < disk_floor_mib {
        return Err(format!("only {free} MiB of disk are free"));
    }
    let mut writing = db.write().await.map_err(|e| e.to_string())?;
    settings::put(&mut writing, "ready_probe", "1")
        .await
        .map_err(|e| e.to_string())
}

/// Free space where `file` lies, MiB.
fn free_mib(file: &std::path::Path) -> std::io::Result<u64> {
    let room = rustix::fs::statvfs(file)?;
    Ok(room.f_bavail.saturating_mul(room.f_frsize) / (1024 * 1024))
}
