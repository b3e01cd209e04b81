//! Why a block is closed, or not known to be clear: one sentence for each interval that runs and each that is not written.

use serde::Serialize;

use super::book::Book;
use super::clearance::{BoardRow, Told, when};
use super::words::{day, days, stated};
use crate::journal::{BlockId, Stated};
use crate::season::{Gap, Moment, PartClearance, Rule, Treated, Unknown, Why};

/// What holds for a part of a block.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Reason {
    /// Whether it keeps everybody out, or only pickers.
    pub keeps_people_out: bool,
    /// `interval` where one runs, `not-written` where one is missing, `spraying` during a spray.
    pub kind: &'static str,
    /// The material.
    pub material: Option<String>,
    /// In words.
    pub words: String,
    /// When it ends; absent where that is not known.
    pub until: Option<Told>,
}

/// A reason, and all that it holds for.
#[derive(Clone, Debug, Serialize)]
pub struct WhyLine {
    /// The blocks, in the order of the board.
    pub blocks: Vec<String>,
    /// The reason.
    pub reason: Reason,
}

/// The reasons of a part, what ends last first, and then what is not written.
pub(super) fn reasons(book: &Book<'_>, at: Moment, block: BlockId, part: &PartClearance) -> Vec<Reason> {
    // What keeps people out is among what keeps pickers out.
    let of_people = |why: &Why| part.people.closed.as_ref().is_some_and(|closed| closed.why.contains(why));
    let running = part.picking.closed.iter().flat_map(|closed| &closed.why);
    let running = running.map(|why| interval(book, at, block, why, of_people(why)));
    let missing =
        part.picking.not_known.iter().map(|gap| not_written(book, at, block, gap, part.people.not_known.contains(gap)));
    let mut reasons: Vec<Reason> = Vec::new();
    for reason in running.chain(missing) {
        if !reasons.contains(&reason) {
            reasons.push(reason);
        }
    }
    reasons
}

/// Each reason once, with the blocks that it holds for.
pub(super) fn grouped(rows: &[BoardRow]) -> Vec<WhyLine> {
    let mut lines: Vec<WhyLine> = Vec::new();
    for row in rows {
        for reason in &row.reasons {
            let block = match &row.rows {
                Some(rows) => format!("{}, {}", row.block, rows.en),
                None => row.block.clone(),
            };
            match lines.iter_mut().find(|line| line.reason == *reason) {
                Some(line) => line.blocks.push(block),
                None => lines.push(WhyLine { blocks: vec![block], reason: reason.clone() }),
            }
        }
    }
    lines
}

/// When something that came onto a block was over, and what it was where it was not a spray of the block itself.
fn over(book: &Book<'_>, treated: Treated) -> (String, String) {
    let journal = book.journal();
    match treated {
        Treated::Spray(_) => ("when spraying ended".to_string(), String::new()),
        Treated::Leftover(at) => {
            let ground = book.ground(&book.season.sprays[at].spray(journal).ground);
            (format!("when spraying {ground} ended"), "; the rest of that tank was put here".to_string())
        }
        Treated::Rinse(at) => {
            let rinse = &book.season.rinses[at];
            let rig = rinse.cleaning(journal).rig;
            let rig = rig.id.map_or_else(|| book.words(rig.span), |rig| journal.rig(rig).named.shown().to_string());
            let sprayed = |at: &usize| book.season.sprays[*at].start.local.date();
            let (first, last) = (rinse.sprays.first().map(sprayed), rinse.sprays.last().map(sprayed));
            let held = first.zip(last).map(|(first, last)| format!(", with what it sprayed {}", days(first, last)));
            let water = format!("; its rinse water was put here{}", held.unwrap_or_default());
            (format!("when cleaning {rig} ended"), water)
        }
    }
}

fn interval(book: &Book<'_>, at: Moment, block: BlockId, why: &Why, keeps_people_out: bool) -> Reason {
    let journal = book.journal();
    let material = why.material.map(|material| book.material(material).to_string());
    let name = material.clone().unwrap_or_default();
    let (ended, rest) = over(book, why.treated);
    let end = when(book, at, why.end).en;
    let end = if why.end_assumed {
        format!("{end}, taken as the end of that day because it is not recorded {ended}{rest}")
    } else {
        format!("{end}, {ended}{rest}")
    };
    let time = |time: Option<Stated>| time.map_or(String::new(), stated);
    let words = match &why.rule {
        Rule::Spraying => format!("not over before {end}"),
        Rule::Reentry(_) => {
            let own = why.material.and_then(|id| journal.material(id).reentry).map(|time| time.value);
            format!("{name}: re-entry interval {} from {end}", time(own))
        }
        Rule::Preharvest(_) => {
            let own = why.material.and_then(|id| book.season.preharvest(id, book.season.crop(block)));
            format!("{name}: harvest interval {} from {end}", time(own.map(|interval| interval.time)))
        }
        Rule::Asked(cited) => format!("{name}: days to the harvest by {cited}, from {end}"),
    };
    let kind = if why.rule == Rule::Spraying { "spraying" } else { "interval" };
    Reason { keeps_people_out, kind, material, words, until: Some(when(book, at, why.until)) }
}

/// What came onto a block and when, for where no interval is known.
fn source(book: &Book<'_>, treated: Treated) -> String {
    let journal = book.journal();
    let on = match treated {
        Treated::Spray(at) | Treated::Leftover(at) => book.season.sprays[at].start.local.date(),
        Treated::Rinse(at) => book.season.rinses[at].cleaning(journal).at.day,
    };
    match treated {
        Treated::Spray(_) => format!("sprayed on {}", day(on)),
        Treated::Leftover(_) => format!("the rest of a tank, put here on {}", day(on)),
        Treated::Rinse(_) => format!("rinse water, put here on {}", day(on)),
    }
}

fn not_written(book: &Book<'_>, at: Moment, block: BlockId, gap: &Gap, keeps_people_out: bool) -> Reason {
    let material = match gap.what {
        Unknown::Reentry(material) | Unknown::Preharvest(material) => Some(book.material(material).to_string()),
        _ => None,
    };
    let name = material.clone().unwrap_or_default();
    let from = source(book, gap.treated);
    let (words, until) = match &gap.what {
        Unknown::Reentry(_) => (
            format!(
                "{name}: no re-entry interval is written; add a line `reentry` to the material as its label has it, `none stated` where it states none"
            ),
            None,
        ),
        Unknown::Preharvest(_) => {
            let crop = book.season.crop(block).map_or_else(|| "a block that names no crop".to_string(), str::to_string);
            (
                format!(
                    "{name}: no harvest interval is written that holds for {crop}; add a line `preharvest` to the material as its label has it, `none stated` where it states none"
                ),
                None,
            )
        }
        Unknown::Undeclared(span) => {
            let name = book.words(*span);
            (format!("{name} is not declared, so nothing is known of its intervals ({from})"), None)
        }
        Unknown::Tank => (format!("what was in the tank is not recorded ({from})"), None),
        Unknown::Sprayer(_) => {
            (format!("no spray names the sprayer that was rinsed, so what was in it is not known ({from})"), None)
        }
        Unknown::Line => (format!("a line of the record could not be read ({from})"), None),
        Unknown::SoilContact(until, cited) => (
            format!(
                "if what is eaten touches the soil, which the block does not say (`soil-contact`), {cited} asks for more days ({from})"
            ),
            Some(when(book, at, *until)),
        ),
    };
    Reason { keeps_people_out, kind: "not-written", material, words, until }
}
