//! The fish and the group each belongs to, with the other names anglers give them.
//!
//! The list here is the one that `migrations/0002_water.sql` begins with; a test compares them.
//! Which group a species belongs to is the custom of club matches, common practice, no source;
//! a match may count it otherwise. Scientific names as in current fish catalogues, from memory.

use crate::domain::groups::Group;
use crate::domain::ids::SpeciesId;

/// A species on record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Species {
    pub id: SpeciesId,
    pub slug: String,
    pub name: String,
    pub scientific: Option<String>,
    pub group: Group,
}

/// A species of the list that ships with the program.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fish {
    pub slug: &'static str,
    pub name: &'static str,
    pub scientific: Option<&'static str>,
    pub group: Group,
    /// Other names, in lower case.
    pub also: &'static [&'static str],
}

const fn fish(
    slug: &'static str,
    name: &'static str,
    scientific: &'static str,
    group: Group,
    also: &'static [&'static str],
) -> Fish {
    Fish {
        slug,
        name,
        scientific: if scientific.is_empty() {
            None
        } else {
            Some(scientific)
        },
        group,
        also,
    }
}

use Group::{Carp, F1s, Other, Predators, Silvers};

pub const FISH: [Fish; 25] = [
    fish(
        "common-carp",
        "Common carp",
        "Cyprinus carpio",
        Carp,
        &["carp", "common"],
    ),
    fish(
        "mirror-carp",
        "Mirror carp",
        "Cyprinus carpio",
        Carp,
        &["mirror", "leather carp"],
    ),
    fish(
        "grass-carp",
        "Grass carp",
        "Ctenopharyngodon idella",
        Carp,
        &["grassie"],
    ),
    fish(
        "f1",
        "F1",
        "Cyprinus carpio × Carassius",
        F1s,
        &["f1s", "f1 carp"],
    ),
    fish(
        "crucian",
        "Crucian carp",
        "Carassius carassius",
        Silvers,
        &["crucian", "crucians"],
    ),
    fish("roach", "Roach", "Rutilus rutilus", Silvers, &[]),
    fish("rudd", "Rudd", "Scardinius erythrophthalmus", Silvers, &[]),
    fish(
        "bream",
        "Bream",
        "Abramis brama",
        Silvers,
        &["common bream", "bronze bream"],
    ),
    fish(
        "skimmer",
        "Skimmer",
        "Abramis brama",
        Silvers,
        &["skimmers", "skimmer bream"],
    ),
    fish(
        "silver-bream",
        "Silver bream",
        "Blicca bjoerkna",
        Silvers,
        &["white bream"],
    ),
    fish(
        "hybrid",
        "Roach–bream hybrid",
        "",
        Silvers,
        &["hybrid", "hybrids", "roach-bream hybrid"],
    ),
    fish("tench", "Tench", "Tinca tinca", Silvers, &[]),
    fish(
        "ide",
        "Ide",
        "Leuciscus idus",
        Silvers,
        &["orfe", "golden orfe"],
    ),
    fish("perch", "Perch", "Perca fluviatilis", Silvers, &[]),
    fish("chub", "Chub", "Squalius cephalus", Silvers, &[]),
    fish("dace", "Dace", "Leuciscus leuciscus", Silvers, &[]),
    fish("gudgeon", "Gudgeon", "Gobio gobio", Silvers, &[]),
    fish("bleak", "Bleak", "Alburnus alburnus", Silvers, &[]),
    fish("ruffe", "Ruffe", "Gymnocephalus cernua", Silvers, &["pope"]),
    fish("barbel", "Barbel", "Barbus barbus", Other, &[]),
    fish(
        "goldfish",
        "Goldfish",
        "Carassius auratus",
        Other,
        &["brown goldfish"],
    ),
    fish("eel", "Eel", "Anguilla anguilla", Other, &["eels"]),
    fish(
        "catfish",
        "Catfish",
        "Silurus glanis",
        Predators,
        &["wels", "wels catfish"],
    ),
    fish("pike", "Pike", "Esox lucius", Predators, &[]),
    fish(
        "zander",
        "Zander",
        "Sander lucioperca",
        Predators,
        &["pikeperch"],
    ),
];

/// The fish that `text` names, by any of its names.
pub fn named(text: &str) -> Option<&'static Fish> {
    let word = text.trim().to_lowercase();
    FISH.iter().find(|fish| {
        fish.slug == word || fish.name.to_lowercase() == word || fish.also.contains(&word.as_str())
    })
}

/// The group that `text` names: a group by its name, or the group of a fish.
pub fn group_named(text: &str) -> Option<Group> {
    let word = text.trim().to_lowercase();
    let group = match word.as_str() {
        "carp" => Carp,
        "silvers" | "silver" | "silver fish" | "silverfish" => Silvers,
        "f1s" | "f1" => F1s,
        "predators" | "predator" | "preds" => Predators,
        "other" | "other fish" | "others" => Other,
        _ => return named(&word).map(|fish| fish.group),
    };
    Some(group)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_list_is_the_one_the_database_begins_with() {
        let sql = include_str!("../../migrations/0002_water.sql");
        for fish in &FISH {
            let scientific = fish
                .scientific
                .map_or("NULL".to_owned(), |name| format!("'{name}'"));
            let row = format!(
                "('{}', '{}', {scientific}, {})",
                fish.slug,
                fish.name,
                fish.group.bit()
            );
            assert!(sql.contains(&row), "{row}");
        }
        let rows = sql
            .lines()
            .filter(|line| line.starts_with("  ('") && line.matches(", ").count() == 3);
        assert_eq!(rows.count(), FISH.len());
    }

    #[test]
    fn a_fish_is_known_by_its_other_names() {
        assert_eq!(named(" Orfe ").map(|f| f.slug), Some("ide"));
        assert_eq!(group_named("Silver Fish"), Some(Silvers));
        assert_eq!(group_named("pope"), Some(Silvers));
        assert_eq!(named("kraken"), None);
    }
}
