//! Works a result out and posts it, and with it the sessions of those who fished. A later posting
//! says why and keeps the one before.

use super::{ActionError, By, entry_session, open_match::not_called_off};
use crate::{
    domain::{
        dates::Instant,
        ids::MatchId,
        matches::{
            Caught, Figures, Line, MatchState, NetFigure, changes,
            entry::NotReady,
            figures::{FIGURES_VERSION, name_hash},
            place,
        },
        names::{Name, text::clean_line},
        units::Total,
    },
    store::{
        Db, Writing, audit,
        matches::{
            self, Match,
            entries::{self, Entry},
            publications::{self, NewPublication, Publication, Replacing},
            weights::{self, Net},
        },
    },
};

/// The figures as the record has them now; or, for each entry that keeps them from being posted, why.
pub fn figures(the_match: &Match, entries: &[Entry], nets: &[Net]) -> Result<Figures, Vec<String>> {
    let mut not_ready = Vec::new();
    let mut caught = Vec::new();
    for entry in entries {
        let own = chosen(entry, nets);
        if let Some(reason) = NotReady::check(entry.outcome, !own.is_empty()) {
            not_ready.push(reason.sentence(&who(entry)));
        } else if let Some(outcome) = entry.outcome {
            let mut raw = Total::default();
            own.iter().for_each(|net| raw.add(net.weight));
            caught.push(Caught {
                entry: entry.id,
                section: entry.section,
                outcome,
                raw,
                counted: raw,
            });
        }
    }
    if !not_ready.is_empty() {
        return Err(not_ready);
    }
    let placed = place(&caught, the_match.ranking());
    let lines = placed
        .iter()
        .filter_map(|p| {
            let entry = entries.iter().find(|entry| entry.id == p.entry)?;
            let hash = entry.given.as_deref().zip(entry.salt.as_deref());
            Some(Line {
                entry: entry.id,
                label: entry.label,
                name_sha256: hash
                    .map(|(given, salt)| name_hash(salt, given, entry.surname.as_deref())),
                was_junior: entry.was_junior,
                peg: entry.peg_number.clone(),
                section: entry.section_name.clone(),
                team: entry.team_name.clone(),
                outcome: p.outcome,
                nets: chosen(entry, nets),
                raw: p.raw,
                counted: p.counted,
                place: p.overall,
                section_place: p.in_section,
            })
        })
        .collect();
    Ok(Figures {
        version: FIGURES_VERSION,
        title: the_match.name.clone(),
        venue: the_match.venue_name.clone(),
        on: the_match.on,
        start: the_match.start,
        finish: the_match.finish,
        pegs_allotted: the_match.pegs_allotted,
        ranking: the_match.ranking(),
        lines,
    })
}

/// Whether the record now says otherwise than a posting does, or cannot be posted as it is.
///
/// Errors: `Store` when the frozen figures cannot be read.
pub fn differs(
    posting: &Publication,
    the_match: &Match,
    entries: &[Entry],
    nets: &[Net],
) -> Result<bool, ActionError> {
    let posted = thawed(&posting.figures_json)?;
    Ok(match figures(the_match, entries, nets) {
        Ok(now) => !changes(&posted, &now).is_empty(),
        Err(_) => true,
    })
}

fn chosen(entry: &Entry, nets: &[Net]) -> Vec<NetFigure> {
    nets.iter()
        .filter(|net| net.entry == entry.id)
        .filter_map(|net| {
            Some(NetFigure {
                number: net.number,
                groups: net.groups,
                weight: net.weight?,
            })
        })
        .collect()
}

fn who(entry: &Entry) -> String {
    match (&entry.given, &entry.peg_number) {
        (Some(given), _) => Name::from_label(given.clone(), entry.surname.clone()).full(),
        (None, Some(peg)) => format!("Peg {peg}"),
        (None, None) => format!("Entry {}", entry.number),
    }
}

/// Posts the result as provisional.
///
/// Errors: `Changed` when `version` is old; `Refused` while the match is called off, when an entry
/// is not ready, when nobody is entered, when a later posting has no reason or nothing has changed since.
pub async fn publish_results(
    db: &Db,
    now: Instant,
    by: &By,
    (id, version): (MatchId, i64),
    reason: &str,
) -> Result<(), ActionError> {
    by.must_be_officer()?;
    let reason = clean_line(reason, "the reason", 300)
        .map_err(|sentence| ActionError::refused("reason", sentence))?;
    let mut writing = db.write().await?;
    publish_within(&mut writing, now, by, (id, version), &reason).await?;
    Ok(writing.commit().await?)
}

/// The same inside a transaction that makes more than the result; `reason` is cleaned.
pub(super) async fn publish_within(
    writing: &mut Writing,
    now: Instant,
    by: &By,
    (id, version): (MatchId, i64),
    reason: &str,
) -> Result<(), ActionError> {
    let the_match = matches::by_id(writing, id)
        .await?
        .ok_or(ActionError::NotFound)?;
    not_called_off(&the_match)?;
    let entered = entries::of_match(writing, id).await?;
    if entered.is_empty() {
        return Err(ActionError::refused(
            "",
            "Nobody is entered yet. Add the anglers first.",
        ));
    }
    let nets = weights::of_match(writing, id).await?;
    let new = figures(&the_match, &entered, &nets)
        .map_err(|why| ActionError::refused("", why.join(" ")))?;
    let earlier = publications::of_match(writing, id).await?;
    let changed = match earlier.first() {
        Some(last) => changes(&thawed(&last.figures_json)?, &new),
        None => Vec::new(),
    };
    if !earlier.is_empty() {
        if changed.is_empty() {
            return Err(ActionError::refused(
                "",
                "Nothing has changed since the result was published.",
            ));
        }
        if reason.is_empty() {
            return Err(ActionError::refused(
                "reason",
                "Say why the result is published again, for example “peg 15, second net read wrongly”.",
            ));
        }
    }
    if !matches::step(writing, id, version, MatchState::Published).await? {
        return Err(ActionError::Changed);
    }
    let (json, sha256) = new.freeze().map_err(|e| broken(&e.to_string()))?;
    let posted = NewPublication {
        the_match: id,
        ord: earlier.first().map_or(1, |last| last.ord + 1),
        at: now,
        by: by.account(),
        reason: (!earlier.is_empty()).then_some(reason),
        figures_json: &json,
        sha256: &sha256,
    };
    let posted = publications::insert(writing, posted).await?;
    if let Some(last) = earlier.first() {
        let replacing = Replacing {
            old: last.id,
            new: posted,
            by: by.account(),
            at: now,
            reason,
        };
        for change in &changed {
            publications::insert_correction(writing, replacing, change).await?;
        }
    }
    entry_session::keep_all(writing, now, by.account(), &the_match, &entered).await?;
    audit::add(
        writing,
        now,
        by.pid(),
        "published a result",
        Some(the_match.pid.as_str()),
        "",
    )
    .await?;
    Ok(())
}

fn thawed(json: &str) -> Result<Figures, ActionError> {
    Figures::thaw(json).map_err(|e| broken(&e.to_string()))
}

fn broken(why: &str) -> ActionError {
    ActionError::Store(std::io::Error::other(format!("frozen figures: {why}")).into())
}
