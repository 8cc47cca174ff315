//! Each picture once, whole, as a golden page: a change to a drawing is seen in review.

use askama::Template;
use peglore::web::pictures::{
    Adds, Bank, EffectLadder, Hour, HourStrip, Hours, Reed, ReedLine, RunUp, RunUpStrip, Rung,
    SmallRunUpStrip, StripDay, StripWind,
};

#[derive(Template)]
#[template(source = "<p>{{ strip }}</p>", ext = "html")]
struct Page {
    strip: SmallRunUpStrip,
}

/// A frosty day, a day nobody wrote down, and a mild wet session day in a fresh westerly.
fn run_up() -> RunUp {
    let frosty = StripDay {
        label: "13".into(),
        name: "Thu 13 Nov".into(),
        low_c: Some(-3.0),
        high_c: Some(4.0),
        rain_mm: Some(0.0),
        wind: Some(StripWind {
            speed_ms: Some(0.0),
            from_deg: None,
            is_variable: false,
            words: "calm".into(),
        }),
        pressure_hpa: Some(1028.0),
        session_day: false,
    };
    let unwritten = StripDay {
        label: "14".into(),
        name: "Fri 14 Nov".into(),
        ..StripDay::default()
    };
    let session = StripDay {
        label: "15".into(),
        name: "Sat 15 Nov".into(),
        low_c: Some(6.0),
        high_c: Some(11.0),
        rain_mm: Some(8.6),
        wind: Some(StripWind {
            speed_ms: Some(8.0),
            from_deg: Some(270.0),
            is_variable: false,
            words: "18\u{a0}mph W".into(),
        }),
        pressure_hpa: Some(998.0),
        session_day: true,
    };
    RunUp {
        id: "run-up".into(),
        title: "Run-up to Saturday 15 November".into(),
        summary: "Frost <& ice> on the 13th, mild on the day.".into(),
        period: "Thu 13 to Sat 15 November".into(),
        days: vec![frosty, unwritten, session],
        facing_deg: Some(270.0),
        wind_words: "into your face on the day".into(),
        scale: None,
    }
}

fn bank(pegs: usize) -> Bank {
    let reed = |n: usize| Reed {
        number: n.to_string(),
        href: format!("/pegs/{n}"),
        adds: match n % 4 {
            0 => None,
            1 => Some(Adds {
                ratio: 1.52,
                low: 1.12,
                high: 2.06,
                clear: true,
            }),
            2 => Some(Adds {
                ratio: 1.05,
                low: 0.7,
                high: 1.6,
                clear: false,
            }),
            _ => Some(Adds {
                ratio: 0.69,
                low: 0.52,
                high: 0.92,
                clear: true,
            }),
        },
        closed: n == 4,
        matches: 41,
        words: "in words".into(),
    };
    Bank {
        id: "reeds".into(),
        name: "Long Reach".into(),
        reeds: (1..=pegs).map(reed).collect(),
        summary: "Peg 1 stands highest.".into(),
        begins: "car park end first".into(),
    }
}

#[test]
fn the_run_up_strip_is_drawn_as_before() {
    insta::assert_snapshot!(RunUpStrip::new(run_up()));
}

#[test]
fn the_small_run_up_strip_is_drawn_as_before() {
    insta::assert_snapshot!(SmallRunUpStrip::new(run_up()));
}

#[test]
fn days_without_a_session_are_boxed_nowhere_and_the_table_can_be_the_pages_own() {
    let mut run_up = run_up();
    run_up.days.pop();
    let drawn = RunUpStrip::new(run_up).without_table().to_string();

    assert!(drawn.contains("Each column is a day. Bar:"), "{drawn}");
    assert!(!drawn.contains("class=\"today\""), "{drawn}");
    assert!(!drawn.contains("<table"), "{drawn}");
}

/// A direction nobody wrote down leaves a gap; only a wind written down as variable has the mark.
#[test]
fn a_variable_wind_is_drawn_and_explained_and_an_unknown_one_is_neither() {
    let with_wind = |is_variable| {
        let mut run_up = run_up();
        run_up.days[1].wind = Some(StripWind {
            speed_ms: Some(5.0),
            from_deg: None,
            is_variable,
            words: "11\u{a0}mph".into(),
        });
        RunUpStrip::new(run_up).to_string()
    };
    let mark = "M-6 2C";

    let variable = with_wind(true);
    assert!(variable.contains(mark), "{variable}");
    assert!(
        variable.contains("into your face on the day; ~ variable.</figcaption>"),
        "{variable}"
    );
    let unknown = with_wind(false);
    assert!(!unknown.contains(mark), "{unknown}");
    assert!(!unknown.contains("variable"), "{unknown}");
    assert!(
        !unknown.contains("no record"),
        "its speed is on record: {unknown}"
    );
}

#[test]
fn the_box_of_the_session_day_stays_within_the_drawing() {
    let drawn = SmallRunUpStrip::new(run_up()).to_string();
    let (_, boxed) = drawn.split_once("class=\"today\"").expect("a box");
    let per_cent = |name: &str| {
        let (_, rest) = boxed.split_once(&format!(" {name}=\"")).expect("a place");
        let (figure, _) = rest.split_once('%').expect("in per cent");
        figure.parse::<f64>().expect("a figure")
    };

    assert!(per_cent("x") + per_cent("width") < 99.0, "{boxed}");
}

#[test]
fn the_reed_line_is_drawn_as_before() {
    insta::assert_snapshot!(ReedLine::new(bank(4)));
}

#[test]
fn a_long_bank_runs_down_the_page_with_every_peg_a_link() {
    let drawn = ReedLine::new(bank(40)).to_string();

    for peg in 1..=40 {
        // Once in the drawing and once in the table.
        assert_eq!(
            drawn.matches(&format!("href=\"/pegs/{peg}\"")).count(),
            2,
            "peg {peg}"
        );
    }
}

#[test]
fn the_hour_strip_is_drawn_as_before() {
    let hour = |name: &str, fish, rod_hours, rate: &str, low: &str, high: &str| Hour {
        name: name.into(),
        fish,
        at: vec![0.5],
        rod_hours,
        rate: rate.into(),
        low: low.into(),
        high: high.into(),
    };
    let hours = vec![
        hour("first", 2, 11.0, "0.5", "0.1", "1.2"),
        hour("second", 0, 9.0, "", "", ""),
    ];

    insta::assert_snapshot!(HourStrip::new(Hours {
        id: "hours".into(),
        title: "When the fish came".into(),
        summary: "No hour stands out.".into(),
        unit: "fish an hour".into(),
        behind: "11 timed sessions".into(),
        hours,
    }));
}

#[test]
fn the_effect_ladder_is_drawn_as_before() {
    let rung = |ratio, low, high, sentence: &str| Rung {
        feature: "Each 3\u{a0}°C warmer".into(),
        ratio,
        low,
        high,
        sentence: sentence.into(),
    };
    let rungs = vec![
        rung(1.22, 1.05, 1.41, "About a fifth more."),
        rung(0.9, 0.1, 1.3, "Cannot tell."),
    ];

    insta::assert_snapshot!(EffectLadder::new(
        "For a step of each.".into(),
        "rate".into(),
        rungs
    ));
}

#[test]
fn a_page_embeds_a_picture_whole_while_its_words_are_still_escaped() {
    let page = Page {
        strip: SmallRunUpStrip::new(run_up()),
    }
    .to_string();

    assert!(
        page.contains("<p><svg class=\"draw small-strip\""),
        "{page}"
    );
    assert!(page.contains("Frost &#60;&#38; ice&#62;"), "{page}");
}
