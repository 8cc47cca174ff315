//! Names in doubt: each asked, each answer kept.

use peglore::{
    actions::{By, anglers as people, join_anglers::join_anglers},
    domain::names::Name,
    store::joined::Standing,
};

use super::*;
use crate::support::record::number;

#[tokio::test]
async fn every_doubt_of_a_name_is_asked_and_each_answer_is_kept() {
    let (site, organiser) = with_water().await;
    let jem = Name::read("Jem Coppleway").expect("a name");
    people::add(
        &site.site.db,
        site.site.now(),
        &By::CommandLine,
        &jem,
        false,
    )
    .await
    .expect("added");
    let text = "Date,Match,Venue,Peg,Angler,Section,Weight,Place\n\
        2019-01-05,Cup,Quillet Water,1,J. Coppleway,,2-0,\n2019-01-05,Cup,Quillet Water,2,Dot Hazelpatch,,1-0,\n\
        2019-01-12,Cup,Quillet Water,3,Dot Hazelpatch,,1-0,\n2019-01-12,Cup,Quillet Water,4,D Hazelpatch,,3-0,\n2019-01-12,Cup,Quillet,5,Tam Oxbarrow,,3-0,\n";
    let import = lay_out(&organiser, "results", text).await;
    let next = answer(&organiser, &import, &COLUMNS, &[("pegs_allotted", "bag")]).await;
    assert_eq!(next, format!("{import}/names"));
    let names = organiser.get(&next).await.shown();
    names
        .says("the same surname, and the initial agrees")
        .says("Dot Hazelpatch, also new in this file")
        .says("Waters not on record")
        .says("Quillet (one row)");
    organiser
        .get(&import)
        .await
        .shown()
        .says("Three names are in doubt. <a");
    organiser
        .submit(&import, &[])
        .await
        .asks("names still have to be answered");
    let hex = |text: &str| text.bytes().map(|b| format!("{b:02x}")).collect::<String>();
    let choice = names
        .body
        .split("value=\"angler.")
        .nth(1)
        .and_then(|rest| rest.split('"').next())
        .expect("offered")
        .to_owned();
    let (jem, dot) = (
        format!("person-{}", hex("j coppleway")),
        format!("person-{}", hex("d hazelpatch")),
    );
    let quillet = format!("water-{}", hex("quillet"));

    let half = organiser
        .submit(&next, &[(&jem, &format!("angler.{choice}")), (&dot, "")])
        .await;
    half.asks("Say who D Hazelpatch is")
        .says(&format!("value=\"angler.{choice}\" selected"));
    let venue = names
        .body
        .split(&quillet)
        .last()
        .and_then(|rest| rest.split("<option value=\"").nth(2))
        .and_then(|rest| rest.split('"').next())
        .expect("a water")
        .to_owned();
    let fields = [
        (jem.as_str(), &*format!("angler.{choice}")),
        (dot.as_str(), &*format!("same.{}", hex("dot hazelpatch"))),
        (quillet.as_str(), venue.as_str()),
    ];
    assert_eq!(organiser.submit(&next, &fields).await.taken(), import);

    organiser
        .get(&import)
        .await
        .shown()
        .says("same angler as on line 4")
        .says("two anglers new");
    organiser
        .submit(&import, &[])
        .await
        .asks("One row cannot be taken. Mend it in the sheet");
    leave_out(&organiser, &import).await;
    let anglers = peglore::store::anglers::all(&mut site.site.db.read().await.expect("a reader"))
        .await
        .expect("a list");
    assert_eq!(anglers.len(), 3, "Jem, Dot and Tam");
}

#[tokio::test]
async fn a_name_like_nobodys_may_still_be_somebody_on_the_list() {
    let (site, organiser) = with_water().await;
    let (db, now) = (&site.site.db, site.site.now());
    let name = Name::read("Dot Hazelpatch").expect("a name");
    let dot = people::add(db, now, &By::CommandLine, &name, false)
        .await
        .expect("added");
    let text = "Date,Match,Venue,Peg,Angler,Section,Weight,Place\n\
        2019-01-05,Cup,Quillet Water,1,Kit Ashmere,,2-0,\n";
    let import = lay_out_and_answer(&organiser, text).await;
    let names = format!("{import}/names");
    organiser
        .get(&names)
        .await
        .shown()
        .says("New to the club’s list")
        .says("Or somebody on the list")
        .says(&format!("value=\"angler.{dot}\">Hazelpatch, Dot"));
    let hex: String = "kit ashmere".bytes().map(|b| format!("{b:02x}")).collect();
    let field = format!("person-{hex}");

    organiser
        .submit(&names, &[(&field, "angler.nobody")])
        .await
        .asks("Choose who Kit Ashmere is from the list");
    let chosen = format!("angler.{dot}");
    organiser.submit(&names, &[(&field, &chosen)]).await.taken();

    organiser
        .get(&names)
        .await
        .shown()
        .says(&format!("value=\"{chosen}\" selected"));
    organiser
        .get(&import)
        .await
        .shown()
        .says(", no new anglers.");

    // An answer follows the angler who is joined to another before the file is saved.
    let name = Name::read("Dorothy Tarnside").expect("a name");
    let dorothy = people::add(db, now, &By::CommandLine, &name, false)
        .await
        .expect("added");
    let nothing = Standing {
        results: 0,
        reports: 0,
    };
    join_anglers(db, now, &By::CommandLine, (&dot, &dorothy), nothing)
        .await
        .expect("joined");
    organiser.submit(&import, &[]).await.taken();
    let anglers = peglore::store::anglers::all(&mut site.site.db.read().await.expect("a reader"))
        .await
        .expect("a list");
    assert_eq!(anglers.len(), 1, "Dorothy, who fished it");
}

/// A file with one name like nobody's, answered to be the angler of that name on the list.
async fn answered_as(organiser: &Actor, whole: &str) -> (String, String, String) {
    let text = "Date,Match,Venue,Peg,Angler,Section,Weight,Place\n\
        2019-03-05,Spring Cup,Quillet Water,1,Kit Ashmere,,2-0,\n";
    let import = lay_out_and_answer(organiser, text).await;
    let names = format!("{import}/names");
    let page = organiser.get(&names).await.shown();
    let before = page.body.split(&format!("\">{whole}</option>")).next();
    let pid = before
        .and_then(|before| before.rsplit("value=\"angler.").next())
        .expect("offered")
        .to_owned();
    let hex: String = "kit ashmere".bytes().map(|b| format!("{b:02x}")).collect();
    let field = format!("person-{hex}");
    let chosen = format!("angler.{pid}");
    organiser.submit(&names, &[(&field, &chosen)]).await.taken();
    (import, field, pid)
}

#[tokio::test]
async fn an_answer_whose_angler_has_left_the_list_is_asked_again() {
    let (site, organiser) = with_water().await;
    let first = bring_in(&organiser, RESULTS).await;
    let (import, field, _) = answered_as(&organiser, "Hazelpatch, Dot").await;
    organiser.get(&import).await.shown().says("no new anglers");

    organiser
        .submit(&format!("{first}/undo"), &[("sure", "on")])
        .await
        .taken();
    organiser
        .submit(&import, &[])
        .await
        .asks("One name still has to be answered");
    let names = format!("{import}/names");
    organiser
        .get(&names)
        .await
        .shown()
        .says("Whoever was chosen here has left the club’s list since")
        .says(&format!("id=\"{field}-problem\""));
    organiser.submit(&names, &[(&field, "")]).await.taken();
    organiser.submit(&import, &[]).await.taken();
    let anglers = peglore::store::anglers::all(&mut site.site.db.read().await.expect("a reader"))
        .await
        .expect("a list");
    assert_eq!(anglers.len(), 1, "Kit, new after all");
}

#[tokio::test]
async fn an_answer_that_names_an_angler_joined_to_another_is_the_other() {
    let (site, organiser) = with_water().await;
    let (db, now) = (&site.site.db, site.site.now());
    let mut pids = Vec::new();
    for name in ["Dot Hazelpatch", "Dorothy Tarnside"] {
        let name = Name::read(name).expect("a name");
        let added = people::add(db, now, &By::CommandLine, &name, false).await;
        pids.push(added.expect("added"));
    }
    let nothing = Standing {
        results: 0,
        reports: 0,
    };
    let (dot, dorothy) = (&pids[0], &pids[1]);
    join_anglers(db, now, &By::CommandLine, (dot, dorothy), nothing)
        .await
        .expect("joined");
    let (import, _, pid) = answered_as(&organiser, "Tarnside, Dorothy").await;
    assert_eq!(pid, dorothy.to_string());
    // As an answer would stand that was given on a page from before they were joined.
    let mut writing = db.write().await.expect("the writer is free");
    sqlx::query("UPDATE imports SET mapping_json = REPLACE(mapping_json, ?, ?)")
        .bind(&pid)
        .bind(dot.to_string())
        .execute(&mut *writing)
        .await
        .expect("fits the schema");
    writing.commit().await.expect("kept");

    organiser.get(&import).await.shown().says("no new anglers");
    organiser.submit(&import, &[]).await.taken();
    let anglers = peglore::store::anglers::all(&mut site.site.db.read().await.expect("a reader"))
        .await
        .expect("a list");
    assert_eq!(anglers.len(), 1, "Dorothy, who fished it");
}

#[tokio::test]
async fn answers_of_a_file_in_the_record_follow_an_angler_who_is_joined_to_another() {
    let (site, organiser) = with_water().await;
    let (db, now) = (&site.site.db, site.site.now());
    let mut pids = Vec::new();
    for name in ["Dot Hazelpatch", "Dorothy Tarnside"] {
        let name = Name::read(name).expect("a name");
        let added = people::add(db, now, &By::CommandLine, &name, false).await;
        pids.push(added.expect("added"));
    }
    let (import, _, _) = answered_as(&organiser, "Hazelpatch, Dot").await;
    organiser.submit(&import, &[]).await.taken();
    let moves = Standing {
        results: 1,
        reports: 0,
    };
    join_anglers(db, now, &By::CommandLine, (&pids[0], &pids[1]), moves)
        .await
        .expect("joined");
    let answered =
        "SELECT COUNT(*) FROM imports AS i JOIN anglers AS a ON INSTR(i.mapping_json, a.pid) > 0
                    WHERE a.merged_into IS NULL AND i.state = 'done'";
    assert_eq!(number(&site, answered).await, 1);
}
