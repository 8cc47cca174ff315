//! Saving a laid-out sheet: every angler, match and session of it in one transaction.

use std::collections::{BTreeMap, BTreeSet};

use sha2::{Digest, Sha256};

use super::{EntryToMake, Is, Look, MatchToMake, Plan, Said, SessionToMake, look_at, ready::check};
use crate::{
    actions::{
        ActionError, By,
        import::laid_out,
        publish_results::publish_within,
        tokens::{new_pid, random},
    },
    domain::{
        dates::{Day, Instant},
        ids::{AnglerId, EntryId, ImportId, MatchId},
        imports::RecordKind,
        names::key,
        sessions::{Report, Spell, Visibility},
        units::Minutes,
    },
    formats::old_sheets::Entry,
    store::{
        Db, Writing, anglers, audit,
        imports::{self, records},
        matches::{self, Match, NewMatch, entries, sessions as match_sessions, weights},
        sessions::{
            keeping::{self, NewSession},
            refresh_catches,
        },
    },
};

/// What was made.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Saved {
    pub matches: usize,
    pub entries: usize,
    pub sessions: usize,
    pub anglers: usize,
}

/// Puts a laid-out sheet into the record: all of it that can be taken, or nothing.
///
/// Errors: `Refused` while something is still to be asked, when rows cannot be taken or weights are
/// unlikely and nothing is said of it, when nothing in the file is new, or when it is laid out no
/// longer.
pub async fn save(
    db: &Db,
    now: Instant,
    by: &By,
    id: ImportId,
    latest: Day,
    said: &Said,
) -> Result<Saved, ActionError> {
    by.must_be_officer()?;
    let mut writing = db.write().await?;
    let plan = Plan::read(&laid_out(&mut writing, id).await?.mapping_json)?;
    let (_, look) = look_at(&mut writing, id, &plan, latest).await?;
    let look = look.map_err(|why| ActionError::refused("", why.join(" ")))?;
    check(&look, said)?;
    let mut saving = Saving {
        writing,
        now,
        by,
        import: id,
        new: BTreeMap::new(),
    };
    saving.anglers(&look).await?;
    let mut saved = Saved {
        matches: look.matches.len(),
        entries: look.entries(),
        sessions: look.sessions.len(),
        anglers: saving.new.len(),
    };
    for made in &look.matches {
        saved.sessions += saving.a_match(made).await?;
    }
    saving.left_out(&look).await?;
    for made in &look.sessions {
        saving.session(made, &plan).await?;
    }
    let mut writing = saving.writing;
    if !imports::finish(&mut writing, id, now).await? {
        return Err(super::super::no_longer_laid_out());
    }
    let detail = format!(
        "import {id}: {}, {}, {}, {}",
        RecordKind::Match.counted(saved.matches as i64),
        RecordKind::Entry.counted(saved.entries as i64),
        RecordKind::Session.counted(saved.sessions as i64),
        RecordKind::Angler.counted(saved.anglers as i64)
    );
    audit::add(
        &mut writing,
        now,
        by.pid(),
        "brought in a sheet",
        None,
        &detail,
    )
    .await?;
    writing.commit().await?;
    Ok(saved)
}

struct Saving<'a> {
    writing: Writing,
    now: Instant,
    by: &'a By,
    import: ImportId,
    /// New anglers by folded name.
    new: BTreeMap<String, AnglerId>,
}

impl Saving<'_> {
    async fn anglers(&mut self, look: &Look) -> Result<(), ActionError> {
        let entries = look.matches.iter().flat_map(|m| &m.entries);
        let anglers = entries
            .map(|entry| &entry.angler)
            .chain(look.sessions.iter().map(|session| &session.angler));
        let taken: BTreeSet<&str> = anglers
            .filter_map(|is| match is {
                Is::New(key) => Some(key.as_str()),
                Is::OnRecord(_) | Is::LeftOut | Is::Open => None,
            })
            .collect();
        for named in look.people.iter().filter(|named| named.is_new()) {
            if !taken.contains(named.key.as_str()) {
                continue;
            }
            let angler = anglers::insert(
                &mut self.writing,
                &new_pid(),
                named.name.given(),
                named.name.surname(),
                &random::<16>(),
                named.junior(),
                Some(self.import),
            )
            .await?;
            self.keep(&hash(&["angler", &named.key]), RecordKind::Angler, angler.0)
                .await?;
            self.new.insert(named.key.clone(), angler);
        }
        Ok(())
    }

    fn angler(&self, is: &Is) -> Result<AnglerId, ActionError> {
        match is {
            Is::OnRecord(id) => Ok(*id),
            Is::New(key) => self.new.get(key).copied().ok_or(ActionError::NotFound),
            Is::LeftOut | Is::Open => Err(ActionError::NotFound),
        }
    }

    async fn keep(
        &mut self,
        row_sha256: &[u8],
        kind: RecordKind,
        record: i64,
    ) -> Result<(), ActionError> {
        Ok(imports::keep_row(&mut self.writing, self.import, row_sha256, kind, record).await?)
    }

    /// Makes a match with its entries and posts its result; answers how many sessions it made.
    async fn a_match(&mut self, made: &MatchToMake) -> Result<usize, ActionError> {
        let new = NewMatch {
            pid: new_pid(),
            name: made.name.clone(),
            venue: made.venue,
            on: made.on,
            zone: made.zone.name().to_owned(),
            meet_place: None,
            meet: None,
            start: made.start,
            finish: made.finish,
            pegs_allotted: made.pegs_allotted,
            ranking: made.ranking,
            net_kinds: made.net_kinds.clone(),
            sections: made.sections.clone(),
            teams: made.teams.clone(),
        };
        let id = matches::insert(&mut self.writing, &new, self.by.account()).await?;
        records::mark_match(&mut self.writing, id, self.import).await?;
        let own = [
            "match",
            &made.on.to_string(),
            &key(&made.venue_name),
            &key(&made.name),
        ];
        self.keep(&hash(&own), RecordKind::Match, id.0).await?;
        let the_match = matches::by_id(&mut self.writing, id)
            .await?
            .ok_or(ActionError::NotFound)?;
        for (lines, was_read) in [
            (&made.lacks.not_read, false),
            (&made.lacks.with_angler, true),
        ] {
            records::leave_out(&mut self.writing, self.import, Some(id), lines, was_read).await?;
        }
        let placings = Placings::of(&mut self.writing, id).await?;
        let mut entered = Vec::new();
        for entry in &made.entries {
            entered.push((self.entry(&the_match, &placings, entry).await?, entry));
        }
        let (by, now) = (self.by, self.now);
        publish_within(&mut self.writing, now, by, (id, the_match.version), "").await?;
        let mut sessions = 0;
        for (entry, made) in entered {
            sessions += self.session_of(entry, made).await?;
        }
        Ok(sessions)
    }

    /// Notes the rows that the file has and the record has not.
    async fn left_out(&mut self, look: &Look) -> Result<(), ActionError> {
        let bad: Vec<u64> = look.problems.iter().map(|bad| bad.line).collect();
        for (lines, was_read) in [(&bad, false), (&look.left_out, true)] {
            records::leave_out(&mut self.writing, self.import, None, lines, was_read).await?;
        }
        Ok(())
    }

    async fn entry(
        &mut self,
        the_match: &Match,
        placings: &Placings,
        made: &EntryToMake,
    ) -> Result<EntryId, ActionError> {
        let (row, angler) = (&made.row, self.angler(&made.angler)?);
        let placing = entries::Placing {
            peg: made.peg,
            ..placings.of_row(row)
        };
        let writing = &mut self.writing;
        let id = entries::insert(writing, the_match.id, angler, placing).await?;
        if was_junior_then(&made.angler, row) {
            entries::mark_was_junior(writing, id).await?;
        }
        entries::set_outcome(writing, id, Some(row.outcome)).await?;
        let told = records::ToldOfEntry {
            minutes: row.minutes.map(|Minutes(m)| m as f64),
            asked: !row.own_hours,
            method: made.method,
            remarks: made.remarks.as_deref(),
            counts: &row.counts,
        };
        records::tell_entry(writing, id, told).await?;
        for net in &row.nets {
            let made = weights::add_net(writing, id, net.groups).await?;
            let (by, now) = (self.by.account(), self.now);
            weights::choose(writing, made, Some(net.weight), by, now).await?;
        }
        self.keep(&row.row_sha256(), RecordKind::Entry, id.0)
            .await?;
        Ok(id)
    }

    /// Notes of which row the entry's session is: the one that the posting made, or the angler's own
    /// report that it joined. Answers how many sessions that was.
    async fn session_of(
        &mut self,
        entry: EntryId,
        made: &EntryToMake,
    ) -> Result<usize, ActionError> {
        let Some(session) = match_sessions::of_entry(&mut self.writing, entry).await? else {
            return Ok(0);
        };
        if was_junior_then(&made.angler, &made.row) {
            match_sessions::mark_was_junior(&mut self.writing, session.id).await?;
        }
        self.keep(&made.row.row_sha256(), RecordKind::Session, session.id.0)
            .await?;
        Ok(1)
    }

    async fn session(&mut self, made: &SessionToMake, plan: &Plan) -> Result<(), ActionError> {
        let angler = self.angler(&made.angler)?;
        let report = report(made, plan);
        let was_junior = was_junior_then(&made.angler, &made.row)
            || anglers::by_id(&mut self.writing, angler)
                .await?
                .is_some_and(|angler| angler.is_junior);
        let new = NewSession {
            pid: &new_pid(),
            angler,
            zone: made.zone.name(),
            entered_by: self.by.account(),
            entered: self.now,
            was_junior,
            submission_key: None,
        };
        let session = keeping::insert(&mut self.writing, &new, &report).await?;
        let asked = made.row.minutes.is_some() && !made.row.own_hours;
        records::mark_report(&mut self.writing, session, self.import, asked).await?;
        keeping::add_parts(&mut self.writing, session, &report).await?;
        refresh_catches(&mut self.writing, session).await?;
        self.keep(&made.row.row_sha256(), RecordKind::Session, session.0)
            .await
    }
}

/// The sheet marks as a junior somebody on the list, who may be grown by now. Of whoever is new an
/// officer has said it, whatever the mark.
fn was_junior_then(angler: &Is, row: &Entry) -> bool {
    row.junior && matches!(angler, Is::OnRecord(_))
}

fn report(made: &SessionToMake, plan: &Plan) -> Report {
    let (start, end) = made.hours.unzip();
    let told = made.row.minutes.map(|Minutes(m)| m as f64);
    let minutes = made.hours.map(|(start, end)| end.minutes_since(start));
    let visibility = plan.mapping.visibility.as_deref();
    Report {
        venue: made.venue,
        day: made.on,
        start,
        end,
        spells: vec![Spell {
            method: made.method,
            bait: made.bait,
            from: start,
            to: end,
            minutes: minutes.or(told),
            uncovered: made.method.is_none() && made.bait.is_none(),
            ..Spell::uncovered(made.peg, 0.0)
        }],
        caught: made.caught.clone(),
        named: Vec::new(),
        tallies: Vec::new(),
        remarks: made.remarks.clone(),
        visibility: visibility
            .and_then(Visibility::parse)
            .unwrap_or(Visibility::Private),
    }
}

/// The sections and teams of a match by folded name.
struct Placings {
    sections: BTreeMap<String, crate::domain::ids::SectionId>,
    teams: BTreeMap<String, crate::domain::ids::MatchTeamId>,
}

impl Placings {
    async fn of(writing: &mut Writing, id: MatchId) -> Result<Self, ActionError> {
        let sections = matches::sections(writing, id).await?;
        let teams = matches::teams(writing, id).await?;
        Ok(Self {
            sections: sections.into_iter().map(|s| (key(&s.name), s.id)).collect(),
            teams: teams.into_iter().map(|t| (key(&t.name), t.id)).collect(),
        })
    }

    fn of_row(&self, row: &Entry) -> entries::Placing {
        let section = row.section.as_deref().map(key);
        let team = row.team.as_deref().map(key);
        entries::Placing {
            section: section.and_then(|name| self.sections.get(&name).copied()),
            team: team.and_then(|name| self.teams.get(&name).copied()),
            peg: None,
        }
    }
}

fn hash(parts: &[&str]) -> [u8; 32] {
    Sha256::digest(parts.join("\u{1f}").as_bytes()).into()
}
