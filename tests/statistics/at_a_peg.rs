//! Hours and methods of one peg: counts, three anglers, and sessions that moved on left out.

use peglore::{
    domain::{
        dates::{Day, Instant},
        groups::Group,
        ids::{AnglerId, MethodId, SessionId},
    },
    statistics::{
        at_a_peg::{PegSpell, TimedFish, counts},
        fished_days::Series,
        rates::CatchRow,
        record::RecordRow,
    },
};

fn day() -> Day {
    Day::new(2026, 6, 6).expect("a real day")
}

/// A session of two hours on one method by this angler, two fish in the second hour.
fn session(id: i64, method: i64) -> (PegSpell, TimedFish, (SessionId, RecordRow)) {
    let hour = |n: i64| Instant(n * 3_600);
    let spell = PegSpell {
        session: SessionId(id),
        series: Series::Report,
        angler: AnglerId(id),
        day: day(),
        method: Some(MethodId(method)),
        rod_hours: Some(2.0),
        from: Some(hour(10)),
        to: Some(hour(12)),
        rods: 1,
    };
    let fish = TimedFish {
        session: SessionId(id),
        from: hour(11),
        to: hour(12),
        count: 2,
    };
    let caught = RecordRow {
        series: Series::Report,
        groups: Group::Silvers.into(),
        angler: AnglerId(id),
        caught: CatchRow {
            day: day(),
            rod_hours: Some(2.0),
            fish: Some(2),
            weight_g: Some(400.0),
            did_not_weigh: false,
            match_id: None,
            lowest_beside_g: None,
        },
    };
    (spell, fish, (SessionId(id), caught))
}

type Planted = (Vec<PegSpell>, Vec<TimedFish>, Vec<(SessionId, RecordRow)>);

fn sessions(of: &[(i64, i64)]) -> Planted {
    let (mut spells, mut fish, mut caught) = Planted::default();
    for (id, method) in of {
        let (spell, timed, row) = session(*id, *method);
        spells.push(spell);
        fish.push(timed);
        caught.push(row);
    }
    (spells, fish, caught)
}

#[test]
fn three_anglers_give_hours_and_methods_as_counts_beside_their_effort() {
    let (spells, fish, caught) = sessions(&[(1, 4), (2, 4), (3, 4)]);

    let found = counts(&spells, &fish, &caught);

    assert_eq!(found.len(), 1);
    let hours = found[0].hours.as_ref().expect("three anglers");
    assert_eq!(
        (hours.sessions, hours.hours[0].fish, hours.hours[1].fish),
        (3, 0, 6)
    );
    assert!((hours.hours[1].rod_hours - 3.0).abs() < 1e-9);
    let method = &found[0].methods[0];
    assert_eq!((method.sessions, method.fish.total), (3, 6.0));
    assert!((method.weight.total - 1_200.0).abs() < 1e-9);
}

#[test]
fn two_anglers_are_too_few_for_hours_and_for_a_method() {
    let (spells, fish, caught) = sessions(&[(1, 4), (2, 4)]);

    let found = counts(&spells, &fish, &caught);

    assert_eq!(found[0].hours, None);
    assert!(found[0].methods.is_empty());
    assert_eq!(found[0].withheld, 1);
}

#[test]
fn a_session_that_moved_on_has_no_catch_here_and_is_left_out() {
    let (spells, fish, mut caught) = sessions(&[(1, 4), (2, 4), (3, 4), (4, 4)]);
    caught.pop();

    let found = counts(&spells, &fish, &caught);

    assert_eq!(found[0].methods[0].sessions, 3);
    assert!(counts(&spells, &fish, &[]).is_empty());
}

#[test]
fn a_session_with_a_spell_of_unknown_time_keeps_out_of_the_hours() {
    let (mut spells, fish, caught) = sessions(&[(1, 4), (2, 4), (3, 4), (4, 4)]);
    spells[3].to = None;

    let found = counts(&spells, &fish, &caught);

    assert_eq!(found[0].hours.as_ref().map(|hours| hours.sessions), Some(3));
}
