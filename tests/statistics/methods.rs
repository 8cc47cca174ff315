//! Effort and catch by method, as counted.

use peglore::{
    domain::ids::{MethodId, SessionId},
    statistics::methods::{MethodSpell, SessionCatch, by_method},
};
use proptest::prelude::*;

use super::weather_days::day;

fn spell(session: i64, method: Option<i64>, rod_hours: Option<f64>) -> MethodSpell {
    MethodSpell {
        session: SessionId(session),
        day: day("2026-01-01").plus(session / 2),
        method: method.map(MethodId),
        rod_hours,
        fish: None,
        weight_g: None,
    }
}

fn catch(session: i64, fish: i64) -> SessionCatch {
    SessionCatch {
        session: SessionId(session),
        fish: Some(fish),
        weight_g: None,
    }
}

#[test]
fn a_session_on_one_method_gives_it_the_whole_catch() {
    let spells = [
        spell(1, Some(7), Some(2.0)),
        spell(1, Some(7), Some(3.0)),
        spell(2, Some(7), Some(5.0)),
    ];
    let found = by_method(&spells, &[catch(1, 6), catch(2, 4)]);
    assert_eq!(found.len(), 1);
    assert_eq!(
        (found[0].sessions, found[0].days, found[0].rod_hours),
        (2, 2, 10.0)
    );
    assert_eq!(
        (
            found[0].fish.total,
            found[0].fish.sessions,
            found[0].fish.rate()
        ),
        (10.0, 2, Some(1.0))
    );
    assert_eq!((found[0].weight.total, found[0].weight.rate()), (0.0, None));
}

#[test]
fn a_session_that_changed_gives_each_method_only_what_its_spells_say() {
    let told = MethodSpell {
        fish: Some(3),
        ..spell(1, Some(7), Some(2.0))
    };
    let spells = [told, spell(1, Some(8), Some(3.0))];
    let found = by_method(&spells, &[catch(1, 9)]);
    let seven = found
        .iter()
        .find(|m| m.method == Some(MethodId(7)))
        .expect("seven");
    let eight = found
        .iter()
        .find(|m| m.method == Some(MethodId(8)))
        .expect("eight");
    assert_eq!((seven.fish.total, seven.fish.rod_hours), (3.0, 2.0));
    assert_eq!(
        (eight.fish.sessions, eight.fish.rod_hours, eight.rod_hours),
        (0, 0.0, 3.0)
    );
}

#[test]
fn most_effort_stands_first_and_unknown_method_last() {
    let spells = [
        spell(1, None, Some(50.0)),
        spell(2, Some(7), Some(2.0)),
        spell(3, Some(8), Some(6.0)),
        spell(4, Some(8), None),
    ];
    let found = by_method(&spells, &[]);
    let order: Vec<_> = found.iter().map(|m| m.method.map(|m| m.0)).collect();
    assert_eq!(order, [Some(8), Some(7), None]);
    assert_eq!(
        (
            found[0].sessions,
            found[0].without_hours,
            found[0].rod_hours
        ),
        (2, 1, 6.0)
    );
    assert!(by_method(&[], &[]).is_empty());
}

proptest! {
    #[test]
    fn methods_together_have_all_the_effort_and_no_more_fish_than_there_were(
        spells in prop::collection::vec((0..6_i64, prop::option::of(1..4_i64), 0.5..6.0_f64), 1..30),
        fish in prop::collection::vec(0..20_i64, 6),
    ) {
        let spells: Vec<_> = spells.iter().map(|(s, m, h)| spell(*s, *m, Some(*h))).collect();
        let catches: Vec<_> = fish.iter().enumerate().map(|(s, f)| catch(s as i64, *f)).collect();
        let found = by_method(&spells, &catches);
        let effort: f64 = spells.iter().filter_map(|s| s.rod_hours).sum();
        prop_assert!((found.iter().map(|m| m.rod_hours).sum::<f64>() - effort).abs() < 1e-9);
        prop_assert!(found.iter().map(|m| m.fish.total).sum::<f64>() <= fish.iter().sum::<i64>() as f64);
        for one in &found {
            prop_assert!(one.fish.rod_hours <= one.rod_hours + 1e-9);
        }
    }
}
