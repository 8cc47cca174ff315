//! Names: cleaned, compared, suggested, and shown to those who may see them.

use peglore::domain::names::text::{clean_line, clean_words};
use peglore::domain::names::{Name, NamesOpen, Reader, key, likely, plain_key, shown};
use proptest::prelude::*;

fn name(text: &str) -> Name {
    Name::read(text).expect("a name")
}

#[test]
fn one_cell_is_read_in_either_order() {
    for (text, given, surname) in [
        ("Jem Coppleway", "Jem", Some("Coppleway")),
        ("Coppleway, Jem", "Jem", Some("Coppleway")),
        ("J. Coppleway", "J.", Some("Coppleway")),
        ("  Jem   Coppleway ", "Jem", Some("Coppleway")),
        ("Una van Dapplemere", "Una", Some("van Dapplemere")),
        ("Mary Ann Tollgarth", "Mary Ann", Some("Tollgarth")),
        ("Jem", "Jem", None),
        ("Coppleway,", "Coppleway", None),
        ("O'Brien-Oxbarrow, Tam", "Tam", Some("O'Brien-Oxbarrow")),
        ("=1+1 Quernstone", "=1+1", Some("Quernstone")),
    ] {
        let read = name(text);
        assert_eq!((read.given(), read.surname()), (given, surname), "{text}");
    }
    for text in ["", "   ", "\u{200b}", "123 456", "a, b, c", "--", "👩‍👩‍👧‍👦"] {
        let refused = Name::read(text).expect_err(text);
        assert!(refused.ends_with('.'), "{refused}");
    }
}

#[test]
fn the_mark_of_a_junior_is_read_wherever_lists_have_it() {
    for text in [
        "Orla Stitch (J)",
        "Orla Stitch (j)",
        "Orla Stitch(J)",
        "Orla Stitch jnr",
        "Orla Stitch Jnr.",
        "Orla Stitch jun.",
        "Orla Stitch jun",
        "Orla Stitch Junior",
        "Orla Stitch, jnr",
        "Orla Stitch [jnr]",
        "Stitch, Orla (J)",
        "Stitch jnr, Orla",
        "Stitch, Orla, jnr",
    ] {
        let read = Name::read_marked(text).map(|(name, marked)| (name.full(), marked));
        assert_eq!(read, Ok(("Orla Stitch".to_owned(), true)), "{text}");
    }
    for text in [
        "Orla J",
        "Stitch, Jun",
        "Junior",
        "(J)",
        "Orla Stitch (bailiff)",
        "Orla Majunior",
    ] {
        let (_, marked) = Name::read_marked(text).expect("a name");
        assert!(!marked, "{text}");
    }
}

#[test]
fn a_first_name_spelt_much_alike_is_no_faint_likeness() {
    let faint = |a: &str, b: &str| {
        let found = likely(&name(a), &[name(b)]);
        found.iter().all(|one| one.likeness.is_faint())
    };
    for (a, b) in [
        ("Dylis Farrant", "Dilys Farrant"),
        ("Stephen Farrant", "Steven Farrant"),
        ("Catherine Farrant", "Katharine Farrant"),
    ] {
        assert!(!faint(a, b), "{a} and {b}");
    }
    for (a, b) in [
        ("Ivy Farrant", "Dot Farrant"),
        ("Tam Farrant", "Ned Farrant"),
    ] {
        assert!(faint(a, b), "{a} and {b}");
    }
}

#[test]
fn an_initial_with_a_surname_one_letter_off_is_a_doubt_to_ask() {
    let known = [name("Greta Culverstone"), name("Jim Hill")];
    let found = likely(&name("G. Culverston"), &known);
    let found: Vec<_> = found.iter().map(|one| (one.at, one.likeness)).collect();
    assert_eq!(found.len(), 1);
    let (at, why) = found[0];
    assert_eq!(at, 0);
    assert!(!why.is_certain() && !why.is_faint(), "asked, never taken");
    assert_eq!(
        why.reason(),
        "the initial agrees, and the surnames are one letter apart"
    );
    for other in [
        "P. Culverston",
        "G. Culversto",
        "Gordon Culverston",
        "J. Hall",
    ] {
        assert_eq!(likely(&name(other), &known), [], "{other}");
    }
}

#[test]
fn a_name_typed_in_pieces_and_one_typed_whole_are_the_same() {
    let (composed, apart) = (name("Zo\u{eb} Marrowgate"), name("Zoe\u{308} Marrowgate"));
    assert_eq!(composed, apart);
    assert_eq!(key("  ZOË   marrowgate."), composed.key());
    assert_ne!(
        key("Zoe Marrowgate"),
        composed.key(),
        "accents are kept apart"
    );
    assert_eq!(plain_key("Łukasz Ørnsted-Weiß"), "lukasz ornsted weiss");
}

#[test]
fn what_cannot_be_seen_is_taken_out_or_refused() {
    assert_eq!(
        clean_line("Jem\u{200b} \u{feff}Coppleway", "the name", 60),
        Ok("Jem Coppleway".to_owned())
    );
    assert_eq!(
        clean_line("\t Jem\tCoppleway ", "the name", 60),
        Ok("Jem Coppleway".to_owned())
    );
    assert_eq!(
        clean_line("Jem\u{a0}Coppleway", "the name", 60),
        Ok("Jem Coppleway".to_owned())
    );
    for (text, says) in [
        ("Jem\r\nCoppleway", "one line"),
        ("Jem\u{2028}Coppleway", "one line"),
        ("Jem \u{202e}yawelppoC", "turns the writing round"),
        ("Jem\0Coppleway", "control character"),
        ("Jem\u{7}", "control character"),
        (&format!("Z{}", "\u{301}".repeat(200)), "accents"),
        (&"x".repeat(61), "Shorten"),
        (&"x".repeat(1_000_000), "Shorten"),
    ] {
        let refused = clean_line(text, "the name", 60).expect_err(says);
        assert!(refused.contains(says), "{refused}");
        assert!(refused.len() < 200);
    }
    assert_eq!(
        clean_words("Quiet.\r\nTwo lost  \r\n\r\n", "the remarks", 100),
        Ok("Quiet.\nTwo lost".to_owned())
    );
    assert_eq!(
        clean_words("👩‍👩‍👧‍👦 came along", "the remarks", 100),
        Ok("👩‍👩‍👧‍👦 came along".to_owned())
    );
    assert_eq!(
        clean_words("<script>{{7*7}}%00", "the remarks", 100),
        Ok("<script>{{7*7}}%00".to_owned())
    );
}

#[test]
fn a_doubtful_name_is_suggested_with_its_reason_and_never_taken() {
    let known = [
        "Jem Coppleway",
        "Joan Coppleway",
        "Dot Hazelpatch",
        "Zoë Marrowgate",
        "William Sallowby",
        "Tam Oxbarrow",
        "Moss",
    ]
    .map(name);
    let answers = |text: &str| -> Vec<(String, &'static str)> {
        likely(&name(text), &known)
            .into_iter()
            .map(|l| (known[l.at].full(), l.likeness.reason()))
            .collect()
    };
    let one = |full: &str, why: &'static str| vec![(full.to_owned(), why)];

    assert_eq!(
        answers("jem coppleway"),
        one("Jem Coppleway", "the same name")
    );
    assert_eq!(
        answers("Coppleway, Jem"),
        one("Jem Coppleway", "the same name")
    );
    assert_eq!(
        answers("J. Coppleway"),
        [
            (
                "Jem Coppleway".to_owned(),
                "the same surname, and the initial agrees"
            ),
            (
                "Joan Coppleway".to_owned(),
                "the same surname, and the initial agrees"
            ),
        ]
    );
    assert_eq!(
        answers("Coppleway Jem"),
        one(
            "Jem Coppleway",
            "the same with first name and surname the other way round"
        )
    );
    assert_eq!(
        answers("Hazelpatch D"),
        one("Dot Hazelpatch", "the same surname, and the initial agrees")
    );
    assert_eq!(answers("Hazelpatch J"), [], "another initial");
    assert_eq!(
        answers("Zoe Marrowgate"),
        one("Zoë Marrowgate", "the same but for accents")
    );
    assert_eq!(
        answers("Bill Sallowby"),
        one(
            "William Sallowby",
            "the same surname, and one first name is short for the other"
        )
    );
    assert_eq!(
        answers("Tam Oxbarow"),
        one("Tam Oxbarrow", "one letter apart")
    );
    assert_eq!(
        answers("Tam Oxburow"),
        [],
        "two letters apart is somebody else"
    );
    assert_eq!(
        answers("Dot Hazlepatch"),
        one("Dot Hazelpatch", "one letter apart")
    );
    assert_eq!(
        answers("Moss Pellandine"),
        one("Moss", "the first name agrees; one has no surname")
    );
    assert_eq!(
        answers("Ivy Hazelpatch"),
        one("Dot Hazelpatch", "the same surname, another first name")
    );
    assert_eq!(answers("Ned Furrowby"), []);
    let certain = likely(&name("J. Coppleway"), &known)
        .iter()
        .any(|l| l.likeness.is_certain());
    assert!(!certain);
}

#[test]
fn a_name_written_in_part_may_be_anybody_whom_the_part_fits() {
    let known = [
        "Dot Hazelpatch",
        "Perry Hazelpatch",
        "Olly Underhythe",
        "Una van Dapplemere",
        "Tollgarth",
    ]
    .map(name);
    let answers = |text: &str| -> Vec<String> {
        let likely = likely(&name(text), &known).into_iter();
        likely
            .filter(|one| !one.likeness.is_certain() && !one.likeness.is_faint())
            .map(|one| known[one.at].full())
            .collect()
    };
    assert_eq!(
        answers("hazelpatch"),
        ["Dot Hazelpatch", "Perry Hazelpatch"]
    );
    assert_eq!(answers("Perry"), ["Perry Hazelpatch"]);
    assert_eq!(answers("Dapplemere"), ["Una van Dapplemere"]);
    assert_eq!(answers("Mary Tollgarth"), ["Tollgarth"]);
    assert_eq!(answers("Olly U."), ["Olly Underhythe"]);
    assert!(answers("Olly T.").is_empty());
    assert!(answers("Hazel").is_empty(), "part of a word is another");
}

#[test]
fn a_whole_name_in_the_box_for_first_names_is_shortened_for_a_junior_too() {
    let olly = Name::from_label("Olly James Thornwick".to_owned(), None);
    assert_eq!(olly.given_and_initial(), "Olly T.");
    let pip = Name::from_label("Pip".to_owned(), None);
    assert_eq!(pip.given_and_initial(), "Pip");
}

#[test]
fn each_reader_sees_the_form_of_a_name_that_is_theirs() {
    let olly = name("Olly Thornwick");
    let see = |junior, reader, open| shown(Some(&olly), junior, reader, open, Some("22"));
    for open in NamesOpen::ALL {
        assert_eq!(see(false, Reader::Officer, open), "Olly Thornwick");
        assert_eq!(see(true, Reader::Officer, open), "Olly Thornwick");
        assert_eq!(see(false, Reader::Member, open), "Olly Thornwick");
        assert_eq!(see(true, Reader::Member, open), "Olly T.");
        assert_eq!(NamesOpen::parse(open.as_str()), Some(open));
    }
    assert_eq!(
        see(false, Reader::Visitor, NamesOpen::InitialAndSurname),
        "O. Thornwick"
    );
    assert_eq!(
        see(true, Reader::Visitor, NamesOpen::InitialAndSurname),
        "Olly T."
    );
    assert_eq!(
        see(false, Reader::Visitor, NamesOpen::Full),
        "Olly Thornwick"
    );
    assert_eq!(see(true, Reader::Visitor, NamesOpen::Full), "Olly T.");
    assert_eq!(
        see(false, Reader::Visitor, NamesOpen::MembersOnly),
        "Peg 22"
    );
    assert_eq!(see(true, Reader::Visitor, NamesOpen::MembersOnly), "Peg 22");
    assert_eq!(
        shown(None, false, Reader::Visitor, NamesOpen::Full, None),
        "Former member"
    );
    assert_eq!(name("e\u{301}mile Zed").initial_and_surname(), "É. Zed");
}

proptest! {
    #[test]
    fn a_cleaned_line_is_clean_already(text in ".{0,80}") {
        if let Ok(once) = clean_line(&text, "the text", 80) {
            prop_assert_eq!(clean_line(&once, "the text", 80), Ok(once.clone()));
            let unwanted = once.contains(['\r', '\n', '\0', '\u{202e}', '\u{200b}']);
            prop_assert!(!unwanted);
        }
    }

    #[test]
    fn a_name_is_always_most_like_itself(given in "[A-Za-zÀ-ž]{1,12}", surname in "[A-Za-zÀ-ž]{2,12}") {
        let own = Name::new(&given, &surname).expect("letters");
        let found = likely(&own, std::slice::from_ref(&own));
        prop_assert!(found.len() == 1 && found[0].likeness.is_certain());
        prop_assert_eq!(Name::read(&own.sorted()).map(|n| n.key()), Ok(own.key()));
    }
}
