//! See the Markdown beside this file.

use super::wording::quote;
use super::{Ahead, Check, Findings};
use crate::finding::Level;
use crate::journal::Trouble;
use crate::season::Season;
use crate::syntax::FieldWord;
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "repeated-field",
    level: Level::Error,
    ahead: Ahead::Job,
    summary: "A field or a name that may stand once and stands twice",
    explain: include_str!("repeated_field.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    for trouble in &season.journal.troubles {
        if let &Trouble::NamedTwice { first, again } = trouble {
            let headline = format!("{} is named twice in one list", quote(season, again));
            let finding = found.finding(again, headline).here("counted once").label(first, "named here");
            found.add(finding.help("take one of them out, or put right the one that is meant for something else"));
            continue;
        }
        let &Trouble::RepeatedField { first, again, word } = trouble else { continue };
        // A mix says its volume once, in one of three ways.
        let headline = match word {
            FieldWord::In | FieldWord::Into | FieldWord::Make => {
                format!(
                    "this mix says twice how much it makes, {} and `{}`",
                    quote(season, line_of(season, first)),
                    word.word()
                )
            }
            _ => format!("`{}` stands twice in one entry", word.word()),
        };
        let finding = found
            .finding(again, headline)
            .here("not read")
            .label(first, "this one is read")
            .help("keep the one that is right");
        found.add(finding);
    }
}

/// The words at a span and what stands in front of them on the line.
fn line_of(season: &Season<'_>, span: Span) -> Span {
    let file = season.sources.get(season.sources.source_of(span));
    let before = &file.text()[..(span.start - file.base()) as usize];
    let start = before.rfind('\n').map_or(0, |newline| newline + 1);
    let indent = before[start..].len() - before[start..].trim_start().len();
    Span::new(file.base() + (start + indent) as u32, span.end)
}
