//! What was taken as so because the journal does not say.

use super::book::Book;
use super::elements::Elements;
use super::pantry_facts;
use super::shares::shares;
use super::words::{count, list};
use crate::quantity::{Basis, Exact, System};
use crate::season::{Dose, SprayFacts};

/// How harvest intervals are counted.
const HARVEST_DAYS: &str =
    "Harvest intervals of whole days are counted on the calendar, the day of the spray being day 0.";

/// The assumptions of a season summary.
pub(super) fn of_summary(book: &Book<'_>, elements: &Elements) -> Vec<String> {
    let mut assumed = of_times(book);
    assumed.push(HARVEST_DAYS.to_string());
    assumed.extend(of_amounts(book));
    assumed.extend(elements.left_out.iter().cloned());
    assumed.push(
        "A season is a calendar year. Amounts per ground are for the whole block, even where only some of its rows were sprayed."
            .to_string(),
    );
    assumed.push(
        "Intervals behind counts are 95 % Wilson score intervals (E. B. Wilson 1927; NIST/SEMATECH e-Handbook, section 7.2.4.1); they take the leaves or shoots as picked at random."
            .to_string(),
    );
    assumed
}

/// The assumptions of sheets and signs.
pub(super) fn of_notices(book: &Book<'_>) -> Vec<String> {
    let mut assumed = of_times(book);
    assumed.push(
        "The longest re-entry interval in a tank counts for all of it and runs from the end of the spray, as the journal has both."
            .to_string(),
    );
    assumed.push("A block that does not say whether it is closed in counts as outdoors.".to_string());
    assumed.push(
        "Days that a rule counts from a moment are so many times 24 hours that passed, also where the clocks change in between."
            .to_string(),
    );
    assumed.push(
        "Of several sheets of one place the one that went up first comes down first (common practice, no source)."
            .to_string(),
    );
    assumed
}

/// The assumptions of a calendar.
pub(super) fn of_calendar(book: &Book<'_>) -> Vec<String> {
    let mut assumed = of_clearance(book);
    for line in of_notices(book) {
        if !assumed.contains(&line) {
            assumed.push(line);
        }
    }
    assumed
}

/// The assumptions of a clearance board.
pub(super) fn of_clearance(book: &Book<'_>) -> Vec<String> {
    let mut assumed = of_times(book);
    for line in [
        "Where no end is recorded the end of that day is taken (GLOBALG.A.P., crop protection records). A spray without any time counts from the start of its day, and while a block is being sprayed it is closed.",
        "The longest re-entry interval in a tank counts for all of it, in hours that really pass from the end of the last session. Nothing counts as clear to pick before people may enter: re-entry overrides a shorter harvest interval (Washington State University, Tree Fruit, entry and pre-harvest intervals).",
        HARVEST_DAYS,
        "“None stated” on a label is taken as no wait. Where no interval is written, a block is not known to be clear for 365 days: that no label asks for more is assumed.",
        "What was left in a tank and put on a block counts as a spray of it. Every other alley reaches all rows.",
    ] {
        assumed.push(line.to_string());
    }
    let season = book.season;
    let sprayed = season.sprays.iter().map(|facts| (facts.end, &facts.spray(book.journal()).sessions));
    let cleaned = season.rinses.iter().map(|rinse| (rinse.end, &rinse.cleaning(book.journal()).sessions));
    if sprayed.chain(cleaned).any(|(end, sessions)| season.latest_end(sessions, end) > end) {
        assumed.push(
            "An end whose time of day is before the start's is counted here as of the next day, since it can be no later."
                .to_string(),
        );
    }
    if season.sprays.iter().any(|facts| season.brewed(facts).next().is_some()) {
        assumed.push(
            "What went into a home-made batch is taken to be in every tank of it. Where no interval is written for such a thing, those of the home-made material itself are taken to hold for it."
                .to_string(),
        );
    }
    if !book.season.rinses.is_empty() {
        assumed.push(
            "Rinse water counts as a spray with all that the sprayer sprayed since the cleaning before, from the end of the cleaning (common practice, no source). A spray that names no sprayer is taken to be in it only where no spray since then names that sprayer."
                .to_string(),
        );
    }
    assumed
}

/// The assumptions of the application records.
pub(super) fn of_records(book: &Book<'_>) -> Vec<String> {
    let mut assumed = of_times(book);
    assumed.push(HARVEST_DAYS.to_string());
    assumed.extend(of_amounts(book));
    assumed
}

/// The assumptions of an input list.
pub(super) fn of_inputs(book: &Book<'_>) -> Vec<String> {
    let mut assumed = of_amounts(book);
    assumed.push(
        "An approval counts from its own day on: one of the same day as a use is taken as before it.".to_string(),
    );
    assumed.push(
        "Where no lot is named, the journal does not say which delivery a tank was filled from; every delivery up to the day is listed."
            .to_string(),
    );
    assumed.push("Status: as the journal says, or registered where it gives a registration number.".to_string());
    assumed
}

/// The assumptions of a mix sheet.
pub(super) fn of_mix_sheet(book: &Book<'_>, facts: &SprayFacts, tank_known: bool) -> Vec<String> {
    let mut assumed = Vec::new();
    if !tank_known {
        assumed.push("What the sprayer's tank holds is not known, so the whole job is taken as one load.".to_string());
    }
    assumed.push(
        "The last load is dosed by its own volume. Volumes of finished spray: liquids take up room in it, dry materials do not (common practice, no source)."
            .to_string(),
    );
    assumed.push(
        "Amounts are said in the measuring tools that the journal names, rounded to the nearest whole step of the finest, but up by 1 % at most; where none is named that fits, in the largest units. Spoons and cups are level."
            .to_string(),
    );
    assumed.push(
        "The usual order of addition, where none is written: half of the water; what changes the water (no acid beside copper or lime sulfur); dry; liquids; oils; soaps and spreaders; live cultures (dry before liquids before emulsions before surfactants: Country Guide, on mixing order; Utah State University Extension, jar test; the rest common practice, no source). A label that says otherwise comes first."
            .to_string(),
    );
    if facts.doses.iter().any(|dose| dose.measured.is_some() && dose.expected.is_some()) {
        assumed.push(
            "The entry says already what was measured out. All amounts and totals of this sheet are those of the recipe; what was measured stands in the entry alone."
                .to_string(),
        );
    }
    if facts.doses.iter().any(|dose| dose.times != Exact::ONE) {
        assumed.push(
            "Concentrate: the mix's rates per volume are for dilute spray and count so many times; rates per ground, row and tree, and what is put in besides the mix, stay as written (Washington State University, tree fruit crop protection guide, chemical rates). A label's limit per ground comes before it."
                .to_string(),
        );
    }
    assumed.extend(of_amounts(book));
    assumed
}

/// The assumptions of an incident bundle.
pub(super) fn of_incident(book: &Book<'_>) -> Vec<String> {
    let mut assumed = vec![
        "The journal holds no distances between blocks, so the sprays of every other block of the farm are listed, near or far. What neighbours sprayed is not in it."
            .to_string(),
    ];
    assumed.extend(of_times(book));
    assumed.extend(of_amounts(book));
    assumed
}

/// The assumptions of an audit binder.
pub(super) fn of_binder(book: &Book<'_>) -> Vec<String> {
    let mut assumed = of_times(book);
    assumed.extend(of_amounts(book));
    for line in [
        "A trace goes back twelve months before the first pick of a lot. A lot name that is used again in another calendar year is another lot. Lots, and picks without one, that are of the same ground with no spray on it between them are told as one.",
        "Where no lot is named, the journal does not say which delivery a tank or a batch was filled from; a trace names every delivery and batch up to the day.",
        "A pick without a time may have been at any hour of its day; it is held against intervals as if at its end.",
        "A balance begins with nothing on the shelf where no count stands before it, and takes a count as made at the end of its day. It is of the whole farm, whatever part of the journal is shown, up to the last day shown.",
        "The percentage of a difference is of what was there and came in.",
    ] {
        assumed.push(line.to_string());
    }
    assumed
}

/// The assumptions of a stock sheet.
/// `planned`: whether it says what the plan takes.
pub(super) fn of_stock(book: &Book<'_>, planned: bool) -> Vec<String> {
    let mut assumed = of_amounts(book);
    for line in [
        "A use that names no lot is taken from what is there the longest: what no lot is known of, then the oldest lot that still has some. A spray that names several batches of one material takes them in the order of making.",
        "Before the first entry of a material there was nothing of it, unless it was used before any came in: then it is not known until a count.",
        "A count is taken as made at the end of its day. What it misses is taken from the oldest lot, what it finds over is of no known lot.",
        "A batch counts from the day it was started, also before it is ready.",
        "Worth is by the price in the material's entry, or else by the latest delivery whose bill is written. Home-made batches have a price only where their material's entry says one.",
    ] {
        assumed.push(line.to_string());
    }
    if planned {
        assumed.push(
            "What the plan takes, and when it runs out, is reckoned for a sheet of today from the rounds that programs have left, by their fewest and their most; what is still to be bought is in the plan."
            .to_string(),
        );
    }
    assumed
}

/// The assumptions of batch labels.
pub(super) fn of_labels(_: &Book<'_>) -> Vec<String> {
    let lines = [
        "A batch has a label until its use-by, or until all of it is used by what the journal says; a use that names no batch is taken from the oldest.",
        "How it is used is what the farm's own mixes take of it: a recipe, not an allowance.",
    ];
    lines.map(str::to_string).to_vec()
}

fn of_times(book: &Book<'_>) -> Vec<String> {
    let mut assumed = Vec::new();
    let without_end = book.sprays().filter(|facts| facts.end_assumed).count();
    if without_end > 0 {
        assumed.push(format!(
            "{} no end time that can be believed; the end is taken as 23:59 of the day, and intervals run from there.",
            has(without_end)
        ));
    }
    let without_start = book.sprays().filter(|facts| facts.spray(book.journal()).sessions.is_empty()).count();
    if without_start > 0 {
        assumed.push(format!("{} no start time; they are put in order as if begun at 00:00.", has(without_start)));
    }
    match book.season.zone.name() {
        Some(_) => {}
        None => assumed.push(
            "No time zone is written: clock times are taken as they stand, so an interval across a clock change may be off by an hour."
                .to_string(),
        ),
    }
    assumed
}

fn of_amounts(book: &Book<'_>) -> Vec<String> {
    let mut assumed = Vec::new();
    let journal = book.journal();
    let units_written = journal.farm.is_some();
    if !units_written {
        assumed.push("No farm entry says which units come first; US units do.".to_string());
    } else if book.home() == System::Imperial {
        assumed.push(
            "Imperial gallons are marked as such; fluid ounces and gallons without a mark are US measures.".to_string(),
        );
    }
    let by_plants = |dose: &&Dose| {
        dose.rate.is_some_and(|rate| matches!(rate.basis(), Basis::Tree | Basis::RowLength)) && dose.expected.is_some()
    };
    if book.sprays().flat_map(|facts| &facts.doses).any(|dose| by_plants(&dose)) {
        assumed.push(
            "Amounts by the tree or by the length of row are reckoned from the area treated and the spacing of rows and trees."
                .to_string(),
        );
    }
    let unknown = book.sprays().flat_map(|facts| &facts.doses).filter(|dose| dose.amount().is_none()).count();
    if unknown > 0 {
        assumed.push(format!(
            "{} could not be worked out, and no total holds them.",
            count(unknown, "amount of an ingredient", "amounts of ingredients")
        ));
    }
    let undivided = book.sprays().filter(|facts| shares(book, facts).is_none()).count();
    if undivided > 0 {
        assumed.push(format!(
            "{} could not be shared out among blocks, because an area or a block is not known.",
            count(undivided, "spray", "sprays")
        ));
    }
    if book.sprays().any(|facts| facts.touched.len() > 1) {
        assumed.push("A spray over several blocks is shared out by their treated area; what was left in the tank and put on another block, by its volume.".to_string());
    }
    if book.sprays().any(|facts| facts.doses.iter().any(|dose| dose.measured.is_none() && dose.expected.is_some())) {
        assumed.push(
            "Where nothing was written as measured out, the amount is what the mix says for the volume.".to_string(),
        );
    }
    let without_area: Vec<&str> =
        book.blocks().filter(|&block| journal.block(block).areas.is_empty()).map(|block| book.block(block)).collect();
    if !without_area.is_empty() {
        assumed.push(format!("No area is written for {}.", list(&without_area)));
    }
    assumed.extend(pantry_facts::lines(book));
    assumed
}

fn has(sprays: usize) -> String {
    format!("{} {}", count(sprays, "spray", "sprays"), if sprays == 1 { "has" } else { "have" })
}
