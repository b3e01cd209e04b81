//! The fields that an entry may still have, those that it needs first.

use lsp_types::CompletionItemKind;

use super::Spot;
use super::offer::Offer;
use crate::editor::hover::field_page;
use crate::syntax::{EntryWord, FieldRule, entry_rule};

impl Spot<'_> {
    /// The fields that can stand on this line.
    pub(super) fn fields(&self) -> Vec<Offer> {
        let Some(entry) = &self.cursor.entry else { return Vec::new() };
        let Some(kind) = entry.kind else { return Vec::new() };
        let line = self.cursor.document.line_of(self.cursor.offset);
        let stands = |rule: &FieldRule| {
            entry.fields.iter().any(|field| {
                let place = self.cursor.desk.locate(field.at);
                field.word == rule.word
                    && place.is_some_and(|place| self.cursor.document.line_of(place.range.start) != line)
            })
        };
        // Mix or volume: where one stands the other is not wanted.
        let open = entry_rule(kind).fields.iter().filter(|rule| rule.repeats || !stands(rule));
        let (needed, others): (Vec<&FieldRule>, Vec<&FieldRule>) =
            open.partition(|rule| rule.required && !stands(rule));
        needed.into_iter().chain(others).map(|rule| offer(kind, rule)).collect()
    }
}

fn offer(kind: EntryWord, rule: &'static FieldRule) -> Offer {
    let word = rule.word.word();
    let about = if rule.required { format!("{} needs it", kind.word()) } else { first_sentence(rule.about) };
    Offer::new(word, CompletionItemKind::PROPERTY).types(format!("{word} ")).about(about).page(field_page(rule))
}

fn first_sentence(words: &str) -> String {
    words.split_once(". ").map_or(words, |(first, _)| first).trim_end_matches('.').to_string()
}
