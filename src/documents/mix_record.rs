//! The entry that the job becomes once it is done: the job's own lines, each load with the amounts as on the sheet, and
//! what is still to be written as remarks.

use super::book::Book;
use super::digest::entry_lines;
use super::mix_portions::{Ingredient, Portion};
use crate::season::SprayFacts;
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
            lines.push(format!("    load       {count}{}{}", loads.tank, put(true)));
        }
        if let Some(last) = loads.last {
            lines.push(format!("    load       {last}{}", put(false)));
        }
    }
    let home_made = |material: &crate::journal::Material| material.home_made.is_some_and(|made| made.value);
    let batches = facts.doses.iter().any(|dose| home_made(journal.material(dose.material)));
    let blanks = [
        (batches && spray.batches.is_empty(), "batch NAME"),
        (spray.sessions.is_empty(), "time 05:50 to 07:20"),
        (spray.by.is_empty(), "by NAME"),
        (spray.weather.is_empty(), "weather 52 F, wind 3 mph NW, humidity 74 %"),
        (spray.ph.is_none(), "ph 6.5"),
        (spray.leftover.is_none(), "leftover 2 gal on NAME rows 1 to 2"),
    ];
    lines.extend(blanks.iter().filter(|(open, _)| *open).map(|(_, blank)| format!("    # {blank}")));
    lines
}
