//! Placing: shared places, blanks and did-not-weighs, sections, scales of two units.

use peglore::domain::ids::{EntryId, SectionId};
use peglore::domain::matches::entry::NotReady;
use peglore::domain::matches::{Caught, Outcome, Placed, place};
use peglore::domain::units::{Ranking, Total, Weight};
use proptest::prelude::*;

fn caught(entry: i64, section: i64, outcome: Outcome, weights: &[Weight]) -> Caught {
    let total: Total = weights.iter().copied().collect();
    Caught {
        entry: EntryId(entry),
        section: Some(SectionId(section)),
        outcome,
        raw: total,
        counted: total,
    }
}

fn fished(entry: i64, weight: Weight) -> Caught {
    caught(entry, 1, Outcome::Fished, &[weight])
}

fn overall(placed: &[Placed]) -> Vec<(i64, String)> {
    placed
        .iter()
        .map(|p| {
            (
                p.entry.0,
                p.overall.map_or("–".to_owned(), |place| place.to_string()),
            )
        })
        .collect()
}

/// Tied weights share the same place and the following place is skipped: 1, 2, 2, 4
/// (German federation competition rule, club SFV Bruchsal, "Platzzifferwertung").
#[test]
fn level_weights_share_the_place_and_the_next_is_skipped() {
    let entries = [
        fished(1, Weight::grams(3100)),
        fished(2, Weight::grams(4200)),
        fished(3, Weight::grams(3100)),
        fished(4, Weight::grams(900)),
    ];
    let placed = place(&entries, Ranking::GRAM);
    let want = [(2, "1"), (1, "2="), (3, "2="), (4, "4")].map(|(e, p)| (e, p.to_owned()));
    assert_eq!(overall(&placed), want);
}

#[test]
fn weights_of_one_ounce_tie_however_the_drams_stand() {
    let entries = [
        fished(1, Weight::drams(3200)),
        fished(2, Weight::drams(3215)),
        fished(3, Weight::drams(3216)),
    ];
    let placed = place(&entries, Ranking::OUNCE);
    let want = [(3, "1"), (1, "2="), (2, "2=")].map(|(e, p)| (e, p.to_owned()));
    assert_eq!(overall(&placed), want);
    assert_eq!(placed[2].counted, Weight::lb_oz(12, 8));
    assert_eq!(placed[2].raw, Weight::drams(3215));
}

/// Did not weigh ranks below any weight (custom of the trade, no source); blanks before it.
#[test]
fn who_brought_no_weight_follows_in_a_fixed_order_without_a_place() {
    let entries = [
        caught(1, 1, Outcome::Absent, &[]),
        caught(2, 1, Outcome::Disqualified, &[Weight::grams(9000)]),
        caught(3, 1, Outcome::DidNotWeigh, &[]),
        caught(4, 1, Outcome::Blank, &[]),
        fished(5, Weight::grams(30)),
        caught(6, 1, Outcome::Blank, &[]),
    ];
    let placed = place(&entries, Ranking::GRAM);
    let want = [(5, "1"), (4, "–"), (6, "–"), (3, "–"), (2, "–"), (1, "–")];
    assert_eq!(overall(&placed), want.map(|(e, p)| (e, p.to_owned())));
    let figures: Vec<_> = placed.iter().map(Placed::figure).collect();
    assert_eq!(
        figures,
        [
            "0.030",
            "blank",
            "blank",
            "did not weigh",
            "disqualified",
            "absent"
        ]
    );
    assert_eq!(
        placed[4].raw,
        Weight::grams(9000),
        "the weight is still a fact"
    );
}

#[test]
fn a_few_drams_under_the_step_still_rank_above_a_blank() {
    let entries = [
        caught(1, 1, Outcome::Blank, &[]),
        fished(2, Weight::drams(7)),
    ];
    let placed = place(&entries, Ranking::OUNCE);
    assert_eq!(overall(&placed), [(2, "1".to_owned()), (1, "–".to_owned())]);
}

#[test]
fn each_section_is_placed_by_itself() {
    let entries = [
        caught(1, 1, Outcome::Fished, &[Weight::lb_oz(14, 3)]),
        caught(2, 2, Outcome::Fished, &[Weight::lb_oz(10, 15)]),
        caught(3, 1, Outcome::Fished, &[Weight::lb_oz(8, 14)]),
        caught(4, 2, Outcome::Fished, &[Weight::lb_oz(4, 10)]),
        caught(5, 2, Outcome::Fished, &[Weight::lb_oz(4, 10)]),
    ];
    let placed = place(&entries, Ranking::OUNCE);
    let sections: Vec<_> = placed
        .iter()
        .map(|p| {
            (
                p.entry.0,
                p.in_section.map(|s| s.to_string()).unwrap_or_default(),
            )
        })
        .collect();
    let want = [(1, "1"), (2, "1"), (3, "2"), (4, "2="), (5, "2=")];
    assert_eq!(sections, want.map(|(e, p)| (e, p.to_owned())));
}

#[test]
fn nets_from_two_scales_are_added_apart_and_converted_once() {
    let mixed = caught(
        1,
        1,
        Outcome::Fished,
        &[Weight::drams(255), Weight::drams(255), Weight::grams(1)],
    );
    let placed = place(&[mixed, fished(2, Weight::grams(904))], Ranking::GRAM);
    let want = [(1, "1="), (2, "1=")].map(|(e, p)| (e, p.to_owned()));
    assert_eq!(overall(&placed), want);
}

#[test]
fn no_entries_and_five_hundred_entries_are_placed_alike() {
    assert!(place(&[], Ranking::OUNCE).is_empty());
    let many: Vec<_> = (0..500).map(|i| fished(i, Weight::grams(1000))).collect();
    let placed = place(&many, Ranking::GRAM);
    assert!(
        placed
            .iter()
            .all(|p| p.overall.is_some_and(|o| o.number == 1 && o.shared))
    );
}

#[test]
fn a_result_waits_for_an_outcome_of_every_entry() {
    let check = NotReady::check;
    assert_eq!(check(None, false), Some(NotReady::NoOutcome));
    assert_eq!(
        check(Some(Outcome::Fished), false),
        Some(NotReady::NoWeight)
    );
    assert_eq!(check(Some(Outcome::Fished), true), None);
    assert_eq!(check(Some(Outcome::Disqualified), true), None);
    assert_eq!(check(Some(Outcome::Absent), false), None);
    assert_eq!(
        check(Some(Outcome::Blank), true).map(|n| n.sentence("Peg 4")),
        Some(
            "Peg 4 is marked blank but has a weight. Take out the weight, or mark as weighed in."
                .to_owned()
        )
    );
}

#[test]
fn the_words_of_old_cards_are_outcomes() {
    for (text, want) in [
        ("DNW", Some(Outcome::DidNotWeigh)),
        ("d.n.w.", Some(Outcome::DidNotWeigh)),
        ("Did not weigh", Some(Outcome::DidNotWeigh)),
        ("did not finish", Some(Outcome::DidNotWeigh)),
        ("dnf", None),
        ("Blank", Some(Outcome::Blank)),
        ("DSQ", Some(Outcome::Disqualified)),
        ("no show", Some(Outcome::Absent)),
        ("DNS", Some(Outcome::Absent)),
        ("12-8", None),
        ("", None),
    ] {
        assert_eq!(Outcome::from_sheet(text), want, "{text}");
    }
    for outcome in Outcome::ALL {
        assert_eq!(Outcome::parse(outcome.as_str()), Some(outcome));
    }
}

proptest! {
    #[test]
    fn a_heavier_weight_is_never_placed_behind_a_lighter(drams in prop::collection::vec(0_u32..2000, 1..40)) {
        let entries: Vec<_> = drams.iter().enumerate().map(|(i, d)| fished(i as i64, Weight::drams(*d))).collect();
        let placed = place(&entries, Ranking::OUNCE);
        for two in placed.windows(2) {
            let (a, b) = (&two[0], &two[1]);
            prop_assert!(a.counted.amount() >= b.counted.amount());
            prop_assert_eq!(a.overall == b.overall, a.counted == b.counted);
        }
        // Places with ties averaged always add up to n(n + 1)/2 (reference 1.2, combined example).
        let twice: u64 = placed.iter().map(|p| {
            let number = u64::from(p.overall.expect("all fished").number);
            let level = placed.iter().filter(|q| q.overall == p.overall).count() as u64;
            2 * number + level - 1
        }).sum();
        let n = placed.len() as u64;
        prop_assert_eq!(twice, n * (n + 1));
    }
}
