//! What an administrator sets for the whole club: its name, its time zone, how names are shown.

use askama::Template;
use axum::{
    extract::State,
    response::{IntoResponse, Response},
};

use crate::{
    actions::set_club::set_club,
    domain::{
        club::Club,
        dates::Zone,
        names::{Name, NamesOpen, Reader, shown, text::clean_line},
    },
    store::settings,
    web::{
        errors::PageError,
        forms::{Field, Form, Problems},
        links::go_with,
        page::{Frame, Section, page, page_again},
        people::Member,
        state::Site,
    },
};

#[derive(Template)]
#[template(path = "committee/club.html")]
struct ClubPage {
    frame: Frame,
    name: Field,
    names: Field,
    zone: Field,
    problems: Problems,
}

impl ClubPage {
    async fn new(
        site: &Site,
        member: &Member,
        typed: &Typed,
        problems: Problems,
    ) -> Result<Self, PageError> {
        Ok(Self {
            frame: Frame::new(site, &member.visitor(), Section::Committee)
                .await?
                .with_problems(!problems.is_empty()),
            name: Field::new("name", "Name of the club", typed.name.as_str()).problems(&problems),
            names: Field::new(
                "names",
                "On published results visitors see",
                typed.names.as_str(),
            )
            .problems(&problems),
            zone: Field::new("zone", "Time zone", typed.zone.as_str())
                .hint("Europe/London in Britain. Each water has its own; this one is for a new water and for the committee’s pages.")
                .problems(&problems),
            problems,
        })
    }

    /// Each way to show a name, with an invented one shown that way.
    fn ways(&self) -> Vec<(&'static str, String)> {
        NamesOpen::ALL
            .map(|open| {
                let example = Name::new("Dot", "Hazelpatch")
                    .map(|name| shown(Some(&name), false, Reader::Visitor, open, Some("14")))
                    .unwrap_or_default();
                (open.as_str(), format!("{}: {example}", words(open)))
            })
            .to_vec()
    }
}

fn words(open: NamesOpen) -> &'static str {
    match open {
        NamesOpen::InitialAndSurname => "Initial and surname",
        NamesOpen::Full => "The full name",
        NamesOpen::MembersOnly => "No names, only pegs; members see them",
    }
}

/// The form as typed.
struct Typed {
    name: String,
    names: String,
    zone: String,
}

impl Typed {
    fn from_record(club: &Club) -> Self {
        Self {
            name: club.name.clone(),
            names: club.names.as_str().to_owned(),
            zone: club.zone.name().to_owned(),
        }
    }

    fn from_form(form: &Form) -> Self {
        let get = |name: &str| form.get(name).to_owned();
        Self {
            name: get("name"),
            names: get("names"),
            zone: get("zone"),
        }
    }

    fn read(&self, problems: &mut Problems) -> Option<Club> {
        let name = clean_line(&self.name, "the club’s name", 80).and_then(|name| {
            if name.is_empty() {
                Err("Enter the club’s name, as it stands on its notices.".to_owned())
            } else {
                Ok(name)
            }
        });
        let name = problems.take("name", name);
        let names = NamesOpen::parse(&self.names).ok_or("Choose how visitors see names.");
        let names = problems.take("names", names);
        let zone = Zone::named(&self.zone)
            .ok_or("That is no time zone that is known. In Britain it is Europe/London.");
        let zone = problems.take("zone", zone);
        Some(Club {
            name: name?,
            names: names?,
            zone: zone?,
        })
    }
}

pub async fn show(State(site): State<Site>, member: Member) -> Result<Response, PageError> {
    let club = settings::club(&mut *site.db.read().await?).await?;
    let typed = Typed::from_record(&club);
    page(ClubPage::new(&site, &member, &typed, Problems::default()).await?)
}

pub async fn submit(
    State(site): State<Site>,
    member: Member,
    form: Form,
) -> Result<Response, PageError> {
    let typed = Typed::from_form(&form);
    let mut problems = Problems::default();
    match typed.read(&mut problems) {
        Some(club) => {
            set_club(&site.db, site.now(), &member.by(), &club).await?;
            Ok(go_with(&site, "/committee/club", "saved").into_response())
        }
        None => page_again(ClubPage::new(&site, &member, &typed, problems).await?),
    }
}
