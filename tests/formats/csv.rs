//! Any CSV as a sheet, and lists of ours out and back (B10; hostile files of promises 7.4).

use peglore::formats::csv::{Heading, Sheet, Writer, read};
use proptest::prelude::*;

fn sheet(bytes: &[u8]) -> Sheet {
    read(bytes, Heading::Guess).expect("a readable sheet")
}

fn cells(sheet: &Sheet) -> Vec<Vec<&str>> {
    sheet
        .rows
        .iter()
        .map(|row| row.cells.iter().map(String::as_str).collect())
        .collect()
}

fn utf16(text: &str, big: bool, marked: bool) -> Vec<u8> {
    let units = marked
        .then_some(0xfeff)
        .into_iter()
        .chain(text.encode_utf16());
    units
        .flat_map(|unit: u16| {
            if big {
                unit.to_be_bytes()
            } else {
                unit.to_le_bytes()
            }
        })
        .collect()
}

/// RFC 4180, section 2: `a,"b""c","d CRLF e"` is three fields, the last of two lines.
#[test]
fn quotes_doubled_quotes_and_line_ends_inside_a_cell_are_read_as_rfc_4180_says() {
    let read = sheet(b"one,two,three\r\na,\"b\"\"c\",\"d\r\ne\"\r\n");
    assert_eq!(read.header, ["one", "two", "three"]);
    assert_eq!(cells(&read), [["a", "b\"c", "d\r\ne"]]);
    assert_eq!(read.rows[0].line, 2);
}

#[test]
fn every_usual_encoding_gives_the_same_sheet() {
    let text = "Angler,Peg\r\nZoë Marrowgate,14\r\nŁukasz,3\r\n";
    let marked = [b"\xef\xbb\xbf".as_slice(), text.as_bytes()].concat();
    for (bytes, encoding) in [
        (text.as_bytes().to_vec(), "UTF-8"),
        (marked, "UTF-8"),
        (utf16(text, false, true), "UTF-16LE"),
        (utf16(text, true, true), "UTF-16BE"),
        (utf16(text, false, false), "UTF-16LE"),
        (utf16(text, true, false), "UTF-16BE"),
    ] {
        let read = sheet(&bytes);
        assert_eq!(read.encoding, encoding);
        assert_eq!(read.header, ["Angler", "Peg"], "{encoding}");
        assert_eq!(
            cells(&read),
            [["Zoë Marrowgate", "14"], ["Łukasz", "3"]],
            "{encoding}"
        );
    }
    let old = sheet(b"Angler;Note\r\nZo\xeb Marrowgate;\x96 late, \x80 5\r\n");
    assert_eq!(old.encoding, "windows-1252");
    assert_eq!(cells(&old), [["Zoë Marrowgate", "– late, € 5"]]);
}

#[test]
fn commas_semicolons_and_tabs_are_told_apart() {
    for (text, sign) in [
        ("a,b,c\n1,2,3\n", ','),
        ("a;b;c\n1,5;2,5;3\n4,5;2;1\n", ';'),
        ("a\tb\n1,5\t2\n", '\t'),
        ("sep=;\na;b\n1;2\n", ';'),
        ("name\nJem\nDot\n", ','),
    ] {
        assert_eq!(sheet(text.as_bytes()).delimiter, sign, "{text}");
    }
    assert_eq!(cells(&sheet(b"a;b;c\n1,5;2,5;3\n")), [["1,5", "2,5", "3"]]);
}

#[test]
fn titles_above_the_heading_are_kept_apart() {
    let read = sheet(b"Frost Cup 2019,,\n,,\nDate,Angler,Weight\n2019-01-05,Jem,12-8\n");
    assert_eq!(read.titles, ["Frost Cup 2019"]);
    assert_eq!(read.header, ["Date", "Angler", "Weight"]);
    assert_eq!(read.rows[0].line, 4);
}

#[test]
fn a_heading_that_is_missing_or_twice_is_mended_and_told() {
    let twice = sheet(b"Angler,Net,Net,\nJem,1-0,2-0,x\nDot,1-0,2-0,y\n");
    assert_eq!(twice.header, ["Angler", "Net", "Net (2)", "Column 4"]);
    assert_eq!(twice.notes.len(), 2, "{:?}", twice.notes);

    let none = sheet(b"2019-01-05,Jem,12-8\n2019-01-05,Dot,3-4\n");
    assert_eq!(none.header, ["Column 1", "Column 2", "Column 3"]);
    assert_eq!(none.rows.len(), 2);
    assert!(none.notes[0].contains("no heading"));

    let told = read(b"2019,2020\n1,2\n", Heading::Present).expect("told so");
    assert_eq!(told.header, ["2019", "2020"]);
}

#[test]
fn a_row_of_another_width_is_a_problem_of_that_row_alone() {
    let read = sheet(b"a,b\n1,2\n1,2,3\n4\n5,6,,\n");
    let problems: Vec<_> = read.rows.iter().map(|row| row.problem.is_some()).collect();
    assert_eq!(problems, [false, true, false, false]);
    assert!(
        read.rows[1]
            .problem
            .as_ref()
            .is_some_and(|p| p.contains("3 cells and the heading 2"))
    );
    assert_eq!(read.rows[2].cells, ["4", ""]);
}

#[test]
fn a_file_cut_half_way_says_so_at_its_last_row() {
    let cut = sheet("Date,Angler,Weight\n2019-01-05,Jem,12-8\n2019-01-05,Zo".as_bytes());
    assert!(cut.rows[0].problem.is_none());
    assert!(
        cut.rows[1]
            .problem
            .as_ref()
            .is_some_and(|p| p.contains("ends in the middle"))
    );

    let mut bytes = "Angler,Peg,Weight\nJem,14,1-0\nZoë".as_bytes().to_vec();
    bytes.pop();
    let half_a_letter = sheet(&bytes);
    assert_eq!(half_a_letter.encoding, "UTF-8");
    assert_eq!(half_a_letter.rows[1].cell(0), "Zo");

    let whole = sheet(b"Angler,Peg\nJem,14");
    assert!(
        whole.rows[0].problem.is_none(),
        "a missing last line end is no cut"
    );
}

#[test]
fn what_is_no_sheet_is_refused_in_one_sentence() {
    let many = format!("a,b\n{}", "1,2\n".repeat(100_001));
    let wide = format!("{}\n", "a,".repeat(300));
    let long = format!("a,b\n{},2\n", "x".repeat(10_001));
    for (bytes, says) in [
        (b"".as_slice(), "empty"),
        (b" \r\n\t\n", "empty"),
        (b"\xef\xbb\xbf", "not text|no rows|empty"),
        (b",,,\n,,\n", "no rows"),
        (
            b"PK\x03\x04\x14\x00\x06\x00",
            "a spreadsheet or a zip archive",
        ),
        (b"\xd0\xcf\x11\xe0\xa1\xb1", "an old spreadsheet"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "a picture"),
        (b"%PDF-1.7", "a PDF"),
        (b"\x1f\x8b\x08\x00", "compressed"),
        (b"a,b\n\0\x01\x02\x03,\x04\n", "not text"),
        (b"a,b\n1,\"never closed\n2,3\n4,5\n", "not closed"),
        (many.as_bytes(), "more than 100000 rows"),
        (wide.as_bytes(), "more than 200 cells"),
        (long.as_bytes(), "longer than"),
    ] {
        let refused = read(bytes, Heading::Guess).expect_err(says);
        assert!(
            says.split('|').any(|part| refused.contains(part)),
            "{says}: {refused}"
        );
        assert!(refused.ends_with('.') && refused.len() < 250, "{refused}");
    }
    assert!(
        read(
            format!("a,b\n{}", "1,2\n".repeat(100_000)).as_bytes(),
            Heading::Guess
        )
        .is_ok()
    );
}

#[test]
fn a_cell_that_a_spreadsheet_would_run_is_neutralised_and_comes_back_the_same() {
    let mut to = Writer::new(Vec::new(), &["name", "number"]).expect("memory");
    let names = [
        "=1+1", "+44", "-x", "@cmd", "\ttab", "\rcr", "O'Brien", "Łukasz", "'=quoted", "''-2x", "",
        "a\"b", "l1\r\nl2", " =1",
    ];
    for name in names {
        to.row([name, "-2.5"]).expect("memory");
    }
    let bytes = to.finish().expect("memory");
    let text = String::from_utf8(bytes.clone()).expect("ours");

    for bad in ["\n=1", "\n+44", "\n-x", "\n@cmd", "\n\ttab", "\"\rcr"] {
        assert!(!text.contains(bad), "{bad:?} in {text}");
    }
    assert!(
        text.starts_with("\u{feff}name,number\r\n'=1+1,-2.5\r\n"),
        "{text}"
    );
    let back = sheet(&bytes);
    let read: Vec<_> = back.cells(0).collect();
    assert_eq!(read, names);
    assert!(
        back.cells(1).all(|cell| cell == "-2.5"),
        "numbers are untouched"
    );
}

#[test]
fn a_list_written_in_pieces_is_the_list_written_whole() {
    let rows = [["=1+1", "12"], ["Reed, \"Bowl\"", "-"], ["", "\u{ff1d}2"]];
    let mut whole = Writer::new(Vec::new(), &["name", "number"]).expect("memory");
    let begun = Writer::new(Vec::new(), &["name", "number"]).expect("memory");
    let mut joined = begun.finish().expect("memory");
    for row in rows {
        whole.row(row).expect("two cells");
        let mut piece = Writer::further(Vec::new(), 2);
        piece.row(row).expect("two cells");
        joined.extend(piece.finish().expect("memory"));
    }

    assert_eq!(joined, whole.finish().expect("memory"));
    let mut piece = Writer::further(Vec::new(), 2);
    assert!(piece.row(["one"]).is_err());
}

#[test]
fn lines_are_numbered_as_an_editor_shows_them() {
    for text in [
        "a,b\n\n1,\"x\ny\"\n2,z\n",
        "a,b\r\n\r\n1,\"x\r\ny\"\r\n2,z\r\n",
        "a,b\r\r1,\"x\ry\"\r2,z\r",
    ] {
        let lines: Vec<_> = sheet(text.as_bytes())
            .rows
            .iter()
            .map(|row| row.line)
            .collect();
        assert_eq!(lines, [3, 5], "{text:?}");
    }
    assert_eq!(sheet(b"sep=;\na;b\n1;2\n").rows[0].line, 3);
}

#[test]
fn a_foreign_cell_that_begins_like_a_formula_is_read_literally() {
    let read = sheet(b"name,weight\n=1+1,-\n@home,+5\n");
    assert_eq!(cells(&read), [["=1+1", "-"], ["@home", "+5"]]);
}

#[test]
fn a_row_of_the_wrong_width_is_never_written() {
    let mut to = Writer::new(Vec::new(), &["a", "b"]).expect("memory");
    assert!(to.row(["1"]).is_err());
}

proptest! {
    #[test]
    fn whatever_is_written_reads_back_equal(rows in prop::collection::vec(("[^\\p{Cc}]{0,12}", "[=+@\t\r\n '\"a,;-]{0,6}"), 1..12)) {
        let mut to = Writer::new(Vec::new(), &["key", "one", "two"]).expect("memory");
        for (one, two) in &rows {
            to.row(["k", one.as_str(), two.as_str()]).expect("memory");
        }
        let bytes = to.finish().expect("memory");
        let back = read(&bytes, Heading::Present).map_err(TestCaseError::fail)?;
        let read: Vec<_> = back.rows.iter().map(|row| (row.cell(1).to_owned(), row.cell(2).to_owned())).collect();
        prop_assert_eq!(read, rows);
    }

    #[test]
    fn any_bytes_are_a_sheet_or_a_sentence(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        if let Ok(sheet) = read(&bytes, Heading::Guess) {
            prop_assert!(sheet.rows.iter().all(|row| row.cells.len() == sheet.header.len()));
        }
    }
}
