//! What stands in the way of a planned round on a day: what the checks find, a re-entry interval that runs, a growth stage
//! that is not there yet, a shelf that holds too little.

use chrono::NaiveDate;

use super::judged::{When, judged};
use crate::checks::day as said_day;
use crate::finding::{Finding, Level};
use crate::journal::{BlockId, MaterialId, Program};
use crate::quantity::{Amount, System, show_apart};
use crate::season::{Hold, Moment, Season, like};

/// What stands in the way.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Obstacle {
    /// What a check finds, by its code.
    Check(&'static str),
    /// A re-entry interval that runs.
    Reentry,
    /// The growth stage.
    Stage,
    /// The shelf.
    Stock,
    /// The batches of something home-made.
    Batch,
}

impl Obstacle {
    /// Its word in documents.
    pub const fn word(self) -> &'static str {
        match self {
            Obstacle::Check(code) => code,
            Obstacle::Reentry => "re-entry",
            Obstacle::Stage => "growth-stage",
            Obstacle::Stock => "stock",
            Obstacle::Batch => "batch",
        }
    }
}

/// Something that stands in the way of a planned round, with its arithmetic.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Conflict {
    /// What.
    pub by: Obstacle,
    /// How sure and how grave.
    pub level: Level,
    /// In one sentence.
    pub headline: String,
    /// The arithmetic.
    pub working: Vec<String>,
    /// What to do.
    pub help: Option<String>,
    /// Where the rule comes from.
    pub source: Option<String>,
    /// Whether another day may be clear.
    pub moves: bool,
}

impl Conflict {
    /// A finding about what is planned; nothing where its check says nothing about what is not done yet.
    pub(super) fn of(finding: &Finding) -> Option<Self> {
        let judged = judged(finding.code).filter(|_| finding.accepted.is_none())?;
        Some(Self {
            by: Obstacle::Check(judged.code),
            level: finding.level,
            headline: finding.headline.clone(),
            working: finding.working.clone(),
            // A check's advice is for what was done and cannot be undone.
            help: None,
            source: finding.source.clone(),
            moves: judged.when == When::OnTheDay,
        })
    }
}

/// The re-entry interval that runs on a block when a day begins; of several, the one that ends last.
fn reentry_running(season: &Season<'_>, block: BlockId, day: NaiveDate) -> Option<Hold> {
    let begins = season.zone.start_of(day);
    let before = season.by_block[block.index()].iter().map(|&at| &season.sprays[at]);
    let running = before.filter(|facts| facts.end < begins).filter_map(|facts| facts.reentry);
    running.filter(|hold| hold.until > begins).max_by_key(|hold| hold.until)
}

/// A re-entry interval that keeps a block closed for the whole of a day.
pub(super) fn reentry(season: &Season<'_>, block: BlockId, day: NaiveDate) -> Option<Conflict> {
    let hold = reentry_running(season, block, day).filter(|hold| hold.until >= season.zone.end_of(day))?;
    let name = &season.journal.block(block).named.name;
    let material = &season.journal.material(hold.material).named.name;
    Some(Conflict {
        by: Obstacle::Reentry,
        level: Level::Warning,
        headline: format!(
            "the re-entry interval of {material} on {name} runs until {}, all of {}",
            said_moment(hold.until),
            said_day(day)
        ),
        working: Vec::new(),
        help: Some("who sprays during a re-entry interval wears what the labels ask of handlers, or waits".to_string()),
        source: Some("the interval is the one in your material entry".to_string()),
        moves: true,
    })
}

/// The moment of a day before which a re-entry interval runs on a block, where it ends on that day.
pub(super) fn not_before(season: &Season<'_>, block: BlockId, day: NaiveDate) -> Option<Moment> {
    reentry_running(season, block, day).map(|hold| hold.until).filter(|until| *until < season.zone.end_of(day))
}

fn said_moment(moment: Moment) -> String {
    moment.local.format("%-d %B %Y %H:%M").to_string()
}

/// A block that has not come to the growth stages of a program's rounds. What its stage will be on a later day nobody
/// knows, so only today is judged.
pub(super) fn stage(season: &Season<'_>, program: &Program, block: BlockId, today: NaiveDate) -> Option<Conflict> {
    let window = program.window?;
    let (first, last) = window.value;
    let seen = season.anchors.code_at(block, today).filter(|seen| seen.code < first)?;
    let name = &season.journal.block(block).named.name;
    Some(Conflict {
        by: Obstacle::Stage,
        level: Level::Warning,
        headline: format!(
            "{name} was at BBCH {:02} on {}; {} is for BBCH {first:02} to {last:02}",
            seen.code,
            said_day(seen.day),
            program.named.name
        ),
        working: Vec::new(),
        help: Some("look at the block, and write the stage down".to_string()),
        source: Some("the stages are your own, in the program".to_string()),
        moves: true,
    })
}

/// A shelf that holds less than a round and those before it take.
pub(super) fn stock(season: &Season<'_>, material: MaterialId, on_hand: Amount, needed: Amount) -> Option<Conflict> {
    let needed = like(season.journal, material, needed, on_hand.unit)?;
    let home = season.journal.farm.as_ref().map_or(System::Us, |farm| farm.units);
    let form = season.journal.material(material).form();
    let tidy = |amount| crate::quantity::tidy(amount, home, form);
    let (there, asked) = (tidy(on_hand), tidy(needed));
    let (there, asked) = show_apart(there, asked.in_unit(there.unit).unwrap_or(asked));
    let name = &season.journal.material(material).named.name;
    Some(Conflict {
        by: Obstacle::Stock,
        level: Level::Warning,
        headline: format!("the shelf holds {there} of {name}; this round and those planned before it take {asked}"),
        working: Vec::new(),
        help: Some("buy or make more first, or count the shelf and write it down".to_string()),
        source: Some("what came in, went out and was counted, by your own entries".to_string()),
        moves: false,
    })
}
