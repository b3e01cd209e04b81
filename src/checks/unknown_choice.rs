//! See the Markdown beside this file.

use super::wording::{either, hides, quote};
use super::{Ahead, Check, Findings};
use crate::finding::Level;
use crate::journal::{Trouble, nearest_word};
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "unknown-choice",
    level: Level::Error,
    ahead: Ahead::Job,
    summary: "A word where one of a few is expected",
    explain: include_str!("unknown_choice.md"),
    run,
};

/// The records that can be put right by an amendment.
const RECORDS: &[&str] = &["spray", "observe", "weather", "harvest", "work", "post", "skip", "forecast"];

fn run(season: &Season<'_>, found: &mut Findings) {
    for trouble in &season.journal.troubles {
        let (at, what, allowed) = match *trouble {
            Trouble::UnknownChoice { at, field, allowed } => (at, format!("`{}`", field.word()), allowed),
            Trouble::UnknownRecord { at } => (at, "`amend`".to_string(), RECORDS),
            _ => continue,
        };
        if hides(season, at) {
            continue;
        }
        let written = season.words(at).to_lowercase();
        let choices: Vec<String> = allowed.iter().map(|choice| format!("`{choice}`")).collect();
        let one_too_many = allowed.iter().any(|choice| choice.eq_ignore_ascii_case(&written));
        let headline = if one_too_many {
            format!("{what} takes one word, and {} is one too many", quote(season, at))
        } else {
            format!("{what} cannot be {}", quote(season, at))
        };
        let finding = found.finding(at, headline).here("not read");
        let near = nearest_word(&written, allowed.iter().copied());
        let finding = match near.filter(|_| !one_too_many) {
            Some(near) => finding.help(format!("did you mean `{near}`?")).edit(at, near),
            None => finding.help(format!("it can be {}", either(&choices))),
        };
        found.add(finding);
    }
}
