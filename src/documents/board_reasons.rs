//! Why a block is closed, or not known to be clear: one sentence for each material of each spray whose intervals run, and
//! for each that has none written.

use chrono::Datelike;
use serde::Serialize;

use super::book::Book;
use super::clearance::{BoardRow, Told, when};
use super::phrases::whole_minute;
use super::words::{day, days, list, stated};
use crate::journal::{BlockId, MaterialId, Stated};
use crate::season::{Gap, Moment, PartClearance, Rule, Treated, Unknown, Why};

/// Why something holds for a part of a block.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Reason {
    /// The material; absent for a spray that is not over, and for what is not known of a tank.
    pub material: Option<String>,
    /// In words.
    pub words: String,
    /// What it holds: people or only pickers, and until when.
    pub holds: Vec<Holding>,
}

/// What a reason holds, for machines.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Holding {
    /// `spraying`, `reentry`, `preharvest`, `rule`, or `not-written` where something is not recorded.
    pub kind: &'static str,
    /// Whether it keeps everybody out, or only pickers.
    pub keeps_people_out: bool,
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

/// The reasons of a part: what ends last first, and then what is not written.
pub(super) fn reasons(book: &Book<'_>, at: Moment, block: BlockId, part: &PartClearance) -> Vec<Reason> {
    let teller = Teller { book, at, block, part };
    let mut reasons: Vec<Reason> = Vec::new();
    // What keeps people out is among what keeps pickers out.
    let running: Vec<&Why> = part.picking.closed.iter().flat_map(|closed| &closed.why).collect();
    let key = |why: &Why| (why.treated, why.material, why.batch);
    for (place, why) in running.iter().enumerate() {
        if running[..place].iter().all(|earlier| key(earlier) != key(why)) {
            let same: Vec<&Why> = running[place..].iter().filter(|other| key(other) == key(why)).copied().collect();
            reasons.push(teller.running(why, &same));
        }
    }
    let missing = &part.picking.not_known;
    for (place, gap) in missing.iter().enumerate() {
        let of = material(gap);
        if of.is_none() || missing[..place].iter().all(|earlier| material(earlier) != of) {
            let same: Vec<&Gap> = match of {
                Some(_) => missing[place..].iter().filter(|other| material(other) == of).collect(),
                None => vec![gap],
            };
            reasons.push(teller.missing(gap, &same));
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

/// `Fri 15 May 07:20`, with the year where it is another: in small print, where the board itself says it in full.
fn brief(at: Moment, moment: Moment) -> String {
    let local = whole_minute(moment);
    let year = if local.year() == at.local.year() { "" } else { " %Y" };
    local.format(&format!("%a %-d %b{year} %H:%M")).to_string()
}

/// The material whose interval is not written.
fn material(gap: &Gap) -> Option<MaterialId> {
    match gap.what {
        Unknown::Reentry(material) | Unknown::Preharvest(material) => Some(material),
        _ => None,
    }
}

/// What is told about.
struct Teller<'t, 'a> {
    book: &'t Book<'a>,
    at: Moment,
    block: BlockId,
    part: &'t PartClearance,
}

impl Teller<'_, '_> {
    /// The intervals of a material that run from one end.
    fn running(&self, why: &Why, same: &[&Why]) -> Reason {
        let material = why.material.map(|material| self.book.material(material).to_string());
        let end = self.end(why);
        let words = match &material {
            None => format!("not clear before {end}"),
            Some(name) => {
                let rules: Vec<String> = same.iter().map(|why| self.rule(why)).collect();
                let batch =
                    why.batch.map(|batch| format!(" in batch {}", self.book.journal().brew(batch).named.shown()));
                format!("{name}{}: {}, from {end}", batch.unwrap_or_default(), list(&rules))
            }
        };
        let people = self.part.people.closed.as_ref();
        let holds = same.iter().map(|why| Holding {
            kind: match why.rule {
                Rule::Spraying => "spraying",
                Rule::Reentry(_) => "reentry",
                Rule::Preharvest(_) => "preharvest",
                Rule::Asked(_) => "rule",
            },
            keeps_people_out: people.is_some_and(|closed| closed.why.contains(why)),
            until: Some(when(self.book, self.at, why.until)),
        });
        Reason { material, words, holds: holds.collect() }
    }

    /// `re-entry interval 24 h until Fri 15 May 07:20`.
    fn rule(&self, why: &Why) -> String {
        let (book, id) = (self.book, why.material);
        let time = |time: Option<Stated>| time.map_or(String::new(), stated);
        let rule = match &why.rule {
            Rule::Spraying => String::new(),
            Rule::Reentry(_) => {
                let own = id.and_then(|id| book.journal().material(id).reentry).map(|time| time.value);
                format!("re-entry interval {}", time(own))
            }
            Rule::Preharvest(span) => {
                let all = id.into_iter().flat_map(|id| &book.journal().material(id).preharvest);
                let own = all.into_iter().find(|interval| interval.span == *span);
                format!("harvest interval {}", time(own.map(|interval| interval.time)))
            }
            Rule::Asked(cited) => format!("days to the harvest by {cited}"),
        };
        format!("{rule} until {}", brief(self.at, why.until))
    }

    /// The end that an interval runs from, and what came to its end then: in words that follow `from`.
    fn end(&self, why: &Why) -> String {
        let journal = self.book.journal();
        let (end, rest) = match why.treated {
            Treated::Spray(_) => ("the end".to_string(), String::new()),
            Treated::Leftover(at) => {
                let ground = self.book.ground(&self.book.season.sprays[at].spray(journal).ground);
                (format!("the end of spraying {ground}"), "; the rest of that tank was put here".to_string())
            }
            Treated::Rinse(at) => {
                let rinse = &self.book.season.rinses[at];
                let rig = rinse.cleaning(journal).rig;
                let rig =
                    rig.id.map_or_else(|| self.book.words(rig.span), |rig| journal.rig(rig).named.shown().to_string());
                let sprayed = |at: &usize| self.book.season.sprays[*at].start.local.date();
                let (first, last) = (rinse.sprays.first().map(sprayed), rinse.sprays.last().map(sprayed));
                let held = first.zip(last).map(|(first, last)| format!(", with what it sprayed {}", days(first, last)));
                let water = format!("; its rinse water was put here{}", held.unwrap_or_default());
                (format!("the end of cleaning {rig}"), water)
            }
            Treated::Unread(_) => ("the end of the day".to_string(), String::new()),
        };
        let taken = match why.end_assumed {
            false => "",
            true if why.end == self.book.season.zone.end_of(why.end.local.date()) => {
                ", which is not recorded and taken as the end of that day"
            }
            true => ", which is written before the start and taken as that time on the next day",
        };
        format!("{end}, {}{taken}{rest}", brief(self.at, why.end))
    }

    /// What is not recorded of a material, or of a tank.
    fn missing(&self, gap: &Gap, same: &[&Gap]) -> Reason {
        let material = material(gap).map(|material| self.book.material(material).to_string());
        let words = match &material {
            Some(name) => {
                let lines: Vec<String> = same.iter().map(|gap| self.no_interval(&gap.what)).collect();
                format!("{name}: {}, as its label has it; “none stated” where it states none", list(&lines))
            }
            None => self.not_recorded(gap),
        };
        let holds = same.iter().map(|gap| Holding {
            kind: "not-written",
            keeps_people_out: self.part.people.not_known.contains(gap),
            until: match &gap.what {
                Unknown::SoilContact(until, _) => Some(when(self.book, self.at, *until)),
                _ => None,
            },
        });
        Reason { material, words, holds: holds.collect() }
    }

    fn no_interval(&self, what: &Unknown) -> String {
        match what {
            Unknown::Preharvest(_) => match self.book.season.crop(self.block) {
                Some(crop) => format!("no harvest interval is written that holds for {crop} (add a line “preharvest”)"),
                None => "no harvest interval is written that holds for a block without a crop (add a line “crop”)"
                    .to_string(),
            },
            _ => "no re-entry interval is written (add a line “reentry”)".to_string(),
        }
    }

    fn not_recorded(&self, gap: &Gap) -> String {
        let from = self.came(gap.treated);
        match &gap.what {
            Unknown::Undeclared(span) => {
                let name = self.book.words(*span);
                format!("{name} is not declared, so nothing is known of its intervals ({from})")
            }
            Unknown::Sprayer(_) => {
                format!("no spray names the sprayer that was rinsed, so what was in it is not known ({from})")
            }
            Unknown::Line => format!("a line of the record could not be read ({from})"),
            Unknown::Declared(span) => {
                let name = self.book.words(*span);
                format!("not all that the journal says of {name} could be read, so it may ask for more ({from})")
            }
            Unknown::SoilContact(_, cited) => format!(
                "if what is eaten touches the soil, which the block does not say (a line “soil-contact”), more days to the harvest are asked for by {cited} ({from})"
            ),
            Unknown::Tank | Unknown::Reentry(_) | Unknown::Preharvest(_) => {
                format!("what was in the tank is not recorded ({from})")
            }
        }
    }

    /// What came onto a block and when.
    fn came(&self, treated: Treated) -> String {
        let season = self.book.season;
        match treated {
            Treated::Spray(at) => format!("sprayed on {}", day(season.sprays[at].start.local.date())),
            Treated::Leftover(at) => {
                format!("the rest of a tank, put here on {}", day(season.sprays[at].start.local.date()))
            }
            Treated::Rinse(at) => {
                format!("rinse water, put here on {}", day(season.rinses[at].cleaning(season.journal).at.day))
            }
            Treated::Unread(at) => {
                let line = &season.unread[at];
                let (first, last) = (line.day.0.local.date(), line.day.1.local.date());
                let what = if line.rinse { "rinse water" } else { "a spray or the rest of a tank" };
                format!("{what} {}: “{}”", days(first, last), self.book.words(line.line).trim())
            }
        }
    }
}
