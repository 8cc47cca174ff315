//! How far from what is usually caught, or fished, a figure must be before it is asked about.
//! Nothing here is refused: whoever did catch it ticks that it is right.
//!
//! All limits are common practice, no source, and generous: a good day never meets them.

use super::Caught;
use crate::domain::{
    groups::{Group, GroupSet},
    units::{Length, Scale, Weight},
};

/// Pounds of a group in one session above which a total is asked about.
const MOST_IN_ALL: f64 = 300.0;
/// Metres of line, and of water at the hook, above which they are asked about.
const FARTHEST: i64 = 100;
const DEEPEST: i64 = 15;

struct OfGroup {
    group: Group,
    /// Ounces a fish on average below which a total is asked about.
    least_oz: f64,
    /// Pounds a fish on average, and of one fish of no species below, above which it is asked about.
    most_lb: f64,
    /// Fish an hour for each rod above which a number is asked about.
    fastest: f64,
}

const fn of_group(group: Group, least_oz: f64, most_lb: f64, fastest: f64) -> OfGroup {
    OfGroup {
        group,
        least_oz,
        most_lb,
        fastest,
    }
}

const GROUPS: [OfGroup; 5] = [
    of_group(Group::Carp, 0.5, 60.0, 60.0),
    of_group(Group::Silvers, 0.05, 18.0, 300.0),
    of_group(Group::F1s, 0.25, 10.0, 100.0),
    of_group(Group::Predators, 0.25, 60.0, 40.0),
    of_group(Group::Other, 0.05, 25.0, 100.0),
];

/// Pounds of one fish above which it is asked about, by the species' word in the record.
const SPECIES: [(&str, f64); 20] = [
    ("grass-carp", 50.0),
    ("f1", 10.0),
    ("crucian", 6.0),
    ("roach", 5.0),
    ("rudd", 5.0),
    ("skimmer", 5.0),
    ("silver-bream", 4.0),
    ("hybrid", 10.0),
    ("tench", 17.0),
    ("ide", 10.0),
    ("perch", 8.0),
    ("chub", 11.0),
    ("dace", 2.5),
    ("gudgeon", 1.0),
    ("bleak", 0.75),
    ("ruffe", 1.0),
    ("goldfish", 8.0),
    ("eel", 13.0),
    ("pike", 50.0),
    ("zander", 25.0),
];

/// The widest limits of all groups of a set.
fn limits(groups: GroupSet) -> (f64, f64, f64) {
    GROUPS.iter().filter(|of| groups.contains(of.group)).fold(
        (f64::INFINITY, 0.0, 0.0),
        |(least, most, fastest), of| {
            (
                least.min(of.least_oz),
                f64::max(most, of.most_lb),
                f64::max(fastest, of.fastest),
            )
        },
    )
}

/// Pounds in whole pounds or kilograms, as the weight that is asked about was typed.
fn whole(pounds: f64, scale: Scale) -> String {
    match scale {
        Scale::Drams => format!("{pounds:.0} lb"),
        Scale::Grams => format!(
            "{:.0} kg",
            pounds * Weight::lb_oz(1, 0).as_grams() / 1_000.0
        ),
    }
}

impl Caught {
    /// A sentence where weight, or weight a fish, is far from what is caught on any day.
    pub fn unusual(&self) -> Option<String> {
        let weight = self.weight.filter(|weight| !weight.is_nothing())?;
        let pounds = weight.as_pounds();
        if pounds > MOST_IN_ALL {
            return Some(format!(
                "{}: {} is more than {} of one kind. Mend it, or tick that it is right.",
                self.groups,
                weight.words(),
                whole(MOST_IN_ALL, weight.scale())
            ));
        }
        let count = self.count.filter(|count| *count > 0)? as f64;
        let (least_oz, most_lb, _) = limits(self.groups);
        let mean = pounds / count;
        let words = if mean > most_lb {
            whole(mean, weight.scale())
        } else if mean * 16.0 < least_oz {
            match weight.scale() {
                Scale::Drams => format!("{:.2} oz", mean * 16.0),
                Scale::Grams => format!("{:.1} g", weight.as_grams() / count),
            }
        } else {
            return None;
        };
        Some(format!(
            "{}: that makes {words} a fish. Mend the number or the weight, or tick that it is right.",
            self.groups
        ))
    }

    /// A sentence where fish came faster than they do on any day, in so many rod-hours.
    pub fn too_fast(&self, rod_hours: f64) -> Option<String> {
        let count = self.count.filter(|_| rod_hours > 0.0)?;
        let pace = count as f64 / rod_hours;
        let (_, _, fastest) = limits(self.groups);
        (pace > fastest).then(|| {
            format!(
                "{}: {count} fish make {pace:.0} an hour for each rod. Mend the number or the hours, or tick that it is right.",
                self.groups
            )
        })
    }
}

/// Is one fish far above any of its kind? `species`: its word in the record.
pub fn is_giant(species: &str, group: Group, weight: Weight) -> bool {
    let known = SPECIES.iter().find(|(slug, _)| *slug == species);
    let most = known.map_or(limits(group.into()).1, |(_, most)| *most);
    weight.as_pounds() > most
}

/// Is a line further out than is fished?
pub fn is_far(line: Length) -> bool {
    line.mm() > FARTHEST * 1_000
}

/// Is water deeper than is fished?
pub fn is_deep(depth: Length) -> bool {
    depth.mm() > DEEPEST * 1_000
}

#[cfg(test)]
mod tests {
    use super::*;

    fn caught(group: Group, count: Option<i64>, weight: Weight) -> Caught {
        Caught {
            groups: group.into(),
            count,
            weight: Some(weight),
        }
    }

    #[test]
    fn more_than_sixty_pounds_a_carp_or_three_hundred_in_all_is_unusual() {
        let carp = |count, pounds| caught(Group::Carp, count, Weight::lb_oz(pounds, 0));
        assert_eq!(carp(Some(2), 120).unusual(), None);
        assert_eq!(carp(None, 300).unusual(), None);
        let mean = carp(Some(2), 130).unusual().expect("asked about");
        assert!(mean.starts_with("Carp: that makes 65 lb a fish."), "{mean}");
        let total = carp(Some(40), 301).unusual().expect("asked about");
        assert!(
            total.starts_with("Carp: 301 lb is more than 300 lb of one kind."),
            "{total}"
        );
    }

    #[test]
    fn a_mean_weight_is_asked_about_on_both_sides_by_its_group() {
        let mean = |group, count, weight| caught(group, Some(count), weight).unusual();
        let says = |group, count, weight, words: &str| {
            let sentence = mean(group, count, weight).expect("asked about");
            assert!(sentence.contains(words), "{sentence}");
        };
        says(
            Group::Carp,
            100,
            Weight::lb_oz(0, 2),
            "makes 0.02 oz a fish",
        );
        says(Group::Carp, 100, Weight::grams(60), "makes 0.6 g a fish");
        says(
            Group::Silvers,
            1,
            Weight::lb_oz(20, 0),
            "makes 20 lb a fish",
        );
        says(
            Group::Silvers,
            2,
            Weight::grams(18_000),
            "makes 9 kg a fish",
        );
        says(
            Group::Carp,
            9,
            Weight::grams(150_000),
            "more than 136 kg of",
        );
        assert_eq!(mean(Group::Silvers, 100, Weight::lb_oz(0, 12)), None);
        assert_eq!(mean(Group::Carp, 0, Weight::drams(0)), None);
        let both = Caught {
            groups: GroupSet::ALL,
            count: Some(1),
            weight: Some(Weight::lb_oz(20, 0)),
        };
        assert_eq!(both.unusual(), None, "it may have been a carp");
    }

    #[test]
    fn a_pace_beyond_belief_is_asked_about_by_group() {
        let fish = |group, count| caught(group, Some(count), Weight::lb_oz(150, 0));
        let sentence = fish(Group::Carp, 200).too_fast(3.0).expect("asked about");
        assert!(
            sentence.contains("make 67 an hour for each rod"),
            "{sentence}"
        );
        assert_eq!(fish(Group::Carp, 200).too_fast(6.0), None);
        assert_eq!(fish(Group::Silvers, 600).too_fast(3.0), None);
        assert_eq!(fish(Group::Carp, 200).too_fast(0.0), None);
    }

    #[test]
    fn one_fish_is_judged_by_its_species_else_by_its_group() {
        let silver = |species| is_giant(species, Group::Silvers, Weight::lb_oz(12, 0));
        assert!(silver("roach"));
        assert!(!silver("tench") && !silver("bream") && !silver("named-by-the-club"));
        assert!(is_giant("bream", Group::Silvers, Weight::lb_oz(30, 0)));
    }

    #[test]
    fn lines_and_depths_that_hardly_anybody_fishes_are_asked_about() {
        let metres = |metres: i64| Length::millimetres(metres * 1_000);
        assert!(is_far(metres(130)) && !is_far(metres(100)));
        assert!(is_deep(metres(25)) && !is_deep(metres(15)));
    }
}
