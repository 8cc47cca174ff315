//! Files that are not what they say, odd cells, and what is said wrongly of a file.

use super::*;

#[tokio::test]
async fn files_that_are_no_weather_say_so_and_leave_nothing() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let officer = site.organiser().await;
    for (content, sentence) in [
        (&b""[..], "file"),
        (b"   \r\n ", "empty"),
        (b"\x89PNG\r\n\x1a\n0000", "a picture"),
        (b"PK\x03\x04rest of it", "a spreadsheet or a zip archive"),
        (b"\x1f\x8b\x08rest", "a compressed file"),
        (b"\x00\x01\x02\x03\x04", "not text"),
        (
            b"date,rain_mm\n\"2026-11-10,3\n2026-11-11,4\n",
            "not closed",
        ),
    ] {
        upload(&officer, content).await.asks(sentence);
    }
    officer
        .upload(PATH, &[], ("other", "x.csv", b"a,b\n"))
        .await
        .asks("Choose the file");
    let large = vec![b'x'; 17 * 1024 * 1024];
    assert_eq!(
        upload(&officer, &large).await.status,
        StatusCode::PAYLOAD_TOO_LARGE
    );
    let wrong = officer.submit(PATH, &[("file", "x")]).await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    officer
        .upload(
            PATH,
            &[],
            ("file", "../../etc/passwd", THREE_DAYS.as_bytes()),
        )
        .await
        .taken();
    officer
        .get(PATH)
        .await
        .shown()
        .says("passwd")
        .does_not_say("etc/");
    assert_eq!(days_kept(&site).await, 0);
}

#[tokio::test]
async fn odd_cells_and_days_are_refused_row_by_row_and_the_good_rows_stay() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    let officer = site.organiser().await;
    let rows = [
        "2026-11-01,NaN,,,",
        "2026-11-02,1e9,,,",
        "2026-11-03,٤,,,",
        "2026-11-04,9,4,,",
        "2026-02-29,1,,,",
        "2026-04-31,1,,,",
        "0001-01-01,1,,,",
        "9999-01-01,1,,,",
        "2026-11-15,1,2,,",
        "=1+1,1,,,",
        "<script>,1,,,",
        "2026-11-05,-0,\"4,5\",0x10,",
        "2026-11-06,1,2,-1,",
        "2026-11-07,1,2,3,29.92",
        "2026-11-08,-0,4.5,0,1001",
        "2024-02-29,1,2,3,1002",
        "2026-11-09,1",
    ];
    let text = format!("date,min_c,max_c,rain_mm,pressure_hpa\n{}", rows.join("\n"));
    let utf_16: Vec<u8> = [0xff, 0xfe]
        .into_iter()
        .chain(text.encode_utf16().flat_map(u16::to_le_bytes))
        .collect();
    let form = [
        ("act", "look"),
        ("whose", "new"),
        ("new_name", "<b>\"Harl\" 'Top'</b>"),
        ("day_ends", "24:00"),
        ("credited", "no"),
        ("col_0", "date"),
        ("col_1", "min-c"),
        ("col_2", "max-c"),
        ("col_3", "rain-mm"),
        ("col_4", "pressure-hpa"),
    ];
    let (page, looked) = laid_out(&officer, &utf_16, &form).await;
    looked
        .says("is above the high")
        .says("<b>Line 10.</b> Sun 15 Nov 2026 is still to come")
        .says("Line 12")
        .says("write in after it")
        .says("<b>Line 13, column rain_mm.</b>")
        .says("<b>Line 15, column pressure_hpa.</b>")
        .says("the rest of their days is taken")
        .does_not_say("<script>")
        .does_not_say("<b>\"Harl");
    save(&officer, &page, &looked).await.taken();
    let kept = stands(&site, TODAY.plus(-6)).await;
    assert_eq!((kept.min_c, kept.max_c), (Some(0.0), Some(4.5)));
    let leap = Day::new(2024, 2, 29).expect("a real day");
    assert_eq!(stands(&site, leap).await.pressure_hpa, Some(1002.0));
    let in_part = stands(&site, TODAY.plus(-7)).await;
    assert_eq!((in_part.rain_mm, in_part.pressure_hpa), (Some(3.0), None));
    assert_eq!(days_kept(&site).await, 6);
    site.visitor().get("/venues/1/weather").await.shown();
}

#[tokio::test]
async fn what_is_said_wrongly_of_a_file_is_asked_again_and_kept_as_typed() {
    let site = TestSite::new().await;
    water(&site, 1).await;
    water(&site, 2).await;
    let officer = site.organiser().await;
    let page = upload(&officer, THREE_DAYS.as_bytes()).await.taken();
    let mut form = new_source("");
    officer
        .submit(&page, &form)
        .await
        .asks("Name the new source")
        .says("<title>Error: ");
    form[2].1 = "what stands";
    officer
        .submit(&page, &form)
        .await
        .asks("means every source together");
    form[2].1 = "Harl Top";
    form[3].1 = "half past";
    officer
        .submit(&page, &form)
        .await
        .asks("Enter the hour")
        .says("value=\"half past\"")
        .says("value=\"Harl Top\"");
    form[3].1 = "09:00";
    form.retain(|(name, _)| *name != "col_0");
    officer.submit(&page, &form).await.taken();
    officer
        .get(&page)
        .await
        .shown()
        .says("No column is said to hold the date");
    let twice = [&form[..], &[("col_0", "rain-mm")]].concat();
    officer.submit(&page, &twice).await.taken();
    officer
        .get(&page)
        .await
        .shown()
        .says("Two columns are said to hold the rain");
    officer
        .submit(&page, &[("act", "look"), ("whose", "77")])
        .await
        .taken();
    officer.get(&page).await.shown().says("no longer there");
    officer
        .submit(&page, &[("act", "look"), ("whose", "x")])
        .await
        .asks("Choose one of the sources");
    officer
        .submit(&page, &[("act", "save")])
        .await
        .asks("no longer there");
    let elsewhere = page.replace("/venues/1/", "/venues/2/");
    assert_eq!(officer.get(&elsewhere).await.status, StatusCode::NOT_FOUND);
    assert_eq!(
        site.member().await.get(&page).await.status,
        StatusCode::FORBIDDEN
    );
}
