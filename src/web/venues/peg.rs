//! One peg by its number: what it adds, how it fishes, its hours and methods, and its sessions.
//! Published matches are open; reports are added up and listed for members only, and only with
//! three anglers behind them; one's own are always one's own to see.

use std::sync::Arc;

use askama::Template;
use axum::{
    extract::{Path, Query, State},
    response::Response,
};

use super::{
    number_of,
    peg_counts::CountsShown,
    peg_history::{Asked, Line, Listed, Listing, Naming, ROWS},
    rate_table::RateTable,
    reeds,
};
use crate::{
    domain::{
        close_season::close_season,
        dates::Day,
        names::Reader,
        pegs::{Closure, Peg, neighbours},
        venues::{Bank, Venue},
        weather::compass::Compass,
    },
    statistics::{
        fished_days::{ANGLERS_BEHIND_REPORTS, Series},
        hours, methods,
        peg_effect::{FEWEST_MATCHES, PegEffect},
        peg_effects,
        rates::{FORMULA, SOURCE},
        wording,
    },
    store::statistics::pegs::{self, PegSession, Wanted},
    web::{
        answers::PegAnswers,
        errors::PageError,
        figures,
        page::{Frame, Section, page},
        people::Visitor,
        state::Site,
    },
};

#[derive(Template)]
#[template(path = "venues/peg.html")]
struct PegPage {
    frame: Frame,
    venue: Arc<Venue>,
    peg: Peg,
    bank: Bank,
    today: Day,
    before: Option<String>,
    after: Option<String>,
    effect: Option<PegEffect>,
    found: reeds::Found,
    answers: Arc<PegAnswers>,
    listed: Listed,
}

impl PegPage {
    fn closure(&self) -> Option<&Closure> {
        self.peg.closed_on(self.today)
    }

    /// What shuts the whole water today.
    fn shut(&self) -> Option<String> {
        let shut = close_season(self.venue.kind, self.venue.close_season, self.today);
        shut.words().map(str::to_owned)
    }

    fn facing(&self) -> Option<&'static str> {
        self.bank.facing_deg.map(|d| Compass::of(d).name())
    }

    /// What the peg adds, its doubt in the same breath.
    fn known(&self) -> String {
        if self.found.awaited {
            return "What this peg adds is being worked out in the background. Come back in a minute."
                .to_owned();
        }
        let Some(effect) = self.effect.as_ref().filter(|effect| effect.matches > 0) else {
            return "No drawn match is on record from this peg yet.".to_owned();
        };
        let matches = wording::count(effect.matches, "drawn match", "drawn matches");
        let more = match effect.multiplier() {
            m if m >= 1.0 => format!("{} more", figures::per_cent(m - 1.0)),
            m => format!("{} less", figures::per_cent(1.0 - m)),
        };
        match reeds::adds(effect).zip(effect.standing()) {
            None if effect.matches >= FEWEST_MATCHES => {
                format!(
                    "In {matches} this peg gave nothing: how far that is chance cannot be told."
                )
            }
            None => wording::sentence(&format!(
                "{matches} so far: too few to tell this peg from any other"
            )),
            Some((adds, standing)) => {
                let between = format!(
                    "({} to {})",
                    figures::change(adds.low),
                    figures::change(adds.high)
                );
                let told = standing.words();
                format!(
                    "In {matches} this peg gave {more} than its matches’ mean {between}, {told}."
                )
            }
        }
    }

    fn left_out(&self) -> String {
        match self.effect.as_ref().map_or(0, |effect| effect.left_out) {
            0 => String::new(),
            some => wording::sentence(&format!(
                "{} in which nobody caught left out",
                wording::count(some, "match", "matches")
            )),
        }
    }

    /// The club's reports, where enough anglers stand behind them and the reader is of the club.
    fn reports_words(&self) -> String {
        if !self.frame.is_signed_in() {
            return "Members’ reports are shown to members.".to_owned();
        }
        if self.answers.reporting < ANGLERS_BEHIND_REPORTS {
            return "Fewer than three anglers have shared reports of this peg with the club, so nothing is shown of them.".to_owned();
        }
        wording::sentence(&format!(
            "{} have shared reports of this peg with the club. They are volunteered and favour good days, so they stand apart from matches",
            wording::count(self.answers.reporting, "angler", "anglers")
        ))
    }

    /// How it fishes, as far as the reader may know: reports are the members'.
    fn tables(&self) -> Vec<&RateTable> {
        let may_see = |series: Series| series == Series::Match || self.frame.is_signed_in();
        let tables = self.answers.tables.iter();
        tables.filter(|table| may_see(table.series)).collect()
    }

    /// What an angler did in a match is his own report's, so members alone see it.
    fn counts(&self) -> &[CountsShown] {
        match self.frame.is_signed_in() {
            true => &self.answers.shown,
            false => &[],
        }
    }

    fn formula(&self) -> &'static str {
        FORMULA
    }

    fn source(&self) -> &'static str {
        SOURCE
    }

    fn effect_formula(&self) -> &'static str {
        peg_effects::FORMULA
    }

    fn effect_source(&self) -> &'static str {
        peg_effects::SOURCE
    }

    fn hours_not_compared(&self) -> &'static str {
        hours::NOT_COMPARED
    }

    fn methods_not_compared(&self) -> &'static str {
        methods::NOT_COMPARED
    }

    fn hours_formula(&self) -> &'static str {
        hours::FORMULA
    }

    fn hours_source(&self) -> &'static str {
        hours::SOURCE
    }

    fn methods_formula(&self) -> &'static str {
        methods::FORMULA
    }

    fn methods_source(&self) -> &'static str {
        methods::SOURCE
    }

    /// The address of a file of this peg.
    fn file(&self, name: &str) -> String {
        self.address(&format!("/pegs/{}/{name}", self.peg.number))
    }

    fn csv(&self) -> String {
        let (id, number) = (self.venue.id, &self.peg.number);
        self.frame
            .url(&format!("/venues/{id}/record.csv?peg={number}"))
    }

    fn address(&self, page: &str) -> String {
        self.frame.url(&format!("/venues/{}{page}", self.venue.id))
    }
}

/// The marks tell what still stands of what was worked out before; where nothing has been written
/// since the last page, nothing is asked of the record at all.
pub async fn show(
    State(site): State<Site>,
    mut visitor: Visitor,
    Path((venue, number)): Path<(String, String)>,
    Query(asked): Query<Asked>,
) -> Result<Response, PageError> {
    let (id, number) = (number_of(&venue)?, number.to_uppercase());
    let at_water = site.answers.marks(&site, id).await?;
    let marks = at_water.at_peg(&number);
    visitor.settings = Some(marks.club.settings);
    let frame = Frame::new(&site, &visitor, Section::Venues).await?;
    let venue = site.answers.venue(&site, id, marks.club).await?;
    let today = site.now().day(&venue.zone);
    let layout = site.answers.layout(&site, id, marks.water).await?;
    // The peg in use stands before one that bore the number earlier.
    let of_number = layout.pegs.iter().filter(|peg| peg.number == number);
    let peg = of_number
        .max_by_key(|peg| (peg.valid_to.is_none(), peg.valid_from))
        .cloned()
        .ok_or(PageError::NotFound)?;
    let bank = layout.banks.iter().find(|bank| bank.id == peg.bank);
    let bank = bank.cloned().ok_or(PageError::NotFound)?;
    let scale = frame.units.scale(venue.weighs_in);
    let answers = (site.answers)
        .peg(&site, id, &number, scale, &marks)
        .await?;
    let study = site.answers.study(&site, id, &at_water).await?;
    let own = visitor.who.as_ref().and_then(|who| who.angler);
    let reader = match (visitor.is_officer(), visitor.who.is_some()) {
        (true, _) => Reader::Officer,
        (false, true) => Reader::Member,
        (false, false) => Reader::Visitor,
    };
    let wanted = Wanted {
        venue: id,
        number: &number,
        own: own.filter(|angler| answers.anglers.contains(angler)),
        reports: frame.is_signed_in() && answers.reporting >= ANGLERS_BEHIND_REPORTS,
        sort: asked.sort(),
        falling: asked.falling(),
        limit: ROWS,
        offset: asked.skip(),
    };
    let naming = Naming {
        reader,
        open: site.answers.head(&site, marks.club.settings).await?.names,
        number: &number,
    };
    let listing = |sessions: &[PegSession]| Listing {
        total: sessions.first().map_or(0, |one| one.total),
        lines: (sessions.iter())
            .map(|one| Line::of(one, &frame, &naming, venue.weighs_in))
            .collect(),
    };
    let listing = match asked.is_opening() {
        true => {
            let of = (&wanted, reader);
            site.answers
                .opening_list(&site, of, &marks, listing)
                .await?
        }
        false => {
            let sessions = pegs::history(&mut *site.db.read().await?, &wanted).await?;
            Arc::new(listing(&sessions))
        }
    };
    let here = frame.url(&format!("/venues/{id}/pegs/{number}"));
    let (before, after) = neighbours(&layout.pegs, peg.id, today);
    let matches = answers.tables.iter().any(|one| one.series == Series::Match);
    let found = reeds::Found::of((*study).as_ref(), matches, &venue);
    page(PegPage {
        before: before.map(|peg| peg.number.clone()),
        after: after.map(|peg| peg.number.clone()),
        effect: found.effects.get(&peg.id).copied(),
        found,
        listed: Listed::new(listing, &asked, here),
        answers,
        frame,
        venue,
        peg,
        bank,
        today,
    })
}
