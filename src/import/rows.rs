//! Rows to drafts, by a mapping.

use std::collections::{BTreeMap, BTreeSet};

use rustc_hash::FxHashMap;

use super::amounts::{Decimals, Said, quantity};
use super::blocks::alone;
use super::clock::{Span, clock_of, span_of};
use super::days::day_of;
use super::draft::{Draft, Line, reads};
use super::headings::{flat, understood};
use super::mapping::{BlankDate, Column, Mapping, Sureness};
use super::names::{Found, Known, several};
use super::proposals::Proposals;
use super::role::Role;
use super::sheet::{Cell, Sheet, Value, clock_words};
use crate::quantity::{Dimension, Exact};

/// Reads the rows of one sheet.
pub(super) struct Rows<'a> {
    pub(super) sheet: &'a Sheet,
    pub(super) mapping: &'a Mapping,
    pub(super) known: &'a Known,
    /// What is new.
    pub(super) proposals: Proposals,
    found: FxHashMap<(&'static str, String), Found>,
    /// The last row that had a date of its own.
    dated: Option<usize>,
    /// The names that are a block of their own in the sheet.
    pub(super) alone: BTreeSet<String>,
    /// The columns whose headings mean a note and say nothing more.
    notes: Vec<usize>,
}

impl<'a> Rows<'a> {
    pub(super) fn new(sheet: &'a Sheet, mapping: &'a Mapping, known: &'a Known) -> Self {
        let says_note = |column: &&Column| {
            let known = understood(&column.heading);
            known.role == Role::Note && known.sure != Sureness::Guess
        };
        let notes = mapping.columns.iter().filter(says_note).map(|column| column.at).collect();
        let (proposals, found) = (Proposals::default(), FxHashMap::default());
        let alone = alone(sheet, mapping);
        Self { sheet, mapping, known, proposals, found, dated: None, alone, notes }
    }

    /// The row that a date was taken from: its own, or the last one above that has one.
    pub(super) fn dated_row(&mut self, row: usize) -> Option<usize> {
        let place = self.column(Role::Date, 1)?.place();
        if !self.sheet.cell(row, place).is_empty() {
            self.dated = Some(row);
        }
        self.dated
    }

    /// What a row says. Rows are read in their order.
    pub(super) fn draft(&mut self, row: usize) -> Draft {
        let place = self.column(Role::Date, 1).map_or(0, Column::place);
        let own = !self.sheet.cell(row, place).is_empty();
        let dated = self.dated_row(row).filter(|_| own || self.mapping.blank_date == BlankDate::AsAbove);
        let value = &self.sheet.cell(dated.unwrap_or(row), place).value;
        let read = day_of(value, self.mapping.date_order, self.mapping.year);
        let mut draft = Draft::new(row + 1, read.as_ref().map(|read| read.day).map_err(Clone::clone));
        if let Ok(read) = &read {
            draft.settle.extend(read.doubt.clone());
            if let (false, Some(above)) = (own, dated) {
                draft.settle.push(format!("assumed to be of the day of row {}: the date cell is blank", above + 1));
            }
        }
        self.blocks(row, &mut draft);
        self.ingredients(row, &mut draft);
        let volume = self.measure(row, Role::Volume, Dimension::Volume, "volume", &mut draft);
        if let Some(line) = volume {
            draft.lines.push(line);
        }
        let area = self.measure(row, Role::Area, Dimension::Area, "over", &mut draft);
        draft.lines.extend(area);
        let clock = read.ok().and_then(|read| read.clock).filter(|_| own);
        self.times(row, clock, &mut draft);
        self.people(row, &mut draft);
        self.weather(row, &mut draft);
        self.words(row, &mut draft);
        draft
    }

    /// What the sheet calls things, by sort, and the names that they have in the journal.
    pub(super) fn names(&self, sort: &str) -> BTreeMap<String, String> {
        let mut names: Vec<_> = self.found.iter().filter(|((own, _), _)| *own == sort).collect();
        names.sort_by_key(|((_, words), _)| words);
        names.into_iter().map(|((_, words), found)| (words.clone(), found.name().to_string())).collect()
    }

    fn column(&self, role: Role, part: u32) -> Option<&'a Column> {
        self.mapping.columns.iter().find(|column| column.is == role && column.part == part && column.of.is_none())
    }

    /// The cell of a role, where it holds something.
    pub(super) fn cell(&self, row: usize, role: Role, part: u32) -> Option<(&'a Column, &'a Cell)> {
        let column = self.column(role, part)?;
        let cell = self.sheet.cell(row, column.place());
        (!cell.is_empty()).then_some((column, cell))
    }

    pub(super) fn decimal(&self, cell: &Cell) -> Decimals {
        // A workbook's own numbers have one.
        if matches!(cell.value, Value::Number(_)) { Decimals::Point } else { self.mapping.decimals }
    }

    pub(super) fn find(&mut self, sort: &'static str, words: &str) -> Found {
        let key = (sort, words.to_string());
        if let Some(found) = self.found.get(&key) {
            return found.clone();
        }
        let (mapping, known) = (self.mapping, self.known);
        let nothing = BTreeMap::new();
        let found = match sort {
            "block" => known.blocks.find(words, &mapping.blocks, sort),
            "material" => known.materials.find(words, &mapping.materials, sort),
            "person" => known.people.find(words, &mapping.people, sort),
            "rig" => known.rigs.find(words, &mapping.rigs, sort),
            _ => known.waters.find(words, &nothing, sort),
        };
        if let Found::New(name, near) = &found {
            self.proposals.name(sort, name, words, near.as_deref());
        }
        self.found.insert(key, found.clone());
        found
    }

    /// A quantity of the whole tank.
    fn measure(
        &mut self,
        row: usize,
        role: Role,
        wanted: Dimension,
        word: &'static str,
        draft: &mut Draft,
    ) -> Option<Line> {
        let (column, cell) = self.cell(row, role, 1)?;
        let words = flat(&cell.words());
        let (heading, unit) = (column.shown(), column.unit.as_deref());
        Some(match quantity(&words, unit, self.decimal(cell)) {
            Ok((Said::Amount(value, unit), doubt)) if unit.dimension() == wanted => {
                Line::new(word, value, doubt.into_iter().collect())
            }
            // So much per area is no total.
            Ok((Said::Rate(value, _), _)) => {
                draft.notes.push(format!("{heading}: {value}"));
                return None;
            }
            Ok((Said::Bare(_), _)) => Line::unknown(word, format!("{heading} `{words}`: in which unit?")),
            Ok(_) => Line::unknown(word, format!("{heading} `{words}` is not {}", wanted.word())),
            Err(why) => Line::unknown(word, format!("{heading}: {why}")),
        })
    }

    fn times(&mut self, row: usize, of_date: Option<Span>, draft: &mut Draft) {
        let mut start = of_date.map(|(from, _)| Ok(from));
        let mut end = of_date.and_then(|(_, to)| to).map(Ok);
        // What was said before, for the note where a cell says otherwise.
        let mut said = of_date.map(|(from, _)| format!("The date cell says {}", clock_words(from)));
        for role in [Role::Time, Role::Start] {
            let Some((column, cell)) = self.cell(row, role, 1) else { continue };
            let span = span_of(cell);
            let from = span.clone().map(|(from, _)| from);
            draft.notes.extend(said.take().filter(|_| start.as_ref() != Some(&from)));
            said = Some(format!("{}: {}", column.shown(), flat(&cell.words())));
            end = span.ok().and_then(|(_, to)| to).map(Ok).or(end);
            start = Some(from);
        }
        if let Some((column, cell)) = self.cell(row, Role::End, 1) {
            let own = clock_of(cell);
            if end.as_ref().is_some_and(|end| *end != own) {
                draft.notes.push(format!("{}: {}", column.shown(), flat(&cell.words())));
            }
            end = end.or(Some(own));
        }
        let line = match (start, end) {
            (None, None) => return,
            (Some(Ok(from)), None) => Line::new("time", clock_words(from), Vec::new()),
            (Some(Ok(from)), Some(Ok(to))) => {
                let doubt = (to < from).then(|| "it ends before it begins: on the next day?".to_string());
                let value = format!("{} to {}", clock_words(from), clock_words(to));
                Line::new("time", value, doubt.into_iter().collect())
            }
            (Some(Ok(from)), Some(Err(why))) => Line::new("time", clock_words(from), vec![format!("the end: {why}")]),
            (Some(Err(why)), to) => {
                let to = to.and_then(Result::ok).map(|to| format!("; it ended at {}", clock_words(to)));
                Line::unknown("time", format!("the time: {why}{}", to.unwrap_or_default()))
            }
            (None, Some(to)) => Line::unknown(
                "time",
                to.map_or_else(|why| why, |to| format!("it ended at {}; the start is not there", clock_words(to))),
            ),
        };
        draft.lines.push(line);
    }

    fn people(&mut self, row: usize, draft: &mut Draft) {
        let roles = [
            (Role::By, "by", "person"),
            (Role::Authorised, "authorised", "person"),
            (Role::Rig, "rig", "rig"),
            (Role::Water, "water", "water"),
        ];
        for (role, word, sort) in roles {
            let Some((_, cell)) = self.cell(row, role, 1) else { continue };
            let words = flat(&cell.words());
            let parts = if sort == "person" { self.each_person(&words) } else { vec![words] };
            let mut names: Vec<String> = parts.iter().map(|part| self.find(sort, part).name().to_string()).collect();
            names.dedup();
            draft.lines.push(Line::new(word, names.join(", "), Vec::new()));
        }
    }

    /// `Marsh, Tansy` is one person where the farm has such a one.
    fn each_person(&self, words: &str) -> Vec<String> {
        if self.known.people.known(words).is_some() || self.mapping.people.contains_key(words) {
            return vec![words.to_string()];
        }
        several(&words.replace('/', ","))
    }

    fn words(&mut self, row: usize, draft: &mut Draft) {
        for (role, word) in
            [(Role::Stage, "stage"), (Role::Reason, "reason"), (Role::Target, "target"), (Role::Ph, "ph")]
        {
            let Some((column, cell)) = self.cell(row, role, 1) else { continue };
            let words = flat(&cell.words());
            if reads(word, &words) && (word != "ph" || Exact::parse(&words).is_ok()) {
                draft.lines.push(Line { word, value: words, settle: Vec::new() });
            } else {
                draft.notes.push(format!("{}: {words}", column.shown()));
            }
        }
        let mapping = self.mapping;
        for column in mapping.columns.iter().filter(|column| column.is == Role::Note) {
            let cell = self.sheet.cell(row, column.place());
            if cell.is_empty() {
                continue;
            }
            let words = cell.words();
            let plain = self.notes.contains(&column.at);
            draft.notes.push(if plain { words } else { format!("{}: {words}", column.shown()) });
        }
        for column in &mapping.columns {
            if let Value::Failed(mark) = &self.sheet.cell(row, column.place()).value
                && !matches!(column.is, Role::Note | Role::Leave | Role::Date)
            {
                draft.settle.push(format!("{} shows {mark}", column.shown()));
            }
        }
    }
}
