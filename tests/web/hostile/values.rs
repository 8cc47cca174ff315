//! What people, phones and strangers send where a plain word or number was meant.

/// Text typed into a field.
pub fn typed() -> Vec<String> {
    let mut all: Vec<String> = [
        // Nothing, or nothing to be seen.
        "",
        "   ",
        "\u{200b}\u{200b}\u{feff}",
        "\t",
        // Odd characters.
        "a\u{0}b",
        "\u{feff}Dot",
        "two\r\nlines",
        "\u{202e}gniteprah",
        "\u{1f468}\u{200d}\u{1f469}\u{200d}\u{1f467}",
        "Zoe\u{308} \u{e9}\u{301}",
        "Łukasz O'Brien",
        "\u{fffd}\u{fffe}\u{10ffff}",
        // Written for another reader.
        "<script>alert(1)</script>",
        "\"><img src=x onerror=alert(1)>",
        "{{7*7}}",
        "%00",
        "../../etc/passwd",
        "' OR 1=1--",
        "javascript:alert(1)",
        "[a link](javascript:alert(1))",
        "=1+1",
        "+1",
        "@SUM(A1)",
        "-1",
        // Numbers.
        "-0",
        "0",
        "1e9",
        "1e400",
        "NaN",
        "inf",
        "0x10",
        "\u{664}",
        "4,5",
        "1.234,5",
        "17 oz",
        "8 lb 17 oz",
        "999999",
        "9223372036854775807",
        "9223372036854775808",
        "-9223372036854775809",
        "12-8",
        "12.8",
        // Dates and times.
        "29 Feb",
        "2026-02-29",
        "31/04",
        "01/02/03",
        "0001-01-01",
        "9999-12-31",
        "10000-01-01",
        "-0001-01-01",
        "2026-03-29",
        "2026-10-25",
        "2099-01-01",
        "01:30",
        "24:00",
        "25:61",
        // Ranges and lists.
        "1-999999999",
        "1–24, 26–40",
        "9-1",
        ",,,,",
        "1–4000000000, 2",
    ]
    .map(str::to_owned)
    .to_vec();
    all.push("9".repeat(400));
    all.push(format!("0.{}", "3".repeat(400)));
    all.push("x".repeat(5_000));
    all.push("word ".repeat(20_000));
    all.push(format!("a{}", "\u{301}".repeat(200)));
    all
}

/// Those that must come back as they are when they are refused: nothing in them is invisible.
pub fn comes_back(value: &str) -> bool {
    !value.is_empty()
        && value.len() < 1_000
        && value.trim() == value
        && value
            .chars()
            .all(|c| !c.is_control() && !('\u{200b}'..='\u{202e}').contains(&c) && c != '\u{feff}')
}

/// Whole bodies that no page of ours sends.
pub fn bodies() -> Vec<(&'static str, Vec<u8>)> {
    vec![
        ("nothing", Vec::new()),
        ("ten thousand fields", "a=1&".repeat(10_000).into_bytes()),
        (
            "five thousand of one name",
            "name=1&".repeat(4_999).into_bytes(),
        ),
        (
            "a megabyte",
            [b"name=".to_vec(), vec![b'x'; 1 << 20]].concat(),
        ),
        ("no UTF-8", b"name=%ff%fe%80&remarks=\xff\xfe".to_vec()),
        (
            "half a surrogate pair",
            b"name=%ED%A0%80&date=%ED%A0%80".to_vec(),
        ),
        ("broken percent signs", b"name=%&date=%4&peg=%zz%".to_vec()),
        ("only signs", b"&&&===&=&%00=%00".to_vec()),
        (
            "a name of 200 KiB",
            [vec![b'n'; 200 * 1024], b"=1".to_vec()].concat(),
        ),
        ("JSON", br#"{"name": ["x", null, 1e999]}"#.to_vec()),
    ]
}

/// Something in an address where the page of a thing was meant.
pub const IDS: [&str; 14] = [
    "0",
    "-1",
    "1e3",
    "999999999",
    "9223372036854775807",
    "9223372036854775808",
    "99999999999999999999999999",
    "00000000000000000000000000",
    "%00",
    "%ff",
    "..%2f..%2fetc%2fpasswd",
    "'%20OR%201=1--",
    "%D9%A4",
    "%F0%9F%90%9F",
];

/// Files that somebody might choose: their name, and what is in them.
pub fn files() -> Vec<(String, Vec<u8>)> {
    let sheet = "Date,Min,Max,Rain,Name,Peg,Weight\n2025-01-04,1.5,6,0.2,Dot Hazelpatch,4,12-8\n2025-01-05,2,7,0,Jem Coppleway,5,3-0\n";
    let utf16: Vec<u8> = [0xff, 0xfe]
        .into_iter()
        .chain(sheet.encode_utf16().flat_map(u16::to_le_bytes))
        .collect();
    let long: String = (0..100_001).map(|_| "2025-01-04,1,2\n").collect();
    let named = |name: &str, bytes: &[u8]| (name.to_owned(), bytes.to_vec());
    vec![
        named("empty.csv", b""),
        named("picture.png", b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\x01"),
        named(
            "picture.csv",
            &[0xff, 0xd8, 0xff, 0xe0, 0, 16, b'J', b'F', b'I', b'F'],
        ),
        named(
            "book.xlsx",
            b"PK\x03\x04\x14\0\x06\0\x08\0\0\0!\0[Content_Types].xml",
        ),
        named(
            "archive.zip",
            b"PK\x05\x06\0\0\0\0\0\0\0\0\0\0\0\0\0\0\0\0\0\0",
        ),
        named("../../etc/passwd", sheet.as_bytes()),
        named("a\"; filename=b\r\n.csv", sheet.as_bytes()),
        named("", sheet.as_bytes()),
        named("cut.csv", &sheet.as_bytes()[..70]),
        named("utf-16.csv", &utf16),
        named("windows.csv", b"Date;Name\n2025-01-04;Zo\xeb\n"),
        named("tabs.csv", sheet.replace(',', "\t").as_bytes()),
        named("semicolons.csv", sheet.replace(',', ";").as_bytes()),
        named(
            "no-header.csv",
            sheet.split_once('\n').map_or("", |s| s.1).as_bytes(),
        ),
        named(
            "twice.csv",
            b"Date,Date,Name,Name\n2025-01-04,2025-01-05,A,B\n",
        ),
        named(
            "extra.csv",
            b"Date,Name\n2025-01-04,A,B,C,D,E\n2025-01-05\n",
        ),
        named("formulas.csv", b"Date,Name\n=1+1,+A\n@b,-c\n\t1,\r2\n"),
        named(
            "quotes.csv",
            b"Date,Name\n\"2025-01-04\",\"A \"\"long\"\"\nname\"\n\"open",
        ),
        named("header-only.csv", b"Date,Min,Max\n"),
        named("nul.csv", b"Date,Name\n2025\0-01-04,A\0\n"),
        named(
            "numbers.csv",
            b"Date,Min,Rain\n2025-02-29,NaN,-1\n0001-01-01,1e400,0x10\n9999-12-31,--,1.234,5\n",
        ),
        named("long.csv", long.as_bytes()),
        named("wide.csv", "a,".repeat(20_000).as_bytes()),
        named("same-twice.csv", sheet.as_bytes()),
        named("same-twice.csv", sheet.as_bytes()),
    ]
}
