//! What every document says besides its facts.

use super::book::Book;
use super::words::{day, list};
use crate::duty::Duties;

/// Sentences that stand on every document.
const ALWAYS: &[&str] = &[
    "The product label is the law for what is in the tank: where this document and a label, a regulator or a permit differ, they hold and this does not (in the United States 7 U.S.C. 136j(a)(2)(G)).",
    "This document repeats and adds up what the journal says. It approves no spray, rate, mix, entry time or picking day.",
    "Re-entry and harvest intervals are quoted from the journal's own entries. The longest of everything in the tank holds; where a label was not entered, nothing here stands in for it.",
    "State, provincial, national and certifiers' rules can be stricter, and the strictest holds.",
    "What a substance is used for decides how it is judged: a food or fertiliser used against a pest or disease is a pesticide by that use (in the United States 40 CFR 152.15), and home mixes can leave a crop that may not be sold.",
    "Whether things may share a tank, crop injury and protective equipment are for the label, the supplier and a licensed adviser.",
    "In an emergency give the records and labels to those who treat the person at once.",
];

/// For ground that is certified or on the way to it.
const ORGANIC: &str = "Organic growers: the certifier's approval comes before the first use, in writing; keep tests, labels and receipts. Being allowed in organic farming does not make a substance lawful as a pesticide, nor the other way round.";

/// The cautions of a farm's documents, with those of the rulebooks that it has taken on.
pub(super) fn cautions(book: &Book<'_>) -> Vec<String> {
    let organic = book.blocks().any(|block| book.journal().block(block).certified.is_some());
    let mut lines: Vec<String> = ALWAYS.iter().copied().chain(organic.then_some(ORGANIC)).map(str::to_string).collect();
    let duties = Duties::new(book.season);
    if duties.is_empty() {
        return lines;
    }
    let books = duties.adoptions.iter().map(|adoption| adoption.book);
    let named: Vec<String> = books
        .clone()
        .map(|book| {
            let own = if book.own { "the farm's own file, " } else { "" };
            format!("{} ({own}as set down on {})", book.title, day(book.set_down))
        })
        .collect();
    lines.push(format!(
        "What is asked of these records is what Foliary's files say of {}. Each rule shows how well it is known. Whether a record is complete by them is all that is checked: nothing here says that a spray was lawful.",
        list(&named),
    ));
    for caution in books.flat_map(|book| &book.cautions) {
        if !lines.contains(caution) {
            lines.push(caution.clone());
        }
    }
    lines
}
