//! See the Markdown beside this file.

use super::{Ahead, Check, Findings};
use crate::finding::Level;
use crate::journal::Trouble;
use crate::season::Season;
use crate::text::{Span, escape_hidden};

pub(super) const CHECK: Check = Check {
    code: "hidden-character",
    level: Level::Error,
    ahead: Ahead::Job,
    summary: "A character that cannot be seen",
    explain: include_str!("hidden_character.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    for trouble in &season.journal.troubles {
        let Trouble::HiddenCharacters { first, count } = trouble else { continue };
        let Some((&at, others)) = first.split_first() else { continue };
        let (kind, harm) = sort(season, at);
        let shown = escape_hidden(season.words(at));
        let headline = match count {
            1 => format!("{kind}, {shown}, stands in the text"),
            _ => format!("{count} characters of this file cannot be seen; the first is {kind}, {shown}"),
        };
        let mut finding = found.finding(at, headline).here(harm);
        for &other in others {
            let (kind, _) = sort(season, other);
            finding = finding.label(other, kind);
        }
        if *count > first.len() {
            finding = finding.working(format!("{} more are not shown", count - first.len()));
        }
        let finding = finding.help("delete it and type the word again");
        found.add(finding);
    }
}

/// What a hidden character is, and what it does.
fn sort(season: &Season<'_>, at: Span) -> (&'static str, &'static str) {
    match season.words(at).chars().next().unwrap_or_default() {
        '\u{fffd}' => ("a byte that is no text", "what stood here is lost: save the file as UTF-8"),
        '\u{feff}' => ("a byte-order mark", "it belongs at the very start of a file, if anywhere"),
        '\u{200b}'..='\u{200d}' | '\u{2060}'..='\u{2064}' => {
            ("a character without width", "two names that look alike are not the same with it")
        }
        '\u{200e}' | '\u{200f}' | '\u{61c}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => {
            ("a mark that turns the direction of writing", "what is read is not what is seen")
        }
        '\u{2028}' | '\u{2029}' => ("a line break of another kind", "it looks like a new line and is none"),
        _ => ("a control character", "no key of a keyboard types it"),
    }
}
