//! The checksum a backup ends with. SQLite's own checks find pages that do not fit together, but no
//! letter or figure that changed where it lies; and what stands behind a database's last page means
//! nothing to SQLite.

use std::{
    fs::File,
    io::{self, Read, Seek, SeekFrom, Write},
    path::Path,
};

use sha2::{Digest, Sha256};

const WORDS: &str = "\npeglore sha256 ";
/// The words, 64 figures and the end of the line, bytes.
const LENGTH: u64 = WORDS.len() as u64 + 65;

/// What the end of a file says of the rest.
#[derive(Debug, PartialEq, Eq)]
pub enum Seal {
    Holds,
    Broken,
    /// A record, which has none.
    Absent,
}

/// Writes the checksum of all that is in `file` behind it.
pub fn put_on(file: &Path) -> io::Result<()> {
    let seal = of(File::open(file)?)?;
    File::options()
        .append(true)
        .open(file)?
        .write_all(seal.as_bytes())
}

pub fn on(file: &Path) -> io::Result<Seal> {
    let mut reading = File::open(file)?;
    let (rest, Some(found)) = end(&mut reading)? else {
        return Ok(Seal::Absent);
    };
    reading.rewind()?;
    let expected = of(reading.take(rest))?;
    Ok(match found == expected {
        true => Seal::Holds,
        false => Seal::Broken,
    })
}

/// How long the file is without its seal, bytes.
pub fn length_of_rest(file: &Path) -> io::Result<u64> {
    let (rest, _) = end(&mut File::open(file)?)?;
    Ok(rest)
}

/// The same, and the seal. Its length is asked once: a record in use grows and shrinks.
fn end(reading: &mut File) -> io::Result<(u64, Option<String>)> {
    let whole = reading.metadata()?.len();
    let Some(rest) = whole.checked_sub(LENGTH) else {
        return Ok((whole, None));
    };
    reading.seek(SeekFrom::Start(rest))?;
    let mut end = Vec::new();
    Read::by_ref(reading).take(LENGTH).read_to_end(&mut end)?;
    let is_seal = |end: &String| end.starts_with(WORDS) && end.ends_with('\n');
    Ok(match String::from_utf8(end).ok().filter(is_seal) {
        Some(seal) => (rest, Some(seal)),
        None => (whole, None),
    })
}

fn of(mut reading: impl Read) -> io::Result<String> {
    let mut sum = Sha256::new();
    let mut piece = vec![0; 1 << 16];
    loop {
        match reading.read(&mut piece)? {
            0 => break,
            read => sum.update(&piece[..read]),
        }
    }
    let sum: [u8; 32] = sum.finalize().into();
    let figures: String = sum.iter().map(|byte| format!("{byte:02x}")).collect();
    Ok(format!("{WORDS}{figures}\n"))
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;

    /// SHA-256 of "abc": FIPS 180-4's first example (NIST, example values for SHA-256).
    const OF_ABC: &str = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";

    #[test]
    fn a_seal_is_the_checksum_of_all_before_it_and_breaks_with_any_of_it() {
        let folder = tempfile::tempdir().expect("a throw-away folder");
        let file = folder.path().join("x.backup");
        fs::write(&file, "abc").expect("writable");
        assert_eq!(on(&file).expect("readable"), Seal::Absent);
        put_on(&file).expect("writable");
        let sealed = fs::read_to_string(&file).expect("text");
        assert_eq!(sealed, format!("abc\npeglore sha256 {OF_ABC}\n"));
        assert_eq!(on(&file).expect("readable"), Seal::Holds);
        assert_eq!(length_of_rest(&file).expect("readable"), 3);
        for changed in [
            sealed.replace("abc", "abd"),
            sealed.replace("f20015ad", "f20015ae"),
            sealed.replace("abc", ""),
        ] {
            fs::write(&file, changed).expect("writable");
            assert_eq!(on(&file).expect("readable"), Seal::Broken);
        }
    }
}
