//! The records of a farm as a rulebook asks for them: one document for each rulebook that it has adopted and that asks
//! for something in a record.

use serde::Serialize;

use super::assumed;
use super::book::Book;
use super::head::Head;
use super::keeping::{Keeping, keeping};
use super::law::{RuleView, RulebookView, law_cautions, rulebooks};
use super::law_record::{LawRecord, asking, law_record, tank};
use super::record_rows::record_table;
use super::table::Table;
use super::words::day;
use crate::duty::Duties;
use crate::rulebook::{Demand, Rule, Rulebook};
use crate::season::SprayFacts;

/// The records of a farm under one rulebook.
#[derive(Clone, Debug, Serialize)]
pub struct LawRecords {
    /// Top and foot.
    pub head: Head,
    /// The rulebook.
    pub rulebook: RulebookView,
    /// Its rules about records that were in force on a day of these sprays.
    pub rules: Vec<RuleView>,
    /// One for each spray that its rules hold for.
    pub records: Vec<LawRecord>,
    /// The sprays that they do not hold for.
    pub left_out: Vec<LeftOut>,
    /// How long all of this is kept.
    pub keeping: Keeping,
    /// The name of the files for machines, without an ending.
    pub file: String,
    /// The same for machines.
    #[serde(skip)]
    pub table: Table,
    /// What was taken as so.
    pub assumed: Vec<String>,
    /// What to mind.
    pub cautions: Vec<String>,
}

/// A spray that a rulebook asks nothing about.
#[derive(Clone, Debug, Serialize)]
pub struct LeftOut {
    /// The day.
    pub date: String,
    /// Which ground.
    pub ground: String,
    /// What was in the tank.
    pub tank: String,
    /// Why.
    pub why: &'static str,
}

/// The records of a book under each rulebook that asks for something in a record.
pub fn law_records(book: &Book<'_>) -> Vec<LawRecords> {
    let duties = Duties::new(book.season);
    let asks = |rulebook: &&Rulebook| rulebook.rules.iter().any(|rule| matches!(rule.demand, Demand::Elements(_)));
    rulebooks(&duties).into_iter().filter(asks).map(|rulebook| of_rulebook(book, &duties, rulebook)).collect()
}

fn of_rulebook(book: &Book<'_>, duties: &Duties<'_>, rulebook: &Rulebook) -> LawRecords {
    let mut records: Vec<(&SprayFacts, LawRecord)> = Vec::new();
    let mut left_out = Vec::new();
    for facts in book.sprays() {
        let rules = asking(duties, facts, &rulebook.name);
        if rules.is_empty() {
            left_out.push(left(book, duties, rulebook, facts));
        } else {
            records.push((facts, law_record(book, duties, facts, &rulebook.name, &rules)));
        }
    }
    let of = records.len();
    for (at, (_, record)) in records.iter_mut().enumerate() {
        (record.number, record.of) = (at + 1, of);
    }
    let table = record_table(book, duties, rulebook, &records);
    let kept = records.iter().filter_map(|(_, record)| record.kept.clone());
    let mut assumed = assumed::of_records(book);
    assumed.push(
        "A rule that holds only under some condition is applied where the journal says that the condition is met: workers in the block, organic ground, the status of a material, a licence."
            .to_string(),
    );
    LawRecords {
        head: Head::new(book),
        rulebook: RulebookView::new(duties, rulebook),
        rules: rules_of(book, rulebook),
        left_out,
        keeping: keeping(book, duties, kept),
        file: file_name(rulebook),
        table,
        records: records.into_iter().map(|(_, record)| record).collect(),
        assumed,
        cautions: law_cautions(book, std::iter::once(rulebook)),
    }
}

/// The name of a rulebook's files, without an ending.
fn file_name(rulebook: &Rulebook) -> String {
    format!("record-{}", rulebook.name)
}

/// The rules about records that were in force on the day of any spray that is shown, or of today where none is.
fn rules_of(book: &Book<'_>, rulebook: &Rulebook) -> Vec<RuleView> {
    let mut days: Vec<_> = book.sprays().map(|facts| facts.spray(book.journal()).at.day).collect();
    if days.is_empty() {
        days.extend(book.season.as_of);
    }
    days.sort_unstable();
    days.dedup();
    let in_force = |rule: &&Rule| days.iter().any(|&day| rule.in_force(day));
    let about_records = |rule: &&Rule| {
        matches!(
            rule.demand,
            Demand::Elements(_)
                | Demand::Deadline(_)
                | Demand::MachineReadable(_)
                | Demand::MonthlyReport { .. }
                | Demand::Keep(_)
        )
    };
    rulebook.rules.iter().filter(about_records).filter(in_force).map(RuleView::new).collect()
}

fn left(book: &Book<'_>, duties: &Duties<'_>, rulebook: &Rulebook, facts: &SprayFacts) -> LeftOut {
    let spray = facts.spray(book.journal());
    let on = spray.at.day;
    let adopted = duties.adoptions.iter().any(|one| one.book.name == rulebook.name && one.adopted.on(on));
    let asks = |rule: &Rule| matches!(rule.demand, Demand::Elements(_)) && rule.in_force(on);
    let why = if !adopted {
        "the farm did not work under these rules that day"
    } else if !rulebook.rules.iter().any(asks) {
        "no rule about records was in force that day"
    } else {
        "its rules about records hold for other blocks, crops, people or products"
    };
    LeftOut { date: day(on), ground: book.ground(&spray.ground), tank: tank(book, facts), why }
}
