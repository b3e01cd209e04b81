//! What every document says besides its facts.

use super::book::Book;
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

/// The cautions of a farm's documents.
pub(super) fn cautions(book: &Book<'_>) -> Vec<&'static str> {
    let organic = book.blocks().any(|block| book.journal().block(block).certified.is_some());
    ALWAYS.iter().copied().chain(organic.then_some(ORGANIC)).collect()
}

/// What the rulebooks that a farm has adopted say besides.
pub(super) fn cautions_of_rules(duties: &Duties<'_>) -> Vec<String> {
    let mut cautions: Vec<String> = Vec::new();
    for adoption in &duties.adoptions {
        for caution in &adoption.book.cautions {
            if !cautions.contains(caution) {
                cautions.push(caution.clone());
            }
        }
    }
    cautions
}
