//! What git shows of a record's changes, in words.

use chrono::{DateTime, FixedOffset, NaiveDate};

use super::say;
use crate::history::{Change, Commit, History};
use crate::season::{Season, Tracked};

/// Characters of a record's line that are quoted at most.
const QUOTED: usize = 120;

/// A record by what it is: `the spray of creek-pear on 14 May 2026`.
pub(super) fn named(season: &Season<'_>, record: &Tracked<'_>) -> String {
    let wording = &record.trail.wording;
    let on = written_day(&wording.day);
    let blocks: Vec<&str> = record.blocks.iter().map(|&block| &*season.journal.block(block).named.name).collect();
    match (record.kind, blocks.as_slice()) {
        (Some(kind), [_, ..]) => format!("the {} of {} on {on}", kind.word(), say::list(&blocks)),
        _ => format!("`{}` on {on}", shortened(wording.head())),
    }
}

/// A day as written, in words where it is one.
pub(super) fn written_day(day: &str) -> String {
    day.parse::<NaiveDate>().map_or_else(|_| day.to_string(), say::day)
}

/// A change in a line: who, when, in which commit, and what became of which words.
pub(super) fn told(history: &History, change: &Change) -> String {
    format!("{}: {}", by(history, change.commit), difference(change))
}

/// Who made a commit, and when.
pub(super) fn by(history: &History, commit: Option<usize>) -> String {
    match commit.map(|commit| history.commit(commit)) {
        None => "not committed yet".to_string(),
        Some(commit) => {
            let who = if commit.who.is_empty() { "somebody without a name" } else { &commit.who };
            format!("{who}, {} (commit {})", said_time(commit), commit.short())
        }
    }
}

/// When a commit was written by its own clock; and when it was put into the history, where that was another day.
pub(crate) fn said_time(commit: &Commit) -> String {
    let time = |time: DateTime<FixedOffset>| time.format("%-d %B %Y %H:%M %:z").to_string();
    match (commit.when, commit.committed_apart()) {
        (None, _) => "at a time that cannot be read".to_string(),
        (Some(when), None) => time(when),
        (Some(when), Some(apart)) => format!("{}, put into the history {}", time(when), time(apart)),
    }
}

fn difference(change: &Change) -> String {
    let quoted = |lines: &[&str]| {
        let lines: Vec<String> = lines.iter().map(|line| format!("`{}`", shortened(line))).collect();
        say::list(&lines)
    };
    let (dropped, gained) = (change.dropped(), change.gained());
    let words = match (dropped.is_empty(), gained.is_empty()) {
        (true, true) => None,
        (true, false) => Some(format!("added {}", quoted(&gained))),
        (false, true) => Some(format!("took out {}", quoted(&dropped))),
        (false, false) => Some(format!("{} became {}", quoted(&dropped), quoted(&gained))),
    };
    let days = (&change.before.day, &change.after.day);
    let moved = change.moved_day().then(|| format!("moved from {} to {}", written_day(days.0), written_day(days.1)));
    let parts: Vec<String> = moved.into_iter().chain(words).collect();
    if parts.is_empty() { "put its lines in another order".to_string() } else { parts.join("; ") }
}

/// A line as far as there is room for it.
pub(super) fn shortened(line: &str) -> String {
    match line.char_indices().nth(QUOTED) {
        None => line.to_string(),
        Some((end, _)) => format!("{}…", &line[..end]),
    }
}
