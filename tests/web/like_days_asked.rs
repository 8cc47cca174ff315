//! Like days as asked: the day, conditions typed in and what cannot be read.

use crate::support::{TestSite, fishing::TODAY};

const PAGE: &str = "/venues/1/like-days";

#[tokio::test]
async fn tomorrow_takes_todays_weather_typed_in_and_saves_nothing() {
    let site = TestSite::with_club(1, 12, 0).await;
    site.fitted().await;
    let tomorrow = TODAY.plus(1);
    let page = site
        .visitor()
        .get(&format!("{PAGE}?date={tomorrow}"))
        .await
        .shown();
    page.says(", Sunday 15 November 2026</h1>")
        .says("min=\"2026-11-14\" max=\"2026-11-15\"")
        .says("Today or tomorrow: the weather of the days before a later day is not known yet.")
        .says(&format!("low_{TODAY}"))
        .says("Sat 14 Nov is not written down. <a class=\"on-screen\" href=\"/venues/1/weather\">Write it down</a>");

    let typed = format!("{PAGE}?date={tomorrow}&low_{TODAY}=-1&high_{TODAY}=5&rain_{TODAY}=trace");
    let page = site.visitor().get(&typed).await.shown();
    page.says("What you typed for Sat 14 Nov is used on this page only and is not saved: Sat 14 Nov low −1.0 °C, high 5.0 °C, rain a trace, too little to measure.")
        .does_not_say("Sat 14 Nov is not written down")
        .says("value=\"-1\"");
    // On paper the form is left out, and the sentence stands above it.
    let (above, _) = page
        .body
        .split_once("<form method=\"get\"")
        .expect("a form");
    assert!(above.contains("What you typed for"));
    let marks_after = site.visitor().get(PAGE).await.shown();
    marks_after.does_not_say("has changed since");

    // What hardly any day has is asked about above the answer and at its box, as in a report.
    let wild = format!(
        "{PAGE}?date={tomorrow}&low_{TODAY}=-25&high_{TODAY}=30&rain_{TODAY}=900&wind_{TODAY}=120"
    );
    let asked = "Sat 14 Nov: 900.0\u{a0}mm is far more rain than one day usually brings. Mend it, or tick that it is right.";
    let page = site.visitor().get(&wild).await;
    let page = page.asks("is far from usual as the mean of a whole day");
    page.says("Not everything you typed could be used")
        .says("What you typed is still in its box below.")
        .says(&format!("<a href=\"#rain_{TODAY}\">{asked}</a>"))
        .says(&format!(
            "<p class=\"problem\" id=\"rain_{TODAY}-problem\">{asked}</p>"
        ));
    for typed in ["low", "high", "rain", "wind"] {
        page.says(&format!("<a href=\"#{typed}_{TODAY}\">"))
            .says(&format!("id=\"{typed}_{TODAY}-problem\""))
            .says(&format!("id=\"{typed}_{TODAY}_sure\""));
    }
    assert_eq!(page.body.matches("aria-invalid=\"true\"").count(), 4);
    // And feeds nothing until somebody says that it is right.
    page.says("Mend the weather typed in first, or tick beside it that it is right")
        .says(&format!("name=\"rain_{TODAY}_sure\""))
        .does_not_say("What you typed for")
        .does_not_say("expect about");
    let rain = format!("{PAGE}?date={tomorrow}&rain_{TODAY}=120");
    site.visitor()
        .get(&rain)
        .await
        .asks("Mend it, or tick that it is right.")
        .does_not_say("expect about");
    let sure = "120.0%C2%A0mm+is+far+more+rain+than+one+day+usually+brings.";
    site.visitor()
        .get(&format!("{rain}&rain_{TODAY}_sure={sure}"))
        .await
        .shown()
        .says(&format!("name=\"rain_{TODAY}_sure\" value=\"120.0"))
        .says(" checked>")
        .does_not_say("Mend it, or tick")
        .does_not_say("is far more rain than one day usually brings.</")
        .does_not_say("aria-invalid")
        .says("What you typed for")
        .says("expect about");

    site.visitor()
        .get(&format!("{PAGE}?date={tomorrow}&low_{TODAY}=mild"))
        .await
        .asks("could not be read as the temperature")
        .says("Mend the weather typed in first")
        .does_not_say("expect about")
        .says("value=\"mild\"");
    site.visitor()
        .get(&format!(
            "{PAGE}?date={tomorrow}&low_{TODAY}=9&high_{TODAY}=3"
        ))
        .await
        .says("Mend the weather typed in first")
        .does_not_say("What you typed for")
        .does_not_say("expect about");
    site.visitor()
        .get(&format!("{PAGE}?date=2026-12-24"))
        .await
        .asks("This page looks ahead by a day at most")
        .says(": what to expect</h1>")
        .says("No figures are shown: this page looks at today and tomorrow only.")
        .does_not_say("14 November 2026</h1>")
        .does_not_say("expect about")
        .does_not_say("By custom, begin")
        .does_not_say("The nearest days");
    site.visitor()
        .get(&format!("{PAGE}?date=2020-01-01"))
        .await
        .asks("That day has gone: this page looks at today, Saturday 14 November 2026, or tomorrow, Sunday 15 November 2026.")
        .says("What you typed is still in its box below.")
        .does_not_say("looks ahead by a day");
    site.visitor()
        .get(&format!("{PAGE}?date=1890-01-01"))
        .await
        .asks("That day has gone")
        .says("value=\"1890-01-01\"")
        .says("What you typed is still in its box below.");
    for none in ["2026-02-30", "abc"] {
        site.visitor()
            .get(&format!("{PAGE}?date={none}"))
            .await
            .asks(&format!(
                "“{none}” is not a date: choose today, Saturday 14 November 2026,"
            ))
            .does_not_say("looks ahead by a day")
            .does_not_say("still in its box");
    }
    for odd in [
        "date=%00",
        "group=99",
        "hours=-1",
        "peg=%3Cb%3E",
        "series=all&group=&hours=",
    ] {
        let status = site.visitor().get(&format!("{PAGE}?{odd}")).await.status;
        assert!(!status.is_server_error(), "{odd}: {status}");
    }
}
