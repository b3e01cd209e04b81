//! Outlines held against the blocks of a journal, and entries for blocks that it does not have.

use std::collections::{BTreeMap, BTreeSet};

use sha2::{Digest as _, Sha256};

use super::super::FIRST_LINE;
use super::super::ledger::{Remark, remark, short};
use super::super::names::{Found, Known, made_name};
use super::super::write::Text;
use super::{LONGEST_LOOKED_AT, Outline, crosses_itself, square_metres};
use crate::journal::{Block, Journal};
use crate::quantity::{Amount, Exact, System, Unit, show};

/// How far a written area may be from the outline's, in percent, before it is told: common practice, no source.
const FAR: f64 = 5.0;

/// What one outline says.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    /// What the file calls it.
    pub name: String,
    /// Its area; none where it has none.
    pub area: Option<Amount>,
    /// What came of it.
    pub outcome: Outcome,
    /// What the grower should look at.
    pub doubts: Vec<String>,
}

/// What came of one outline.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// The block has that area written, so many percent less or more than the outline.
    Written(Amount, f64),
    /// The block has no area written.
    Unwritten,
    /// It became an entry, at that line.
    Proposed(usize),
    /// It became an entry before, at that place.
    Had(String),
    /// It has no area, and why.
    NoArea(String),
}

/// Holds outlines against a journal. Gives back what each says, and the text for blocks that are new. `before` is the
/// text that the file has already. A written area is never changed.
pub fn compare(
    outlines: &[Outline],
    journal: &Journal,
    remarks: &[Remark],
    file: &str,
    before: &str,
) -> (Vec<Compared>, String) {
    let known = Known::of(journal);
    let metric = journal.farm.as_ref().is_some_and(|farm| farm.units == System::Metric);
    let unit = if metric { Unit::HECTARE } else { Unit::ACRE };
    let mut text = Text::behind(before.lines().count());
    let mut proposed: BTreeSet<String> = BTreeSet::new();
    let mut compared = Vec::new();
    for (at, outline) in outlines.iter().enumerate() {
        let mut one =
            Compared { name: outline.name.clone(), area: None, outcome: Outcome::Unwritten, doubts: Vec::new() };
        if let Some(other) = &outline.other {
            one.outcome = Outcome::NoArea(format!("it is {other}"));
            compared.push(one);
            continue;
        }
        let metres = square_metres(&outline.parts);
        let without = no_area(outline, &mut one.doubts);
        one.area = rounded(metres, unit).filter(|_| without.is_none());
        let without = without.or_else(|| one.area.is_none().then(|| nothing_left(outline)));
        let found = known.blocks.find(&outline.name, &BTreeMap::new(), "block");
        match &found {
            Found::Known(name) => {
                if let Some(why) = without {
                    one.outcome = Outcome::NoArea(why);
                } else if let Some(block) = journal.blocks.iter().find(|block| *block.named.name == **name) {
                    one.outcome = written(block, metres, &mut one.doubts);
                }
            }
            Found::New(name, near) => {
                let name = if outline.name.is_empty() { format!("block-{}", at + 1) } else { name.clone() };
                let mark = mark(outline);
                if let Some(had) = remarks.iter().find(|remark| remark.mark == mark) {
                    one.outcome = Outcome::Had(had.place.clone());
                } else {
                    let name = free(name, &proposed);
                    if let Some(near) = near {
                        let against = one.area.map(|_| against(journal, near, metres)).unwrap_or_default();
                        one.doubts.push(format!("is it {near}?{against}"));
                    }
                    one.doubts.extend(without.map(|why| format!("no area: {why}")));
                    if text.is_empty() && before.is_empty() {
                        text.line(FIRST_LINE);
                        text.line(&format!("# Outlines of {file}."));
                    }
                    let line = entry(&mut text, &name, outline, &one, &remark(file, at + 1, &mark, false));
                    proposed.insert(name);
                    one.outcome = Outcome::Proposed(line);
                }
            }
        }
        compared.push(one);
    }
    (compared, text.finish())
}

/// Why an outline has no definite area; what is doubtful about that goes to the doubts.
fn no_area(outline: &Outline, doubts: &mut Vec<String>) -> Option<String> {
    let rings = outline.parts.iter().flat_map(|part| part.holes.iter().chain([&part.outer]));
    let crossings: Vec<Option<bool>> = rings.map(crosses_itself).collect();
    if crossings.contains(&None) {
        doubts
            .push(format!("it has more than {LONGEST_LOOKED_AT} points: whether it crosses itself was not looked at"));
    }
    crossings
        .contains(&Some(true))
        .then(|| "its line crosses itself, and such a ring encloses no definite area: draw it again".to_string())
}

fn nothing_left(outline: &Outline) -> String {
    let has_holes = outline.parts.iter().any(|part| !part.holes.is_empty());
    if has_holes { "its holes are as large as itself" } else { "it encloses nothing" }.to_string()
}

fn written(block: &Block, metres: f64, doubts: &mut Vec<String>) -> Outcome {
    let Some(area) = block.areas.iter().max_by_key(|area| area.from).map(|area| area.value) else {
        return Outcome::Unwritten;
    };
    let percent = off(area, metres);
    if percent.abs() > FAR {
        let more = if percent > 0.0 { "more" } else { "less" };
        doubts.push(format!("the journal says {}, {:.1} % {more} than the outline", show(area), percent.abs()));
    }
    Outcome::Written(area, percent)
}

/// How many percent a written area is above the outline's.
fn off(area: Amount, metres: f64) -> f64 {
    let written = area.base().map_or(0.0, Exact::to_f64);
    (written - metres) / metres.max(f64::MIN_POSITIVE) * 100.0
}

fn against(journal: &Journal, name: &str, metres: f64) -> String {
    let area = journal.blocks.iter().find(|block| *block.named.name == *name);
    let area = area.and_then(|block| block.areas.iter().max_by_key(|area| area.from));
    area.map(|area| format!(" That has {}, {:+.1} % against the outline.", show(area.value), off(area.value, metres)))
        .unwrap_or_default()
}

/// An area to the hundredth, a small one to four places; none where nothing is left of it.
fn rounded(metres: f64, unit: Unit) -> Option<Amount> {
    let value = metres / unit.to_base().to_f64();
    let places = if value >= 1.0 { 2 } else { 4 };
    let value =
        Exact::parse(&format!("{value:.places$}")).ok().filter(|value| !value.is_negative() && !value.is_zero())?;
    Some(Amount::new(value, unit))
}

/// A name that no outline of the file has yet.
fn free(name: String, taken: &BTreeSet<String>) -> String {
    let mut free = name.clone();
    let mut number = 2;
    while taken.contains(&free) {
        free = format!("{name}-{number}");
        number += 1;
    }
    free
}

fn entry(text: &mut Text, name: &str, outline: &Outline, one: &Compared, remark: &str) -> usize {
    let title: String = outline.name.chars().filter(|letter| *letter != '"' && !letter.is_control()).collect();
    text.line("");
    text.line(&format!("# settle: the farm declares no block {name}"));
    for doubt in &one.doubts {
        text.line(&format!("# settle: {doubt}"));
    }
    let title = if title.is_empty() { String::new() } else { format!(" \"{title}\"") };
    let line = text.line(&format!("block {}{title}", made_name(name, "block")));
    text.line(&format!("    {remark}"));
    if let Some(area) = one.area {
        text.line(&format!(
            "    area {} {}   # settle: computed from outline",
            area.value.decimal(4),
            area.unit.word()
        ));
    }
    text.line(if one.area.is_some() { "    # settle: crop" } else { "    # settle: area, and crop" });
    line
}

/// The mark of an outline: its name and its points.
fn mark(outline: &Outline) -> String {
    let mut hash = Sha256::new();
    hash.update(outline.name.as_bytes());
    for part in &outline.parts {
        for ring in part.holes.iter().chain([&part.outer]) {
            hash.update([0x1f]);
            for (lon, lat) in ring {
                hash.update(lon.to_le_bytes());
                hash.update(lat.to_le_bytes());
            }
        }
    }
    short(&hash.finalize())
}
