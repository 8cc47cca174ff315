//! Names and waters written in part: each is asked about, with whom or what it may be.

use peglore::{
    actions::{By, anglers as people},
    domain::names::Name,
};

use super::*;

#[tokio::test]
async fn a_name_or_a_water_written_in_part_is_asked_about() {
    let (site, organiser) = with_water().await;
    for whole in ["Dot Hazelpatch", "Perry Hazelpatch", "Olly Underhythe"] {
        let name = Name::read(whole).expect("a name");
        let (db, now) = (&site.site.db, site.site.now());
        people::add(db, now, &By::CommandLine, &name, false)
            .await
            .expect("added");
    }
    let text = "Date,Match,Venue,Peg,Angler,Section,Weight,Place\n\
        2019-01-05,Cup,Quillet Water,1,Hazelpatch,,2-0,\n\
        2019-01-05,Cup,Quillet Water,2,Olly U.,,1-0,\n\
        2019-01-05,Cup,quillet,3,Bert Newman,,1-0,\n";
    let import = lay_out(&organiser, "results", text).await;
    let next = answer(&organiser, &import, &COLUMNS, &[("pegs_allotted", "bag")]).await;
    assert_eq!(next, format!("{import}/names"));

    organiser
        .get(&next)
        .await
        .shown()
        .says("Dot Hazelpatch, on the club’s list: the surname agrees; one has no first name")
        .says(">Dot Hazelpatch, on the list</option>")
        .says("Perry Hazelpatch, on the club’s list: the surname agrees; one has no first name")
        .says("Olly Underhythe, on the club’s list: the first name agrees, and so does the initial of the surname")
        .says("> Bert Newman is a junior</label>")
        .says("quillet (one row)")
        .says("Quillet Water: the only water with that in its name")
        .says("Choose the water that is meant, or leave its rows out.");
    organiser
        .submit(&import, &[])
        .await
        .asks("Three names still have to be answered");
}
