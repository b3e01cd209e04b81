//! Planned rounds and picks as journal text: what it would say if they were done.

use std::fmt::Write as _;

use chrono::NaiveDate;

use super::volume::Planned;
use crate::journal::{BlockId, Program, ProgramId, Reading, Spray, WeatherDay};
use crate::season::Season;
use crate::text::Span;

/// What is laid beside the journal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Item {
    /// A round: the place of its line, and which round of it, from 0.
    Round(usize, usize),
    /// A pick from a block.
    Pick(BlockId),
}

/// Text with the places of what stands in it.
#[derive(Debug, Default)]
pub(super) struct Written {
    pub(super) text: String,
    /// Where each item ends, in bytes of the text, in the order of the text.
    ends: Vec<(u32, Item, NaiveDate)>,
}

/// A round to be written.
pub(super) struct Round<'a> {
    pub(super) program: ProgramId,
    pub(super) block: BlockId,
    pub(super) day: NaiveDate,
    pub(super) volume: Option<Planned>,
    /// The last spray of the program on the block, for what the program does not say.
    pub(super) last: Option<&'a Spray>,
}

impl Written {
    /// Which item stands at a place of the text, and its day.
    pub(super) fn item_at(&self, offset: u32) -> Option<(Item, NaiveDate)> {
        let place = self.ends.partition_point(|(end, ..)| *end <= offset);
        self.ends.get(place).map(|&(_, item, day)| (item, day))
    }

    /// Every item with its day, in the order of the text.
    pub(super) fn items(&self) -> impl Iterator<Item = (Item, NaiveDate)> + '_ {
        self.ends.iter().map(|&(_, item, day)| (item, day))
    }

    fn end(&mut self, item: Item, day: NaiveDate) {
        self.ends.push((self.text.len() as u32, item, day));
    }

    /// Writes a pick.
    pub(super) fn pick(&mut self, season: &Season<'_>, block: BlockId, day: NaiveDate) {
        let _ = write!(self.text, "{day}\n\nharvest {}\n\n", season.journal.block(block).named.name);
        self.end(Item::Pick(block), day);
    }

    /// Writes a round.
    pub(super) fn round(&mut self, season: &Season<'_>, item: Item, round: &Round<'_>) {
        let journal = season.journal;
        let program = journal.program(round.program);
        let Some(mix) = program.mix.and_then(|mix| mix.id) else { return };
        let out = &mut self.text;
        let _ = write!(
            out,
            "{}\n\nspray {}\n    mix {}",
            round.day,
            journal.block(round.block).named.name,
            journal.mix(mix).named.name
        );
        if let Some(planned) = round.volume {
            let _ = write!(out, ", {}", planned.volume);
        }
        out.push('\n');
        let last = round.last;
        if let Some(rig) = super::volume::rig(program, last) {
            field(out, "rig", &journal.rig(rig).named.name);
        }
        if let Some(water) = program.water.or(last.and_then(|last| last.water)).and_then(|water| water.id) {
            field(out, "water", &journal.water(water).named.name);
        }
        let words = |own: Option<Span>, last: Option<Span>| own.or(last).map(|span| season.words(span).trim());
        for (word, text) in [
            ("reason", words(program.reason, last.and_then(|last| last.reason))),
            ("target", words(program.target, last.and_then(|last| last.target))),
        ] {
            if let Some(text) = text.filter(|text| !text.is_empty() && !text.contains('\n')) {
                field(out, word, text);
            }
        }
        if let Some(times) = concentrate(program) {
            let _ = writeln!(out, "    concentrate {times} times");
        }
        if let Some(reading) = forecast(season, round.block, round.day) {
            field(out, "weather", season.words(reading.span).trim());
        }
        self.text.push('\n');
        self.end(item, round.day);
    }
}

fn concentrate(program: &Program) -> Option<crate::quantity::Exact> {
    program.concentrate.map(|times| times.value)
}

fn field(out: &mut String, word: &str, value: &str) {
    let _ = writeln!(out, "    {word} {value}");
}

/// The first reading that is foretold for a block on a day: its own forecast before the farm's.
fn forecast<'j>(season: &Season<'j>, block: BlockId, day: NaiveDate) -> Option<&'j Reading> {
    let of_day = || season.journal.forecasts.iter().filter(move |one| one.at.day == day);
    let here = |own: bool| {
        let says = move |one: &&WeatherDay| match own {
            true => one.ground.blocks.iter().any(|known| known.id == Some(block)),
            false => one.ground.blocks.is_empty(),
        };
        of_day().filter(says).flat_map(|one| &one.readings).next()
    };
    here(true).or_else(|| here(false))
}
