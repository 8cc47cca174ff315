//! What each column of a sheet holds, and what the sheet leaves out, asked once.

use askama::Template;
use axum::{
    extract::{Path, State},
    response::{IntoResponse, Response},
};

use self::behind::Behind;
use super::{laid_out, latest};
use crate::{
    actions::import::{
        set_mapping,
        sheet::{ClubLists, Look, Plan, UnknownWord, look_at},
    },
    domain::{
        dates::{Day, parse_time},
        groups::{Group, GroupSet},
        ids::ImportId,
        matches::PegsAllotted,
        names::text::clean_line,
        units::read_hours,
    },
    formats::{
        csv::Sheet,
        days::DayOrder,
        old_sheets::{BareWeights, Column, Mapping, SameDay, SheetOf, nothing_taken_from},
    },
    statistics::wording,
    store::{
        imports::{self, Import},
        matches::listing::{self, Water},
    },
    web::{
        errors::PageError,
        forms::{Field, Form, Problems},
        links::go,
        page::{Frame, Section, page, page_again},
        people::Member,
        state::Site,
    },
};

mod behind;
mod match_name;
mod words;

#[derive(Template)]
#[template(path = "imports/columns.html")]
struct ColumnsPage {
    frame: Frame,
    import: Import,
    of: SheetOf,
    sheet: Sheet,
    waters: Vec<Water>,
    /// The file of the same bytes that is in the record.
    twin: Option<ImportId>,
    /// The name of the earlier file with these headings whose answers were filled in.
    like: Option<String>,
    /// What of it was not.
    not_filled_in: String,
    lists: ClubLists,
    /// Words for methods and baits that are not on the club's lists.
    unknown: Vec<UnknownWord>,
    behind: Behind,
    form: Form,
    problems: Problems,
}

/// One column with its first cells.
struct ColumnLine {
    field: Field,
    sample: String,
}

impl ColumnsPage {
    fn matches(&self) -> bool {
        self.of == SheetOf::Matches
    }

    /// `Twelve rows.`
    fn rows(&self) -> String {
        wording::sentence(&wording::count(self.sheet.rows.len(), "row", "rows"))
    }

    fn here(&self) -> String {
        self.frame
            .url(&format!("/imports/{}/columns", self.import.id))
    }

    fn columns(&self) -> Vec<ColumnLine> {
        let line = |(at, name): (usize, &String)| {
            let filled = self.sheet.cells(at).filter(|cell| !cell.trim().is_empty());
            let cells: Vec<String> = filled
                .take(3)
                .map(|c| c.chars().take(40).collect())
                .collect();
            ColumnLine {
                field: self.field(&format!("column-{at}"), name, ""),
                sample: match cells.is_empty() {
                    true => "empty".to_owned(),
                    false => cells.join(" · "),
                },
            }
        };
        self.sheet.header.iter().enumerate().map(line).collect()
    }

    /// `Nothing is taken from the column “When”.`, as the form stands.
    fn not_taken(&self) -> String {
        let names = self.sheet.header.iter().enumerate();
        let left = names.filter(|(at, _)| self.form.get(&format!("column-{at}")).is_empty());
        let left: Vec<String> = left.map(|(_, name)| name.clone()).collect();
        nothing_taken_from(&left).unwrap_or_default()
    }

    fn words(&self) -> Vec<(Field, Vec<(String, String)>)> {
        let line = |word| words::line(word, &self.lists, &self.form, &self.problems);
        self.unknown.iter().map(line).collect()
    }

    fn choices(&self) -> Vec<(String, String)> {
        let all = Column::all(self.of).into_iter();
        all.map(|column| (column.slug(), column.words())).collect()
    }

    fn field(&self, name: &str, label: &str, hint: &str) -> Field {
        let field = Field::new(name, label, self.form.get(name)).problems(&self.problems);
        match hint {
            "" => field,
            hint => field.hint(hint),
        }
    }

    fn venues(&self) -> Vec<(String, String)> {
        let pair = |water: &Water| (water.name.clone(), water.name.clone());
        self.waters.iter().map(pair).collect()
    }

    fn ways(&self) -> Vec<(String, String)> {
        let ways = PegsAllotted::ALL.into_iter();
        ways.filter(|way| *way != PegsAllotted::DrawnHere)
            .map(|way| (way.as_str().to_owned(), way.words().to_owned()))
            .collect()
    }

    fn bares(&self) -> Vec<(String, String)> {
        BareWeights::ALL
            .map(|bare| (bare.slug().to_owned(), bare.words().to_owned()))
            .to_vec()
    }

    fn outings(&self) -> Vec<(String, String)> {
        SameDay::ALL
            .map(|same| (same.slug().to_owned(), same.words().to_owned()))
            .to_vec()
    }

    fn orders(&self) -> Vec<(String, String)> {
        vec![
            (
                DayOrder::DayFirst.slug().to_owned(),
                "the day: 5/1 is 5 January".to_owned(),
            ),
            (
                DayOrder::MonthFirst.slug().to_owned(),
                "the month: 5/1 is 1 May".to_owned(),
            ),
        ]
    }

    fn groups(&self) -> Vec<(String, &'static str, bool)> {
        Group::ALL
            .map(|group| {
                let name = group_field(group);
                let ticked = self.form.has(&name);
                (name, group.name(), ticked)
            })
            .to_vec()
    }

    fn seen_by(&self) -> Vec<(String, String)> {
        [
            ("club", "the club"),
            ("private", "each angler alone, and officers"),
        ]
        .map(|(value, words)| (value.to_owned(), words.to_owned()))
        .to_vec()
    }
}

fn group_field(group: Group) -> String {
    format!("group-{}", group.slug())
}

pub async fn show(
    State(site): State<Site>,
    member: Member,
    Path(id): Path<String>,
) -> Result<Response, PageError> {
    let (import, plan, of) = laid_out(&site, &id).await?;
    let frame = Frame::new(&site, &member.visitor(), Section::Committee).await?;
    let mut reading = site.db.read().await?;
    let (sheet, look) = look_at(&mut reading, import.id, &plan, latest(&site)).await?;
    let lists = ClubLists::read(&mut reading).await?;
    page(ColumnsPage {
        frame,
        waters: listing::waters(&mut reading).await?,
        twin: imports::same_file(&mut reading, &import.file_sha256).await?,
        unknown: lists.unknown(&sheet, &plan.mapping),
        behind: Behind::of(&look),
        lists,
        form: form_of(&plan.mapping),
        not_filled_in: plan.not_filled_in(),
        like: plan.like,
        problems: Problems::default(),
        import,
        of,
        sheet,
    })
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let (import, before, of) = laid_out(&site, &id).await?;
    let mut reading = site.db.read().await?;
    let waters = listing::waters(&mut reading).await?;
    let mut problems = Problems::default();
    let plan = Plan {
        mapping: mapping(&form, of, &before.mapping, &waters, &mut problems),
        ..before
    };
    let (sheet, look) = look_at(&mut reading, import.id, &plan, latest(&site)).await?;
    let behind = Behind::of(&look);
    let look = answered(look, &mut problems);
    let lists = ClubLists::read(&mut reading).await?;
    let unknown = lists.unknown(&sheet, &plan.mapping);
    words::ask(&unknown, &form, &mut problems);
    if let (Some(look), true) = (look, problems.is_empty()) {
        drop(reading);
        set_mapping(
            &site.db,
            &member.by(),
            import.id,
            import.kind,
            &plan.json()?,
        )
        .await?;
        let next = if look.doubts() > 0 { "/names" } else { "" };
        return Ok(go(&site, &format!("/imports/{}{next}", import.id)).into_response());
    }
    let twin = imports::same_file(&mut reading, &import.file_sha256).await?;
    drop(reading);
    page_again(ColumnsPage {
        frame: Frame::new(&site, &member.visitor(), Section::Committee)
            .await?
            .with_problems(true),
        import,
        of,
        sheet,
        waters,
        twin,
        not_filled_in: plan.not_filled_in(),
        like: plan.like,
        lists,
        unknown,
        behind,
        form,
        problems,
    })
}

/// What is still to be answered becomes a problem at its field, unless the field has one.
fn answered(look: Result<Look, Vec<String>>, problems: &mut Problems) -> Option<Look> {
    match look {
        Err(sentences) => {
            let all = sentences.into_iter();
            all.for_each(|sentence| problems.add("column-0", sentence));
            None
        }
        Ok(look) => {
            for ask in &look.read.asks {
                if problems.at(ask.field()).is_empty() {
                    problems.add(ask.field(), ask.sentence());
                }
            }
            Some(look)
        }
    }
}

/// The mapping as typed; what cannot be read is a problem and stays unanswered. Words that the form
/// did not ask about mean what they meant `before`.
fn mapping(
    form: &Form,
    of: SheetOf,
    before: &Mapping,
    waters: &[Water],
    problems: &mut Problems,
) -> Mapping {
    let chosen = |name: &str| (!form.get(name).is_empty()).then(|| form.get(name));
    let mut line = |name: &str, what: &str| {
        let typed = clean_line(form.get(name), what, 120);
        problems.take(name, typed).filter(|text| !text.is_empty())
    };
    let match_name = line("match_name", "the name of the match");
    let date = chosen("date").and_then(|typed| {
        let day = Day::parse(typed).ok_or("Enter the date like 2019-01-05.");
        problems.take("date", day)
    });
    let minutes = chosen("hours").and_then(|typed| problems.take("hours", read_hours(typed, 48)));
    let hours_unknown = form.has("hours_unknown") && minutes.is_none();
    let start = chosen("start").and_then(|typed| {
        let time = parse_time(typed).ok_or("This is no time of day. Enter it like 10:00.");
        problems.take("start", time)
    });
    let groups = Group::ALL
        .into_iter()
        .filter(|group| form.has(&group_field(*group)));
    let venue = chosen("venue").filter(|name| waters.iter().any(|water| water.name == *name));
    let mut mapping = Mapping {
        of,
        columns: (0..before.columns.len())
            .map(|at| Column::from_slug(form.get(&format!("column-{at}"))))
            .map(|column| column.filter(|column| column.field.belongs_to(of)))
            .collect(),
        methods: before.methods.clone(),
        baits: before.baits.clone(),
        day_order: chosen("day_order").and_then(DayOrder::from_slug),
        bare: chosen("bare").and_then(BareWeights::from_slug),
        date,
        venue: venue.map(str::to_owned),
        match_name,
        minutes,
        hours_unknown,
        start,
        pegs_allotted: chosen("pegs_allotted").and_then(PegsAllotted::parse),
        groups: GroupSet::of(groups),
        visibility: chosen("visibility")
            .filter(|word| matches!(*word, "club" | "private"))
            .map(str::to_owned),
        same_day: chosen("same_day").and_then(SameDay::from_slug),
    };
    words::read(form, &mut mapping);
    mapping
}

/// The form that would have given this mapping.
fn form_of(mapping: &Mapping) -> Form {
    let mut pairs = words::pairs(mapping);
    let mut put = |name: &str, value: Option<String>| {
        pairs.extend(value.map(|value| (name.to_owned(), value)));
    };
    for (at, column) in mapping.columns.iter().enumerate() {
        put(&format!("column-{at}"), column.map(Column::slug));
    }
    put(
        "day_order",
        mapping.day_order.map(|order| order.slug().to_owned()),
    );
    put("bare", mapping.bare.map(|bare| bare.slug().to_owned()));
    put("date", mapping.date.map(|day| day.to_string()));
    put("venue", mapping.venue.clone());
    put("match_name", mapping.match_name.clone());
    put("hours", mapping.minutes.map(|minutes| minutes.words()));
    put(
        "hours_unknown",
        mapping.hours_unknown.then(|| "on".to_owned()),
    );
    put(
        "start",
        mapping.start.map(|time| time.strftime("%H:%M").to_string()),
    );
    put(
        "pegs_allotted",
        mapping.pegs_allotted.map(|way| way.as_str().to_owned()),
    );
    put("visibility", mapping.visibility.clone());
    put(
        "same_day",
        mapping.same_day.map(|same| same.slug().to_owned()),
    );
    for group in Group::ALL {
        let ticked = mapping.counts(group).then(|| "on".to_owned());
        put(&group_field(group), ticked);
    }
    Form::from_pairs(pairs)
}
