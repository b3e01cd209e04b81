//! See the Markdown beside this file.

use super::wording::noun;
use super::{Ahead, Check, Findings};
use crate::finding::Level;
use crate::journal::Trouble;
use crate::season::Season;
use crate::syntax::{EntryWord, entry_rule};

pub(super) const CHECK: Check = Check {
    code: "nameless-entry",
    level: Level::Error,
    ahead: Ahead::Job,
    summary: "An entry that does not say what it is about",
    explain: include_str!("nameless_entry.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    for trouble in &season.journal.troubles {
        let &Trouble::NamelessEntry { line, entry } = trouble else { continue };
        let finding = found
            .finding(line, format!("this {} does not say {}", noun(entry), about(entry)))
            .here("not said here")
            .help(format!("its first line is written like `{}`", entry_rule(entry).head));
        found.add(finding);
    }
}

/// What the first line of an entry must say.
fn about(entry: EntryWord) -> &'static str {
    match entry {
        EntryWord::Spray
        | EntryWord::Skip
        | EntryWord::Observe
        | EntryWord::Harvest
        | EntryWord::Work
        | EntryWord::Post
        | EntryWord::Sample => "which block",
        EntryWord::Receive => "which material came",
        EntryWord::Approve => "which materials were approved",
        EntryWord::Train => "who was trained",
        EntryWord::Count => "which material was counted",
        EntryWord::Discard => "which material was thrown out",
        EntryWord::Calibrate | EntryWord::Clean => "which sprayer",
        EntryWord::Brew => "its own name and which material it is a batch of",
        EntryWord::Amend => "which record was put right: its kind, its block and its day",
        _ => "its name",
    }
}
