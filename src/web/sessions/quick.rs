//! `/report/quick`: the same water and peg as last time, last time's hours to confirm, and a number.
//! Its form is sent to `/report`, and comes back quick while all that is to be mended stands on it;
//! otherwise, or when it is asked for, the whole report's page takes over with what was typed.

use askama::Template;
use axum::{
    extract::State,
    http::StatusCode,
    response::{IntoResponse, Response},
};

use super::{choices::Choices, form::ReportForm, pairs, report::default_visibility};
use crate::{
    domain::{
        dates::{Instant, Zone, parse_time},
        groups::{Group, GroupSet},
        sessions::{
            Report, Visibility,
            last_time::{self, Carried},
        },
    },
    store::sessions::{choices::groups_counted, reading},
    web::{
        errors::PageError,
        forms::{Form, Problems},
        links::go,
        page::{Frame, Section, form_page},
        people::{Member, Visitor},
        state::Site,
    },
};

/// Days before the last report in which a group that was counted is asked for again.
const LATELY: i64 = 365;

/// What the spell of last time tells of this one.
const AS_LAST_TIME: [&str; 6] = ["venue", "peg", "method_1", "bait_1", "line_1", "rods_1"];

#[derive(Template)]
#[template(path = "sessions/quick.html")]
pub(super) struct QuickPage {
    frame: Frame,
    form: ReportForm,
    /// The day fished last, and today; gone once the form was sent.
    since: Option<(String, String)>,
    /// How last time’s spell was fished: all that is saved of it again. Without it the page says that
    /// the method stays not known.
    fished: Option<String>,
    /// What is said of the hours that stand there already.
    hours: Option<String>,
    /// The groups that are asked for.
    groups: Vec<&'static str>,
    /// Who will see the report as it stands chosen.
    seen_by: Option<&'static str>,
    /// Nobody has said yet who may see this angler's reports.
    choose: bool,
}

impl QuickPage {
    fn new(frame: Frame, form: &Form, mut shown: ReportForm) -> Self {
        for group in &mut shown.groups {
            group.number.label = format!("{}, how many", group.name);
            group.weight.label = format!("{}, weight if you know it", group.name);
        }
        Self {
            frame,
            since: None,
            fished: fished(&shown),
            hours: None,
            groups: asked_for(form).map(Group::name).collect(),
            seen_by: Visibility::parse(&shown.visibility.value).map(Visibility::foretold),
            choose: shown.visibility.problem.is_some(),
            form: shown,
        }
    }

    fn asks(&self, name: &str) -> bool {
        self.groups.contains(&name)
    }

    /// Something at the peg, carried over unseen, is to be mended or was asked about.
    fn shows_peg(&self) -> bool {
        self.form.peg.problem.is_some() || self.form.peg.sure.is_some()
    }
}

/// `pole, pellet, at 14 m, one rod`.
fn fished(form: &ReportForm) -> Option<String> {
    let spell = form.spells.first()?;
    let chosen = |list: &[(String, String)], id: &str| {
        let found = list.iter().find(|(known, _)| known == id);
        found.map(|(_, words)| words.to_lowercase())
    };
    let line = &spell.line.value;
    let how = [
        chosen(&spell.methods, &spell.method.value),
        chosen(&spell.baits, &spell.bait.value),
        (!line.is_empty()).then(|| format!("at {line}")),
    ];
    let mut words: Vec<_> = how.into_iter().flatten().collect();
    match spell.rods.value.as_str() {
        "" | "1" if words.is_empty() => return None,
        "" | "1" => words.push("one rod".to_owned()),
        rods => words.push(format!("{rods} rods")),
    }
    Some(words.join(", "))
}

/// The groups that a quick form asks for: carp and silvers, and those whose boxes it has.
fn asked_for(form: &Form) -> impl Iterator<Item = Group> {
    Group::ALL.into_iter().filter(move |group| {
        matches!(group, Group::Carp | Group::Silvers)
            || form.has(&format!("{}_number", group.slug()))
    })
}

/// Was this sent from the quick form, and does all that is to be mended stand on it?
pub(super) fn holds(form: &Form, problems: &Problems) -> bool {
    // What is wrong with the whole form has no field.
    let mut fields: Vec<String> = ["", "date", "start", "end", "peg", "visibility"]
        .map(str::to_owned)
        .into();
    for group in asked_for(form) {
        fields.extend(["number", "weight"].map(|what| format!("{}_{what}", group.slug())));
    }
    form.has("quick") && problems.list.iter().all(|p| fields.contains(&p.field))
}

/// The quick form with what was sent, once more.
pub(super) async fn again(
    site: &Site,
    member: &Member,
    form: &Form,
    shown: ReportForm,
) -> Result<QuickPage, PageError> {
    let frame = Frame::new(site, &member.visitor(), Section::Report).await?;
    let frame = frame.with_problems(!shown.problems.is_empty());
    Ok(QuickPage::new(frame, form, shown))
}

pub async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    member: Member,
) -> Result<Response, PageError> {
    let mut reading = site.db.read().await?;
    let latest = match member.who.angler {
        Some(angler) => reading::latest(&mut reading, angler).await?,
        None => None,
    };
    let head = match latest {
        Some(pid) => reading::by_pid(&mut reading, &pid).await?,
        None => None,
    };
    let Some(head) = head else {
        return Ok(go(&site, "/report").into_response());
    };
    let report = reading::report(&mut reading, &head).await?;
    let lately = head.day.plus(-LATELY);
    let counted = groups_counted(&mut reading, head.venue, lately, head.angler).await?;
    drop(reading);
    let choices = Choices::load(&site, &member, head.venue).await?;
    let remembered = default_visibility(&site, &member).await?;
    let (today, hours) = (
        site.now().day(&choices.zone),
        Hours::of(&report, site.now(), &choices.zone),
    );
    let mut pairs = carried_pairs(&report, &choices);
    for group in Group::ALL {
        if counted.contains(&GroupSet::from(group)) {
            pairs.push((format!("{}_number", group.slug()), String::new()));
        }
    }
    let day = hours.carried.map_or(today, |carried| carried.day);
    pairs.push(("date".to_owned(), day.to_string()));
    if let Some(carried) = &hours.carried {
        for (name, at) in [("start", carried.start), ("end", carried.end)] {
            pairs.push((name.to_owned(), at.clock(&choices.zone)));
        }
    }
    // Who sees a session known from its match alone was no choice of its angler.
    let chosen = head.has_report.then(|| report.visibility.as_str());
    if let Some(seen_by) = remembered.or(chosen) {
        pairs.push(("visibility".to_owned(), seen_by.to_owned()));
    }
    let form = Form::from_pairs(pairs);
    let frame = Frame::new(&site, &visitor, Section::Report).await?;
    let shown = QuickPage {
        since: Some((head.day.long(), today.long())),
        hours: hours.words(),
        choose: remembered.is_none(),
        ..QuickPage::new(frame, &form, ReportForm::new(&form, &choices, None))
    };
    form_page(StatusCode::OK, shown)
}

/// Water and peg of last time, and how it was fished where that was one way all day: a spell that
/// did not cover the day tells nothing of the rest of it.
fn carried_pairs(report: &Report, choices: &Choices) -> Vec<(String, String)> {
    let one_way = report.spells.len() <= 1;
    pairs::pairs_of(report, choices)
        .into_iter()
        .filter(|(name, _)| AS_LAST_TIME.contains(&name.as_str()))
        .filter(|(name, _)| one_way || !name.ends_with("_1"))
        .collect()
}

/// Last time's hours, and what of them can have been fished by now.
struct Hours {
    /// When it began and ended on the clock.
    last: Option<(String, String)>,
    carried: Option<Carried>,
    /// What stands there now, on the clock, and whether it was yesterday.
    end: String,
    yesterday: bool,
}

impl Hours {
    fn of(report: &Report, now: Instant, zone: &Zone) -> Self {
        let clock = |at: Option<Instant>| at.map(|at| at.clock(zone));
        let last = clock(report.start).zip(clock(report.end));
        let times = last
            .as_ref()
            .and_then(|(start, end)| parse_time(start).zip(parse_time(end)));
        let carried = times.and_then(|times| last_time::carried(now, times, zone));
        Self {
            end: carried.map_or(String::new(), |carried| carried.end.clock(zone)),
            yesterday: carried.is_some_and(|carried| carried.day != now.day(zone)),
            last,
            carried,
        }
    }

    /// What the form says of them; nothing where they are not known.
    fn words(&self) -> Option<String> {
        let (start, end) = self.last.as_ref()?;
        let date = match self.yesterday {
            true => " They run past midnight, so the date is yesterday’s.",
            false => "",
        };
        Some(match self.carried {
            None => format!(
                "Last time’s hours, {start} to {end}, are still to come today. Enter today’s: they turn the catch into a rate."
            ),
            Some(carried) if carried.cut => format!(
                "Last time you packed up at {end}, which is still to come: {} is now.{date} Mend the hours if today was different: they turn the catch into a rate.",
                self.end
            ),
            Some(_) => format!(
                "These are last time’s hours.{date} Mend them if today was different: they turn the catch into a rate."
            ),
        })
    }
}
