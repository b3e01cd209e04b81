//! Which sprays a sheet must be displayed for and which blocks need warning signs, and who says so: the rulebooks that
//! the farm has adopted, the farm itself, or a label.

use super::book::Book;
use super::phrases::{Both, PHRASES};
use crate::duty::{Asked, Duties};
use crate::journal::{Block, MaterialId, Needs, Spray, Stated};
use crate::rulebook::Demand;
use crate::season::{SprayFacts, Touched, undeclared as undeclared_spans};
use crate::text::Span;

/// That a sheet must be displayed for a spray.
#[derive(Clone, Debug)]
pub(super) struct SheetAsked {
    /// Who asks for it.
    pub by: Vec<Both>,
    /// How many seconds it stays after re-entry is allowed, by the rule that keeps it longest; `None` where no rule says.
    pub stays: Option<i64>,
}

/// That warning signs must stand at a block for a spray.
#[derive(Clone, Debug)]
pub(super) struct SignsAsked {
    /// Who asks for them.
    pub by: Vec<Both>,
    /// Up at most so many seconds before the start, by the strictest rule.
    pub before: Option<i64>,
    /// Down within so many seconds after re-entry ends, by the strictest rule.
    pub down_within: Option<i64>,
}

/// What a rule on signs asks for.
#[derive(Clone, Copy, Debug)]
struct SignRule {
    outdoors_over: i64,
    enclosed_over: i64,
    before: i64,
    down_within: i64,
}

/// The time that a demand for a sheet keeps it up.
fn sheet_rule(demand: &Demand) -> Option<i64> {
    match demand {
        Demand::Display { stays, .. } => Some(*stays),
        _ => None,
    }
}

fn sign_rule(demand: &Demand) -> Option<SignRule> {
    match *demand {
        Demand::Signs { outdoors_over, enclosed_over, before, down_within } => {
            Some(SignRule { outdoors_over, enclosed_over, before, down_within })
        }
        _ => None,
    }
}

/// Whether anything in the journal or in the rules it adopts can ask for a sheet.
pub(super) fn sheets_can_be_asked(book: &Book<'_>, duties: &Duties<'_>) -> bool {
    duties.of_kind(sheet_rule).next().is_some() || any_needs(book, |needs| needs.sheet)
}

/// Whether anything in the journal or in the rules it adopts can ask for signs.
pub(super) fn signs_can_be_asked(book: &Book<'_>, duties: &Duties<'_>) -> bool {
    duties.of_kind(sign_rule).next().is_some() || any_needs(book, |needs| needs.signs)
}

fn any_needs(book: &Book<'_>, of: fn(&Needs) -> Option<Span>) -> bool {
    let journal = book.journal();
    let farm = journal.farm.iter().map(|farm| &farm.needs);
    farm.chain(journal.materials.iter().map(|material| &material.needs)).any(|needs| of(needs).is_some())
}

/// Whether a sheet must be displayed for a spray.
pub(super) fn sheet_asked(book: &Book<'_>, duties: &Duties<'_>, facts: &SprayFacts) -> Option<SheetAsked> {
    let rules: Vec<(Asked<'_>, i64)> = duties.of_spray(facts, sheet_rule).collect();
    let workers = facts.touched.iter().any(|touched| has_workers(book.journal().block(touched.block)));
    let mut by: Vec<Both> = rules.iter().map(|(asked, _)| Both::same(asked.cited())).collect();
    if workers {
        by.extend(own_needs(book, facts, |needs| needs.sheet));
    }
    (!by.is_empty()).then(|| SheetAsked { by, stays: rules.iter().map(|(_, stays)| *stays).max() })
}

/// Whether warning signs must stand at a block of a spray.
pub(super) fn signs_asked(
    book: &Book<'_>,
    duties: &Duties<'_>,
    facts: &SprayFacts,
    block: &Block,
) -> Option<SignsAsked> {
    if block.workers.is_some_and(|workers| !workers.value) {
        return None;
    }
    let longest = longest_reentry(book, facts).unwrap_or_default();
    let enclosed = block.enclosed.is_some_and(|enclosed| enclosed.value);
    let over = |rule: &SignRule| if enclosed { rule.enclosed_over } else { rule.outdoors_over };
    let rules: Vec<(Asked<'_>, SignRule)> =
        duties.of_spray(facts, sign_rule).filter(|(_, rule)| longest > over(rule)).collect();
    let mut by: Vec<Both> = rules.iter().map(|(asked, _)| Both::same(asked.cited())).collect();
    if has_workers(block) {
        by.extend(own_needs(book, facts, |needs| needs.signs));
    }
    // The times are those of every rule on signs that holds, also where only a label asks for them.
    let times = || duties.of_spray(facts, sign_rule).map(|(_, rule)| rule);
    (!by.is_empty()).then(|| SignsAsked {
        by,
        before: times().map(|rule| rule.before).min(),
        down_within: times().map(|rule| rule.down_within).min(),
    })
}

/// Whether a rule on signs holds for a spray, whatever its intervals are.
pub(super) fn sign_rule_holds(duties: &Duties<'_>, facts: &SprayFacts) -> bool {
    duties.of_spray(facts, sign_rule).next().is_some()
}

/// The longest re-entry interval in a tank that is recorded, in seconds, a part of one counted as one.
pub(super) fn longest_reentry(book: &Book<'_>, facts: &SprayFacts) -> Option<i64> {
    facts.doses.iter().filter_map(|dose| reentry_seconds(book, dose.material)).max()
}

fn reentry_seconds(book: &Book<'_>, material: MaterialId) -> Option<i64> {
    let seconds = book.journal().material(material).reentry?.value.seconds()?;
    i64::try_from(seconds.ceil()).ok()
}

/// The materials of a tank whose re-entry interval is the longest, with that interval.
pub(super) fn longest(book: &Book<'_>, facts: &SprayFacts) -> Option<(Stated, Vec<MaterialId>)> {
    let longest = longest_reentry(book, facts)?;
    let materials = facts.doses.iter().map(|dose| dose.material);
    let materials: Vec<MaterialId> =
        materials.filter(|&material| reentry_seconds(book, material) == Some(longest)).collect();
    let stated = book.journal().material(*materials.first()?).reentry?.value;
    Some((stated, materials))
}

/// What is in a tank by a name that the journal does not declare, as written: nothing is known of its intervals.
pub(super) fn undeclared(book: &Book<'_>, spray: &Spray) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for span in undeclared_spans(book.journal(), spray) {
        let name = book.words(span);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

/// The names of what is in a tank without a re-entry interval on record; `none stated` is one.
pub(super) fn without_interval(book: &Book<'_>, facts: &SprayFacts, undeclared: &[String]) -> Vec<String> {
    let journal = book.journal();
    let declared = facts.doses.iter().filter(|dose| journal.material(dose.material).reentry.is_none());
    declared.map(|dose| book.material(dose.material).to_string()).chain(undeclared.iter().cloned()).collect()
}

fn has_workers(block: &Block) -> bool {
    block.workers.is_some_and(|workers| workers.value)
}

/// What the farm and the labels in a tank ask for themselves.
fn own_needs(book: &Book<'_>, facts: &SprayFacts, of: fn(&Needs) -> Option<Span>) -> Vec<Both> {
    let journal = book.journal();
    let farm = journal.farm.as_ref().is_some_and(|farm| of(&farm.needs).is_some());
    let materials = facts.doses.iter().filter(|dose| of(&journal.material(dose.material).needs).is_some());
    let materials: Vec<&str> = materials.map(|dose| book.material(dose.material)).collect();
    let labels = (!materials.is_empty())
        .then(|| PHRASES.material_asks.with(&[("products", &Both::same(materials.join(" + ")))]));
    farm.then(|| PHRASES.farm_asks.said()).into_iter().chain(labels).collect()
}

/// Blocks that do not say whether people work there, and, where rules of law are adopted, materials in blocks with workers
/// that do not say what they are to the law: without either nothing is asked for, so a document that leaves sprays out
/// names them.
pub(super) fn not_said<'s>(
    book: &'s Book<'_>,
    sprays: impl Iterator<Item = &'s SprayFacts>,
    rules: bool,
) -> (Vec<&'s str>, Vec<&'s str>) {
    let journal = book.journal();
    let mut blocks = vec![false; journal.blocks.len()];
    let mut materials = vec![false; journal.materials.len()];
    for facts in sprays {
        for touched in &facts.touched {
            blocks[touched.block.index()] |= journal.block(touched.block).workers.is_none();
        }
        let nobody = |touched: &Touched| journal.block(touched.block).workers.is_some_and(|workers| !workers.value);
        for dose in facts.doses.iter().filter(|_| rules && !facts.touched.iter().all(nobody)) {
            materials[dose.material.index()] |= journal.material(dose.material).status().is_none();
        }
    }
    let silent = |set: &[bool]| set.iter().enumerate().filter(|(_, silent)| **silent).map(|(at, _)| at).collect();
    let (blocks, materials): (Vec<usize>, Vec<usize>) = (silent(&blocks), silent(&materials));
    (
        blocks.into_iter().map(|at| journal.blocks[at].named.shown()).collect(),
        materials.into_iter().map(|at| journal.materials[at].named.shown()).collect(),
    )
}
