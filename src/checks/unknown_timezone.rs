//! See the Markdown beside this file.

use super::wording::{hides, quote};
use super::{Ahead, Check, Findings};
use crate::finding::Level;
use crate::journal::Trouble;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "unknown-timezone",
    level: Level::Error,
    ahead: Ahead::Nothing,
    summary: "A time zone that nobody knows",
    explain: include_str!("unknown_timezone.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    for trouble in &season.journal.troubles {
        let &Trouble::UnknownZone { at, nearest } = trouble else { continue };
        if hides(season, at) {
            continue;
        }
        let finding = found
            .finding(at, format!("there is no time zone called {}", quote(season, at)))
            .here("unknown time zone")
            .source("IANA Time Zone Database");
        let finding = match nearest {
            Some(near) => finding.help(format!("did you mean `{near}`?")).edit(at, near),
            None => finding.help(
                "write region and city of the zone your clocks follow, such as America/Boise or Europe/London; \
                 letters such as EST do not say when the clocks change",
            ),
        };
        found.add(finding);
    }
}
