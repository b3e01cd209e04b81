//! See the Markdown beside this file.

use super::{Ahead, Check, Findings};
use crate::finding::Level;
use crate::journal::nearest_word;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "rulebook-unknown",
    level: Level::Error,
    ahead: Ahead::Nothing,
    summary: "A rulebook that is not at hand",
    explain: include_str!("rulebook_unknown.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    for adopted in season.journal.farm.iter().flat_map(|farm| &farm.rulebooks) {
        if season.shelf.find(&adopted.name.value).is_some() {
            continue;
        }
        let name = &adopted.name;
        let written = season.words(name.span);
        let mut finding =
            found.finding(name.span, format!("no rulebook is called `{written}`, so nothing of it is checked"));
        finding = match nearest_word(&name.value, season.shelf.names().into_iter()) {
            Some(near) => finding.help(format!("did you mean `{near}`?")).edit(name.span, near),
            None => finding.help(
                "`foliary rulebook` lists those at hand; one of your own lies in a folder `rulebooks` beside the farm's files",
            ),
        };
        found.add(finding.source("the names of the rulebooks that come with the program and of the farm's own"));
    }
}
