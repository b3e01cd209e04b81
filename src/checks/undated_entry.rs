//! See the Markdown beside this file.

use super::wording::{noun, with_article};
use super::{Ahead, Check, Findings};
use crate::finding::Level;
use crate::journal::Trouble;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "undated-entry",
    level: Level::Error,
    ahead: Ahead::Nothing,
    summary: "Something done that stands under no date",
    explain: include_str!("undated_entry.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    for trouble in &season.journal.troubles {
        let &Trouble::UndatedEntry { line, entry } = trouble else { continue };
        let finding = found
            .finding(line, format!("this {} stands under no date, so nobody knows when it was", noun(entry)))
            .here(format!("{} needs a day", with_article(noun(entry))))
            .help("write the day on a line of its own above it, at the margin, like `2026-05-14 Thu`");
        found.add(finding);
    }
}
