//! Dates in files: the order of day and month is a question for the file, never a guess.

use peglore::formats::days::{DayOrder, OrderFound, find_order, read_day};

#[test]
fn a_date_is_read_in_any_of_its_usual_dresses() {
    for text in [
        "2026-03-29",
        "2026/3/29",
        "20260329",
        "29 March 2026",
        "29 Mar 26",
        "Sun 29th Mar 2026",
        "Sunday, 29 March 2026",
        "March 29, 2026",
        "29-Mar-26",
        "29.03.2026",
        "29/03/2026",
        "29/3/26",
        "2026-03-29T00:00:00",
        "29/03/2026 00:00",
        " 2026-03-29 ",
    ] {
        assert_eq!(
            read_day(text, Some(DayOrder::DayFirst)).map(|d| d.to_string()),
            Ok("2026-03-29".to_owned()),
            "{text}"
        );
    }
    let month_first = read_day("03/29/2026", Some(DayOrder::MonthFirst));
    assert_eq!(
        month_first.map(|d| d.to_string()),
        Ok("2026-03-29".to_owned())
    );
    assert_eq!(
        read_day("1/2/69", Some(DayOrder::DayFirst)).map(|d| d.year()),
        Ok(1969)
    );
    assert_eq!(
        read_day("1/2/68", Some(DayOrder::DayFirst)).map(|d| d.year()),
        Ok(2068)
    );
}

#[test]
fn what_is_no_day_says_how_to_mend_it() {
    for text in [
        "",
        "29 Feb 2025",
        "31/04/2025",
        "2025-02-30",
        "0001-01-01",
        "9999-01-01",
        "tomorrow",
        "45000",
        "12-8",
        "1e9",
        "٢٩/٠٣/٢٠٢٦",
        "1/2/3/4",
        "NaN",
        "29//03",
        &"9".repeat(400),
    ] {
        let refused = read_day(text, Some(DayOrder::DayFirst)).expect_err(text);
        assert!(refused.ends_with('.') && refused.len() < 200, "{refused}");
    }
    assert!(read_day("29 Feb 2024", None).is_ok());
    for one_day in ["08/13/25", "13/08/25"] {
        let read = read_day(one_day, None).map(|d| d.to_string());
        assert_eq!(read, Ok("2025-08-13".to_owned()), "{one_day}");
    }
    assert!(
        read_day("01/02/03", None)
            .expect_err("two days")
            .contains("could be two days")
    );
    assert!(read_day("04/04/2025", None).is_ok(), "the same either way");
}

#[test]
fn the_file_settles_the_order_or_it_is_asked_once() {
    assert_eq!(
        find_order(["2025-01-02", "3 Feb 2025"]),
        OrderFound::NotNeeded
    );
    assert_eq!(
        find_order(["01/02/2025", "13/02/2025"]),
        OrderFound::Settled(DayOrder::DayFirst)
    );
    assert_eq!(
        find_order(["01/02/2025", "02/13/2025"]),
        OrderFound::Settled(DayOrder::MonthFirst)
    );
    assert_eq!(find_order(["04/04/2025"]), OrderFound::NotNeeded);

    let unsettled = find_order(["04/04/2025", "01/02/2025", ""]);
    assert_eq!(
        unsettled,
        OrderFound::Unsettled {
            example: "01/02/2025".to_owned()
        }
    );
    assert_eq!(unsettled.settled(None), None);
    assert_eq!(
        unsettled.settled(Some(DayOrder::MonthFirst)),
        Some(DayOrder::MonthFirst)
    );
    assert!(
        unsettled
            .asks()
            .is_some_and(|asks| asks.contains("01/02/2025"))
    );

    let mixed = find_order(["13/02/2025", "02/13/2025"]);
    assert_eq!(mixed.settled(None), None);
    assert!(
        mixed
            .asks()
            .is_some_and(|asks| asks.contains("both orders"))
    );
    let wrong = read_day("02/13/2025", Some(DayOrder::DayFirst)).expect_err("no month 13");
    assert!(wrong.contains("the day comes first"), "{wrong}");
}

#[test]
fn an_answer_stands_before_all_that_the_file_shows() {
    let settled = find_order(["06/03/2021", "04/13/21"]);
    assert_eq!(settled, OrderFound::Settled(DayOrder::MonthFirst));
    assert_eq!(
        settled.settled(Some(DayOrder::DayFirst)),
        Some(DayOrder::DayFirst)
    );
    assert_eq!(settled.settled(None), Some(DayOrder::MonthFirst));
}

#[test]
fn a_day_of_the_week_tells_the_order_and_must_fit_its_date() {
    assert_eq!(
        find_order(["06/03/2021", "Sat 6.3.21"]),
        OrderFound::Settled(DayOrder::DayFirst)
    );
    let both = find_order(["Sat 6.3.21", "04/13/21"]);
    assert!(both.asks().is_some_and(|asks| asks.contains("both orders")));

    let read = |text, order| read_day(text, Some(order)).map(|day| day.to_string());
    assert_eq!(
        read("Sat 6.3.21", DayOrder::DayFirst),
        Ok("2021-03-06".to_owned())
    );
    assert_eq!(
        read("Sat 6.3.21", DayOrder::MonthFirst),
        Err("“Sat 6.3.21” says Saturday, but 3 June 2021 is a Thursday. Put right the date or the day of the week.".to_owned())
    );
    assert!(read("Weds 6 March 2021", DayOrder::DayFirst).is_err());
    assert_eq!(
        read("Thurs 1 January 1970", DayOrder::DayFirst),
        Ok("1970-01-01".to_owned())
    );
    assert_eq!(
        read("Sunday 31 December 1967", DayOrder::DayFirst),
        Ok("1967-12-31".to_owned())
    );
}
