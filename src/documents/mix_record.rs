//! The entry that the job becomes once it is done: the job's own lines, each load with the amounts as on the sheet, and
//! what is still to be written as remarks.

use super::book::Book;
use super::digest::entry_lines;
use super::mix_portions::{Ingredient, Portion, in_plain_unit};
use crate::journal::MaterialId;
use crate::quantity::{Amount, Exact, System};
use crate::season::{LotOrigin, SprayFacts};
use crate::trade::Loads;

/// The entry with its date line, a line each. Amounts are exactly those of the sheet, rounded to the tools as they are
/// there.
pub(super) fn record(book: &Book<'_>, facts: &SprayFacts, loads: &Loads, ingredients: &[Ingredient]) -> Vec<String> {
    let journal = book.journal();
    let spray = facts.spray(journal);
    let sources = book.season.sources;
    let entry = sources.slice(entry_lines(sources, spray.at.entry));
    let mut lines = vec![spray.at.day.format("%Y-%m-%d %a").to_string(), String::new()];
    let written = entry.lines().map(str::trim_end).filter(|line| !line.is_empty());
    lines.extend(written.map(str::to_string));
    if spray.loads.is_empty() && spray.measured.is_empty() {
        let put = |full: bool| {
            let of = |one: &Ingredient| if full { one.full.clone() } else { one.last.clone() };
            let portions = ingredients.iter().filter_map(|one| Some((one.word.clone(), of(one)?)));
            let said = portions.map(|(word, portion): (String, Portion)| format!(", {word} {}", portion.amount));
            said.collect::<String>()
        };
        if loads.full > 0 {
            let count = if loads.full == 1 { String::new() } else { format!("{} of ", loads.full) };
            lines.push(format!("    load {count}{}{}", loads.tank, put(true)));
        }
        if let Some(last) = loads.last {
            lines.push(format!("    load {last}{}", put(false)));
        }
    }
    let home_made = |material: &crate::journal::Material| material.home_made.is_some_and(|made| made.value);
    let batches = facts.doses.iter().any(|dose| home_made(journal.material(dose.material)));
    if spray.measured.is_empty() {
        let lots = ingredients.iter().filter(|one| of_lots(book, one.id, facts));
        lines.extend(lots.map(|one| {
            let whole = whole(one, loads).map_or(BLANK.to_string(), |whole| whole.to_string());
            format!("    # measured {} {whole}, lot {BLANK}", one.word)
        }));
    }
    let (warmth, speed, volume) = match book.home() {
        System::Metric => ("C", "km/h", "L"),
        _ => ("F", "mph", "gal"),
    };
    // What is blank cannot be read: a remark whose mark is taken away must never pass for a fact.
    let blanks = [
        (batches && spray.batches.is_empty(), format!("batch {BLANK}")),
        (spray.sessions.is_empty(), format!("time {BLANK} to {BLANK}")),
        (spray.by.is_empty(), format!("by {BLANK}")),
        (
            spray.weather.is_empty(),
            format!("weather {BLANK} {warmth}, wind {BLANK} {speed} {BLANK}, humidity {BLANK} %"),
        ),
        (spray.ph.is_none(), format!("ph {BLANK}")),
        (spray.leftover.is_none(), format!("leftover {BLANK} {volume} on {BLANK} rows {BLANK} to {BLANK}")),
    ];
    lines.extend(blanks.iter().filter(|(open, _)| *open).map(|(_, blank)| format!("    # {blank}")));
    lines
}

/// Where something is to be written by hand.
const BLANK: &str = "____";

/// What all loads hold of an ingredient, exactly.
fn whole(one: &Ingredient, loads: &Loads) -> Option<Amount> {
    let full = match &one.full {
        Some(portion) => Some(portion.amount.times(Exact::int(i64::from(loads.full)))?),
        None => None,
    };
    let last = one.last.as_ref().map(|portion| portion.amount);
    let sum = match (full, last) {
        (Some(full), Some(last)) => full.plus(last)?,
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => return None,
    };
    Some(in_plain_unit(sum, one.unit, None))
}

/// Whether a named lot of a material, that is no batch, may be on hand on the day of a spray.
pub(super) fn of_lots(book: &Book<'_>, material: MaterialId, facts: &SprayFacts) -> bool {
    let day = facts.spray(book.journal()).at.day;
    let stock = book.season.stock().of(material);
    let shelf = stock.by_lot(day);
    stock.lots.iter().enumerate().any(|(at, lot)| {
        let left = shelf.as_ref().and_then(|shelf| shelf.lots.get(at)).and_then(|lot| lot.left);
        let named = lot.words.is_some() && !matches!(lot.origin, LotOrigin::Batch(_));
        named && lot.since <= day && left.is_none_or(Exact::is_positive)
    })
}
