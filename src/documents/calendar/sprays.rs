//! What follows a spray: when people may go in and pick again, and when signs and sheets come down.

use std::collections::BTreeMap;

use super::super::book::Book;
use super::super::closed::Closed;
use super::super::notice_rules::{longest, sheet_asked, undeclared, without_interval};
use super::super::posting_sheet::stays;
use super::super::posting_sheets::unread;
use super::super::postings::sheets;
use super::super::sign_schedule::sign_schedule;
use super::super::words::{clear_from, count, day, list, moment, stated};
use super::event::{Draft, EventKind, EventState, When};
use super::{Drafts, task, whole};
use crate::duty::Duties;
use crate::journal::BlockId;
use crate::season::{Moment, SprayFacts, Touched};

/// What tells the sprays of a block apart, whatever their times: the block, the page's day, the mix or what else went in,
/// and, of several alike, which.
pub(super) struct SprayKeys(BTreeMap<(usize, BlockId), Vec<String>>);

impl SprayKeys {
    /// Of every spray, by its place in the journal's list.
    pub(super) fn new(book: &Book<'_>) -> Self {
        let journal = book.journal();
        let mut keys = BTreeMap::new();
        for (block, sprays) in book.season.by_block.iter().enumerate() {
            let mut alike: BTreeMap<(chrono::NaiveDate, String), usize> = BTreeMap::new();
            for &at in sprays {
                let facts = &book.season.sprays[at];
                let (on, tank) = (facts.spray(journal).at.day, tank(book, facts));
                let number = alike.entry((on, tank.clone())).or_default();
                *number += 1;
                let name = journal.blocks[block].named.name.to_string();
                keys.insert((facts.index, BlockId::at(block)), vec![name, on.to_string(), tank, number.to_string()]);
            }
        }
        Self(keys)
    }

    /// Of a spray on a block.
    pub(super) fn of(&self, spray: usize, block: BlockId) -> Vec<String> {
        self.0.get(&(spray, block)).cloned().unwrap_or_default()
    }
}

/// The name of the mix, or else of everything that went in, in the order of names.
fn tank(book: &Book<'_>, facts: &SprayFacts) -> String {
    let spray = facts.spray(book.journal());
    if let Some(used) = spray.mix {
        return book.words(used.mix.span).to_lowercase();
    }
    let mut names: Vec<String> =
        facts.doses.iter().map(|dose| book.journal().material(dose.material).named.name.to_string()).collect();
    names.sort_unstable();
    names.join(" ")
}

/// What follows every spray on the blocks of the part to show.
pub(super) fn of_sprays(book: &Book<'_>, keys: &SprayKeys, uncleared: &Closed, drafts: &mut Drafts) {
    let closed = Closed::new(book.season);
    drafts.unknown.extend(unread(book));
    let mut unknown = Unknown::default();
    for facts in &book.season.sprays {
        let undeclared = undeclared(book, facts.spray(book.journal()));
        for touched in facts.touched.iter().filter(|touched| book.scope.has_block(touched.block)) {
            let on = On { book, facts, touched, key: keys.of(facts.index, touched.block) };
            let mut silent = Unknown::default();
            drafts.extend(on.reentry(&closed, &undeclared, &mut silent));
            drafts.extend(on.clear(uncleared, &undeclared, &mut silent));
            // Of sprays before the days that were asked for, nobody wants to know what is not recorded.
            if drafts.has(When::day(facts.end.local.date())) {
                unknown.take(silent);
            }
        }
    }
    drafts.unknown.extend(unknown.said());
    of_signs(book, keys, drafts);
    of_sheets(book, keys, drafts);
}

/// Sprays whose end of a hold is not in the calendar because no interval is on record: by what is missing, how many, and
/// the last.
#[derive(Default)]
struct Unknown {
    entry: BTreeMap<String, (usize, String)>,
    picking: BTreeMap<String, (usize, String)>,
}

impl Unknown {
    fn take(&mut self, other: Unknown) {
        let add = |known: &mut BTreeMap<String, (usize, String)>, new: BTreeMap<String, (usize, String)>| {
            for (missing, (sprays, last)) in new {
                let known = known.entry(missing).or_default();
                *known = (known.0 + sprays, last);
            }
        };
        add(&mut self.entry, other.entry);
        add(&mut self.picking, other.picking);
    }

    fn said(self) -> Vec<String> {
        let line = |what: &'static str, kind: &'static str| {
            move |(missing, (sprays, last)): (String, (usize, String))| {
                format!(
                    "When {what} after {} is not in the calendar, because no {kind} interval is recorded for {missing}; the last is {last}. Ask before you go by the calendar.",
                    count(sprays, "spray", "sprays"),
                )
            }
        };
        let entry = self.entry.into_iter().map(line("people may go in", "re-entry"));
        entry.chain(self.picking.into_iter().map(line("may be picked", "harvest"))).collect()
    }
}

/// A spray on a block.
struct On<'b> {
    book: &'b Book<'b>,
    facts: &'b SprayFacts,
    touched: &'b Touched,
    key: Vec<String>,
}

impl On<'_> {
    fn place(&self) -> String {
        let spray = self.facts.spray(self.book.journal());
        let ground = match &spray.leftover {
            Some(leftover) if self.touched.leftover => &leftover.ground,
            _ => &spray.ground,
        };
        let block = self.book.block(self.touched.block);
        match self.book.rows(ground) {
            Some(rows) => format!("{block}, {rows}"),
            None => block.to_string(),
        }
    }

    fn sprayed(&self) -> String {
        format!("that of {} on {}", self.place(), day(self.facts.spray(self.book.journal()).at.day))
    }

    /// From when an interval was counted.
    fn counted(&self) -> String {
        let facts = self.facts;
        if facts.end_assumed {
            format!("The end of the spray is not recorded; it is taken as {}.", moment(facts.end))
        } else {
            format!("Counted from the end of the spray, {}.", moment(facts.end))
        }
    }

    /// When nobody need stay out any more.
    fn reentry(&self, closed: &Closed, undeclared: &[String], unknown: &mut Unknown) -> Option<Draft> {
        let (book, facts) = (self.book, self.facts);
        let missing = without_interval(book, facts, undeclared);
        let Some(hold) = facts.reentry else {
            if !missing.is_empty() {
                unknown.entry.insert(list(&missing), (1, self.sprayed()));
            }
            return None;
        };
        let until = whole(book, hold.until);
        let latest = closed.until(book.season, self.touched.block, hold.until).filter(|latest| *latest > hold.until);
        let mut why = Vec::new();
        if let Some((time, materials)) = longest(book, facts) {
            let names: Vec<&str> = materials.into_iter().map(|material| book.material(material)).collect();
            why.push(format!("Longest re-entry interval in the tank: {} ({}).", stated(time), list(&names)));
        }
        why.push(self.counted());
        let harvest = book.season.harvest_hold(facts, self.touched.block);
        if harvest.is_some_and(|harvest| harvest.until == hold.until) && self.harvest_known(undeclared) {
            why.push("Nothing on record asks for a longer wait before picking.".to_string());
        }
        let place = self.place();
        let title = match latest {
            Some(latest) => {
                why.push(format!("Another spray keeps the block closed until {}.", moment(whole(book, latest))));
                format!("{place}: still closed until {}, by another spray", moment(whole(book, latest)))
            }
            None if !missing.is_empty() => {
                why.push(format!(
                    "No re-entry interval is recorded for {}: ask before anyone goes in.",
                    list(&missing)
                ));
                format!("{place}: recorded re-entry interval over, ask before going in")
            }
            None => format!("{place}: re-entry interval over"),
        };
        Some(self.draft(EventKind::Reentry, When::At(until, None), latest.is_some(), title, why))
    }

    /// Whether a harvest interval is on record for everything in the tank.
    fn harvest_known(&self, undeclared: &[String]) -> bool {
        let crop = self.book.season.crop(self.touched.block);
        let known = |dose: &crate::season::Dose| self.book.season.preharvest(dose.material, crop).is_some();
        undeclared.is_empty() && self.facts.doses.iter().all(known)
    }

    /// From when the block may be picked, where a harvest interval is on record.
    fn clear(&self, uncleared: &Closed, undeclared: &[String], unknown: &mut Unknown) -> Option<Draft> {
        let (book, facts, block) = (self.book, self.facts, self.touched.block);
        let crop = book.season.crop(block);
        let (mut missing, mut intervals) = (undeclared.to_vec(), Vec::new());
        for dose in &facts.doses {
            match book.season.preharvest(dose.material, crop) {
                None => missing.push(book.material(dose.material).to_string()),
                Some(interval) => intervals.extend(
                    book.season
                        .clear_after(facts.end, interval)
                        .map(|until| (until, stated(interval.time), book.material(dose.material))),
                ),
            }
        }
        let Some((_, time, material)) = intervals.iter().max_by_key(|(until, ..)| *until) else {
            if !missing.is_empty() {
                unknown.picking.insert(list(&missing), (1, self.sprayed()));
            }
            return None;
        };
        let hold = book.season.harvest_hold(facts, block)?;
        // The end of re-entry says it already, unless somebody has to be asked.
        if missing.is_empty() && facts.reentry.is_some_and(|reentry| reentry.until == hold.until) {
            return None;
        }
        let latest = uncleared.until(book.season, block, hold.until).filter(|latest| *latest > hold.until);
        let mut why = vec![format!("Longest harvest interval in the tank: {time} ({material})."), self.counted()];
        if facts.reentry.is_some_and(|reentry| reentry.until == hold.until) {
            why.push("The re-entry interval runs as long or longer, and counts too.".to_string());
        }
        let place = self.place();
        let title = match latest {
            Some(latest) => {
                let latest = clear_from(whole(book, latest));
                why.push(format!("After another spray the block is clear to pick from {latest}."));
                format!("{place}: not clear to pick before {latest}, by another spray")
            }
            None if !missing.is_empty() => {
                why.push(format!("No harvest interval is recorded for {}: ask before you pick.", list(&missing)));
                format!("{place}: recorded harvest interval over, ask before picking")
            }
            None => format!("{place}: clear to pick by the recorded harvest intervals"),
        };
        let until = whole(book, hold.until);
        let at = if until == book.season.zone.start_of(until.local.date()) {
            When::day(until.local.date())
        } else {
            When::At(until, None)
        };
        Some(self.draft(EventKind::Clear, at, latest.is_some(), title, why))
    }

    fn draft(&self, kind: EventKind, at: When, replaced: bool, title: String, why: Vec<String>) -> Draft {
        let over = self.book.season.as_of.is_some_and(|today| at.last_day() < today);
        let state = match () {
            () if replaced => EventState::Replaced,
            () if over => EventState::Past,
            () => EventState::ToCome,
        };
        Draft { kind, key: self.key.clone(), at, state, title, why, place: Some(place(self.book, self.touched.block)) }
    }
}

/// A block's title, and where it is.
pub(super) fn place(book: &Book<'_>, block: BlockId) -> (String, Option<String>) {
    (book.block(block).to_string(), book.some_words(book.journal().block(block).location))
}

/// When warning signs go up and come down.
fn of_signs(book: &Book<'_>, keys: &SprayKeys, drafts: &mut Drafts) {
    let Some(schedule) = sign_schedule(book) else { return };
    let mut facts: Vec<Option<&SprayFacts>> = vec![None; book.journal().sprays.len()];
    book.season.sprays.iter().for_each(|spray| facts[spray.index] = Some(spray));
    for row in schedule.rows {
        let times = row.times;
        let Some(facts) = facts[times.spray] else { continue };
        let block = match &row.rows {
            Some(rows) => format!("{}, {rows}", row.block),
            None => row.block.clone(),
        };
        let start = facts.start;
        let up = match times.up_from {
            _ if facts.spray(book.journal()).sessions.is_empty() => When::day(start.local.date()),
            Some(from) => When::At(whole(book, from), Some(start)),
            None => When::At(start, None),
        };
        let why = |also: Option<String>| -> Vec<String> {
            let asked = format!("Asked for by {}.", list(&row.asked_by));
            let recorded = row.recorded.iter().map(|said| format!("On record: {said}."));
            [format!("For the spray of {}.", row.day), asked].into_iter().chain(also).chain(recorded).collect()
        };
        let draft = |kind: EventKind, at: When, state: EventState, title: String, why: Vec<String>| Draft {
            kind,
            key: keys.of(times.spray, times.block),
            at,
            state,
            title,
            why,
            place: Some(place(book, times.block)),
        };
        let state = task(book, up, times.up);
        drafts.extend([draft(EventKind::SignsUp, up, state, format!("{block}: warning signs up"), why(None))]);
        let Some(from) = times.down_from else { continue };
        let down = When::At(whole(book, from), times.down_by.filter(|by| *by > whole(book, from)));
        // Where no rule says by when, signs are never late.
        let state = match task(book, down, times.down) {
            EventState::Overdue if times.down_by.is_none() => EventState::Past,
            state => state,
        };
        let (title, also) = match &row.ask {
            Some(ask) => (
                format!("{block}: ask before warning signs come down"),
                Some(format!("No re-entry interval is recorded for {ask}: ask first.")),
            ),
            None => (
                format!("{block}: warning signs may come down"),
                row.other.then(|| "Another spray keeps the block closed until then.".to_string()),
            ),
        };
        drafts.extend([draft(EventKind::SignsDown, down, state, title, why(also))]);
    }
}

/// When sheets may come down.
fn of_sheets(book: &Book<'_>, keys: &SprayKeys, drafts: &mut Drafts) {
    let duties = Duties::new(book.season);
    for facts in book.sprays() {
        let Some(asked) = sheet_asked(book, &duties, facts) else { continue };
        let Some(block) = facts.touched.first().map(|touched| touched.block) else { continue };
        let spray = facts.spray(book.journal());
        let missing = without_interval(book, facts, &undeclared(book, spray));
        let stays = stays(book, facts, &asked, !missing.is_empty());
        let over: Moment = whole(book, stays.over);
        let changes = sheets(book, facts);
        let up = changes.iter().filter(|change| change.up).count();
        let taken = up > 0 && up == changes.len() - up;
        let at = When::At(over, None);
        let state = match task(book, at, taken) {
            // It may come down then; no rule says that it must.
            EventState::Overdue | EventState::Due => EventState::Past,
            state => state,
        };
        let ground = format!("the spray of {} on {}", book.ground(&spray.ground), day(spray.at.day));
        let mut why = vec![format!("Asked for by {}.", list(&asked.by.iter().map(|by| &by.en).collect::<Vec<_>>()))];
        why.push(format!("{}.", stays.why.en.trim_end_matches('.')));
        let title = if stays.at_least {
            why.push(format!("No re-entry interval is recorded for {}: ask first.", list(&missing)));
            format!("Ask before the sheet about {ground} comes down")
        } else {
            format!("The sheet about {ground} may come down")
        };
        drafts.extend([Draft {
            kind: EventKind::SheetDown,
            key: keys.of(facts.index, block),
            at,
            state,
            title,
            why,
            place: Some(place(book, block)),
        }]);
    }
}
