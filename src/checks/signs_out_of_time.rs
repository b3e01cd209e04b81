//! See the Markdown beside this file.

use std::collections::BTreeMap;

use super::asked::POSTINGS;
use super::posted::{SignRule, interval, sign_rule, slack};
use super::{Ahead, Check, Findings, say, scene};
use crate::duty::{Asked, Duties, about_block};
use crate::finding::Level;
use crate::journal::{BlockId, Notice};
use crate::quantity::Exact;
use crate::season::{Change, Moment, Season, SprayFacts, Stood, signs_standing};
use crate::syntax::EntryWord;

pub(super) const CHECK: Check = Check {
    code: "signs-out-of-time",
    level: Level::Warning,
    ahead: Ahead::Nothing,
    summary: "Warning signs up too early, or down too early or too late",
    explain: include_str!("signs_out_of_time.md"),
    run,
};

/// A spray while signs stood.
struct Stand<'s> {
    /// As a place in the season's list.
    at: usize,
    block: BlockId,
    /// The rule, where it asks for signs at this spray.
    asks: Option<(Asked<'s>, SignRule)>,
}

/// What is wrong with signs.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Wrong {
    /// Up too long before the start.
    UpEarly,
    /// Left standing since an earlier spray.
    LeftUp,
    /// Down before re-entry was over.
    DownEarly,
    /// Down too long after re-entry was over.
    DownLate,
}

/// A finding: what is wrong, with which record, and for which spray.
struct Hit<'s> {
    wrong: Wrong,
    change: Change<'s>,
    asked: Asked<'s>,
    rule: SignRule,
    at: usize,
    /// Until when the signs were needed for what was sprayed before.
    covered: Option<Moment>,
    blocks: Vec<BlockId>,
}

fn run(season: &Season<'_>, found: &mut Findings) {
    found.among(season, POSTINGS, |found| search(season, found));
}

fn search(season: &Season<'_>, found: &mut Findings) {
    let duties = Duties::new(season);
    let logs = season.board.logs(Notice::Signs);
    // A spray or a posting that could not be read may be what the signs stood for, or what took them down.
    if duties.is_empty()
        || logs.iter().all(Vec::is_empty)
        || season.lost(EntryWord::Spray)
        || season.lost(EntryWord::Post)
    {
        return;
    }
    let stood: Vec<Vec<Stood<'_>>> = logs.iter().map(signs_standing).collect();
    let mut stands: Vec<Vec<Vec<Stand<'_>>>> =
        stood.iter().map(|place| place.iter().map(|_| Vec::new()).collect()).collect();
    for (at, facts) in season.sprays.iter().enumerate() {
        let rule = sign_rule(&duties, facts);
        for touched in &facts.touched {
            let block = touched.block;
            let asks = rule.filter(|(asked, rule)| {
                about_block(season, season.journal.block(block), &asked.rule.when) && rule.asks(season, facts, block)
            });
            for place in [block.index(), logs.len() - 1] {
                if let Some(which) = standing(season, &stood[place], facts) {
                    stands[place][which].push(Stand { at, block, asks });
                }
            }
        }
    }
    // One finding a record of a posting and a spray, however many blocks it is of.
    let mut hits: BTreeMap<(u32, Wrong, usize), Hit<'_>> = BTreeMap::new();
    for (stood, stands) in stood.iter().flatten().zip(stands.iter().flatten()) {
        judge(season, stood, stands, |block, hit| {
            let key = (hit.change.posted.span.start, hit.wrong, hit.at);
            hits.entry(key).or_insert(hit).blocks.push(block);
        });
    }
    for hit in hits.values() {
        report(season, found, hit);
    }
}

/// The signs that stood at the start of a spray, or went up on its day or while its interval ran.
fn standing(season: &Season<'_>, stood: &[Stood<'_>], facts: &SprayFacts) -> Option<usize> {
    let over = |down: Change<'_>| down.earliest <= facts.start.seconds;
    let which = stood.partition_point(|stood| stood.down.is_some_and(over));
    let day = season.zone.end_of(facts.start.local.date()).seconds;
    let last = facts.reentry.map_or(day, |hold| day.max(hold.until.seconds));
    stood.get(which).filter(|stood| stood.up.earliest <= last).map(|_| which)
}

/// Holds what stood against the sprays that it stood for, which come in the order of time.
fn judge<'s>(season: &Season<'_>, stood: &Stood<'s>, stands: &[Stand<'s>], mut tell: impl FnMut(BlockId, Hit<'s>)) {
    // Until when signs were needed so far; unknown once an interval is.
    let mut covered: Option<Moment> = None;
    let mut known = true;
    let mut last: Option<(&Stand<'s>, Asked<'s>, SignRule)> = None;
    for stand in stands {
        let facts = &season.sprays[stand.at];
        if let Some((asked, rule)) = stand.asks {
            let hit =
                |wrong, change, covered| Hit { wrong, change, asked, rule, at: stand.at, covered, blocks: Vec::new() };
            let start = facts.start.seconds;
            match covered {
                None if !facts.spray(season.journal).sessions.is_empty()
                    && start.saturating_sub(stood.up.latest) > rule.before =>
                {
                    tell(stand.block, hit(Wrong::UpEarly, stood.up, None));
                }
                // After an earlier spray they may stay up for a while, and then go up again for this one.
                Some(until)
                    if known && start.saturating_sub(until.seconds) > rule.down_within.saturating_add(rule.before) =>
                {
                    tell(stand.block, hit(Wrong::LeftUp, stood.up, Some(until)));
                }
                _ => {}
            }
            if let (Some(down), Some(hold)) = (stood.down, facts.reentry)
                && down.latest < hold.until.seconds.saturating_sub(slack(facts))
                // Others may stand: those of the whole farm, or the block's own.
                && !season.board.still_up(Notice::Signs, stand.block, down.latest)
            {
                tell(stand.block, hit(Wrong::DownEarly, down, None));
            }
            last = Some((stand, asked, rule));
        }
        known &= facts.doses.iter().all(|dose| season.journal.material(dose.material).reentry.is_some());
        let until = facts.reentry.map_or(facts.end, |hold| hold.until);
        covered = Some(covered.map_or(until, |covered| covered.max(until)));
    }
    if let (Some((stand, asked, rule)), Some(down), Some(until)) = (last, stood.down, covered)
        && known
        && down.earliest.saturating_sub(until.seconds) > rule.down_within
    {
        let hit = Hit {
            wrong: Wrong::DownLate,
            change: down,
            asked,
            rule,
            at: stand.at,
            covered: Some(until),
            blocks: Vec::new(),
        };
        tell(stand.block, hit);
    }
}

fn report(season: &Season<'_>, found: &mut Findings, hit: &Hit<'_>) {
    let facts = &season.sprays[hit.at];
    let spray = facts.spray(season.journal);
    let place = scene::named(season, hit.blocks.iter().copied());
    let sprayed = say::day(facts.start.local.date());
    let when = match hit.change.posted.clock {
        Some(clock) => say::moment(season.zone.written(clock, false).0),
        None => say::day(hit.change.on),
    };
    let reentry = facts.reentry.map_or(facts.end, |hold| hold.until);
    let covered = hit.covered.unwrap_or(reentry);
    let start = say::moment(facts.start);
    let hours = |seconds: i64| scene::hours(Exact::int(seconds));
    let signs = format!("the warning signs for the spray of {place} on {sprayed}");
    let (headline, working, help) = match hit.wrong {
        Wrong::UpEarly => {
            let earliest = season.zone.later(facts.start, -hit.rule.before);
            (
                format!("{signs} went up on {when}, sooner than {} before it began", hours(hit.rule.before)),
                format!("the spray began {start}; {} before that is {}", hours(hit.rule.before), say::moment(earliest)),
                "signs that stand when nothing is sprayed are soon overlooked; if they went up later, put the time right",
            )
        }
        Wrong::LeftUp => (
            format!("{signs} stood there since {when}, though nothing asked for them after {}", say::moment(covered)),
            format!(
                "they come down within {} of the end of re-entry, {}, and go up again in the {} before {start}",
                hours(hit.rule.down_within),
                say::moment(covered),
                hours(hit.rule.before)
            ),
            "if they came down in between and went up again, write it down: `down signs` and `up signs`, each on its day",
        ),
        Wrong::DownEarly => (
            format!("{signs} came down on {when}, before re-entry was over on {}", say::moment(reentry)),
            format!("the spray ended {}; re-entry then runs until {}", say::moment(facts.end), say::moment(reentry)),
            "put signs up again while the interval runs, and see to anyone who went in; if they came down later, put the time right",
        ),
        Wrong::DownLate => (
            format!("{signs} came down on {when}, later than {} after re-entry was over", hours(hit.rule.down_within)),
            format!(
                "re-entry was over {}; {} later is {}",
                say::moment(covered),
                hours(hit.rule.down_within),
                say::moment(season.zone.later(covered, hit.rule.down_within))
            ),
            "signs that stand when nothing is sprayed are soon overlooked; if they came down sooner, put the time right",
        ),
    };
    let here = match hit.wrong {
        Wrong::UpEarly | Wrong::LeftUp => "went up here",
        Wrong::DownEarly | Wrong::DownLate => "came down here",
    };
    let mut finding = found
        .finding(hit.change.posted.span, headline)
        .here(here)
        .label(spray.sessions.first().map_or(spray.at.line, |session| session.span), "sprayed here");
    if let (Some(hold), Some(interval), Some(&block)) = (facts.reentry, interval(facts), hit.blocks.first()) {
        finding = finding.label(hold.span, "re-entry interval set here").working(format!(
            "{} has the longest re-entry interval of the tank, {}; signs are asked for over {}",
            say::material(season, hold.material),
            hours(interval),
            hours(hit.rule.limit(season, block))
        ));
    }
    finding = finding.label(hit.asked.adoption.adopted.name.span, "rulebook taken on here").working(working);
    if facts.end_assumed && hit.wrong != Wrong::UpEarly {
        finding = finding.working("when the spray ended is not on record, so the end of that day is taken");
    }
    finding.level = match hit.wrong {
        _ if hit.asked.from_memory() => Level::Note,
        Wrong::DownEarly => Level::Error,
        Wrong::UpEarly | Wrong::LeftUp | Wrong::DownLate => Level::Warning,
    };
    found.add(finding.help(help).source(hit.asked.cited()));
}
