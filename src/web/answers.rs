//! What pages ask of the record, worked out once for each change of it and kept. The caller reads
//! the marks and holds no connection while asking here; whoever works an answer out reads them
//! again, before the rows, so that it serves all who asked before.

use std::{
    collections::{BTreeMap, BTreeSet},
    sync::Arc,
};

use super::{
    errors::PageError,
    kept::Kept,
    state::Site,
    venues::{peg_counts::CountsShown, peg_history::Listing, rate_table::RateTable},
};
use crate::{
    domain::{
        ids::{AnglerId, MethodId, VenueId},
        names::Reader,
        pegs::Peg,
        units::Scale,
        venues::{Bank, Venue},
    },
    statistics::{
        at_a_peg::{self, SeriesCounts},
        fished_days::Series,
        record::{self, OnRecord, RecordRow, SeriesFigures},
    },
    store::{
        StoreError,
        marks::{self, AtPeg, AtWater, ClubMarks, Marks, SettingsMark},
        sessions::choices::{self, Choice, FishChoice, PegChoice, Water},
        settings::{self, Head},
        sign_ins::{self, SignedIn},
        statistics::{
            pegs::{self, PegSession, Wanted},
            rates, studies,
        },
        venues::{self, ClosureLine},
    },
};

/// Pegs whose answers are kept at one time: with the pictures of its hours one takes 45 KiB at the
/// most. And lists of their sessions.
const PEGS_KEPT: usize = 500;
const LISTS_KEPT: usize = 1_000;
const VENUES_KEPT: usize = 200;
const SIGN_INS_KEPT: usize = 1_000;

/// The marks of sessions and of matches.
type Fished = (i64, i64);

/// The marks of the water's pegs, of a peg's own sessions and of matches. Pegs stand first: where
/// a number passes to another peg the mark of its sessions may fall.
type PegMarks = (i64, i64, i64);

/// Which sessions of a peg a reader sees: of which water and number, his own with them, and
/// reports shared with the club; and who he is, as names stand for him.
type List = (VenueId, String, Option<AnglerId>, bool, Reader);

/// The marks of what the club has set, of the waters, of a peg and of how people are called. Those
/// of the page that asks stand first: what they stand for was read before the list.
type ListedUnder = (SettingsMark, i64, PegMarks, i64);

/// What stands on record at one peg, added up.
pub struct PegAnswers {
    pub tables: Vec<RateTable>,
    pub counts: Vec<SeriesCounts>,
    /// The same as its page shows them.
    pub shown: Vec<CountsShown>,
    /// Anglers who shared reports of it with the club.
    pub reporting: usize,
    /// Everybody with a session here. Whoever is not among them sees what every other such reader
    /// of the club sees.
    pub anglers: BTreeSet<AnglerId>,
}

/// What stands on record at a water, added up.
pub struct VenueRecord {
    pub figures: Vec<SeriesFigures>,
    /// What a visitor is told is there: matches.
    pub on_record: OnRecord,
    /// What a member is told: reports with them, where enough anglers stand behind these.
    pub with_reports: OnRecord,
}

/// The banks and pegs of a water, pegs as one walks them.
pub struct Layout {
    pub banks: Vec<Bank>,
    pub pegs: Vec<Peg>,
}

/// What a report at one water chooses from.
pub struct Offered {
    pub water: Water,
    pub pegs: Vec<PegChoice>,
    pub methods: Vec<Choice>,
    pub baits: Vec<Choice>,
    pub fish: Vec<FishChoice>,
    pub closures: Vec<ClosureLine>,
}

/// The marks of the water's pegs, of the waters and of the methods.
type OfferedUnder = (i64, i64, i64);

/// Who holds a token, with the mark of what the club has set.
type Holder = Option<(SignedIn, SettingsMark)>;

/// The answers kept: who is asking, and the marks, until anything at all is written; the rest
/// until its marks move.
pub struct Answers {
    sign_ins: Kept<[u8; 32], u64, Holder>,
    marks: Kept<VenueId, u64, AtWater>,
    heads: Kept<(), SettingsMark, Head>,
    methods: Kept<(), i64, BTreeMap<MethodId, String>>,
    venues: Kept<VenueId, i64, Venue>,
    layouts: Kept<VenueId, i64, Layout>,
    offered: Kept<VenueId, OfferedUnder, Offered>,
    records: Kept<(VenueId, Scale), Fished, VenueRecord>,
    studies: Kept<VenueId, (i64, Marks), Option<studies::Kept>>,
    pegs: Kept<(VenueId, String, Scale), (PegMarks, i64), PegAnswers>,
    lists: Kept<List, ListedUnder, Listing>,
}

impl Default for Answers {
    fn default() -> Self {
        Self {
            sign_ins: Kept::with_room(SIGN_INS_KEPT),
            marks: Kept::with_room(VENUES_KEPT),
            heads: Kept::with_room(1),
            methods: Kept::with_room(1),
            venues: Kept::with_room(VENUES_KEPT),
            layouts: Kept::with_room(VENUES_KEPT),
            offered: Kept::with_room(VENUES_KEPT),
            records: Kept::with_room(VENUES_KEPT),
            studies: Kept::with_room(VENUES_KEPT),
            pegs: Kept::with_room(PEGS_KEPT),
            lists: Kept::with_room(LISTS_KEPT),
        }
    }
}

impl Answers {
    /// Who holds the token of this hash.
    pub async fn signed_in(
        &self,
        site: &Site,
        token_sha256: [u8; 32],
    ) -> Result<Arc<Holder>, StoreError> {
        let make = async {
            let changes = site.db.changes();
            let mut reading = site.db.read().await?;
            let found = sign_ins::by_token(&mut reading, &token_sha256).await?;
            Ok((changes, found))
        };
        self.sign_ins
            .get(token_sha256, site.db.changes(), make)
            .await
    }

    /// The marks that the pages of a water rest on.
    pub async fn marks(&self, site: &Site, venue: VenueId) -> Result<Arc<AtWater>, PageError> {
        let make = async {
            let changes = site.db.changes();
            let found = marks::at_water(&mut *site.db.read().await?, venue).await?;
            Ok((changes, found.ok_or(PageError::NotFound)?))
        };
        self.marks.get(venue, site.db.changes(), make).await
    }

    /// The head of every page, by the mark of what the club has set.
    pub async fn head(&self, site: &Site, settings: SettingsMark) -> Result<Arc<Head>, StoreError> {
        let make = async {
            let mut reading = site.db.read().await?;
            let now = marks::of_club(&mut reading).await?;
            Ok((now.settings, settings::head(&mut reading).await?))
        };
        self.heads.get((), settings, make).await
    }

    /// What each method is called.
    pub async fn methods(
        &self,
        site: &Site,
        club: ClubMarks,
    ) -> Result<Arc<BTreeMap<MethodId, String>>, PageError> {
        let make = async {
            let mut reading = site.db.read().await?;
            let now = marks::of_club(&mut reading).await?;
            let methods = choices::methods(&mut reading).await?;
            let named = methods
                .into_iter()
                .map(|method| (MethodId(method.id), method.name));
            Ok((now.methods, named.collect()))
        };
        self.methods.get((), club.methods, make).await
    }

    /// What a report at a water chooses from.
    pub async fn offered(&self, site: &Site, venue: VenueId) -> Result<Arc<Offered>, PageError> {
        let under = |at: &AtWater| (at.water.pegs, at.club.venues, at.club.methods);
        let now = self.marks(site, venue).await?;
        let make = async {
            let now = self.marks(site, venue).await?;
            let mut reading = site.db.read().await?;
            let water = choices::water(&mut reading, venue).await?;
            let offered = Offered {
                water: water.ok_or(PageError::NotFound)?,
                pegs: choices::pegs(&mut reading, venue).await?,
                methods: choices::methods(&mut reading).await?,
                baits: choices::baits(&mut reading).await?,
                fish: choices::fish(&mut reading).await?,
                closures: venues::closures(&mut reading, venue).await?,
            };
            Ok((under(&now), offered))
        };
        self.offered.get(venue, under(&now), make).await
    }

    /// The water itself.
    pub async fn venue(
        &self,
        site: &Site,
        venue: VenueId,
        club: ClubMarks,
    ) -> Result<Arc<Venue>, PageError> {
        let make = async {
            let mut reading = site.db.read().await?;
            let now = marks::of_club(&mut reading).await?;
            let found = venues::by_id(&mut reading, venue).await?;
            Ok((now.venues, found.ok_or(PageError::NotFound)?))
        };
        self.venues.get(venue, club.venues, make).await
    }

    /// Where the pegs of a water stand.
    pub async fn layout(
        &self,
        site: &Site,
        venue: VenueId,
        marks: Marks,
    ) -> Result<Arc<Layout>, PageError> {
        let make = async {
            let now = self.marks(site, venue).await?;
            let mut reading = site.db.read().await?;
            let layout = Layout {
                banks: venues::banks(&mut reading, venue).await?,
                pegs: venues::pegs(&mut reading, venue).await?,
            };
            Ok((now.water.pegs, layout))
        };
        self.layouts.get(venue, marks.pegs, make).await
    }

    /// How a water fishes, by series and set of groups, weights told in `scale`.
    pub async fn record(
        &self,
        site: &Site,
        venue: VenueId,
        scale: Scale,
        marks: Marks,
    ) -> Result<Arc<VenueRecord>, PageError> {
        let make = async {
            let now = self.marks(site, venue).await?;
            let mut reading = site.db.read().await?;
            let rows = rates::of_venue(&mut reading, venue).await?;
            drop(reading);
            let caught: Vec<RecordRow> = rows.iter().map(|one| one.row).collect();
            let record = VenueRecord {
                figures: record::figures(&caught, scale),
                on_record: record::on_record(&rows, false),
                with_reports: record::on_record(&rows, true),
            };
            Ok(((now.water.sessions, now.water.matches), record))
        };
        let under = (marks.sessions, marks.matches);
        self.records.get((venue, scale), under, make).await
    }

    /// The study that a water's pegs are told from.
    pub async fn study(
        &self,
        site: &Site,
        venue: VenueId,
        marks: &AtWater,
    ) -> Result<Arc<Option<studies::Kept>>, PageError> {
        let make = async {
            let now = self.marks(site, venue).await?;
            let mut reading = site.db.read().await?;
            let study = site.db.studies().of_pegs(&mut reading, venue).await?;
            Ok(((now.club.fits, now.water), study))
        };
        let under = (marks.club.fits, marks.water);
        self.studies.get(venue, under, make).await
    }

    /// What one peg has given, weights told in `scale`.
    pub async fn peg(
        &self,
        site: &Site,
        venue: VenueId,
        number: &str,
        scale: Scale,
        marks: &AtPeg,
    ) -> Result<Arc<PegAnswers>, PageError> {
        let make = async {
            let now = self.marks(site, venue).await?.at_peg(number);
            let names = self.methods(site, now.club).await?;
            let mut reading = site.db.read().await?;
            let caught = rates::of_peg(&mut reading, venue, number).await?;
            let spells = pegs::spells(&mut reading, venue, number).await?;
            let timed = pegs::timed_fish(&mut reading, venue, number).await?;
            let anglers = pegs::anglers(&mut reading, venue, number).await?;
            drop(reading);
            let rows: Vec<_> = caught.iter().map(|(_, row)| *row).collect();
            let reporting: BTreeSet<AnglerId> = rows
                .iter()
                .filter(|row| row.series == Series::Report)
                .map(|row| row.angler)
                .collect();
            let figures = record::figures(&rows, scale);
            let counts = at_a_peg::counts(&spells, &timed, &caught);
            let shown = counts.iter().map(|one| CountsShown::of(one, &names, scale));
            let answers = PegAnswers {
                tables: figures.iter().map(RateTable::of).collect(),
                shown: shown.collect::<Result<_, _>>()?,
                counts,
                reporting: reporting.len(),
                anglers,
            };
            Ok(((peg_marks(&now), now.club.methods), answers))
        };
        let key = (venue, number.to_owned(), scale);
        let under = (peg_marks(marks), marks.club.methods);
        self.pegs.get(key, under, make).await
    }

    /// The sessions of a peg as its list opens, as they are `shown`: the one order and the one
    /// stretch of it that is kept, for each set of readers who see the same.
    pub async fn opening_list(
        &self,
        site: &Site,
        (wanted, reader): (&Wanted<'_>, Reader),
        marks: &AtPeg,
        shown: impl FnOnce(&[PegSession]) -> Listing,
    ) -> Result<Arc<Listing>, PageError> {
        let club = marks.club;
        let under = |at: &AtPeg| (club.settings, club.venues, peg_marks(at), at.club.names);
        let (venue, number) = (wanted.venue, wanted.number);
        let make = async {
            let now = self.marks(site, venue).await?.at_peg(number);
            let mut reading = site.db.read().await?;
            let listed = pegs::history(&mut reading, wanted).await?;
            Ok((under(&now), shown(&listed)))
        };
        let (own, reports) = (wanted.own, wanted.reports);
        let key = (venue, number.to_owned(), own, reports, reader);
        self.lists.get(key, under(marks), make).await
    }
}

fn peg_marks(at: &AtPeg) -> PegMarks {
    (at.water.pegs, at.own, at.water.matches)
}
