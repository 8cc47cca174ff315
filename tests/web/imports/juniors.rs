//! Names marked as juniors' in an old sheet: read as the person, and never silently as a grown angler.

use peglore::{
    actions::{By, anglers as people},
    domain::names::Name,
};

use super::*;
use crate::support::record::number;

const HEADING: &str = "Date,Match,Venue,Peg,Angler,Section,Weight,Place\n";

#[tokio::test]
async fn a_new_angler_marked_as_a_junior_becomes_one() {
    let (site, organiser) = with_water().await;
    let text = format!(
        "{HEADING}2019-01-05,Cup,Quillet Water,1,Orla Stitch (J),,2-0,\n\
         2019-01-12,Cup,Quillet Water,2,Orla Stitch,,1-0,\n\
         2019-01-12,Cup,Quillet Water,3,\"Sallowfield jnr, Pip\",,1-4,\n"
    );
    let import = lay_out_and_answer(&organiser, &text).await;
    organiser
        .get(&import)
        .await
        .shown()
        .says("Orla Stitch (junior)")
        .says("two anglers new");
    organiser.submit(&import, &[]).await.taken();

    let juniors = "SELECT COUNT(*) FROM anglers AS a JOIN labels AS l ON l.id = a.label_id
                   WHERE a.is_junior = 1 AND l.surname IN ('Stitch', 'Sallowfield')";
    assert_eq!(number(&site, juniors).await, 2);
    let made = results(&site).await;
    site.visitor()
        .get(&format!("/matches/{}/result", made[0].id))
        .await
        .shown()
        .says("Orla S.")
        .does_not_say("(J)")
        .does_not_say("Stitch");
}

#[tokio::test]
async fn a_grown_angler_marked_as_a_junior_is_asked_about() {
    let (site, organiser) = with_water().await;
    let (db, now) = (&site.site.db, site.site.now());
    let name = Name::read("Orla Stitch").expect("a name");
    people::add(db, now, &By::CommandLine, &name, false)
        .await
        .expect("added");
    let text = format!("{HEADING}2019-01-05,Cup,Quillet Water,1,Orla Stitch jun.,,2-0,\n");
    let import = lay_out(&organiser, "results", &text).await;
    let next = answer(&organiser, &import, &COLUMNS, &[("pegs_allotted", "bag")]).await;
    assert_eq!(next, format!("{import}/names"));
    let names = organiser.get(&next).await.shown();
    names.says("Orla Stitch, on the club’s list: the same name, but no junior on the list");

    // Answered with the grown angler: what is marked stays a junior's.
    let pid = names.body.split("value=\"angler.").nth(1).expect("offered");
    let pid = pid.split('"').next().expect("a choice");
    let hex = |text: &str| text.bytes().map(|b| format!("{b:02x}")).collect::<String>();
    let person = format!("person-{}", hex("orla stitch"));
    let chosen = format!("angler.{pid}");
    let answered = organiser.submit(&next, &[(&person, &chosen)]).await;
    assert_eq!(answered.taken(), import);
    organiser.submit(&import, &[]).await.taken();

    for juniors in [
        "SELECT COUNT(*) FROM entries WHERE was_junior = 1",
        "SELECT COUNT(*) FROM sessions WHERE was_junior = 1",
        "SELECT COUNT(*) FROM anglers AS a JOIN labels AS l ON l.id = a.label_id
         WHERE l.surname = 'Stitch' AND a.is_junior = 0",
    ] {
        assert_eq!(number(&site, juniors).await, 1, "{juniors}");
    }
    site.visitor()
        .get("/matches/1/result")
        .await
        .shown()
        .says("Orla S.")
        .does_not_say("Stitch");
}

#[tokio::test]
async fn a_likely_spelling_variant_has_to_be_answered() {
    let (_site, organiser) = with_water().await;
    let text = format!(
        "{HEADING}2019-01-05,Cup,Quillet Water,1,Dilys Farrant,,2-0,\n\
         2019-01-12,Cup,Quillet Water,1,Dilys Farrant,,2-0,\n\
         2019-01-19,Cup,Quillet Water,1,Dylis Farrant,,2-0,\n"
    );
    let import = lay_out(&organiser, "results", &text).await;
    let next = answer(&organiser, &import, &COLUMNS, &[("pegs_allotted", "bag")]).await;
    assert_eq!(next, format!("{import}/names"));
    organiser
        .get(&next)
        .await
        .shown()
        .says("the first names are spelt much alike")
        .does_not_say("The same surname, another first name");
    organiser
        .submit(&next, &[])
        .await
        .asks("Say who Dylis Farrant is");
}
