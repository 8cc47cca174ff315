//! What pages ask of the record, worked out once for each change of it and kept. The caller reads
//! the marks and holds no connection while asking here; whoever works an answer out reads them
//! again, before the rows, so that it serves all who asked before.

use std::{collections::BTreeSet, sync::Arc};

use super::{errors::PageError, kept::Kept, state::Site};
use crate::{
    domain::{
        ids::{AnglerId, VenueId},
        pegs::Peg,
        venues::{Bank, Venue},
    },
    statistics::{
        at_a_peg::{self, SeriesCounts},
        fished_days::Series,
        record::{self, SeriesFigures},
    },
    store::{
        marks::{self, Marks},
        statistics::{pegs, rates},
        venues::{self, OnRecord},
    },
};

/// Pegs whose answers are kept at one time.
const PEGS_KEPT: usize = 2_000;
const VENUES_KEPT: usize = 200;

/// The marks of sessions and of matches.
type Fished = (i64, i64);

/// The marks of a peg's own sessions, of matches and of the water's pegs.
type AtPeg = (i64, i64, i64);

/// What stands on record at one peg, added up.
pub struct PegAnswers {
    pub figures: Vec<SeriesFigures>,
    pub counts: Vec<SeriesCounts>,
    /// Anglers who shared reports of it with the club.
    pub reporting: usize,
}

/// What stands on record at a water, added up.
pub struct VenueRecord {
    pub figures: Vec<SeriesFigures>,
    pub on_record: OnRecord,
}

/// The banks and pegs of a water, pegs as one walks them.
pub struct Layout {
    pub banks: Vec<Bank>,
    pub pegs: Vec<Peg>,
}

/// The answers kept.
pub struct Answers {
    layouts: Kept<VenueId, i64, Layout>,
    records: Kept<VenueId, Fished, VenueRecord>,
    pegs: Kept<(VenueId, String), AtPeg, PegAnswers>,
}

impl Default for Answers {
    fn default() -> Self {
        Self {
            layouts: Kept::with_room(VENUES_KEPT),
            records: Kept::with_room(VENUES_KEPT),
            pegs: Kept::with_room(PEGS_KEPT),
        }
    }
}

impl Answers {
    /// Where the pegs of a water stand.
    pub async fn layout(
        &self,
        site: &Site,
        venue: VenueId,
        marks: Marks,
    ) -> Result<Arc<Layout>, PageError> {
        let make = async {
            let mut reading = site.db.read().await?;
            let now = marks::of_venue(&mut reading, venue).await?;
            let layout = Layout {
                banks: venues::banks(&mut reading, venue).await?,
                pegs: venues::pegs(&mut reading, venue).await?,
            };
            Ok((now.pegs, layout))
        };
        self.layouts.get(venue, marks.pegs, make).await
    }

    /// How a water fishes, by series and set of groups.
    pub async fn record(
        &self,
        site: &Site,
        venue: &Venue,
        marks: Marks,
    ) -> Result<Arc<VenueRecord>, PageError> {
        let make = async {
            let mut reading = site.db.read().await?;
            let now = marks::of_venue(&mut reading, venue.id).await?;
            let rows = rates::of_venue(&mut reading, venue.id).await?;
            let on_record = venues::on_record(&mut reading, venue.id).await?;
            drop(reading);
            let record = VenueRecord {
                figures: record::figures(&rows, venue.weighs_in),
                on_record,
            };
            Ok(((now.sessions, now.matches), record))
        };
        let under = (marks.sessions, marks.matches);
        self.records.get(venue.id, under, make).await
    }

    /// What one peg has given; `own` is the mark of its sessions.
    pub async fn peg(
        &self,
        site: &Site,
        venue: &Venue,
        number: &str,
        (marks, own): (Marks, i64),
    ) -> Result<Arc<PegAnswers>, PageError> {
        let make = async {
            let mut reading = site.db.read().await?;
            let now = marks::of_venue(&mut reading, venue.id).await?;
            let own = marks::of_peg(&mut reading, venue.id, number).await?;
            let caught = rates::of_peg(&mut reading, venue.id, number).await?;
            let spells = pegs::spells(&mut reading, venue.id, number).await?;
            let timed = pegs::timed_fish(&mut reading, venue.id, number).await?;
            drop(reading);
            let rows: Vec<_> = caught.iter().map(|(_, row)| *row).collect();
            let reporting: BTreeSet<AnglerId> = rows
                .iter()
                .filter(|row| row.series == Series::Report)
                .map(|row| row.angler)
                .collect();
            let answers = PegAnswers {
                figures: record::figures(&rows, venue.weighs_in),
                counts: at_a_peg::counts(&spells, &timed, &caught),
                reporting: reporting.len(),
            };
            Ok(((own, now.matches, now.pegs), answers))
        };
        let key = (venue.id, number.to_owned());
        let under = (own, marks.matches, marks.pegs);
        self.pegs.get(key, under, make).await
    }
}
