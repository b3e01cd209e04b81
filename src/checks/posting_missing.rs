//! See the Markdown beside this file.

use super::{Check, Findings, say, scene};
use crate::finding::Level;
use crate::journal::{BlockId, Needs, Notice, Posted};
use crate::season::{Season, SprayFacts};
use crate::syntax::EntryWord;
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "posting-missing",
    level: Level::Warning,
    summary: "No sheet or signs where they are asked for",
    explain: include_str!("posting_missing.md"),
    run,
};

/// A sheet goes up within so many seconds of the end.
const DAY: i64 = 86_400;

/// What went up and came down of one notice at one place, in the order of time.
type Log = Vec<Change>;

#[derive(Clone, Copy)]
struct Change {
    /// The earliest that it may have been: the written time, or the start of its day.
    earliest: i64,
    /// The latest that it may have been: the written time, or the end of its day.
    latest: i64,
    up: bool,
}

/// Every posting, by block; the last place is the farm's.
struct Board {
    sheets: Vec<Log>,
    signs: Vec<Log>,
}

impl Board {
    fn new(season: &Season<'_>) -> Self {
        let places = season.journal.blocks.len() + 1;
        let mut board = Board { sheets: vec![Vec::new(); places], signs: vec![Vec::new(); places] };
        for posting in &season.journal.postings {
            let changes = posting.up.iter().map(|posted| (posted, true));
            for (posted, up) in changes.chain(posting.down.iter().map(|posted| (posted, false))) {
                let change = change(season, posting.at.day, posted, up);
                let logs = match posted.what {
                    Notice::Sheet => &mut board.sheets,
                    Notice::Signs => &mut board.signs,
                };
                match posting.ground.blocks.as_slice() {
                    [] => logs[places - 1].push(change),
                    named => scene::ids(named).for_each(|block| logs[block.index()].push(change)),
                }
            }
        }
        for log in board.sheets.iter_mut().chain(&mut board.signs) {
            log.sort_by_key(|change| (change.latest, change.earliest, change.up));
        }
        board
    }

    /// Whether a notice went up at a block, or for the whole farm, between two moments.
    fn went_up(logs: &[Log], block: BlockId, from: i64, to: i64) -> bool {
        places(logs, block).any(|log| {
            let first = log.partition_point(|change| change.latest < from);
            let near = log[first..].iter().take_while(|change| change.latest <= to.saturating_add(DAY));
            near.filter(|change| change.earliest <= to).any(|change| change.up)
        })
    }

    /// Whether a notice that went up earlier was still up at a moment.
    fn still_up(logs: &[Log], block: BlockId, at: i64) -> bool {
        places(logs, block)
            .any(|log| log[..log.partition_point(|change| change.latest <= at)].last().is_some_and(|change| change.up))
    }
}

/// What was posted at a block, and for the whole farm.
fn places(logs: &[Log], block: BlockId) -> impl Iterator<Item = &Log> {
    logs.get(block.index()).into_iter().chain(logs.last())
}

fn change(season: &Season<'_>, day: chrono::NaiveDate, posted: &Posted, up: bool) -> Change {
    let (earliest, latest) = match posted.clock {
        Some(clock) => {
            let moment = season.zone.written(clock, false).0.seconds;
            (moment, moment)
        }
        None => (season.zone.start_of(day).seconds, season.zone.end_of(day).seconds),
    };
    Change { earliest, latest, up }
}

fn run(season: &Season<'_>, found: &mut Findings) {
    // A record that could not be read may be the one that is missing here.
    if season.lost(EntryWord::Post) {
        return;
    }
    let journal = season.journal;
    let farm = journal.farm.as_ref().map(|farm| farm.needs).unwrap_or_default();
    let asks = |needs: &Needs| needs.sheet.is_some() || needs.signs.is_some();
    if !asks(&farm) && !journal.materials.iter().any(|material| asks(&material.needs)) {
        return;
    }
    if !journal.blocks.iter().any(|block| block.workers.is_some_and(|workers| workers.value)) {
        return;
    }
    let board = Board::new(season);
    for facts in &season.sprays {
        look(season, found, &board, farm, facts);
    }
}

fn look(season: &Season<'_>, found: &mut Findings, board: &Board, farm: Needs, facts: &SprayFacts) {
    let journal = season.journal;
    let mut needs = farm;
    for dose in &facts.doses {
        let asked = journal.material(dose.material).needs;
        needs.sheet = needs.sheet.or(asked.sheet);
        needs.signs = needs.signs.or(asked.signs);
    }
    if needs == Needs::default() {
        return;
    }
    // What may still be put up, or written down, today is not missing.
    let over = |by: i64| season.as_of.is_none_or(|today| by <= season.zone.end_of(today).seconds);
    let first_day = season.zone.start_of(facts.start.local.date()).seconds;
    let last_minute = season.zone.end_of(facts.start.local.date()).seconds;
    let day_over = season.as_of.is_none_or(|today| facts.start.local.date() < today);
    let sheet_by = facts.end.seconds.saturating_add(DAY);
    let mut missing: Vec<(&str, Span, Span)> = Vec::new();
    let mut places: Vec<BlockId> = Vec::new();
    for touched in &facts.touched {
        let Some(workers) = journal.block(touched.block).workers.filter(|workers| workers.value) else { continue };
        let mut lacks = |what: &'static str, asked: Span| {
            if !missing.iter().any(|(known, ..)| *known == what) {
                missing.push((what, asked, workers.span));
            }
            if !places.contains(&touched.block) {
                places.push(touched.block);
            }
        };
        if let Some(asked) = needs.sheet
            && over(sheet_by)
            && !Board::went_up(&board.sheets, touched.block, first_day, sheet_by)
        {
            lacks("sheet", asked);
        }
        if let Some(asked) = needs.signs
            && day_over
            && !Board::still_up(&board.signs, touched.block, facts.start.seconds)
            && !Board::went_up(&board.signs, touched.block, facts.start.seconds, last_minute)
        {
            lacks("warning signs", asked);
        }
    }
    let Some(&(_, _, workers)) = missing.first() else { return };
    let spray = facts.spray(journal);
    missing.sort_by_key(|(what, ..)| *what);
    let names: Vec<&str> = missing.iter().map(|(what, ..)| *what).collect();
    let place = scene::named(season, places.iter().copied());
    let no = names.join(" and no ");
    let headline = format!("no {no} on record for the spray of {place} on {}", say::day(facts.start.local.date()));
    let mut finding = found.finding(spray.at.line, headline);
    for (what, asked, _) in &missing {
        finding = finding.label(*asked, format!("{what} asked for here"));
    }
    finding = finding.label(workers, "people work here");
    let mut sources = Vec::new();
    for what in &names {
        if *what == "sheet" {
            finding = finding.working(format!(
                "a sheet goes up on the day or within 24 hours of the end: by {}",
                say::moment(season.zone.later(facts.end, DAY))
            ));
            sources.push("40 CFR 170.311(b)(5), as EPA's guidance sums it up");
        } else {
            finding = finding.working("signs go up in the 24 hours before the spray; here, any that stand at its start or go up on its day count");
            sources.push("40 CFR 170.409(b) (paragraph number from memory)");
        }
    }
    let ups: Vec<String> = names.iter().map(|what| format!("`up {}`", what.trim_start_matches("warning "))).collect();
    found.add(
        finding
            .help(format!("if it was done, write it down: a `post` entry with {} and the time", say::list(&ups)))
            .source(sources.join("; ")),
    );
}
