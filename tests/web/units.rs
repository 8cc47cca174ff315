//! How figures are shown is each reader's own choice: kept with the account, and nobody else's.

use peglore::{
    domain::units::Scale,
    statistics::rates::{Measure, Rate},
    web::figures::weights_held,
};

use super::water::frosty_days;
use crate::support::{
    Actor, TestSite,
    planted::{Planted, day, reports},
    record::number,
};

async fn choose(reader: &Actor, weights: &str, wind: &str) {
    let to = reader
        .submit("/account", &[("weights", weights), ("wind", wind)])
        .await
        .taken();
    assert_eq!(to, "/account?done=saved");
}

/// How the planted water fishes, and how its first peg does.
fn rates(planted: &Planted, scale: Scale) -> (Rate, Rate) {
    let of = |keep: &dyn Fn(usize) -> bool| {
        let rows = planted.record_rows().into_iter().enumerate();
        let caught: Vec<_> = rows
            .filter(|(at, _)| keep(*at))
            .map(|(_, row)| row.caught)
            .collect();
        Rate::of(Measure::Weight(scale), &caught)
    };
    let first_peg = |at: usize| planted.weighed[at].peg == planted.pegs[0];
    (of(&|_| true), of(&first_peg))
}

/// The figure as it stands in a table of rates.
fn figure(rate: &Rate) -> String {
    let told = rate.measure.figure(rate.answer.rate().expect("eight days"));
    format!("<b>{told}</b>")
}

#[tokio::test]
async fn kilograms_are_shown_to_who_chose_them_and_to_nobody_else() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    planted
        .report(&site, &reports(day(8, 1), &[0, 1, 2, 0], "club"))
        .await;
    let (visitor, other, member) = (
        site.visitor(),
        site.other_member().await,
        site.member().await,
    );
    choose(&member, "kg", "mph").await;
    let page = |name: &str| format!("{}{name}", planted.path);
    let in_pounds = rates(&planted, Scale::Drams);
    let in_kilograms = rates(&planted, Scale::Grams);

    // Whoever comes second finds the other's answer kept, whichever that was.
    for _ in 0..2 {
        for (reader, (water, peg), (not_water, not_peg), unit, not_unit) in [
            (&visitor, &in_pounds, &in_kilograms, "lb", "kg"),
            (&member, &in_kilograms, &in_pounds, "kg", "lb"),
            (&other, &in_pounds, &in_kilograms, "lb", "kg"),
        ] {
            let shown = reader.get(&page("/record")).await.shown();
            shown.says(&figure(water)).does_not_say(&figure(not_water));
            let shown = reader.get(&page("/pegs/1")).await.shown();
            shown.says(&figure(peg)).does_not_say(&figure(not_peg));
            let shown = reader.get(&page("/what-it-took")).await.shown();
            shown
                .says(&format!("\u{a0}{unit}"))
                .does_not_say(&format!("\u{a0}{not_unit}"));
            let shown = reader.get(&planted.path).await.shown();
            let sentence = water.answer.sentence(water.measure, &water.behind);
            shown.says(&weights_held(&sentence));
            // What won was weighed, and is told as the result tells it.
            for shown in [shown, reader.get("/").await.shown()] {
                let won = shown.body.split("won with ").nth(1).expect("a result");
                let won = won.split('<').next().unwrap_or_default();
                assert!(
                    won.contains("\u{a0}lb") && !won.contains("\u{a0}kg"),
                    "{won}"
                );
            }
        }
    }
    // What an angler gave on a day stays as it was weighed.
    let list = member.get(&page("/pegs/1")).await.shown();
    let row = list.body.split("Frost Cup, round 8</a></td>").nth(1);
    let row = row.and_then(|row| row.split("</tr>").next());
    let row = row.expect("a session of the list");
    assert!(
        row.contains("\u{a0}lb") && !row.contains("\u{a0}kg"),
        "{row}"
    );
}

#[tokio::test]
async fn an_address_with_a_unit_goes_before_the_readers_own() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    let member = site.member().await;
    choose(&member, "kg", "ms").await;
    let took = format!("{}/what-it-took", planted.path);
    let weather = format!("{}/weather", planted.path);
    let ask = async |address: String| member.get(&address).await.shown();

    ask(took.clone()).await.says("Weights in kilograms.");
    ask(format!("{took}?weights=lb"))
        .await
        .says("Weights in pounds and ounces.");
    ask(weather.clone()).await.says("Wind <span>m/s</span>");
    ask(format!("{weather}?wind=kn"))
        .await
        .says("Wind <span>knots</span>");
}

#[tokio::test]
async fn like_days_stays_in_the_waters_unit_whatever_a_reader_chose() {
    let site = TestSite::with_club(1, 12, 0).await;
    site.fitted().await;
    let (one, other) = (site.member().await, site.other_member().await);
    choose(&one, "kg", "mph").await;
    choose(&other, "lb", "mph").await;
    let path = "/venues/1/like-days";
    let figures = |body: &str| {
        let (_, page) = body.split_once("<main").expect("a page");
        let (figures, _) = page.split_once("</main>").expect("whole");
        figures.to_owned()
    };
    let in_kilograms = one.get(path).await.shown();
    in_kilograms
        .says(" an angler who weighed")
        .does_not_say("\u{a0}kg")
        .does_not_say("\u{a0}g an angler who weighed");
    let in_pounds = other.get(path).await.shown();
    assert_eq!(figures(&in_kilograms.body), figures(&in_pounds.body));
}

#[tokio::test]
async fn wind_blows_in_the_readers_unit_on_the_strip_and_in_the_grid() {
    let site = TestSite::new().await;
    let planted = Planted::at(&site).await;
    frosty_days(&site, &planted).await;
    let weather = format!("{}/weather", planted.path);
    let (visitor, other, member) = (
        site.visitor(),
        site.other_member().await,
        site.member().await,
    );
    for (wind, strip, sentence, boxes) in [
        ("mph", "11\u{a0}mph SW", "11\u{a0}mph", "mph"),
        ("ms", "5\u{a0}m/s SW", "5.0\u{a0}m/s", "m/s"),
        // A force is a range: what is typed stays in mph.
        ("beaufort", "force\u{a0}3 SW", "force 3", "mph"),
    ] {
        choose(&member, "water", wind).await;
        for page in [planted.path.as_str(), "/"] {
            let shown = member.get(page).await.shown();
            shown.says(&format!("wind from the south-west, {sentence}"));
        }
        let shown = member.get(&planted.path).await.shown();
        shown.says(strip);
        let grid = member.get(&weather).await.shown();
        grid.says(&format!("Wind <span>{boxes}</span>"));
        for reader in [&visitor, &other] {
            let shown = reader.get(&planted.path).await.shown();
            shown
                .says("11\u{a0}mph SW")
                .says("wind from the south-west, 11\u{a0}mph");
        }
        let grid = other.get(&weather).await.shown();
        grid.says("Wind <span>mph</span>");
    }
}

#[tokio::test]
async fn a_choice_stands_in_the_form_and_a_word_that_is_none_is_refused() {
    let site = TestSite::new().await;
    let member = site.member().await;
    let account = member.get("/account").await.shown();
    account
        .says("How figures are shown")
        .says("Those of <i>Like days</i> are always in mph.")
        .says("<i>Like days</i> stays in the unit it was worked out in, the water’s own.")
        .says("<option value=\"water\" selected>as each water weighs</option>")
        .says("<option value=\"mph\" selected>mph</option>");

    let refused = member
        .submit("/account", &[("weights", "stone"), ("wind", "knots")])
        .await
        .asks("Choose how weights are shown: as each water weighs");
    refused
        .says("Choose how wind is shown: in mph, in m/s, or in Beaufort forces.")
        .says("href=\"#weights\"")
        .says("href=\"#wind\"");
    // One good word is not kept without the other, and stays chosen in the form.
    member
        .submit("/account", &[("weights", "kg")])
        .await
        .asks("Choose how wind is shown")
        .says("<option value=\"kg\" selected>kilograms</option>");
    let chosen = "SELECT COUNT(*) FROM audit WHERE verb = 'chose units'";
    assert_eq!(number(&site, chosen).await, 0);
    let account = member.get("/account").await.shown();
    account.says("<option value=\"water\" selected>");

    choose(&member, "kg", "ms").await;
    assert_eq!(number(&site, chosen).await, 1);
    let account = member.get("/account").await.shown();
    account
        .says("<option value=\"kg\" selected>kilograms</option>")
        .says("<option value=\"ms\" selected>m/s</option>");
    choose(&member, "water", "mph").await;
    let account = member.get("/account").await.shown();
    account.says("<option value=\"water\" selected>");
}
