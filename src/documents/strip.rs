//! One block's strip of the picture.

use chrono::NaiveDate;
use serde::Serialize;

use super::book::Book;
use super::picture::{Axis, letter};
use super::rounds::Window;
use super::series::tenths;
use super::words::{clear_from, count, day_short, list, moment};
use crate::finding::Level;
use crate::journal::{BlockId, Observation};
use crate::season::{Moment, SprayFacts};

/// The height of a strip.
pub(super) const HEIGHT: u32 = 80;

/// One block's strip.
#[derive(Clone, Debug, Serialize)]
pub struct Strip {
    /// The block.
    pub block: String,
    /// Its crop.
    pub crop: Option<String>,
    /// What happened, in words.
    pub text: Vec<String>,
    /// Rounds as planned.
    pub windows: Vec<Bar>,
    /// Sprays.
    pub sprays: Vec<Mark>,
    /// Re-entry intervals.
    pub reentry: Vec<Bar>,
    /// Harvest intervals.
    pub harvest: Vec<Bar>,
    /// Observations.
    pub looks: Vec<Mark>,
    /// Picks.
    pub picks: Vec<Mark>,
    /// Growth stages, where there is room for their words.
    pub stages: Vec<Stage>,
}

/// A stretch of time.
#[derive(Clone, Debug, Serialize)]
pub struct Bar {
    /// Where it begins.
    pub x: String,
    /// How long it is.
    pub width: String,
    /// What it is, in words.
    pub title: String,
    /// The round that was not done in it, for planned rounds.
    pub undone: Option<String>,
}

/// Something on a day.
#[derive(Clone, Debug, Serialize)]
pub struct Mark {
    /// Across, the middle.
    pub x: String,
    /// Down, the middle.
    pub y: String,
    /// What it is, in words.
    pub title: String,
    /// The program and round, such as `A2`; absent outside programs.
    pub round: Option<String>,
    /// Whether findings about it are open.
    pub flagged: bool,
}

/// A growth stage.
#[derive(Clone, Debug, Serialize)]
pub struct Stage {
    /// Across.
    pub x: String,
    /// Its words; empty where there is no room.
    pub words: String,
    /// All of its words.
    pub title: String,
}

/// The strip of a block; nothing where nothing happened.
pub(super) fn strip(
    book: &Book<'_>,
    axis: Axis,
    block: BlockId,
    rounds: &[Vec<(BlockId, usize, usize)>],
    planned: &[(BlockId, usize, Vec<Window>)],
) -> Option<Strip> {
    let journal = book.journal();
    let shown = |day: NaiveDate| axis.has(day) && book.scope.has_day(day);
    let sprays: Vec<(usize, &SprayFacts)> = book.season.by_block[block.index()]
        .iter()
        .map(|&at| (at, &book.season.sprays[at]))
        .filter(|(_, facts)| shown(facts.spray(journal).at.day))
        .collect();
    let looks: Vec<&Observation> = book.looks(block).iter().copied().filter(|seen| shown(seen.at.day)).collect();
    let picks: Vec<NaiveDate> = book.picks(block).iter().map(|pick| pick.at.day).filter(|&day| shown(day)).collect();
    let windows: Vec<(usize, Window)> = planned
        .iter()
        .filter(|(on, ..)| *on == block)
        .flat_map(|(_, program, windows)| windows.iter().map(|window| (*program, *window)))
        .filter(|(_, window)| axis.has(window.first) && book.scope.has_day(window.first))
        .collect();
    if sprays.is_empty() && looks.is_empty() && picks.is_empty() && windows.is_empty() {
        return None;
    }
    let look_days: Vec<NaiveDate> = looks.iter().map(|seen| seen.at.day).collect();
    let holds: Vec<Holds> = sprays.iter().map(|(_, facts)| Holds::new(book, facts, block)).collect();
    let marks = spray_marks(book, axis, block, &sprays, rounds);
    let block_entry = journal.block(block);
    Some(Strip {
        block: block_entry.named.shown().to_string(),
        crop: block_entry.crop.as_ref().map(|crop| crop.value.to_string()),
        text: in_words(book, &sprays, &holds, &look_days, &picks, &windows, &marks),
        windows: windows.iter().map(|(program, window)| window_bar(axis, *program, window)).collect(),
        reentry: holds.iter().filter_map(|hold| hold.reentry_bar(axis)).collect(),
        harvest: holds.iter().filter_map(|hold| hold.harvest_bar(axis)).collect(),
        looks: days_as_marks(axis, &look_days, "looked at"),
        picks: days_as_marks(axis, &picks, "picked"),
        stages: stages(book, axis, &looks, &sprays),
        sprays: marks,
    })
}

/// The intervals that run after a spray.
struct Holds {
    end: Moment,
    reentry: Option<Moment>,
    harvest: Option<Moment>,
}

impl Holds {
    fn new(book: &Book<'_>, facts: &SprayFacts, block: BlockId) -> Self {
        let reentry = facts.reentry.map(|hold| hold.until).filter(|until| *until > facts.end);
        let harvest = book.season.harvest_hold(facts, block).map(|hold| hold.until);
        Self { end: facts.end, reentry, harvest: harvest.filter(|until| *until > reentry.unwrap_or(facts.end)) }
    }

    fn reentry_bar(&self, axis: Axis) -> Option<Bar> {
        let until = self.reentry?;
        Some(bar(axis, self.end, until, format!("re-entry interval until {}", moment(until))))
    }

    fn harvest_bar(&self, axis: Axis) -> Option<Bar> {
        let until = self.harvest?;
        Some(bar(axis, self.end, until, format!("harvest interval, clear from {}", clear_from(until))))
    }
}

fn bar(axis: Axis, from: Moment, to: Moment, title: String) -> Bar {
    let x = axis.at(from.local);
    // A short interval must still be seen.
    let width = (axis.at(to.local) - x).max(1.5);
    Bar { x: tenths(x), width: tenths(width), title, undone: None }
}

fn window_bar(axis: Axis, program: usize, window: &Window) -> Bar {
    let (from, to) = (axis.x(window.first), (axis.x(window.last) + axis.day).min(axis.width()));
    let name = format!("{}{}", letter(program), window.number);
    let skipped = window.skipped.map(|day| format!(", skipped on {}", day_short(day))).unwrap_or_default();
    Bar {
        x: tenths(from),
        width: tenths((to - from).max(1.5)),
        title: format!("round {name} planned for {} to {}{skipped}", day_short(window.first), day_short(window.last)),
        undone: window.done.is_none().then_some(name),
    }
}

fn spray_marks(
    book: &Book<'_>,
    axis: Axis,
    block: BlockId,
    sprays: &[(usize, &SprayFacts)],
    rounds: &[Vec<(BlockId, usize, usize)>],
) -> Vec<Mark> {
    /// Two levels, so that sprays a few days apart do not hide each other.
    const LEVELS: (f64, f64) = (12.0, 27.0);
    let mut before = (f64::MIN, LEVELS.1);
    let mut marks = Vec::with_capacity(sprays.len());
    for &(at, facts) in sprays {
        let spray = facts.spray(book.journal());
        let x = axis.noon(spray.at.day);
        let y = if x - before.0 < 17.0 && before.1 == LEVELS.0 { LEVELS.1 } else { LEVELS.0 };
        before = (x, y);
        let names: Vec<String> = rounds[at]
            .iter()
            .filter(|(on, ..)| *on == block)
            .map(|(_, number, program)| format!("{}{number}", letter(*program)))
            .collect();
        let round = (!names.is_empty()).then(|| names.join("/"));
        let materials: Vec<&str> = facts.doses.iter().map(|dose| book.material(dose.material)).collect();
        let flagged = book
            .findings_at(spray.at.entry)
            .iter()
            .any(|finding| finding.accepted.is_none() && finding.level != Level::Note);
        let what = round.as_ref().map_or_else(|| "spray".to_string(), |round| format!("round {round}"));
        let title = format!("{what} on {}: {}", day_short(spray.at.day), list(&materials));
        marks.push(Mark { x: tenths(x), y: tenths(y), title, round, flagged });
    }
    marks
}

fn days_as_marks(axis: Axis, days: &[NaiveDate], word: &str) -> Vec<Mark> {
    let mut days = days.to_vec();
    days.dedup();
    days.into_iter()
        .map(|day| Mark {
            x: tenths(axis.noon(day)),
            y: "56".to_string(),
            title: format!("{word} on {}", day_short(day)),
            round: None,
            flagged: false,
        })
        .collect()
}

/// Stages as observed or as noted at a spray, each said once.
fn stages(book: &Book<'_>, axis: Axis, looks: &[&Observation], sprays: &[(usize, &SprayFacts)]) -> Vec<Stage> {
    let observed = looks.iter().filter_map(|seen| Some((seen.at.day, book.some_words(seen.stage)?)));
    let sprayed = sprays.iter().filter_map(|(_, facts)| {
        let spray = facts.spray(book.journal());
        Some((spray.at.day, book.some_words(spray.stage)?))
    });
    let mut stages: Vec<(NaiveDate, String)> = observed.chain(sprayed).collect();
    stages.sort();
    stages.dedup_by(|later, earlier| later.1 == earlier.1);
    let mut free_from = f64::MIN;
    let mut shown = Vec::with_capacity(stages.len());
    for (day, title) in stages {
        let x = axis.noon(day);
        // What stands before the first comma names the stage; letters are about this wide.
        let short = title.split(',').next().unwrap_or_default().trim().to_string();
        let width = short.chars().count() as f64 * 4.9 + 8.0;
        let fits = x >= free_from && x + width <= axis.width();
        if fits {
            free_from = x + width;
        }
        shown.push(Stage { x: tenths(x), words: if fits { short } else { String::new() }, title });
    }
    shown
}

/// The strip for those who cannot see it, and for Markdown.
fn in_words(
    book: &Book<'_>,
    sprays: &[(usize, &SprayFacts)],
    holds: &[Holds],
    looks: &[NaiveDate],
    picks: &[NaiveDate],
    windows: &[(usize, Window)],
    marks: &[Mark],
) -> Vec<String> {
    let mut text = Vec::new();
    let days = |days: &[NaiveDate]| {
        let mut days = days.to_vec();
        days.dedup();
        list(&days.into_iter().map(day_short).collect::<Vec<_>>())
    };
    if !sprays.is_empty() {
        let said: Vec<String> = sprays
            .iter()
            .zip(marks)
            .map(|((_, facts), mark)| {
                let day = day_short(facts.spray(book.journal()).at.day);
                match &mark.round {
                    Some(round) => format!("{day} (round {round})"),
                    None => day,
                }
            })
            .collect();
        text.push(format!("{}: {}", count(sprays.len(), "spray", "sprays"), list(&said)));
    }
    let undone: Vec<String> = windows
        .iter()
        .filter(|(_, window)| window.done.is_none())
        .map(|(program, window)| {
            let skipped = window.skipped.map(|day| format!(", skipped {}", day_short(day))).unwrap_or_default();
            let days = format!("{} to {}", day_short(window.first), day_short(window.last));
            format!("{}{} ({days}{skipped})", letter(*program), window.number)
        })
        .collect();
    if !undone.is_empty() {
        text.push(format!("planned and not done: {}", list(&undone)));
    }
    let each =
        |moments: Vec<Moment>, said: fn(Moment) -> String| list(&moments.into_iter().map(said).collect::<Vec<_>>());
    let reentry: Vec<Moment> = holds.iter().filter_map(|hold| hold.reentry).collect();
    if !reentry.is_empty() {
        text.push(format!("re-entry intervals until {}", each(reentry, moment)));
    }
    let harvest: Vec<Moment> = holds.iter().filter_map(|hold| hold.harvest).collect();
    if !harvest.is_empty() {
        text.push(format!("harvest intervals, clear from {}", each(harvest, clear_from)));
    }
    if !looks.is_empty() {
        text.push(format!("looked at on {}", days(looks)));
    }
    if !picks.is_empty() {
        text.push(format!("picked on {}", days(picks)));
    }
    text
}
