//! Which passwords are refused.
//!
//! What ought to be is NIST SP 800-63B, section 5.1.1.2 (common and expected passwords, dictionary
//! words, repetitive or sequential characters, words of the place itself). The lists below are our
//! own; which passwords lead every published count of leaked ones is from memory.

use std::collections::BTreeSet;

use peglore::domain::passwords::judge;

/// Words people take, one from each corner of what is dear to them.
const WORDS: &str = "
password welcome letmein iloveyou sunshine princess dragon monkey football cricket fishing carp trout
summer winter autumn monday friday january november charlie michael jessica daniel hannah sophie tiger
lion eagle shark dolphin butterfly flower cherry orange banana chocolate cookie coffee butter cheese
guitar piano music dancer london england scotland ireland family mother father brother sister baby angel
heaven forever freedom secret master admin computer internet shadow killer hunter ninja pirate warrior
purple yellow silver golden diamond crystal money lucky winner magic wizard thunder storm rainbow river
ocean island mountain forest garden apple lemon peach pepper ginger cookie biscuit tractor engine rocket
galaxy planet soldier doctor teacher student school angler tackle float barbel tench bream perch roach
";

const AFTER: &str = "
1 2 7 11 12 13 21 22 23 69 77 88 99 00 01 007 111 123 321 666 777 1234 4321 12345 123456 ! !! 1! 123! @1 #1 *
1950 1960 1966 1970 1975 1980 1984 1988 1990 1995 1999 2000 2001 2010 2012 2016 2020 2021 2022 2023 2024 2025 2026
";

fn is_refused_as_common(password: &str) -> bool {
    judge(password, "Jem", "Nethermoor Angling Club")
        .is_err_and(|sentence| sentence.contains("tried first"))
}

#[test]
fn more_than_three_thousand_common_passwords_are_refused() {
    let mut list = BTreeSet::new();
    for word in WORDS.split_whitespace() {
        let capital = word[..1].to_uppercase() + &word[1..];
        let leet = word.replace('a', "@").replace('o', "0").replace('e', "3");
        list.extend([word.repeat(2), word.chars().rev().collect()]);
        for after in AFTER.split_whitespace() {
            list.extend([word, &capital, &leet].map(|one| format!("{one}{after}")));
        }
    }
    list.retain(|password| password.chars().count() >= 8);
    assert!(list.len() >= 3_000, "{} in the list", list.len());

    let missed: Vec<_> = list
        .iter()
        .filter(|one| !is_refused_as_common(one))
        .collect();
    assert!(
        missed.is_empty(),
        "{} were accepted: {missed:?}",
        missed.len()
    );
}

#[test]
fn what_leads_every_count_of_leaked_passwords_is_refused() {
    for password in [
        "12345678",
        "123456789",
        "1234567890",
        "87654321",
        "11111111",
        "00000000",
        "88888888",
        "12341234",
        "123123123",
        "12121212",
        "abcd1234",
        "abc12345",
        "1234abcd",
        "qwertyui",
        "qwertyuiop",
        "qwerty123",
        "qwerty12",
        "1q2w3e4r",
        "1qaz2wsx",
        "q1w2e3r4",
        "qazwsxedc",
        "zaq12wsx",
        "asdfghjkl",
        "asdf1234",
        "zxcvbnm1",
        "qwer1234",
        "1q2w3e4r5t",
        "147258369",
        "password",
        "password1",
        "password123",
        "Password1",
        "passw0rd",
        "p@ssw0rd",
        "P@$$w0rd1",
        "passwordpassword",
        "drowssap",
        "iloveyou",
        "iloveyou1",
        "sunshine",
        "princess",
        "football1",
        "baseball",
        "welcome1",
        "letmein1",
        "trustno1",
        "whatever",
        "computer",
        "michelle",
        "jennifer",
        "butterfly",
        "aaaaaaaa",
        "abababab",
        "31121999",
        "12/25/1990",
        "1990-12-25",
        "fishing2024",
        "carpcarp",
        "Carp12345!",
    ] {
        assert!(is_refused_as_common(password), "{password} was accepted");
    }
}

#[test]
fn the_sign_in_name_and_the_clubs_name_are_refused_however_they_are_dressed_up() {
    let judged = |password: &str| judge(password, "Dot Hazelpatch", "Nethermoor Angling Club");
    for password in [
        "dot hazelpatch",
        "DotHazelpatch",
        "dothazelpatch1",
        "!DotHazelpatch2026",
    ] {
        let sentence = judged(password).expect_err(password);
        assert!(sentence.contains("sign-in name"), "{sentence}");
    }
    for password in [
        "Nethermoor Angling Club",
        "nethermooranglingclub",
        "NethermoorAnglingClub99!",
    ] {
        let sentence = judged(password).expect_err(password);
        assert!(sentence.contains("club’s name"), "{sentence}");
    }
}

#[test]
fn anything_else_of_eight_characters_will_do() {
    for password in [
        "wet bank cold hands",
        "kettle lantern plum",
        "x7!kQ2#v",
        "fish83920175",
        "čtyři žluté labutě",
        "ひらがな八文字以上",
        "🐟🎣🐟🎣🌧️🐸🦆🍞",
        "sedgelanternteaspoon",
        "qwe rests on a log",
        "ninety-two herons",
        "my 3 old rods and 1 reel",
    ] {
        assert_eq!(
            judge(password, "Jem", "Nethermoor Angling Club"),
            Ok(()),
            "{password}"
        );
    }
    assert!(judge(&"plum kettle ".repeat(10), "Jem", "Club").is_ok());
    assert!(judge("short 7", "Jem", "Club").is_err());
    assert!(judge(&"plum kettle ".repeat(22), "Jem", "Club").is_err());
}
