//! Rows that are doubtful or unusual, wherever they stand, and what is said of what is kept.

use super::*;

#[tokio::test]
async fn a_session_that_did_not_weigh_is_said_to_be_kept_as_what_it_will_be() {
    let (_site, organiser) = with_water().await;
    let text = "Day,Water,Swim,Name,Fish,Weight,Hours\n\
                2019-01-05,Quillet Water,7,Jem Coppleway,,DNW,4\n";
    let columns = ["date", "venue", "peg", "angler", "count", "weight", "hours"];
    let import = lay_out(&organiser, "sessions", text).await;
    answer(&organiser, &import, &columns, &[("visibility", "club")]).await;

    organiser
        .get(&import)
        .await
        .shown()
        .says("data-says=\"Caught\">a session outside a match: weight not known</td>")
        .says("<b>Line 2.</b> “Did not weigh” is kept of matches only.")
        .does_not_say(">did not weigh<");
}

#[tokio::test]
async fn every_doubtful_and_unlikely_row_is_named_wherever_it_stands() {
    let (_site, organiser) = with_water().await;
    let mut text = String::from("Date,Match,Venue,Peg,Angler,Section,Weight,Place\n");
    for week in 0..40 {
        let first = Day::parse("2018-01-06").expect("a real day");
        let weight = if week >= 20 { "DNF" } else { "300 lb" };
        let day = first.plus(7 * week);
        text.push_str(&format!(
            "{day},Round {week},Quillet Water,1,Jem Coppleway,A,{weight},\n"
        ));
    }
    let import = lay_out_and_answer(&organiser, &text).await;

    organiser
        .get(&import)
        .await
        .shown()
        .says("<b>Line 2.</b> 300 lb in one net is unlikely.")
        .says("And eight more rows with an unlikely weight")
        .says("<b>Line 21.</b> 300 lb in one net is unlikely.")
        .says("And eight more rows that cannot be taken")
        .says(
            "<b>Line 41.</b> “DNF” is not understood: it may mean did not fish, or did not finish.",
        );
}

#[tokio::test]
async fn an_unlikely_weight_is_asked_about_and_comes_in_once_it_is_said_to_be_right() {
    let (site, organiser) = with_water().await;
    let text = RESULTS.replace("12-8,1", "300 lb,1");
    let import = lay_out_and_answer(&organiser, &text).await;
    let asks = "300 lb on line 2 is unlikely in one net. Mend the sheet and choose the file again, or tick that it is right.";
    organiser.submit(&import, &[]).await.asks(asks);
    // A tick holds for the weights it was set beside.
    organiser
        .submit(&import, &[("unlikely", "299 lb on line 2")])
        .await
        .asks(asks);
    assert!(results(&site).await.is_empty());

    organiser
        .submit(&import, &[("unlikely", "300 lb on line 2")])
        .await
        .taken();
    let made = results(&site).await;
    assert_eq!(made.len(), 2);
}

#[tokio::test]
async fn a_result_of_an_old_sheet_says_so_and_is_not_called_provisional() {
    let (site, organiser) = with_water().await;
    bring_in(&organiser, RESULTS).await;
    let made = results(&site).await;
    let the_match = format!("/matches/{}", made[0].id);
    let today = site.site.now().day(&peglore::domain::dates::Zone::utc());

    site.visitor()
        .get(&format!("{the_match}/result"))
        .await
        .shown()
        .says(&format!(
            "As the club’s old sheet has it, brought in on {}.",
            today.long()
        ))
        .does_not_say("Provisional");
    organiser
        .get(&the_match)
        .await
        .shown()
        .says("The result stands as the club’s old sheet has it")
        .does_not_say("provisional");
}
