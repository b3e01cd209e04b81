//! See the Markdown beside this file.

use super::posted::{self, SheetRule, SheetUp, SignRule, interval, sheet_by, sheet_rule, sheet_up, sign_rule};
use super::{Ahead, Check, Findings, say, scene};
use crate::duty::{Asked, Duties, about_block};
use crate::finding::{Finding, Level};
use crate::journal::{BlockId, Needs, Notice};
use crate::quantity::Exact;
use crate::season::{Season, SprayFacts};
use crate::syntax::EntryWord;
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "posting-missing",
    level: Level::Warning,
    ahead: Ahead::Nothing,
    summary: "No sheet or signs where they are asked for",
    explain: include_str!("posting_missing.md"),
    run,
};

/// A sheet that an entry of the farm's own asks for goes up within so many seconds of the end.
const DAY: i64 = 86_400;

/// What is asked for at a spray: where an entry of the farm's own asks, and the rule that asks.
#[derive(Clone, Copy)]
struct Wanted<'s, R> {
    needed: Option<Span>,
    rule: Option<(Asked<'s>, R)>,
}

impl<R> Wanted<'_, R> {
    fn asked(&self) -> bool {
        self.needed.is_some() || self.rule.is_some()
    }
}

/// Blocks at which something does not hang, and the line that says that people work there.
struct Lacking {
    sheet: bool,
    signs: Option<BlockId>,
    places: Vec<BlockId>,
    workers: Option<Span>,
}

/// A block at which something of a spray does not hang.
struct Hit {
    /// The spray, as a place in the season's list.
    at: usize,
    /// The block's place among those that it touched.
    place: usize,
    block: BlockId,
    sheet: bool,
    signs: bool,
}

impl Lacking {
    fn of(season: &Season<'_>, hits: &[Hit]) -> Self {
        let workers = |hit: &Hit| season.journal.block(hit.block).workers.filter(|workers| workers.value);
        Self {
            sheet: hits.iter().any(|hit| hit.sheet),
            signs: hits.iter().find(|hit| hit.signs).map(|hit| hit.block),
            places: hits.iter().map(|hit| hit.block).collect(),
            workers: hits.iter().find_map(workers).map(|workers| workers.span),
        }
    }
}

fn run(season: &Season<'_>, found: &mut Findings) {
    // A record that could not be read may be the one that is missing here.
    if season.lost(EntryWord::Post) {
        return;
    }
    let journal = season.journal;
    let duties = Duties::new(season);
    let farm = journal.farm.as_ref().map(|farm| farm.needs).unwrap_or_default();
    let asks = |needs: &Needs| needs.sheet.is_some() || needs.signs.is_some();
    if duties.is_empty() && !asks(&farm) && !journal.materials.iter().any(|material| asks(&material.needs)) {
        return;
    }
    let mut hits = found.on_blocks(season, posted::by(season), |_, block, sprays| {
        let hits = sprays.iter().filter_map(|&at| {
            let facts = &season.sprays[at];
            let (sheet, signs) = wanted(&duties, farm, facts)?;
            let sheet = lacks_sheet(season, facts, block, &sheet);
            let signs = lacks_signs(season, facts, block, &signs);
            let place = facts.touched.iter().position(|touched| touched.block == block)?;
            (sheet || signs).then_some(Hit { at, place, block, sheet, signs })
        });
        hits.collect::<Vec<_>>()
    });
    hits.sort_by_key(|hit| (hit.at, hit.place));
    for hits in hits.chunk_by(|one, other| one.at == other.at) {
        let facts = &season.sprays[hits[0].at];
        if let Some((sheet, signs)) = wanted(&duties, farm, facts) {
            report(season, found, facts, &Lacking::of(season, hits), &sheet, &signs);
        }
    }
}

/// What is asked for at a spray.
fn wanted<'s>(
    duties: &Duties<'s>,
    farm: Needs,
    facts: &SprayFacts,
) -> Option<(Wanted<'s, SheetRule>, Wanted<'s, SignRule>)> {
    let season = duties.season;
    let mut needs = farm;
    for dose in &facts.doses {
        let asked = season.journal.material(dose.material).needs;
        needs.sheet = needs.sheet.or(asked.sheet);
        needs.signs = needs.signs.or(asked.signs);
    }
    let sheet = Wanted { needed: needs.sheet, rule: sheet_rule(duties, facts) };
    let signs = Wanted { needed: needs.signs, rule: sign_rule(duties, facts) };
    (sheet.asked() || signs.asked()).then_some((sheet, signs))
}

/// What may still be put up, or written down, today is not missing.
fn over(season: &Season<'_>, by: i64) -> bool {
    season.as_of.is_none_or(|today| by <= season.zone.end_of(today).seconds)
}

fn workers(season: &Season<'_>, block: BlockId) -> bool {
    season.journal.block(block).workers.is_some_and(|workers| workers.value)
}

fn about(season: &Season<'_>, block: BlockId, asked: &Asked<'_>) -> bool {
    about_block(season, season.journal.block(block), &asked.rule.when)
}

fn lacks_sheet(season: &Season<'_>, facts: &SprayFacts, block: BlockId, sheet: &Wanted<'_, SheetRule>) -> bool {
    if let Some((_, rule)) = sheet.rule.as_ref().filter(|(asked, _)| about(season, block, asked)) {
        // A sheet that went up late is not missing: that is a finding of its own.
        let by = sheet_by(season, facts, rule).seconds;
        return over(season, by) && matches!(sheet_up(season, facts, block, by), SheetUp::None);
    }
    let by = facts.end.seconds.saturating_add(DAY);
    sheet.needed.is_some()
        && workers(season, block)
        && over(season, by)
        && !matches!(sheet_up(season, facts, block, by), SheetUp::InTime(_))
}

fn lacks_signs(season: &Season<'_>, facts: &SprayFacts, block: BlockId, signs: &Wanted<'_, SignRule>) -> bool {
    let by_rule =
        signs.rule.as_ref().is_some_and(|(asked, rule)| about(season, block, asked) && rule.asks(season, facts, block));
    let asked = by_rule || signs.needed.is_some() && workers(season, block);
    if !asked {
        return false;
    }
    let day = facts.start.local.date();
    let last_minute = season.zone.end_of(day).seconds;
    season.as_of.is_none_or(|today| day < today)
        && !season.board.still_up(Notice::Signs, block, facts.start.seconds)
        && !season.board.went_up(Notice::Signs, block, facts.start.seconds, last_minute)
}

fn report(
    season: &Season<'_>,
    found: &mut Findings,
    facts: &SprayFacts,
    lacking: &Lacking,
    sheet: &Wanted<'_, SheetRule>,
    signs: &Wanted<'_, SignRule>,
) {
    let spray = facts.spray(season.journal);
    let place = scene::named(season, lacking.places.iter().copied());
    let names: Vec<&str> =
        [lacking.sheet.then_some("sheet"), lacking.signs.map(|_| "warning signs")].into_iter().flatten().collect();
    let no = names.join(" and no ");
    let headline = format!("no {no} on record for the spray of {place} on {}", say::day(facts.start.local.date()));
    let mut finding = found.finding(spray.at.line, headline);
    let mut sources: Vec<String> = Vec::new();
    let mut sure = false;
    if lacking.sheet {
        finding = asked_here(finding, "sheet", sheet);
        sure |= sheet.needed.is_some() || sheet.rule.as_ref().is_some_and(|(asked, _)| !asked.from_memory());
    }
    if let Some(block) = lacking.signs {
        finding = asked_here(finding, "warning signs", signs);
        sure |= signs.needed.is_some() || signs.rule.as_ref().is_some_and(|(asked, _)| !asked.from_memory());
        if let Some((_, rule)) = signs.rule.as_ref().filter(|(_, rule)| rule.asks(season, facts, block))
            && let (Some(hold), Some(interval)) = (facts.reentry, interval(facts))
        {
            finding = finding.label(hold.span, "re-entry interval set here").working(format!(
                "the longest re-entry interval of the tank is {}; signs are asked for over {}",
                scene::hours(Exact::int(interval)),
                scene::hours(Exact::int(rule.limit(season, block)))
            ));
        }
    }
    if let Some(workers) = lacking.workers {
        finding = finding.label(workers, "people work here");
    }
    if lacking.sheet {
        let (by, within, source) = match &sheet.rule {
            Some((asked, rule)) => (sheet_by(season, facts, rule), rule.up_within, asked.cited()),
            None => (
                season.zone.later(facts.end, DAY),
                DAY,
                "40 CFR 170.311(b)(5), as EPA's guidance sums it up".to_string(),
            ),
        };
        finding = finding.working(format!(
            "a sheet goes up on the day or within {} of the end: by {}",
            scene::hours(Exact::int(within)),
            say::moment(by)
        ));
        sources.push(source);
    }
    if lacking.signs.is_some() {
        let (before, source) = match &signs.rule {
            Some((asked, rule)) => (rule.before, asked.cited()),
            None => (DAY, "40 CFR 170.409(b) (paragraph number from memory)".to_string()),
        };
        finding = finding.working(format!(
            "signs go up in the {} before the spray; here, any that stand at its start or go up on its day count",
            scene::hours(Exact::int(before))
        ));
        sources.push(source);
    }
    if !sure {
        // A rule from memory may be wrong: it is told, and never more than that.
        finding.level = Level::Note;
    }
    let ups: Vec<String> = names.iter().map(|what| format!("`up {}`", what.trim_start_matches("warning "))).collect();
    found.add(
        finding
            .help(format!("if it was done, write it down: a `post` entry with {} and the time", say::list(&ups)))
            .source(sources.join("; ")),
    );
}

/// Says where something is asked for.
fn asked_here<R>(mut finding: Finding, what: &str, wanted: &Wanted<'_, R>) -> Finding {
    if let Some(needed) = wanted.needed {
        finding = finding.label(needed, format!("{what} asked for here"));
    }
    if let Some((asked, _)) = &wanted.rule {
        finding = finding.label(asked.adoption.adopted.name.span, format!("{what} asked for by this rulebook"));
    }
    finding
}
