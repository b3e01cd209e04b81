//! What hangs and stands at a moment by the journal, and what should be put up, taken down or written down.

use super::book::Book;
use super::notice_rules::{sheet_asked, signs_asked, undeclared, without_interval};
use super::plan_words::state_word;
use super::postings::sheets;
use super::words::{clear_from, count, day, list, moment as said};
use crate::duty::Duties;
use crate::journal::{BlockId, Notice, ProgramId};
use crate::plan::{Request, State, plan};
use crate::season::{BlockClearance, Change, Moment, SprayFacts, Stood, sheets_in_turn, signs_standing};

/// What is posted and since when, and what is due, for the blocks of a board.
pub(super) fn notices(
    book: &Book<'_>,
    duties: &Duties<'_>,
    moment: Moment,
    blocks: &[&BlockClearance],
) -> (Vec<String>, Vec<String>) {
    let (mut posted, mut due) = (Vec::new(), Vec::new());
    let logs = |notice| book.season.board.logs(notice);
    let standing = |notice: Notice, place: usize| {
        let log = &logs(notice)[place];
        let stood = if notice == Notice::Sheet { sheets_in_turn(log) } else { signs_standing(log) };
        stood.into_iter().filter(|stood| stands(stood, moment)).collect::<Vec<_>>()
    };
    let farm = book.journal().blocks.len();
    let mut told = |place: usize, name: &str| {
        let parts = [
            (standing(Notice::Signs, place), "warning signs", "warning signs"),
            (standing(Notice::Sheet, place), "sheet", "sheets"),
        ];
        let parts: Vec<String> = parts.into_iter().filter_map(|(stood, one, many)| since(&stood, one, many)).collect();
        posted.extend((!parts.is_empty()).then(|| format!("{name}: {}", parts.join("; "))));
    };
    blocks.iter().for_each(|block| told(block.block.index(), book.block(block.block)));
    told(farm, "the whole farm");
    let for_all = !standing(Notice::Signs, farm).is_empty();
    for block in blocks {
        let own = !standing(Notice::Signs, block.block.index()).is_empty();
        due.extend(signs_due(book, duties, moment, block, own, for_all));
    }
    due.extend(sheets_due(book, duties, moment));
    due.extend(ends_due(book, moment));
    due.extend(rounds_due(book, moment));
    (posted, due)
}

/// The rounds that are due, overdue or blocked on the day, a line a program.
fn rounds_due(book: &Book<'_>, moment: Moment) -> Vec<String> {
    let day = moment.local.date();
    if book.journal().programs.is_empty() {
        return Vec::new();
    }
    let request = Request { blocks: book.scope.blocks.clone(), until: Some(day), ..Request::all(day) };
    // What cannot be planned for want of room is left out: the plan itself says so.
    let Ok(plan) = plan(book.season, &book.files, &request) else { return Vec::new() };
    let mut programs: Vec<(ProgramId, Vec<String>)> = Vec::new();
    let now = |state: State| matches!(state, State::Due | State::Overdue(_) | State::Blocked(_));
    for line in plan.lines.iter().filter(|line| now(line.state)) {
        let said = format!("{} ({})", book.block(line.block), state_word(line.state));
        match programs.iter_mut().find(|(program, _)| *program == line.program) {
            Some((_, blocks)) => blocks.push(said),
            None => programs.push((line.program, vec![said])),
        }
    }
    let one = |(program, blocks): (ProgramId, Vec<String>)| {
        format!("Spray {}: {}", book.journal().program(program).named.shown(), list(&blocks))
    };
    programs.into_iter().map(one).collect()
}

/// Whether something stood at a moment, by what is recorded: up by then, and not surely down.
fn stands(stood: &Stood<'_>, moment: Moment) -> bool {
    stood.up.earliest <= moment.seconds && stood.down.is_none_or(|down| down.latest > moment.seconds)
}

/// `warning signs since 14 May 2026 05:40`, `3 sheets, the newest since 14 May 2026 05:40`.
fn since(stood: &[Stood<'_>], one: &str, many: &str) -> Option<String> {
    let when = |change: &Change<'_>| match change.posted.clock {
        Some(clock) => clock.local.format("%-d %B %Y %H:%M").to_string(),
        None => format!("{}, time not recorded", day(change.on)),
    };
    match stood {
        [] => None,
        [only] => Some(format!("{one} since {}", when(&only.up))),
        [.., newest] => Some(format!("{} {many}, the newest since {}", stood.len(), when(&newest.up))),
    }
}

/// Warning signs that should stand and are not on record, or that stand though nothing on record keeps people out.
fn signs_due(
    book: &Book<'_>,
    duties: &Duties<'_>,
    moment: Moment,
    clearance: &BlockClearance,
    own: bool,
    for_all: bool,
) -> Vec<String> {
    let (id, block) = (clearance.block, book.journal().block(clearance.block));
    let name = book.block(id);
    let begun = book.season.by_block[id.index()].iter().map(|&at| &book.season.sprays[at]);
    let begun = begun.filter(|facts| facts.start.seconds <= moment.seconds);
    let over = |facts: &SprayFacts| facts.reentry.map_or(facts.end, |hold| hold.until.max(facts.end));
    let asked = |facts: &&SprayFacts| signs_asked(book, duties, facts, block).is_some();
    if !own && !for_all {
        let running =
            begun.filter(|facts| moment.seconds < over(facts).seconds).filter(asked).max_by_key(|facts| over(facts));
        let line = running.map(|facts| {
            format!(
                "Put up warning signs at {name} for the spray of {}: none are on record, and re-entry is closed until {}",
                day(facts.start.local.date()),
                said(over(facts))
            )
        });
        return line.into_iter().collect();
    }
    let everything_known = clearance.parts.iter().all(|part| part.people.not_known.is_empty());
    if !own || clearance.parts.iter().any(|part| part.people.closed.is_some()) || !everything_known {
        return Vec::new();
    }
    let last = begun.max_by_key(|facts| over(facts));
    let by = last.and_then(|facts| {
        let within = signs_asked(book, duties, facts, block)?.down_within?;
        Some(format!(", by {} at the latest", said(book.season.zone.later(over(facts), within))))
    });
    vec![format!(
        "Take down the warning signs at {name}: by what is recorded nothing keeps people out any more{}",
        by.unwrap_or_default()
    )]
}

/// Sheets that should hang and are not on record, and those that may come down.
fn sheets_due(book: &Book<'_>, duties: &Duties<'_>, moment: Moment) -> Vec<String> {
    let mut due = Vec::new();
    let mut over: Vec<(&SprayFacts, Moment, bool)> = Vec::new();
    for facts in book.season.sprays.iter().filter(|facts| facts.start.seconds <= moment.seconds) {
        let shown = facts.touched.iter().any(|touched| book.scope.has_block(touched.block));
        let Some(asked) = sheet_asked(book, duties, facts).filter(|_| shown) else { continue };
        let from = facts.reentry.map_or(facts.end, |hold| hold.until);
        let until = asked.stays.map_or(from, |stays| book.season.zone.later(from, stays));
        let changes = sheets(book, facts);
        let hung = changes.iter().any(|change| change.up && change.earliest <= moment.seconds);
        let taken = changes.iter().any(|change| !change.up && change.latest <= moment.seconds);
        let spray = facts.spray(book.journal());
        let about = || format!("{} on {}", book.ground(&spray.ground), day(facts.start.local.date()));
        let missing = without_interval(book, facts, &undeclared(book, spray));
        if moment.seconds < until.seconds && !hung {
            due.push(format!(
                "Hang the sheet about the spray of {}: it is not on record, and stays until {}",
                about(),
                said(until)
            ));
        } else if moment.seconds < until.seconds && taken {
            due.push(format!("Hang the sheet about the spray of {} again: it stays until {}", about(), said(until)));
        } else if until.seconds <= moment.seconds && hung && !taken && missing.is_empty() {
            over.push((facts, until, asked.stays.is_some()));
        }
    }
    let mut places: Vec<(Vec<BlockId>, bool, usize, Moment)> = Vec::new();
    for (facts, until, ruled) in over {
        let blocks: Vec<BlockId> =
            facts.touched.iter().filter(|touched| !touched.leftover).map(|touched| touched.block).collect();
        match places.iter_mut().find(|(known, by_rule, ..)| *known == blocks && *by_rule == ruled) {
            Some((_, _, sheets, last)) => (*sheets, *last) = (*sheets + 1, until.max(*last)),
            None => places.push((blocks, ruled, 1, until)),
        }
    }
    due.extend(places.into_iter().map(|(blocks, ruled, sheets, last)| {
        let names: Vec<&str> = blocks.into_iter().map(|block| book.block(block)).collect();
        format!(
            "{} about {} may come down, the last since {}{}",
            count(sheets, "sheet", "sheets"),
            list(&names),
            clear_from(last),
            if ruled { "" } else { ", unless the farm keeps them longer: no adopted rule says how long they stay" }
        )
    }));
    due
}

/// Sprays that still hold something and of which it is not recorded when they ended.
fn ends_due(book: &Book<'_>, moment: Moment) -> Vec<String> {
    let holds = |facts: &&SprayFacts| {
        let shown = |block: BlockId| book.scope.has_block(block);
        facts.end_assumed
            && facts.start.seconds <= moment.seconds
            && facts.touched.iter().filter(|touched| shown(touched.block)).any(|touched| {
                let until = book.season.harvest_hold(facts, touched.block).map_or(facts.end, |hold| hold.until);
                // Where it may have ended the next day, what runs may end as much later.
                let end = book.season.latest_end(&facts.spray(book.journal()).sessions, facts.end);
                moment.seconds < until.seconds.saturating_add(end.seconds - facts.end.seconds)
            })
    };
    let line = |facts: &SprayFacts| {
        format!(
            "Write down when the spray of {} on {} ended: {} is taken until then",
            book.ground(&facts.spray(book.journal()).ground),
            day(facts.start.local.date()),
            said(book.season.latest_end(&facts.spray(book.journal()).sessions, facts.end))
        )
    };
    book.season.sprays.iter().filter(holds).map(line).collect()
}
