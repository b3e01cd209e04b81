//! The last spray of a block once more: what is chosen is repeated, every amount is a hole that holds the last one to be
//! confirmed, and what was measured, timed or seen is left out.

use std::fmt::Write as _;

use lsp_types::CompletionItemKind;

use super::Spot;
use super::offer::{Offer, between_holes};
use crate::editor::hover::Page;
use crate::editor::parts::measures;
use crate::syntax::{Entry, FieldWord, Value, read_entry};
use crate::text::Span;

/// What is repeated.
const REPEATED: [FieldWord; 11] = [
    FieldWord::Mix,
    FieldWord::Put,
    FieldWord::Volume,
    FieldWord::Concentrate,
    FieldWord::Over,
    FieldWord::By,
    FieldWord::Rig,
    FieldWord::Setup,
    FieldWord::Water,
    FieldWord::Reason,
    FieldWord::Target,
];

impl Spot<'_> {
    /// For each block its last spray before this page, the latest first.
    pub(super) fn same_again(&self) -> Vec<Offer> {
        let Some(day) = self.page_day() else { return Vec::new() };
        let desk = self.cursor.desk;
        let season = desk.season();
        let mut last: Vec<usize> = Vec::new();
        for here in &season.by_block {
            let before = here.iter().rev().find(|&&at| season.sprays[at].spray(desk.journal()).at.day < day);
            last.extend(before.filter(|at| !last.contains(at)));
        }
        last.sort_unstable_by(|one, other| other.cmp(one));
        let offer = |at: usize| {
            let spray = season.sprays[at].spray(desk.journal());
            let span = spray.at.entry;
            let entry = read_entry(desk.sources().slice(span), span.start);
            let words = |span: Span| desk.sources().slice(span);
            let names: Vec<&str> = entry.head.names.iter().map(|name| words(*name)).collect();
            let (with_holes, plain) = again(&entry, &names.join(", "), &words);
            let title = format!("spray {} as on {}", names.join(", "), spray.at.day);
            let page =
                Page::default().text("The last spray once more, each amount to be confirmed.").journal(plain.clone());
            Offer::new(title, CompletionItemKind::SNIPPET).holes(with_holes).types(plain).page(page)
        };
        last.into_iter().map(offer).collect()
    }
}

/// The entry with holes, and without any amount for those who cannot have holes.
fn again<'t>(entry: &Entry, names: &str, words: &impl Fn(Span) -> &'t str) -> (String, String) {
    let mut text = format!("spray {}", between_holes(names));
    let mut plain = format!("spray {names}");
    let mut hole = 0;
    if let Some(rows) = &entry.head.rows {
        hole += 1;
        let _ = write!(text, " ${{{hole}:{}}}", between_holes(words(rows.span)));
    }
    for field in entry.fields.iter().filter(|field| REPEATED.contains(&field.word)) {
        let value = words(field.span).trim_end();
        let word = field.word.word();
        let mut with_holes = String::new();
        let mut at = field.span.start;
        // Who sprayed is a fact of its own day, and how strong the tank was one of its own.
        if matches!(field.word, FieldWord::By | FieldWord::Concentrate) {
            hole += 1;
            let _ = write!(text, "\n    {word} ${{{hole}:{}}}", between_holes(value));
            continue;
        }
        for measure in measures(&field.value) {
            hole += 1;
            with_holes.push_str(&between_holes(words(Span::new(at, measure.span.start))));
            let _ = write!(with_holes, "${{{hole}:{}}}", between_holes(words(measure.span)));
            at = measure.span.end;
        }
        let end = field.span.start + value.len() as u32;
        with_holes.push_str(&between_holes(words(Span::new(at.min(end), end))));
        let _ = write!(text, "\n    {word} {with_holes}");
        match (&field.value, measures(&field.value).is_empty()) {
            (_, true) => {
                let _ = write!(plain, "\n    {word} {value}");
            }
            (Value::MixUse { mix, .. }, _) => {
                let _ = write!(plain, "\n    {word} {}", words(*mix));
            }
            _ => {}
        }
    }
    text.push_str("\n$0");
    (text, plain)
}
