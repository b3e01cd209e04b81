//! What could be typed next, by the place in the line: an entry, a field of it, or what its word asks for.

mod entries;
mod fields;
mod offer;
mod recall;
mod same_again;
mod units;
mod values;

use lsp_types::{
    CompletionList, CompletionOptions, CompletionOptionsCompletionItem, CompletionParams, CompletionResponse,
};

use super::state::{Cursor, State};
use crate::syntax::FieldWord;
use offer::Offer;

/// When the client asks by itself: behind a blank, a hyphen in a name and a comma, besides letters.
pub fn options() -> CompletionOptions {
    CompletionOptions {
        trigger_characters: Some([" ", "-", ","].map(str::to_string).to_vec()),
        completion_item: Some(CompletionOptionsCompletionItem { label_details_support: Some(true) }),
        ..CompletionOptions::default()
    }
}

/// Where in a line something is to be completed.
struct Spot<'s> {
    cursor: Cursor<'s>,
    /// The line up to the cursor.
    before: &'s str,
    /// How much of it is the word being typed.
    typed: &'s str,
}

/// What could be typed next.
pub fn complete(state: State<'_>, params: &CompletionParams) -> Option<CompletionResponse> {
    let cursor = state.cursor(&params.text_document_position)?;
    let document = cursor.document;
    let number = document.line_of(cursor.offset);
    let before = document.text().get(document.line_start(number)..cursor.offset)?.trim_start_matches('\u{feff}');
    let typed = before.rsplit([' ', '\t', ',']).next().unwrap_or_default();
    let spot = Spot { before, typed, cursor };
    let offers = if spot.in_words_of_the_user(number) { Vec::new() } else { spot.offers() };
    // The word goes on behind the cursor where it stands in the middle of one.
    let rest = &document.text()[spot.cursor.offset..];
    let tail =
        rest.find(|letter: char| !letter.is_alphanumeric() && !matches!(letter, '-' | '_')).unwrap_or(rest.len());
    let tail = if typed.is_empty() { 0 } else { tail };
    let range = document.range(spot.cursor.offset - typed.len()..spot.cursor.offset + tail);
    let items = offers.into_iter().enumerate().map(|(place, offer)| offer.item(state.client, range, place)).collect();
    Some(CompletionResponse::List(CompletionList { is_incomplete: false, items }))
}

impl<'s> Spot<'s> {
    fn offers(&self) -> Vec<Offer> {
        if !self.before.starts_with([' ', '\t']) {
            return if self.typed.len() == self.before.len() { self.entries() } else { self.head() };
        }
        let words = self.before.trim_start();
        match words.split_once([' ', '\t']) {
            None => self.fields(),
            Some((word, rest)) => match FieldWord::named(word) {
                Some(field) => self.values(field, rest.trim_start()),
                None => Vec::new(),
            },
        }
    }

    /// Whether the cursor is in a remark or in a note, where the program has nothing to say.
    fn in_words_of_the_user(&self, number: usize) -> bool {
        if self.before.trim_start().starts_with('#') || self.before.contains(" #") {
            return true;
        }
        let depth = |line: &str| line.len() - line.trim_start_matches([' ', '\t']).len();
        let own = depth(self.before);
        let above = (0..number).rev().filter_map(|line| self.cursor.document.line(line));
        let holder = above.filter(|line| !line.trim().is_empty()).find(|line| depth(line) < own);
        let begins_note = |line: &str| {
            let words = line.trim_start_matches([' ', '\t']);
            depth(line) > 0
                && words.get(..4).is_some_and(|word| word.eq_ignore_ascii_case("note"))
                && words.as_bytes().get(4).is_none_or(u8::is_ascii_whitespace)
        };
        holder.is_some_and(begins_note) || begins_note(self.before)
    }
}
