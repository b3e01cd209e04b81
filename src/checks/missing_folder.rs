//! See the Markdown beside this file.

use super::wording::{hides, quote};
use super::{Ahead, Check, Findings};
use crate::finding::Level;
use crate::journal::Trouble;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "missing-folder",
    level: Level::Error,
    ahead: Ahead::Nothing,
    summary: "A shared folder that is not there",
    explain: include_str!("missing_folder.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    for trouble in &season.journal.troubles {
        let &Trouble::MissingFolder { at } = trouble else { continue };
        if hides(season, at) {
            continue;
        }
        let finding = found
            .finding(at, format!("there is no folder {} to take shared entries from", quote(season, at)))
            .here("no such folder")
            .help("the path is seen from the folder of the file with the `farm` entry; `..` is the folder above it");
        found.add(finding);
    }
}
