//! See the Markdown beside this file.

use super::lost::{LostLine, lost_lines};
use super::wording::{hides, noun, quote, quoted, with_article};
use super::{Ahead, Check, Findings};
use crate::finding::{Finding, Level};
use crate::journal::Trouble;
use crate::season::Season;
use crate::syntax::{EntryWord, FieldWord, Lost, SCHEMA, entry_rule};
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "unreadable-line",
    level: Level::Error,
    ahead: Ahead::Job,
    summary: "A line that cannot be read",
    explain: include_str!("unreadable_line.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    for trouble in &season.journal.troubles {
        let finding = match *trouble {
            Trouble::HomelessLine { line } if !hides(season, line) => homeless(season, line, found),
            Trouble::StrayHead { at, entry } if !hides(season, at) => stray_head(season, at, entry, found),
            _ => continue,
        };
        found.add(finding);
    }
    for lost in lost_lines(season) {
        let finding = match &lost.lost {
            Lost::Empty { field } => empty(&lost, *field, found),
            Lost::Stopped { .. } => stopped(season, &lost, found),
            Lost::UnknownWord { .. } | Lost::OtherDate(_) => continue,
        };
        found.add(finding);
    }
}

fn homeless(season: &Season<'_>, line: Span, found: &Findings) -> Finding {
    found
        .finding(line, format!("{} stands in front of every entry of its file", quote(season, line)))
        .here("belongs to nothing")
        .help("an entry begins at the margin, without spaces; a remark begins with `#`")
}

fn stray_head(season: &Season<'_>, at: Span, entry: EntryWord, found: &Findings) -> Finding {
    let kind = with_article(noun(entry));
    found
        .finding(at, format!("{} has no place on the first line of {kind}", quote(season, at)))
        .here("not read")
        .help(format!("its first line is written like `{}`", entry_rule(entry).head))
}

fn empty(lost: &LostLine, field: FieldWord, found: &Findings) -> Finding {
    found
        .finding(lost.line, format!("`{}` says nothing: there is no word behind it", field.word()))
        .here("nothing behind it")
        .help(format!("write it like `{}`, or leave the line out", example(field, lost.entry)))
}

fn stopped(season: &Season<'_>, lost: &LostLine, found: &Findings) -> Finding {
    let Lost::Stopped { field, at, expected, repair } = &lost.lost else { return empty(lost, FieldWord::Note, found) };
    let line = quote(season, lost.line);
    let here = if at.is_empty() { lost.line } else { lost.at(at) };
    if let Some(repair) = repair {
        let headline = format!("{line} cannot be read: {}", repair.why);
        let help = match (repair.sure, field, lost.entry) {
            (true, ..) => format!("write it like this: {}", quoted(&repair.line)),
            (false, None, Some(entry)) if entry.is_standing() => {
                format!("write {}, or put a title in double quotes behind the name", quoted(&repair.line))
            }
            (false, ..) => format!("write {} if that is one name, or a comma between two", quoted(&repair.line)),
        };
        return found.finding(here, headline).here("not read from here").help(help);
    }
    let wanted = if expected.is_empty() { "something else".to_string() } else { expected.clone() };
    let (headline, label) = if at.is_empty() {
        (format!("{line} ends too early: what is missing is {wanted}"), "something is missing at its end".to_string())
    } else {
        let word = quote(season, here);
        (format!("{line} cannot be read from {word} on"), format!("expected {wanted}"))
    };
    let example = match (field, lost.entry) {
        (Some(field), entry) => example(*field, entry),
        (None, Some(entry)) => entry_rule(entry).head,
        (None, None) => "note anything you like",
    };
    found.finding(here, headline).here(label).help(format!("write it like `{example}`"))
}

/// How a field is written in an entry, or where it belongs.
fn example(field: FieldWord, entry: Option<EntryWord>) -> &'static str {
    let own = entry.and_then(|entry| entry_rule(entry).field(field));
    let any = || SCHEMA.iter().find_map(|rule| rule.field(field));
    own.or_else(any).map_or("note anything you like", |rule| rule.example)
}
