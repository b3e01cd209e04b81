//! See the Markdown beside this file.

use rustc_hash::FxHashMap;

use super::{Ahead, Check, Findings, changed, scene};
use crate::finding::{Finding, Level};
use crate::season::{Explained, Season, Tracked, tracked};

pub(super) const CHECK: Check = Check {
    code: "change-without-reason",
    level: Level::Warning,
    ahead: Ahead::Nothing,
    summary: "A record that was changed after it was entered, without a reason",
    explain: include_str!("change_without_reason.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    let Some(history) = season.history else { return };
    // What was done to many records at once, such as another name for a block, is one slip.
    let mut told: FxHashMap<Vec<String>, usize> = FxHashMap::default();
    let mut reports: Vec<(Finding, usize)> = Vec::new();
    for record in tracked(season) {
        // A change after signing is told of by itself.
        let open = |known: &&Explained<'_>| known.asks && known.by.is_none() && !known.unsigned;
        let open: Vec<&Explained<'_>> = record.changes.iter().filter(open).collect();
        if open.is_empty() {
            continue;
        }
        let words: Vec<String> = open.iter().map(|known| changed::told(history, known.change)).collect();
        match told.get(&words) {
            Some(&first) => reports[first].1 += 1,
            None => {
                told.insert(words.clone(), reports.len());
                reports.push((finding(season, &record, &open, words, found), 0));
            }
        }
    }
    for (finding, more) in reports {
        found.add(match more {
            0 => finding,
            more => finding.working(format!("the same was done to {}", scene::count(more, "other record"))),
        });
    }
}

fn finding(
    season: &Season<'_>,
    record: &Tracked<'_>,
    open: &[&Explained<'_>],
    words: Vec<String>,
    found: &Findings,
) -> Finding {
    let times = if open.len() == 1 { String::new() } else { format!(" {} times", open.len()) };
    let whole = if record.amendments.is_empty() { "" } else { " of all of it" };
    let headline = format!(
        "{} was changed{times} after it was entered, and no amendment says why{whole}",
        changed::named(season, record)
    );
    let mut finding = found.finding(record.line, headline).here("this record");
    for line in words {
        finding = finding.working(line);
    }
    let help = match (record.kind, record.blocks.first()) {
        (Some(kind), Some(&block)) => format!(
            "write an `amend {} of {} {}` with what it was, what it is now and why; or say why here with `accept {}`",
            kind.word(),
            season.journal.block(block).named.name,
            record.trail.wording.day,
            CHECK.code
        ),
        _ => format!("say why here with `accept {}`", CHECK.code),
    };
    finding.help(help)
}
