//! The application records for other programs: a row for each spray, product and block.

use super::book::Book;
use super::law_record::LawRecord;
use super::record_columns::columns;
use super::table::Table;
use crate::duty::{Duties, concerned};
use crate::journal::{Block, Farm, Material, MaterialId, Spray};
use crate::quantity::Exact;
use crate::rulebook::{Demand, Rulebook};
use crate::season::{Dose, SprayFacts, Touched, shares_on};

/// What a row is about.
#[derive(Clone, Copy, Debug)]
pub(super) struct RecordRow<'r, 'a> {
    /// The book.
    pub book: &'r Book<'a>,
    /// The farm.
    pub farm: Option<&'r Farm>,
    /// The rulebook.
    pub rulebook: &'r Rulebook,
    /// What follows from the spray.
    pub facts: &'r SprayFacts,
    /// The spray as written.
    pub spray: &'r Spray,
    /// The record as the document shows it.
    pub record: &'r LawRecord,
    /// The block; absent where the journal describes none.
    pub touched: Option<&'r Touched>,
    /// The ingredient; absent where the journal describes none.
    pub dose: Option<&'r Dose>,
    /// Whether any rule asks about the ingredient.
    pub asked: bool,
}

impl<'r> RecordRow<'r, '_> {
    /// The block.
    pub(super) fn block(&self) -> Option<&'r Block> {
        self.touched.map(|touched| self.book.season.journal.block(touched.block))
    }

    /// The material.
    pub(super) fn material(&self) -> Option<&'r Material> {
        self.dose.map(|dose| self.book.season.journal.material(dose.material))
    }

    /// Which share of the tank went on the block, what was left in the tank apart.
    pub(super) fn share(&self) -> Option<Exact> {
        let touched = self.touched?;
        let mut shares = shares_on(self.facts, self.spray, touched.block);
        // The spray's own ground comes first, that of what was left behind it.
        let (_, share) = if touched.leftover { shares.last()? } else { shares.next()? };
        share
    }
}

/// The rows of some records under a rulebook.
pub(super) fn record_table(
    book: &Book<'_>,
    duties: &Duties<'_>,
    rulebook: &Rulebook,
    records: &[(&SprayFacts, LawRecord)],
) -> Table {
    let mut rows = Vec::new();
    let any = |demand: &Demand| matches!(demand, Demand::Elements(_)).then_some(());
    for (facts, record) in records {
        let rules: Vec<_> = duties
            .of_spray(facts, any)
            .filter(|(asked, ())| asked.adoption.book.name == rulebook.name)
            .map(|(asked, ())| asked.rule)
            .collect();
        let about = |material: MaterialId| rules.iter().any(|rule| concerned(book.season, material, &rule.when));
        let journal = book.journal();
        let doses = facts.doses.iter().map(Some).chain(facts.doses.is_empty().then_some(None));
        for dose in doses {
            let blocks = facts.touched.iter().map(Some).chain(facts.touched.is_empty().then_some(None));
            for touched in blocks {
                let row = RecordRow {
                    book,
                    farm: journal.farm.as_ref(),
                    rulebook,
                    facts,
                    spray: facts.spray(journal),
                    record,
                    touched,
                    dose,
                    asked: dose.is_some_and(|dose| about(dose.material)),
                };
                rows.push(columns().map(|(_, cell)| cell(&row)).collect());
            }
        }
    }
    Table { columns: columns().map(|(column, _)| *column).collect(), rows }
}
