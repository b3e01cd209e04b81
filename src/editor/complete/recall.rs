//! Words that were written before in the same field, the latest first: a reason or a stage is said alike all year.

use lsp_types::CompletionItemKind;

use super::Spot;
use super::offer::Offer;
use crate::syntax::FieldWord;
use crate::text::Span;

/// How many are offered.
const MOST: usize = 30;

impl Spot<'_> {
    /// What the journal says in fields of that word.
    pub(super) fn recall(&self, word: FieldWord) -> Vec<Offer> {
        let journal = self.cursor.desk.journal();
        let sprays = || journal.sprays.iter();
        let spans: Vec<Span> = match word {
            FieldWord::Reason => sprays()
                .filter_map(|spray| spray.reason)
                .chain(journal.programs.iter().filter_map(|program| program.reason))
                .collect(),
            FieldWord::Target => sprays()
                .filter_map(|spray| spray.target)
                .chain(journal.programs.iter().filter_map(|program| program.target))
                .collect(),
            FieldWord::Stage => sprays()
                .filter_map(|spray| spray.stage)
                .chain(journal.observations.iter().filter_map(|seen| seen.stage))
                .collect(),
            FieldWord::Use => sprays().filter_map(|spray| spray.use_).collect(),
            FieldWord::Setup => sprays()
                .filter_map(|spray| spray.setup)
                .chain(journal.calibrations.iter().filter_map(|one| one.setup))
                .collect(),
            FieldWord::Task => journal.works.iter().filter_map(|work| work.task).collect(),
            FieldWord::Crew => journal.works.iter().filter_map(|work| work.crew).collect(),
            FieldWord::Supplier => journal.receipts.iter().filter_map(|receipt| receipt.supplier).collect(),
            FieldWord::Method => journal.cleanings.iter().filter_map(|cleaning| cleaning.method).collect(),
            FieldWord::Incidence => {
                journal.observations.iter().flat_map(|seen| &seen.incidence).map(|seen| seen.what).collect()
            }
            FieldWord::Severity => {
                journal.observations.iter().flat_map(|seen| &seen.severity).map(|seen| seen.what).collect()
            }
            _ => Vec::new(),
        };
        let mut words: Vec<&str> = Vec::new();
        for span in spans.into_iter().rev() {
            // What is being typed is no memory.
            let here = span.start <= self.cursor.address && self.cursor.address <= span.end;
            let said = self.cursor.desk.sources().slice(span).trim();
            if !here && !said.is_empty() && !words.contains(&said) {
                words.push(said);
            }
            if words.len() == MOST {
                break;
            }
        }
        words.into_iter().map(|said| Offer::new(said, CompletionItemKind::TEXT).about("written before")).collect()
    }
}
