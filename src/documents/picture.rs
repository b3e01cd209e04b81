//! Blocks by weeks: what was planned, sprayed, seen and picked when, as data for a drawing.

use chrono::{Datelike, Days, NaiveDate, NaiveDateTime};
use serde::Serialize;

use super::book::Book;
use super::rounds::{Window, round_names, windows};
use super::series::tenths;
use super::strip::{Strip, strip};
use super::words::days;
use crate::journal::BlockId;

/// A year of blocks by weeks.
#[derive(Clone, Debug, Serialize)]
pub struct Picture {
    /// What it shows.
    pub title: String,
    /// The width of the drawing.
    pub width: String,
    /// The height of each strip.
    pub height: u32,
    /// Where Mondays are.
    pub mondays: Vec<String>,
    /// Where months begin, with their names.
    pub months: Vec<Month>,
    /// The letters that stand for programs.
    pub programs: Vec<ProgramKey>,
    /// A strip a block.
    pub strips: Vec<Strip>,
}

/// Where a month begins.
#[derive(Clone, Debug, Serialize)]
pub struct Month {
    /// Across.
    pub x: String,
    /// Its short name.
    pub name: String,
    /// Whether there is room for its name.
    pub named: bool,
}

/// What stands for a program in the drawing.
#[derive(Clone, Debug, Serialize)]
pub struct ProgramKey {
    /// Its letter.
    pub letter: String,
    /// Its name.
    pub name: String,
}

/// The time axis of a picture.
#[derive(Clone, Copy, Debug)]
pub(super) struct Axis {
    pub first: NaiveDate,
    pub last: NaiveDate,
    /// Units of the drawing in a day.
    pub day: f64,
}

/// The drawing is about so wide, however long the season.
const WIDTH: f64 = 620.0;
/// Room at both ends, so that a mark on the first or the last day is whole.
const EDGE: f64 = 9.0;
/// The least and the most room that a day gets.
const DAY: (f64, f64) = (2.4, 9.0);

/// Ten weeks: fewer would not fill the width at the most room that a day gets.
const LEAST_DAYS: u64 = 70;

impl Axis {
    pub(super) fn new(first: NaiveDate, last: NaiveDate) -> Self {
        let back = u64::from(first.weekday().num_days_from_monday());
        let on = u64::from(6 - last.weekday().num_days_from_monday());
        let first = first.checked_sub_days(Days::new(back)).unwrap_or(first);
        let last = last.checked_add_days(Days::new(on)).unwrap_or(last);
        // A short season leaves room at the end rather than being drawn larger.
        let least = first.checked_add_days(Days::new(LEAST_DAYS - 1)).unwrap_or(last);
        let last = last.max(least);
        let days = (last.signed_duration_since(first).num_days() + 1) as f64;
        Self { first, last, day: (WIDTH / days).clamp(DAY.0, DAY.1) }
    }

    pub(super) fn width(self) -> f64 {
        (self.last.signed_duration_since(self.first).num_days() + 1) as f64 * self.day + 2.0 * EDGE
    }

    /// Where a day begins.
    pub(super) fn x(self, day: NaiveDate) -> f64 {
        EDGE + day.signed_duration_since(self.first).num_days() as f64 * self.day
    }

    /// Where the middle of a day is.
    pub(super) fn noon(self, day: NaiveDate) -> f64 {
        self.x(day) + self.day / 2.0
    }

    /// Where a moment is, inside the drawing.
    pub(super) fn at(self, moment: NaiveDateTime) -> f64 {
        let minutes = moment.signed_duration_since(self.first.and_time(chrono::NaiveTime::MIN)).num_minutes() as f64;
        (EDGE + minutes / 1440.0 * self.day).clamp(0.0, self.width())
    }

    pub(super) fn has(self, day: NaiveDate) -> bool {
        self.first <= day && day <= self.last
    }

    /// Where Mondays are.
    pub(super) fn mondays(self) -> Vec<String> {
        let days = self.first.iter_days().take_while(|day| *day <= self.last).step_by(7);
        days.map(|day| tenths(self.x(day))).collect()
    }

    /// Where months begin.
    pub(super) fn months(self) -> Vec<Month> {
        let mut months: Vec<Month> = Vec::new();
        let mut free_from = f64::MIN;
        for day in self.first.iter_days().take_while(|day| *day <= self.last) {
            if day == self.first || day.day() == 1 {
                let x = self.x(day);
                // A few days of a month at an edge have no room for its name.
                let next = self.x(next_month(day)).min(self.width());
                let named = x >= free_from && next - x > 24.0;
                if named {
                    free_from = x + 24.0;
                }
                months.push(Month { x: tenths(x), name: day.format("%b").to_string(), named });
            }
        }
        months
    }
}

/// The pictures of the part to show, a calendar year each.
pub(super) fn pictures(book: &Book<'_>) -> Vec<Picture> {
    let planned: Vec<(BlockId, usize, Vec<Window>)> =
        book.season.runs.iter().map(|run| (run.block, run.program.index(), windows(book, run))).collect();
    let mut spans: Vec<(i32, NaiveDate, NaiveDate)> = Vec::new();
    for day in days_shown(book, &planned) {
        match spans.iter_mut().find(|(year, ..)| *year == day.year()) {
            Some((_, first, last)) => (*first, *last) = ((*first).min(day), (*last).max(day)),
            None => spans.push((day.year(), day, day)),
        }
    }
    spans.sort_unstable();
    let rounds = round_names(book);
    spans.into_iter().map(|(_, first, last)| picture(book, first, last, &rounds, &planned)).collect()
}

/// Days with something on them; of rounds that were not done, those that were due.
fn days_shown(book: &Book<'_>, planned: &[(BlockId, usize, Vec<Window>)]) -> Vec<NaiveDate> {
    let journal = book.journal();
    let shown = |ground, day: NaiveDate| book.scope.has_ground(ground) && book.scope.has_day(day);
    let sprays = book.sprays().map(|facts| facts.spray(journal).at.day);
    let seen = journal.observations.iter().filter(|seen| shown(&seen.ground, seen.at.day)).map(|seen| seen.at.day);
    let picks = journal.harvests.iter().filter(|pick| shown(&pick.ground, pick.at.day)).map(|pick| pick.at.day);
    let here = planned.iter().filter(|(block, ..)| book.scope.has_block(*block));
    let undone =
        here.flat_map(|(.., windows)| windows).filter(|window| window.done.is_none()).map(|window| window.last);
    let due = undone.filter(|day| book.scope.has_day(*day) && book.season.as_of.is_none_or(|today| *day <= today));
    sprays.chain(seen).chain(picks).chain(due).collect()
}

fn picture(
    book: &Book<'_>,
    first: NaiveDate,
    last: NaiveDate,
    rounds: &[Vec<(BlockId, usize, usize)>],
    planned: &[(BlockId, usize, Vec<Window>)],
) -> Picture {
    let axis = Axis::new(first, last);
    let strips: Vec<Strip> = book.blocks().filter_map(|block| strip(book, axis, block, rounds, planned)).collect();
    let programs = book.journal().programs.iter().enumerate().filter_map(|(index, program)| {
        let shown = planned.iter().any(|(block, of, _)| *of == index && book.scope.has_block(*block));
        shown.then(|| ProgramKey { letter: letter(index), name: program.named.shown().to_string() })
    });
    Picture {
        title: format!("Blocks by weeks, {}", days(first, last)),
        width: tenths(axis.width()),
        height: super::strip::HEIGHT,
        mondays: axis.mondays(),
        months: axis.months(),
        programs: programs.collect(),
        strips,
    }
}

fn next_month(day: NaiveDate) -> NaiveDate {
    let (year, month) = if day.month() == 12 { (day.year() + 1, 1) } else { (day.year(), day.month() + 1) };
    NaiveDate::from_ymd_opt(year, month, 1).unwrap_or(day)
}

/// The letter of a program: A to Z, then AA.
pub(super) fn letter(index: usize) -> String {
    let small = |index: usize| char::from(b'A' + (index % 26) as u8);
    if index < 26 { small(index).to_string() } else { format!("{}{}", letter(index / 26 - 1), small(index)) }
}
