//! The text of a file, whatever its encoding, or a sentence on what the file is instead.

use encoding_rs::{Encoding, UTF_8, UTF_16BE, UTF_16LE, WINDOWS_1252};

/// First bytes of files that are often chosen by mistake, and what they are.
const NOT_CSV: [(&[u8], &str); 8] = [
    (b"PK\x03\x04", "a spreadsheet or a zip archive"),
    (b"PK\x05\x06", "an empty zip archive"),
    (b"\xd0\xcf\x11\xe0", "an old spreadsheet file"),
    (b"%PDF", "a PDF"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"GIF8", "a picture"),
    (b"\x1f\x8b", "a compressed file"),
];

/// The text of `bytes` without a byte-order mark, and the name of its encoding: UTF-8 (marked
/// or not), UTF-16 (marked or not), else Windows-1252, in which every old sheet can be read.
///
/// Errors: a sentence, when the file is empty or no text.
pub fn decode(bytes: &[u8]) -> Result<(String, &'static str), String> {
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return Err("The file is empty. Choose the CSV file that holds the list.".to_owned());
    }
    if let Some((_, what)) = NOT_CSV.iter().find(|(start, _)| bytes.starts_with(start)) {
        return Err(format!(
            "The file is {what}, not CSV. Open it where it was made, save it as CSV, and choose that file."
        ));
    }
    let (encoding, skip) = Encoding::for_bom(bytes).unwrap_or((unmarked(bytes), 0));
    let (text, _) = encoding.decode_without_bom_handling(&bytes[skip..]);
    let text = cut_in_a_letter(&text, bytes);
    let odd = text
        .chars()
        .filter(|c| c.is_control() && !c.is_whitespace())
        .count();
    if odd * 100 > text.chars().count() || text.contains('\0') {
        return Err(
            "The file is not text. Choose a CSV file; a spreadsheet can save one.".to_owned(),
        );
    }
    Ok((text.to_owned(), encoding.name()))
}

fn unmarked(bytes: &[u8]) -> &'static Encoding {
    // Every other byte of UTF-16 text in western letters is nought.
    let start = &bytes[..bytes.len().min(2000)];
    let noughts = |offset: usize| {
        start
            .iter()
            .skip(offset)
            .step_by(2)
            .filter(|b| **b == 0)
            .count()
    };
    if noughts(1) * 3 > start.len() {
        return UTF_16LE;
    }
    if noughts(0) * 3 > start.len() {
        return UTF_16BE;
    }
    match std::str::from_utf8(bytes) {
        Ok(_) => UTF_8,
        // Cut in the middle of the last letter, and good before it.
        Err(fault) if fault.error_len().is_none() => UTF_8,
        Err(_) => WINDOWS_1252,
    }
}

/// Takes off the sign that stands for half a letter at the end of a cut file.
fn cut_in_a_letter<'a>(text: &'a str, bytes: &[u8]) -> &'a str {
    let cut = std::str::from_utf8(bytes).is_err_and(|fault| fault.error_len().is_none());
    match text.strip_suffix('\u{fffd}') {
        Some(rest) if cut => rest,
        _ => text,
    }
}
