//! People who do not exist.

use rand::{RngExt, rngs::ChaCha8Rng};

use super::{DemoAngler, normal, planted};

const GIVEN: [&str; 30] = [
    "Dot", "Jem", "Bess", "Nell", "Tam", "Alf", "Ned", "Ivy", "Hob", "Joan", "Gil", "Perry",
    "Moss", "Cass", "Kit", "Olly", "Wilf", "Dora", "Bram", "Rhoda", "Una", "Edie", "Seth",
    "Lottie", "Amos", "Tilly", "Walt", "Greta", "Silas", "May",
];
const SURNAME: [&str; 40] = [
    "Hazelpatch",
    "Stilefield",
    "Coppleway",
    "Lintwhistle",
    "Harrowdine",
    "Dapplemere",
    "Oxbarrow",
    "Quernstone",
    "Furrowby",
    "Tollgarth",
    "Cressingale",
    "Ribbleway",
    "Ashenfold",
    "Lathewick",
    "Pellandine",
    "Underhythe",
    "Marrowgate",
    "Thistlewade",
    "Sallowby",
    "Fennimoor",
    "Wetherlock",
    "Culverstone",
    "Brackenhulme",
    "Dunnowby",
    "Eelbrigg",
    "Flaxenholt",
    "Gorsedale",
    "Hurdlecote",
    "Inkersole",
    "Jessopwell",
    "Kestlebeck",
    "Larkenshaw",
    "Mirewood",
    "Nettlestead",
    "Orrelthwaite",
    "Plashwater",
    "Rushenby",
    "Swathling",
    "Tarnholme",
    "Withypool",
];

/// `count` people, no two alike; about one in fifteen a junior.
pub fn people(count: usize, rng: &mut ChaCha8Rng) -> Vec<DemoAngler> {
    (0..count)
        .map(|place| DemoAngler {
            given: GIVEN[(place * 7 + place / SURNAME.len()) % GIVEN.len()],
            surname: SURNAME[place % SURNAME.len()],
            is_junior: rng.random::<f64>() < 0.07,
            skill: planted::ANGLER * normal(rng),
        })
        .collect()
}
