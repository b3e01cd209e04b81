//! When warning signs go up and come down, block by block in the order of time, and what is on record of it.

use std::collections::BTreeMap;

use serde::Serialize;

use super::assumed;
use super::book::Book;
use super::cautions::cautions;
use super::closed::Closed;
use super::head::Head;
use super::notice_rules::{
    SignsAsked, longest, not_said, sign_rule_holds, signs_asked, signs_can_be_asked, undeclared, without_interval,
};
use super::phrases::whole_minute;
use super::posting_sheets::{silent_about, unread};
use super::postings::{said, signs};
use super::words::{clock, count, day, list, moment, stated};
use crate::duty::Duties;
use crate::journal::BlockId;
use crate::season::Change;
use crate::season::{Moment, SprayFacts, Touched};

/// The schedule of a farm's warning signs.
#[derive(Clone, Debug, Serialize)]
pub struct SignSchedule {
    /// Top and foot.
    pub head: Head,
    /// A line for each block of each spray that needs signs, in the order of time.
    pub rows: Vec<SignRow>,
    /// How many lines have gaps.
    pub gaps: usize,
    /// Sprays that cannot be judged, and what is not said.
    pub unknown: Vec<String>,
    /// What was taken as so.
    pub assumed: Vec<String>,
    /// What to mind.
    pub cautions: Vec<String>,
}

/// The signs at a block for a spray.
#[derive(Clone, Debug, Serialize)]
pub struct SignRow {
    /// The block.
    pub block: String,
    /// Which rows of it, where not all.
    pub rows: Option<String>,
    /// Where it is.
    pub location: Option<String>,
    /// The day of the spray.
    pub day: String,
    /// From when to when.
    pub sprayed: String,
    /// The longest re-entry interval on record, and of which materials.
    pub interval: Option<String>,
    /// Who asks for signs.
    pub asked_by: Vec<String>,
    /// Up no earlier than this; absent where no rule says.
    pub up_from: Option<String>,
    /// Up at the latest by this.
    pub up_by: String,
    /// Down no earlier than this.
    pub down_from: Option<String>,
    /// Whether that is the end of another spray's interval, which is later than this one's.
    pub other: bool,
    /// Materials whose interval is not recorded, so that one must ask before signs come down.
    pub ask: Option<String>,
    /// Down at the latest by this; absent where no rule says, or an interval is not recorded.
    pub down_by: Option<String>,
    /// What is on record.
    pub recorded: Vec<String>,
    /// What is not as it should be, or not on record.
    pub gaps: Vec<String>,
    /// The same for programs.
    #[serde(skip)]
    pub(super) times: SignTimes,
}

/// When the signs of a spray go up and come down at a block, and what was done of it.
#[derive(Clone, Copy, Debug)]
pub(super) struct SignTimes {
    /// The spray, as a place in the journal's list.
    pub spray: usize,
    pub block: BlockId,
    pub up_from: Option<Moment>,
    pub down_from: Option<Moment>,
    pub down_by: Option<Moment>,
    /// Whether they are on record as put up.
    pub up: bool,
    /// Whether they are on record as taken down.
    pub down: bool,
}

/// The schedule of a book; nothing where neither its rulebooks, its farm nor any label asks for signs.
pub fn sign_schedule(book: &Book<'_>) -> Option<SignSchedule> {
    let duties = Duties::new(book.season);
    if !signs_can_be_asked(book, &duties) {
        return None;
    }
    let closed = Closed::new(book.season);
    // By block, until when signs of earlier sprays may still stand.
    let mut stand: Vec<Option<i64>> = vec![None; book.journal().blocks.len()];
    let mut rows: Vec<(Moment, SignRow)> = Vec::new();
    let mut open: BTreeMap<String, (usize, String)> = BTreeMap::new();
    let mut silent = Vec::new();
    for facts in book.sprays() {
        let missing = without_interval(book, facts, &undeclared(book, facts.spray(book.journal())));
        let mut any = false;
        for touched in facts.touched.iter().filter(|touched| book.scope.has_block(touched.block)) {
            let block = book.journal().block(touched.block);
            let Some(asked) = signs_asked(book, &duties, facts, block) else { continue };
            any = true;
            let row = Window::new(book, &closed, facts, touched, &asked, &missing);
            let earlier = &mut stand[touched.block.index()];
            let view = row.view(book, facts, touched, asked, *earlier);
            *earlier = (*earlier).max(row.down_by.or(row.down_from).map(|moment| moment.seconds));
            rows.push((row.up_from.unwrap_or(facts.start), view));
        }
        if any {
            continue;
        }
        silent.push(facts);
        if !missing.is_empty() && sign_rule_holds(&duties, facts) {
            let spray = facts.spray(book.journal());
            let last = format!("{} on {}", book.ground(&spray.ground), day(spray.at.day));
            let known = open.entry(list(&missing)).or_insert((0, String::new()));
            *known = (known.0 + 1, last);
        }
    }
    // Sprays come in the order of time; what may go up earlier for one of them is moved before the others.
    rows.sort_by_key(|(from, _)| *from);
    let rows: Vec<SignRow> = rows.into_iter().map(|(_, row)| row).collect();
    let mut unknown = unread(book);
    unknown.extend(open.into_iter().map(|(missing, (sprays, last))| {
            format!(
                "Whether {} signs cannot be told, because no re-entry interval is recorded for {missing}; the last of them is of {last}.",
                if sprays == 1 { "1 spray needs".to_string() } else { format!("{sprays} sprays need") },
            )
        }));
    unknown.extend(silent_about(not_said(book, silent.into_iter(), !duties.is_empty())));
    Some(SignSchedule {
        head: Head::new(book),
        gaps: rows.iter().filter(|row| !row.gaps.is_empty()).count(),
        rows,
        unknown,
        assumed: assumed::of_notices(book)
            .into_iter()
            .chain(["Signs stand by the start of the spray (common practice, no source).".to_string()])
            .collect(),
        cautions: cautions(book),
    })
}

/// The times between which signs go up and come down for a spray.
struct Window {
    up_from: Option<Moment>,
    down_from: Option<Moment>,
    down_by: Option<Moment>,
    /// Whether another spray keeps the block closed for longer than this one.
    other: bool,
    ask: Option<String>,
}

impl Window {
    fn new(
        book: &Book<'_>,
        closed: &Closed,
        facts: &SprayFacts,
        touched: &Touched,
        asked: &SignsAsked,
        missing: &[String],
    ) -> Self {
        let zone = &book.season.zone;
        let own = facts.reentry.map(|hold| hold.until);
        let down_from = own.max(closed.until(book.season, touched.block, own.unwrap_or(facts.end)));
        // Re-entry that cannot be told gives no last moment to take the signs down.
        let known = down_from.filter(|_| missing.is_empty());
        Self {
            up_from: asked.before.map(|before| zone.later(facts.start, before.saturating_neg())),
            down_from,
            down_by: known.zip(asked.down_within).map(|(from, within)| zone.later(from, within)),
            other: down_from > own,
            ask: (!missing.is_empty()).then(|| list(missing)),
        }
    }

    fn view(
        &self,
        book: &Book<'_>,
        facts: &SprayFacts,
        touched: &Touched,
        asked: SignsAsked,
        stand: Option<i64>,
    ) -> SignRow {
        let spray = facts.spray(book.journal());
        let block = book.journal().block(touched.block);
        let changes = signs(book, [touched.block].into_iter(), spray.at.day);
        let interval = longest(book, facts).map(|(time, materials)| {
            let names: Vec<&str> = materials.into_iter().map(|material| book.material(material)).collect();
            format!("{} ({})", stated(time), list(&names))
        });
        let ground = match &spray.leftover {
            Some(leftover) if touched.leftover => &leftover.ground,
            _ => &spray.ground,
        };
        SignRow {
            block: block.named.shown().to_string(),
            rows: book.rows(ground),
            location: book.some_words(block.location),
            day: day(spray.at.day),
            sprayed: sprayed(facts, book),
            interval,
            asked_by: asked.by.into_iter().map(|by| by.en).collect(),
            up_from: self.up_from.map(shown),
            up_by: if spray.sessions.is_empty() { "the start of the spray".to_string() } else { moment(facts.start) },
            down_from: self.down_from.map(shown),
            other: self.other,
            ask: self.ask.clone(),
            down_by: self.down_by.map(moment),
            recorded: changes.iter().map(|change| said(book, change)).collect(),
            gaps: self.gaps(book, facts, &changes, stand),
            times: SignTimes {
                spray: facts.index,
                block: touched.block,
                up_from: self.up_from,
                down_from: self.down_from,
                down_by: self.down_by,
                up: changes.iter().any(|change| change.up),
                down: changes.iter().any(|change| !change.up),
            },
        }
    }

    /// What is surely not as it should be: a day without a clock time is any moment of that day.
    fn gaps(&self, book: &Book<'_>, facts: &SprayFacts, changes: &[Change<'_>], stand: Option<i64>) -> Vec<String> {
        let today = book.season.as_of;
        let mut gaps = Vec::new();
        let up = changes.iter().find(|change| change.up).map(|change| range(book, change));
        let down = changes.iter().find(|change| !change.up).map(|change| range(book, change));
        let written = !facts.spray(book.journal()).sessions.is_empty();
        match up {
            // What may still be put up, or written down, today is no gap.
            None if today.is_none_or(|today| facts.start.local.date() < today) => {
                gaps.push("not on record as put up".to_string());
            }
            None => {}
            Some((earliest, _)) if written && earliest > facts.start.seconds => {
                gaps.push("put up after the start".to_string());
            }
            Some((_, latest)) => {
                let from = self.up_from.map(|from| from.seconds);
                // Signs that may still stand for an earlier spray are not up too early for this one.
                let early = from.is_some_and(|from| latest < from && stand.is_none_or(|stand| stand < from));
                gaps.extend(early.then(|| "put up earlier than the rule lets them stand".to_string()));
            }
        }
        let over = |moment: Moment| today.is_some_and(|today| moment.local.date() < today);
        match (down, self.down_from) {
            (Some((_, latest)), Some(from)) if latest < from.seconds => {
                gaps.push("taken down before re-entry is allowed".to_string());
            }
            (Some((earliest, _)), _) if self.down_by.is_some_and(|by| earliest > by.seconds) => {
                gaps.push("taken down later than the rule says".to_string());
            }
            (None, _) if up.is_some() && self.down_by.is_some_and(over) => {
                gaps.push("not on record as taken down".to_string());
            }
            _ => {}
        }
        gaps
    }
}

/// The earliest and the latest second that a change may have been.
fn range(book: &Book<'_>, change: &Change<'_>) -> (i64, i64) {
    let zone = &book.season.zone;
    match change.posted.clock {
        Some(clock) => (zone.written(clock, false).0.seconds, zone.written(clock, true).0.seconds),
        None => (zone.start_of(change.on).seconds, zone.end_of(change.on).seconds + 59),
    }
}

/// A moment before which something must not be done, a part of a minute counted as one.
fn shown(moment: Moment) -> String {
    whole_minute(moment).format("%-d %B %Y %H:%M").to_string()
}

fn sprayed(facts: &SprayFacts, book: &Book<'_>) -> String {
    let spray = facts.spray(book.journal());
    if spray.sessions.is_empty() {
        return "times not recorded".to_string();
    }
    let start = clock(facts.start, spray.at.day);
    let sessions = if spray.sessions.len() > 1 {
        format!(", {}", count(spray.sessions.len(), "session", "sessions"))
    } else {
        String::new()
    };
    match facts.end_assumed {
        true => format!("{start}, end not recorded (taken as {})", clock(facts.end, spray.at.day)),
        false => format!("{start} to {}{sessions}", clock(facts.end, spray.at.day)),
    }
}
