//! How a file's figures are told beside those of another source.

use super::*;

#[tokio::test]
async fn a_trace_beside_no_rain_and_a_variable_wind_are_told_in_words() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let officer = site.organiser().await;
    let file = |rain: &str, wind: &str, from: &str| {
        format!(
            "{}\r\n2026-11-10,,,{rain},{wind},{from},,,,\r\n",
            LAYOUT.join(",")
        )
    };
    bring(
        &officer,
        file("0", "2.2352", "SW").as_bytes(),
        &new_source("Harl Top"),
    )
    .await;

    let page = upload(&officer, file("trace", "2.2352", "var").as_bytes())
        .await
        .taken();
    officer.submit(&page, &new_source("Low Mere")).await.taken();

    officer
        .get(&page)
        .await
        .shown()
        .says("rain: Harl Top says 0.0 mm; this file says a trace, too little to measure.")
        .says("wind: Harl Top says 5 mph from SW; this file says 5 mph, variable.");
}
