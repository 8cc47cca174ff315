//! `/venues/{venue}/weather/import/{import}`: how one weather file is to be read, what it would
//! change, and saving, undoing or throwing it away.

use askama::Template;
use axum::{
    extract::State,
    http::StatusCode,
    response::{Html, IntoResponse, Response},
};

use super::{
    import::fetch,
    import_words::{Changes, Said, how_typed, said},
};
use crate::{
    actions::{
        ActionError,
        import::{
            self,
            weather::{self as bring, Brought, Preview, Saved, Whose},
        },
    },
    domain::{
        dates::Zone,
        ids::{ImportId, VenueId},
        imports::{ImportState, RecordKind},
    },
    formats::weather_csv::Column,
    store::{
        imports::{self, Import, undoing},
        weather::{self, Source, WeatherVenue},
    },
    web::{
        errors::PageError,
        forms::{Field, Form, Problems},
        imports::import::TICK_TO_UNDO,
        links::go_with,
        page::{Frame, Section, page, page_again},
        people::Member,
        places::Place,
        state::Site,
    },
};

/// One column of the file, and what it is taken for.
struct ColumnLine {
    field: String,
    name: String,
    sample: String,
    chosen: String,
}

#[derive(Template)]
#[template(path = "weather/import_file.html")]
struct ImportFilePage {
    frame: Frame,
    venue: WeatherVenue,
    import: Import,
    zone: Zone,
    preview: Preview,
    said: Said,
    columns: Vec<ColumnLine>,
    sources: Vec<Source>,
    changes: Changes,
    made: i64,
    twin: bool,
    /// Who undid it; `None` of the command line.
    undone_by: Option<String>,
    /// The tick without which the file is not undone.
    sure: Field,
    problems: Problems,
}

impl ImportFilePage {
    async fn new(
        site: &Site,
        member: &Member,
        (venue, import): (WeatherVenue, Import),
        form: Option<&Form>,
        problems: Problems,
    ) -> Result<Self, PageError> {
        let brought = Brought::of(&import);
        let preview = match import.state {
            ImportState::Uploaded => bring::look(&site.db, site.now(), &import).await?,
            ImportState::Done | ImportState::Undone => Preview::default(),
        };
        let said = match form {
            Some(form) => Said::typed(form),
            None => said(&brought, preview.file.day_ends.as_deref()),
        };
        let columns = preview.file.columns.iter().enumerate();
        let columns = columns.map(|(at, (name, cells))| {
            let field = format!("col_{at}");
            let chosen = match form {
                Some(form) => form.get(&field).to_owned(),
                None => {
                    let column = brought.how.columns.get(at).copied().flatten();
                    column.map(Column::slug).unwrap_or_default()
                }
            };
            ColumnLine {
                field,
                name: name.clone(),
                sample: cells.join(" · "),
                chosen,
            }
        });
        let frame = Frame::new(site, &member.visitor(), Section::Weather)
            .await?
            .with_problems(!problems.is_empty());
        let mut reading = site.db.read().await?;
        let made = imports::made(&mut reading, import.id).await?;
        let twin = imports::same_file(&mut reading, &import.file_sha256).await?;
        Ok(Self {
            changes: Changes::of(&preview, &brought),
            columns: columns.collect(),
            sources: weather::file_sources(&mut reading, venue.id, said.credited).await?,
            made: made
                .iter()
                .find(|(kind, _)| *kind == RecordKind::WeatherDay)
                .map_or(0, |(_, days)| *days),
            twin: twin.is_some_and(|twin| twin != import.id),
            undone_by: undoing::undone_by(&mut reading, import.id).await?,
            zone: Zone::named(&venue.zone).unwrap_or_else(Zone::utc),
            frame,
            venue,
            import,
            preview,
            said,
            sure: Field::new("sure", "Yes, undo the whole file", "").problems(&problems),
            problems,
        })
    }

    fn here(&self) -> String {
        format!(
            "/venues/{}/weather/import/{}",
            self.venue.id, self.import.id
        )
    }

    fn is_laid_out(&self) -> bool {
        self.import.state == ImportState::Uploaded
    }

    fn is_done(&self) -> bool {
        self.import.state == ImportState::Done
    }

    fn when(&self) -> String {
        self.import.at.in_words(&self.zone)
    }

    /// When it was undone; empty where it was not.
    fn undone(&self) -> String {
        let undone = self.import.undone;
        undone.map(|at| at.in_words(&self.zone)).unwrap_or_default()
    }

    fn became(&self) -> String {
        RecordKind::WeatherDay.counted(self.made)
    }

    /// What a column may be taken for.
    fn choices(&self) -> Vec<(String, String)> {
        Column::all()
            .into_iter()
            .map(|column| (column.slug(), column.to_string()))
            .collect()
    }

    /// The days can be shown as they would be saved.
    fn ready(&self) -> bool {
        self.is_laid_out() && self.preview.problems.is_empty()
    }

    /// Printed dates and days touched are not the same where a figure counts for the day before.
    fn days_touched(&self) -> usize {
        self.preview.planned.len()
    }

    fn days_read(&self) -> usize {
        self.preview.file.days.len()
    }

    /// `its day ends at 09:00; rain is counted for the day before`.
    fn counts(&self, source: &Source) -> String {
        let moved = [
            ("the low", source.min_shift),
            ("the high", source.max_shift),
            ("the rain", source.rain_shift),
        ];
        let moved: Vec<_> = moved
            .iter()
            .filter(|(_, shift)| *shift != 0)
            .map(|(name, _)| *name)
            .collect();
        let end = format!("its day ends at {}", source.day_ends_at);
        match moved.is_empty() {
            true => format!("{end}; printed dates are taken as they stand"),
            false => format!(
                "{end}; {} counted for the day before the printed date",
                moved.join(", ")
            ),
        }
    }
}

pub async fn show(
    State(site): State<Site>,
    member: Member,
    Place(ids): Place<(VenueId, ImportId)>,
) -> Result<Response, PageError> {
    let found = found(&site, ids).await?;
    page(ImportFilePage::new(&site, &member, found, None, Problems::default()).await?)
}

/// One page, four buttons: look again, save, undo, throw away.
pub async fn submit(
    State(site): State<Site>,
    member: Member,
    Place(ids): Place<(VenueId, ImportId)>,
    form: Form,
) -> Result<Response, PageError> {
    let (venue, import) = found(&site, ids).await?;
    let here = format!("/venues/{}/weather/import/{}", venue.id, import.id);
    let list = format!("/venues/{}/weather/import", venue.id);
    let (db, now, by) = (&site.db, site.now(), member.by());
    let mut problems = Problems::default();
    let done = match form.get("act") {
        "save" => match bring::save(db, now, &by, import.id, Some(form.get("seen"))).await {
            Ok(Saved::Days { .. }) => Ok((here, "imported")),
            Ok(Saved::Otherwise) => return otherwise(&site, &member, (venue, import)).await,
            Err(error) => Err(error),
        },
        "undo" if import.state == ImportState::Done && !form.has("sure") => {
            problems.add("sure", TICK_TO_UNDO);
            Ok((here, ""))
        }
        "undo" => import::undo(db, now, &by, import.id)
            .await
            .map(|()| (here, "undone")),
        "discard" => import::discard(db, now, &by, import.id)
            .await
            .map(|()| (list, "discarded")),
        _ => {
            let before = Brought::of(&import);
            let own = form.get("credited") == "yes";
            let known = weather::file_sources(&mut *db.read().await?, venue.id, own).await?;
            let mut brought = how_typed(&form, (&venue, known.as_slice()), &before, &mut problems);
            // The station was chosen only now, so the form could not show when its day ends.
            if problems.is_empty()
                && before.how.only != brought.how.only
                && let Some(stated) = bring::day_end_stated(db, &import, &brought).await?
                && let Whose::New(new) = &mut brought.whose
                && new.is_uncounted()
            {
                new.count_from(stated);
            }
            match problems.is_empty() {
                true => bring::say_how(db, &by, &import, &brought)
                    .await
                    .map(|()| (format!("{here}#changes"), "")),
                false => Ok((here, "")),
            }
        }
    };
    match done {
        Err(ActionError::Refused { field, sentence }) => problems.add(field, sentence),
        Err(error) => return Err(error.into()),
        Ok((path, "")) if problems.is_empty() => {
            return Ok(crate::web::links::go(&site, &path).into_response());
        }
        Ok((path, word)) if problems.is_empty() => {
            return Ok(go_with(&site, &path, word).into_response());
        }
        Ok(_) => {}
    }
    let typed = form.has("whose").then_some(&form);
    page_again(ImportFilePage::new(&site, &member, (venue, import), typed, problems).await?)
}

/// The record changed between looking and saving: the preview again, as it is now.
async fn otherwise(
    site: &Site,
    member: &Member,
    found: (WeatherVenue, Import),
) -> Result<Response, PageError> {
    let mut problems = Problems::default();
    problems.add("changes", "The record changed since you looked, so nothing is saved yet. Look at what would change now, then save.");
    let page = ImportFilePage::new(site, member, found, None, problems).await?;
    Ok((StatusCode::CONFLICT, Html(page.render()?)).into_response())
}

async fn found(
    site: &Site,
    (venue, import): (VenueId, ImportId),
) -> Result<(WeatherVenue, Import), PageError> {
    let venue = fetch(site, venue).await?;
    let import = imports::by_id(&mut *site.db.read().await?, import)
        .await?
        .filter(|import| !import.kind.is_sheet() && Brought::of(import).venue == Some(venue.id))
        .ok_or(PageError::NotFound)?;
    Ok((venue, import))
}
