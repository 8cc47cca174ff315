//! Pegs as an officer types them; neighbours and closures.

use peglore::domain::ids::{BankId, PegId};
use peglore::domain::pegs::{
    Closure, Peg, bare_number, by_number, neighbours, peg_words, read_peg_list, walk,
};
use proptest::prelude::*;

use crate::support::days::day;

fn peg(id: i64, bank: i64, number: &str, walk_order: i64) -> Peg {
    Peg {
        id: PegId(id),
        bank: BankId(bank),
        number: number.to_owned(),
        walk_order,
        end_peg: false,
        accessible: false,
        at: None,
        valid_from: day("1990-01-01"),
        valid_to: None,
        closures: Vec::new(),
    }
}

#[test]
fn ranges_are_read_however_they_are_written() {
    let list = |text: &str| read_peg_list(text).map(|list| list.numbers.join(" "));
    for (text, want) in [
        ("1–4", "1 2 3 4"),
        ("1-4", "1 2 3 4"),
        ("1 - 4", "1 2 3 4"),
        ("1 to 4", "1 2 3 4"),
        ("1—2; 4—5", "1 2 4 5"),
        ("1-2,4\n6", "1 2 4 6"),
        ("A1–A3", "A1 A2 A3"),
        ("a1-3", "A1 A2 A3"),
        ("4-1", "4 3 2 1"),
        ("12, 12A, 13", "12 12A 13"),
        ("007", "7"),
        (" 5 , ", "5"),
        ("Peg 5, pegs 7-8", "5 7 8"),
    ] {
        assert_eq!(list(text), Ok(want.to_owned()), "{text}");
    }
}

#[test]
fn pegs_are_named_as_a_sentence_has_them() {
    for (numbers, words) in [
        ("", "no pegs"),
        ("9", "peg 9"),
        ("12 13 14", "pegs 12 to 14"),
        ("12 13 14 99", "pegs 12 to 14 and 99"),
        ("1 3 A1", "pegs 1, 3 and A1"),
    ] {
        assert_eq!(peg_words(numbers.split_whitespace()), words);
    }
    for (typed, number) in [("Peg 9", "9"), (" peg  12A ", "12A"), ("9", "9"), ("", "")] {
        assert_eq!(bare_number(typed), number, "{typed}");
    }
}

#[test]
fn forty_pegs_with_one_left_out_say_so() {
    let list = read_peg_list("1–24, 26–40").expect("the issue's own example");
    assert_eq!(list.numbers.len(), 39);
    assert_eq!(list.left_out, ["25"]);
    assert_eq!(list.echo(), "39 pegs, 1 to 40. 25 is left out.");
    let two = read_peg_list("A1-A2, A5, B1-B3").expect("two letters");
    assert_eq!(two.echo(), "6 pegs, A1 to B3. A3 and A4 are left out.");
}

#[test]
fn what_cannot_be_a_list_of_pegs_says_what_to_mend() {
    for (text, says) in [
        ("", "Name the pegs"),
        (" , ; ", "Name the pegs"),
        ("1-5, 4-8", "Pegs 4, 5 are named twice"),
        ("3, 3", "Peg 3 is named twice"),
        ("0-5", "Pegs are numbered from 1"),
        ("1-999999", "is not a peg"),
        ("1-9999", "more than 500 pegs"),
        ("1-400, A1-A400", "more than 500 pegs"),
        ("A1-B6", "same letter"),
        ("1-12A", "on its own"),
        ("A-F", "is not a peg"),
        ("1-2-3", "is not a peg"),
        ("-1", "is not a peg"),
        ("٤", "is not a peg"),
        ("1e9", "is not a peg"),
        ("<script>", "is not a peg"),
        ("1.5", "is not a peg"),
        (&"1,".repeat(100_000), "too long"),
    ] {
        let problems = read_peg_list(text).expect_err(text);
        assert!(
            problems.iter().any(|p| p.contains(says)),
            "{text}: {problems:?}"
        );
        assert!(
            problems.iter().all(|p| p.ends_with('.') && p.len() < 300),
            "{problems:?}"
        );
    }
    let both = read_peg_list("x, 2, y").expect_err("two bad parts");
    assert_eq!(both.len(), 2, "every part is named, not the first alone");
}

#[test]
fn neighbours_stand_on_the_same_bank_and_existed_that_day() {
    let mut pegs = vec![
        peg(4, 2, "30", 1),
        peg(3, 1, "3", 3),
        peg(1, 1, "1", 1),
        peg(2, 1, "2", 2),
    ];
    pegs[3].valid_to = Some(day("2024-12-31"));
    walk(&mut pegs, &[BankId(1), BankId(2)]);
    let order: Vec<_> = pegs.iter().map(|p| p.id.0).collect();
    assert_eq!(order, [1, 2, 3, 4]);

    let beside = |id, on: &str| {
        let (before, after) = neighbours(&pegs, PegId(id), day(on));
        (before.map(|p| p.id.0), after.map(|p| p.id.0))
    };
    assert_eq!(beside(2, "2024-06-01"), (Some(1), Some(3)));
    assert_eq!(beside(3, "2024-06-01"), (Some(2), None));
    assert_eq!(beside(3, "2025-06-01"), (Some(1), None));
    assert_eq!(beside(99, "2025-06-01"), (None, None));
}

#[test]
fn a_closure_holds_on_both_its_ends_and_names_its_reason() {
    let mut closed = peg(1, 1, "17", 1);
    closed.closures.push(Closure {
        from: day("2025-11-02"),
        to: Some(day("2025-11-09")),
        reason: "bank works".to_owned(),
    });
    let open =
        ["2025-11-01", "2025-11-02", "2025-11-09", "2025-11-10"].map(|d| closed.open_on(day(d)));
    assert_eq!(open, [true, false, false, true]);
    assert_eq!(
        closed
            .closed_on(day("2025-11-05"))
            .map(Closure::words)
            .as_deref(),
        Some("Closed from 2 Nov 2025 to 9 Nov 2025: bank works")
    );
}

#[test]
fn peg_numbers_sort_as_a_person_would() {
    let mut numbers = ["10", "B1", "2", "A10", "12A", "A2", "12"];
    numbers.sort_by(|a, b| by_number(a, b));
    assert_eq!(numbers, ["2", "10", "12", "12A", "A2", "A10", "B1"]);
}

proptest! {
    #[test]
    fn any_text_is_a_list_or_a_problem_never_a_fault(text in ".{0,60}") {
        if let Ok(list) = read_peg_list(&text) {
            prop_assert!(!list.numbers.is_empty());
            prop_assert_eq!(read_peg_list(&list.numbers.join(",")).map(|l| l.numbers), Ok(list.numbers));
        }
    }
}
