//! See the Markdown beside this file.

use super::lost::lost_lines;
use super::wording::{hides, noun, quote, quoted, with_article};
use super::{Ahead, Check, Findings};
use crate::finding::{Finding, Level};
use crate::journal::{Trouble, nearest_word};
use crate::season::Season;
use crate::syntax::{EntryWord, FieldWord, Lost, SCHEMA, entry_rule};
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "unknown-word",
    level: Level::Error,
    ahead: Ahead::Job,
    summary: "A word at the start of a line that the journal does not know",
    explain: include_str!("unknown_word.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    for trouble in &season.journal.troubles {
        if let &Trouble::UnknownEntry { word } = trouble
            && !hides(season, word)
        {
            let finding = entry_word(season, word, found);
            found.add(finding);
        }
    }
    for lost in lost_lines(season) {
        if let Lost::UnknownWord { word } = &lost.lost {
            let finding = field_word(season, lost.at(word), lost.entry, found);
            found.add(finding);
        }
    }
}

/// A word at the margin that begins no entry.
fn entry_word(season: &Season<'_>, at: Span, found: &Findings) -> Finding {
    let written = season.words(at).to_lowercase();
    let finding = |headline: String| found.finding(at, headline);
    if let Some(field) = FieldWord::named(&written) {
        return finding(format!("`{}` stands at the margin and belongs to no entry", field.word()))
            .here("begins at the margin")
            .help("put two spaces in front of it, under the entry that it belongs to");
    }
    if written.contains(char::is_whitespace) {
        return finding(format!("no entry begins with the word {}", quote(season, at)))
            .help("one of the spaces is not a plain space, as copied text often has: type it again");
    }
    let finding = finding(format!("no entry begins with the word {}", quote(season, at))).here("unknown word");
    // A page has no word, so its rule is left out.
    let words = SCHEMA.iter().skip(1).map(|rule| rule.word.word());
    match nearest_word(&written, words.clone()) {
        Some(near) => finding.help(format!("did you mean `{near}`? It is read as that for now")).edit(at, near),
        None => finding.help(format!("an entry begins with one of: {}", words.collect::<Vec<_>>().join(", "))),
    }
}

/// A word that begins an indented line and is no field.
fn field_word(season: &Season<'_>, at: Span, entry: Option<EntryWord>, found: &Findings) -> Finding {
    let written = season.words(at).to_lowercase();
    let of = entry.map_or_else(|| "any entry".to_string(), |entry| with_article(noun(entry)));
    let finding = found.finding(at, format!("{} is no field of {of}", quoted(season.words(at)))).here("unknown word");
    if let Some(word) = EntryWord::named(&written) {
        return finding
            .help(format!("`{}` begins an entry: write it at the margin, without spaces in front", word.word()));
    }
    let own = entry.map(|entry| entry_rule(entry).fields).unwrap_or_default();
    if let Some(near) = nearest_word(&written, own.iter().map(|field| field.word.word())) {
        return finding.help(format!("did you mean `{near}`?")).edit(at, near);
    }
    let elsewhere = nearest_word(&written, FieldWord::ALL.iter().map(|field| field.word()));
    if let Some(near) = elsewhere {
        let home = SCHEMA.iter().find(|rule| rule.fields.iter().any(|field| field.word.word() == near));
        let home = home.map_or("another entry", |rule| rule.word.word());
        return finding.help(format!("there is a field `{near}`, but it belongs under `{home}`"));
    }
    let fields: Vec<&str> = own.iter().map(|field| field.word.word()).collect();
    if fields.is_empty() {
        return finding;
    }
    finding.help(format!("its fields are: {}; anything else goes behind `note`", fields.join(", ")))
}
