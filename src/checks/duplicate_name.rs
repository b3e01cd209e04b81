//! See the Markdown beside this file.

use super::wording::quote;
use super::{Ahead, Check, Findings};
use crate::finding::Level;
use crate::journal::Trouble;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "duplicate-name",
    level: Level::Error,
    ahead: Ahead::Nothing,
    summary: "A name declared twice",
    explain: include_str!("duplicate_name.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    for trouble in &season.journal.troubles {
        let finding = match *trouble {
            Trouble::DuplicateName { first, again, sort } => found
                .finding(again, format!("there are two entries for the {} {}", sort.word(), quote(season, again)))
                .here("this entry is not read")
                .label(first, "declared here first")
                .help("give one of them another name, or keep the entry that is right"),
            Trouble::SecondFarm { first, again } => found
                .finding(
                    again,
                    format!(
                        "a folder holds one farm, and this one holds {} and {}",
                        quote(season, first),
                        quote(season, again)
                    ),
                )
                .here("this entry is not read")
                .label(first, "the farm of this journal")
                .help("keep each farm's files in a folder of its own"),
            _ => continue,
        };
        found.add(finding);
    }
}
