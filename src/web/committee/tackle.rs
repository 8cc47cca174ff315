//! `/committee/tackle`: the methods, baits and fish that reports choose from.

use askama::Template;
use axum::{
    extract::State,
    response::{IntoResponse, Response},
};

use crate::{
    actions::{
        ActionError,
        name_tackle::{self, LEFT_OVER, Tackle},
    },
    domain::groups::Group,
    store::sessions::choices::{self, Choice},
    web::{
        errors::PageError,
        forms::{Field, Form, Problems},
        links::go_with,
        page::{Frame, Section, page, page_again},
        people::Member,
        state::Site,
    },
};

const HERE: &str = "/committee/tackle";
const KINDS: [(&str, &str); 3] = [
    ("method", "A method"),
    ("bait", "A bait"),
    ("fish", "A fish"),
];

/// Methods or baits, each of which can be taken off.
struct List {
    kind: &'static str,
    heading: &'static str,
    items: Vec<Choice>,
}

/// The fish of one group.
struct GroupOf {
    name: &'static str,
    fish: String,
}

#[derive(Template)]
#[template(path = "committee/tackle.html")]
struct TacklePage {
    frame: Frame,
    lists: [List; 2],
    groups: Vec<GroupOf>,
    name: Field,
    kind: Field,
    group: Field,
    problems: Problems,
}

impl TacklePage {
    async fn new(
        site: &Site,
        member: &Member,
        form: &Form,
        problems: Problems,
    ) -> Result<Self, PageError> {
        let frame = Frame::new(site, &member.visitor(), Section::Committee)
            .await?
            .with_problems(!problems.is_empty());
        let mut reading = site.db.read().await?;
        let fish = choices::fish(&mut reading).await?;
        let of = |group: Group| {
            let own = fish.iter().filter(|one| one.group_bit == group.bit());
            let names: Vec<_> = own.map(|one| one.name.as_str()).collect();
            GroupOf {
                name: group.name(),
                fish: names.join(", "),
            }
        };
        let field =
            |name: &str, label: &str| Field::new(name, label, form.raw(name)).problems(&problems);
        Ok(Self {
            frame,
            groups: Group::ALL.map(of).into_iter().collect(),
            lists: [
                List {
                    kind: "method",
                    heading: "Methods",
                    items: choices::methods(&mut reading).await?,
                },
                List {
                    kind: "bait",
                    heading: "Baits",
                    items: choices::baits(&mut reading).await?,
                },
            ],
            name: field("name", "Its name").hint("As anglers say it."),
            kind: field("kind", "What it is"),
            group: field("group", "Its group, for a fish"),
            problems,
        })
    }

    /// What is left over is always offered.
    fn stays(&self, item: &Choice) -> bool {
        item.name == LEFT_OVER
    }

    fn kinds(&self) -> Vec<(&'static str, &'static str)> {
        KINDS.to_vec()
    }

    fn fish_groups(&self) -> Vec<(&'static str, &'static str)> {
        Group::ALL
            .map(|group| (group.slug(), group.name()))
            .to_vec()
    }
}

pub async fn show(State(site): State<Site>, member: Member) -> Result<Response, PageError> {
    page(TacklePage::new(&site, &member, &Form::default(), Problems::default()).await?)
}

/// Names one more; or, where the form came from such a button, takes one off the lists or offers it
/// again.
pub async fn submit(
    State(site): State<Site>,
    member: Member,
    form: Form,
) -> Result<Response, PageError> {
    let (db, now, by) = (&site.db, site.now(), member.by());
    let mut problems = Problems::default();
    if form.has("offered") {
        let id = form
            .get("id")
            .parse::<i64>()
            .map_err(|_| PageError::NotFound)?;
        let what = match form.get("kind") {
            "method" => Tackle::Method,
            "bait" => Tackle::Bait,
            _ => return Err(PageError::NotFound),
        };
        name_tackle::offer(db, now, &by, (what, id), form.get("offered") == "yes").await?;
        return Ok(go_with(&site, HERE, "saved").into_response());
    }
    if let Some(what) = read_kind(&form, &mut problems) {
        match name_tackle::add(db, now, &by, what, form.raw("name")).await {
            Err(ActionError::Refused { field, sentence }) => problems.add(field, sentence),
            done => {
                done?;
                return Ok(go_with(&site, HERE, "saved").into_response());
            }
        }
    }
    page_again(TacklePage::new(&site, &member, &form, problems).await?)
}

fn read_kind(form: &Form, problems: &mut Problems) -> Option<Tackle> {
    match form.get("kind") {
        "method" => Some(Tackle::Method),
        "bait" => Some(Tackle::Bait),
        "fish" => {
            let group = Group::from_slug(form.get("group"));
            let group = group.ok_or("Choose the group this fish belongs to.");
            problems.take("group", group).map(Tackle::Fish)
        }
        _ => problems.take(
            "kind",
            Err("Choose whether it is a method, a bait or a fish."),
        ),
    }
}
