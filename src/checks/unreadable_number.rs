//! See the Markdown beside this file.

use super::wording::{hides, quote};
use super::{Ahead, Check, Findings};
use crate::finding::Level;
use crate::journal::Trouble;
use crate::quantity::NumberTrouble;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "unreadable-number",
    level: Level::Error,
    ahead: Ahead::Job,
    summary: "A number that is none",
    explain: include_str!("unreadable_number.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    for trouble in &season.journal.troubles {
        let &Trouble::UnreadableNumber { at, why } = trouble else { continue };
        if hides(season, at) {
            continue;
        }
        let number = quote(season, at);
        let finding = match why {
            NumberTrouble::NotANumber => found
                .finding(at, format!("{number} is no number"))
                .help("a number is written like 12, 0.5, 1/2 or 1 1/2"),
            NumberTrouble::TooLarge => found
                .finding(at, format!("{number} is larger than any number of a journal can be"))
                .here("too many digits to reckon with exactly"),
            NumberTrouble::ZeroDenominator => {
                found.finding(at, format!("{number} is no number: it divides by 0")).here("0 below the line")
            }
        };
        found.add(finding);
    }
}
