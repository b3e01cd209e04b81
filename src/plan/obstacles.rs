//! What stands in the way of a planned round on a day: what the checks find, a re-entry interval that runs, a growth stage
//! that is not there yet, a shelf that holds too little.

use chrono::NaiveDate;

use crate::checks::{When, check_named, day as said_day};
use crate::finding::{Finding, Level};
use crate::journal::{BlockId, Journal, MaterialId, MixId, Program, RateRange, same_crop};
use crate::quantity::{Amount, System, show_apart};
use crate::season::{BlockClearance, Moment, RowRun, Rule, Season, like};

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
        let when = check_named(finding.code)?.ahead.of_round().filter(|_| finding.accepted.is_none())?;
        Some(Self {
            by: Obstacle::Check(finding.code),
            level: finding.level,
            headline: finding.headline.clone(),
            working: finding.working.clone(),
            // A check's advice is for what was done and cannot be undone.
            help: None,
            source: finding.source.clone(),
            moves: when == When::OnTheDay,
        })
    }
}

/// A re-entry interval that runs.
struct Running {
    until: Moment,
    material: MaterialId,
    /// On which rows; none for the whole block.
    rows: Vec<RowRun>,
}

/// The re-entry interval that runs on a block when a day begins, after sprays of it, rests of tanks and rinse water that
/// came onto it; of several, the one that ends last.
fn reentry_running(season: &Season<'_>, block: BlockId, day: NaiveDate) -> Option<Running> {
    let begins = season.zone.start_of(day);
    // What a rulebook asks for is about the harvest.
    let clearance = BlockClearance::new(season, block, begins, |_, _, _| Vec::new());
    let running = clearance.parts.iter().flat_map(|part| {
        let why = part.people.closed.iter().flat_map(|closed| &closed.why);
        let over = why.filter(|why| matches!(why.rule, Rule::Reentry(_)) && why.end < begins);
        over.filter_map(|why| Some((why.until, why.material?, &part.rows)))
    });
    let mut last: Option<Running> = None;
    for (until, material, rows) in running {
        match &mut last {
            Some(known) if (known.until, known.material) == (until, material) => known.rows.extend(rows),
            Some(known) if known.until >= until => {}
            _ => last = Some(Running { until, material, rows: rows.clone() }),
        }
    }
    last
}

/// ` rows 1 to 4, 6`; nothing for the whole of a block.
fn said_rows(runs: &[RowRun]) -> String {
    let run = |run: &RowRun| match run.last {
        Some(last) if last == run.first => run.first.to_string(),
        Some(last) => format!("{} to {last}{}", run.first, if run.every_other { ", every other" } else { "" }),
        None => format!("{} on", run.first),
    };
    match runs {
        [] => String::new(),
        runs => format!(" rows {}", runs.iter().map(run).collect::<Vec<_>>().join(", ")),
    }
}

/// A re-entry interval that keeps a block closed for the whole of a day.
pub(super) fn reentry(season: &Season<'_>, block: BlockId, day: NaiveDate) -> Option<Conflict> {
    let running = reentry_running(season, block, day).filter(|running| running.until >= season.zone.end_of(day))?;
    let name = &season.journal.block(block).named.name;
    let material = &season.journal.material(running.material).named.name;
    Some(Conflict {
        by: Obstacle::Reentry,
        level: Level::Warning,
        headline: format!(
            "the re-entry interval of {material} on {name}{} runs until {}, all of {}",
            said_rows(&running.rows),
            said_moment(running.until),
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
    reentry_running(season, block, day).map(|running| running.until).filter(|until| *until < season.zone.end_of(day))
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

/// What there is of a material and what is needed, in one unit of a handy size and told apart.
pub(super) fn beside(journal: &Journal, material: MaterialId, there: Amount, needed: Amount) -> (String, String) {
    let home = journal.farm.as_ref().map_or(System::Us, |farm| farm.units);
    let tidy = |amount| crate::quantity::tidy(amount, home, journal.material(material).form());
    let (there, needed) = (tidy(there), tidy(needed));
    // Nothing has no handy size of its own.
    let unit = if there.value.is_positive() { there.unit } else { needed.unit };
    show_apart(there.in_unit(unit).unwrap_or(there), needed.in_unit(unit).unwrap_or(needed))
}

/// A shelf that holds less than a round and those before it take.
pub(super) fn stock(season: &Season<'_>, material: MaterialId, on_hand: Amount, needed: Amount) -> Option<Conflict> {
    let needed = like(season.journal, material, needed, on_hand.unit)?;
    let (there, asked) = beside(season.journal, material, on_hand, needed);
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

/// The mix in whose entry a finding points out what is wrong.
pub(super) fn of_mix(journal: &Journal, finding: &Finding) -> Option<MixId> {
    let at = finding.labels.first()?.span;
    journal.mixes.iter().position(|mix| mix.named.entry.covers(at)).map(|index| MixId(index as u32))
}

/// Whether what is wrong with a mix is wrong on a block: a limit for some crops holds where they grow, and one for all
/// where the crop has none of its own.
pub(super) fn holds_on(journal: &Journal, finding: &Finding, block: BlockId) -> bool {
    let crop = journal.block(block).crop.as_ref().map(|crop| &*crop.value);
    let is_for = |range: &RateRange| crop.is_some_and(|crop| range.crops.iter().any(|known| same_crop(known, crop)));
    let broken = |range: &RateRange| finding.labels.iter().any(|label| label.span == range.span);
    journal.materials.iter().all(|material| match material.rates.iter().find(|range| broken(range)) {
        Some(range) if range.crops.is_empty() => !material.rates.iter().any(is_for),
        Some(range) => is_for(range),
        None => true,
    })
}
