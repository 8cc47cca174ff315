//! A sheet of sessions that puts right what is on record, or cannot be true beside it.

use super::*;

const COLUMNS_OF: [&str; 7] = ["date", "venue", "peg", "angler", "count", "weight", "hours"];

async fn with_weight(who: &Actor, weight: &str, seen_by: &str) -> String {
    let text = format!(
        "Day,Water,Swim,Name,Fish,Weight,Hours\n2019-01-05,Quillet Water,7,Jem Coppleway,12,{weight},4\n"
    );
    let import = lay_out(who, "sessions", &text).await;
    let more = [("visibility", seen_by), ("same_day", "same-outing")];
    answer(who, &import, &COLUMNS_OF, &more).await;
    import
}

#[tokio::test]
async fn a_corrected_weight_is_named_where_the_club_may_read_the_session() {
    for (seen_by, is_told) in [("club", true), ("private", false)] {
        let (_site, organiser) = with_water().await;
        let first = with_weight(&organiser, "12-8", seen_by).await;
        organiser.submit(&first, &[]).await.taken();

        let mended = with_weight(&organiser, "12-12", seen_by).await;
        let shown = organiser.get(&mended).await.shown();
        if is_told {
            shown
                .says("Nothing in this file is new, but one row of sessions on record tells the catch otherwise")
                .says("weight 12 lb 8 oz on record, 12 lb 12 oz here. To take it as it stands here, undo the file that brought the earlier one");
        } else {
            shown
                .says("Nothing in this file is new.")
                .does_not_say("12 lb 8 oz");
        }
    }
}

#[tokio::test]
async fn sessions_of_one_angler_in_overlapping_hours_are_told() {
    let (_site, organiser) = with_water().await;
    let columns = [
        "date",
        "venue",
        "peg",
        "angler",
        "weight",
        "started",
        "packed-up",
    ];
    let more = [("visibility", "club"), ("same_day", "another-outing")];
    let text = |rows: &str| format!("Day,Water,Swim,Name,Weight,Started,Packed up\n{rows}");
    let first = text("2019-01-05,Quillet Water,7,Jem Coppleway,8-4,07:00,11:00\n");
    let import = lay_out(&organiser, "sessions", &first).await;
    answer(&organiser, &import, &columns, &more).await;
    organiser.submit(&import, &[]).await.taken();

    let second = text(
        "2019-01-05,Quillet Water,8,Jem Coppleway,2-0,10:00,12:00\n\
         2019-01-05,Quillet Water,9,Jem Coppleway,3-0,11:30,13:00\n\
         2019-01-05,Quillet Water,9,Jem Coppleway,4-0,14:00,15:00\n",
    );
    let import = lay_out(&organiser, "sessions", &second).await;
    answer(&organiser, &import, &columns, &more).await;
    organiser
        .get(&import)
        .await
        .shown()
        .says("The hours, 10:00 to 12:00, overlap those of a session on record, 07:00 to 11:00")
        .says("The hours, 11:30 to 13:00, overlap those of line 2,")
        .does_not_say("The hours, 14:00 to 15:00, overlap");
}

#[tokio::test]
async fn the_rows_as_understood_show_who_and_where_was_chosen_and_what_is_not_taken() {
    let (_site, organiser) = with_water().await;
    bring_in(&organiser, RESULTS).await;
    let text = "Day,Water,Swim,Name,Fish,Weight,Hours\n\
                2019-02-05,quillet water,7,jem coppleway,12,8-4,4\n\
                2019-01-05,Quillet Water,14,Jem Coppleway,12,8-4,4\n";
    let import = lay_out(&organiser, "sessions", text).await;
    answer(&organiser, &import, &COLUMNS_OF, &[("visibility", "club")]).await;
    organiser
        .get(&import)
        .await
        .shown()
        .says("</span> 2</th>")
        .says("</span> 3 <b>not taken</b></th>")
        .says("data-says=\"Water\">Quillet Water</td>")
        .says("jem coppleway → Jem Coppleway");
}

/// A link or a form of a file that was thrown away names no file laid out later.
#[tokio::test]
async fn the_address_of_a_file_thrown_away_is_never_another_files() {
    let (_site, organiser) = with_water().await;
    let gone = lay_out(&organiser, "results", RESULTS).await;
    organiser
        .submit(&format!("{gone}/discard"), &[])
        .await
        .taken();
    let later = lay_out(&organiser, "results", RESULTS).await;

    assert_ne!(later, gone);
    assert_eq!(organiser.get(&gone).await.status, StatusCode::NOT_FOUND);
}
