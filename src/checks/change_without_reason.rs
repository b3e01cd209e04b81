//! See the Markdown beside this file.

use super::{Check, Findings, changed};
use crate::finding::Level;
use crate::season::{Explained, Season, Tracked, tracked};

pub(super) const CHECK: Check = Check {
    code: "change-without-reason",
    level: Level::Warning,
    summary: "A record that was changed after it was entered, without a reason",
    explain: include_str!("change_without_reason.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    for record in tracked(season) {
        // A change after signing is told of by itself.
        let open = |known: &&Explained<'_>| known.asks && known.by.is_none() && !known.unsigned;
        let open: Vec<&Explained<'_>> = record.changes.iter().filter(open).collect();
        if !open.is_empty() {
            report(season, &record, &open, found);
        }
    }
}

fn report(season: &Season<'_>, record: &Tracked<'_>, open: &[&Explained<'_>], found: &mut Findings) {
    let Some(history) = season.history else { return };
    let times = if open.len() == 1 { String::new() } else { format!(" {} times", open.len()) };
    let headline = format!(
        "{} was changed{times} after it was entered, and no amendment says why",
        changed::named(season, record)
    );
    let mut finding = found.finding(record.line, headline).here("this record");
    for known in open {
        finding = finding.working(changed::told(history, known.change));
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
    found.add(finding.help(help));
}
