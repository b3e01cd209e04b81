//! What follows from a line, said behind it: what a mix takes of each ingredient, what a volume is for the ground, what a
//! recipe comes to, how long ago the last spray was, which weekday a day is.

use chrono::NaiveDate;
use lsp_types::{InlayHint, InlayHintLabel, InlayHintParams};

use super::state::State;
use super::total::total;
use super::{Desk, Document};
use crate::journal::{MixId, Spray};
use crate::quantity::{Amount, Exact, System, Unit, show, tidy};
use crate::season::{Season, SprayFacts, weighed};
use crate::text::Span;

/// The hints of a part of a file.
pub fn hints(state: State<'_>, params: &InlayHintParams) -> Option<Vec<InlayHint>> {
    let document = state.document(&params.text_document.uri)?;
    let desk = state.desk(document.path())?;
    let asked = document.bytes(params.range);
    let mut hints = Hints { desk, document, asked, found: Vec::new() };
    let season = desk.season();
    hints.days();
    hints.mixes();
    for (place, facts) in season.sprays.iter().enumerate() {
        if hints.wants(facts.spray(desk.journal()).at.entry) {
            hints.spray(&season, place, facts);
        }
    }
    hints.found.sort_by_key(|hint| (hint.position.line, hint.position.character));
    Some(hints.found)
}

struct Hints<'d> {
    desk: &'d Desk,
    document: &'d Document,
    asked: std::ops::Range<usize>,
    found: Vec<InlayHint>,
}

impl Hints<'_> {
    /// Whether a span lies in the part that is asked about.
    fn wants(&self, span: Span) -> bool {
        self.desk.locate(span).is_some_and(|located| {
            located.path == self.document.path()
                && located.range.start <= self.asked.end
                && self.asked.start <= located.range.end
        })
    }

    /// Puts words at the end of a span.
    fn put(&mut self, span: Span, words: String) {
        if !self.wants(span) {
            return;
        }
        let Some(located) = self.desk.locate(span) else { return };
        self.found.push(InlayHint {
            position: self.document.position(located.range.end),
            label: InlayHintLabel::String(words),
            kind: None,
            text_edits: None,
            tooltip: None,
            padding_left: Some(true),
            padding_right: None,
            data: None,
        });
    }

    /// The weekday behind a day that is written without one.
    fn days(&mut self) {
        for day in &self.desk.journal().days {
            let line = self.desk.sources().slice(day.at.line).trim_end();
            if line.parse::<NaiveDate>().is_ok() {
                let end = Span::new(day.at.line.start, day.at.line.start + line.len() as u32);
                self.put(end, day.at.day.format("%a").to_string());
            }
        }
    }

    /// What a recipe comes to, behind its limit, or behind its name where it has none.
    fn mixes(&mut self) {
        let journal = self.desk.journal();
        for (place, mix) in journal.mixes.iter().enumerate() {
            if !self.wants(mix.named.entry) {
                continue;
            }
            let Some(total) = total(journal, MixId::at(place)) else { continue };
            let least = if total.uncounted > 0 { "at least " } else { "" };
            let over = if total.over { ", over it" } else { "" };
            let at = mix.total.as_ref().map_or(mix.named.span, |limit| limit.span);
            self.put(at, format!("{least}{}{over}", total.total));
        }
    }

    fn spray(&mut self, season: &Season<'_>, place: usize, facts: &SprayFacts) {
        let journal = self.desk.journal();
        let spray = facts.spray(journal);
        let home = journal.farm.as_ref().map_or(System::Us, |farm| farm.units);
        if let Some(days) = since_last(season, place, facts, spray) {
            self.put(spray.at.line, days);
        }
        if let Some(volume) = spray.mix.and_then(|used| used.volume) {
            let takes = facts.doses.iter().filter_map(|dose| {
                let material = journal.material(dose.material);
                let amount = tidy(weighed(journal, dose.material, dose.expected?), home, material.form());
                Some(format!("{} {}", material.named.name, show(amount)))
            });
            let takes: Vec<String> = takes.collect();
            if !takes.is_empty() {
                self.put(volume.span, takes.join(", "));
            }
        }
        if let (Some(over), Some(finished)) = (spray.over, facts.finished)
            && let Some(words) = per_ground(finished, over.value, home)
        {
            self.put(over.span, words);
        }
    }
}

/// `8 days after the last spray`, by the block for which that is least.
fn since_last(season: &Season<'_>, place: usize, facts: &SprayFacts, spray: &Spray) -> Option<String> {
    let last = facts.touched.iter().filter_map(|touched| {
        let here = &season.by_block[touched.block.index()];
        let before = here.iter().position(|&at| at == place)?.checked_sub(1)?;
        Some(season.sprays[here[before]].spray(season.journal).at.day)
    });
    let days = spray.at.day.signed_duration_since(last.max()?).num_days();
    Some(match days {
        0 => "the same day as the last".to_string(),
        1 => "1 day after the last".to_string(),
        days => format!("{days} days after the last"),
    })
}

/// `75 gal per acre`.
fn per_ground(finished: Amount, over: Amount, home: System) -> Option<String> {
    let (ground, volume) = match home {
        System::Metric => (Unit::HECTARE, Unit::LITRE),
        System::Imperial => (Unit::ACRE, Unit::IMP_GALLON),
        System::Us => (Unit::ACRE, Unit::GALLON),
    };
    let share = Amount::new(Exact::ONE, ground).ratio(over)?;
    let per = finished.in_unit(volume)?.times(share)?;
    Some(format!("{} per {}", show(per), ground.word()))
}
