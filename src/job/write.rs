//! A job in the journal's own words.

use std::fmt::Write as _;

use chrono::NaiveDate;

use crate::journal::{BlockId, MixId, ProgramId, RigId, WaterId};
use crate::quantity::Amount;
use crate::season::Season;

/// Words that become one line of the journal, or a part of one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line(String);

impl Line {
    /// The words, without space around them.
    ///
    /// # Errors
    /// A sentence where they are empty or hold a line break or another control character.
    pub fn new(words: &str) -> Result<Self, String> {
        let words = words.trim();
        if words.is_empty() {
            return Err("nothing is written there".to_string());
        }
        if words.chars().any(char::is_control) {
            return Err("it must be one line".to_string());
        }
        Ok(Self(words.to_string()))
    }

    /// The words.
    pub fn words(&self) -> &str {
        &self.0
    }
}

/// What is asked for.
#[derive(Clone, Debug)]
pub struct Asked {
    /// The day of the job.
    pub day: NaiveDate,
    /// The blocks; at least one.
    pub blocks: Vec<BlockId>,
    /// Which rows: `1 to 9`, `odd`.
    pub rows: Option<Line>,
    /// The mix; that of the program, or none, where it is absent.
    pub mix: Option<MixId>,
    /// The program whose round it is.
    pub program: Option<ProgramId>,
    /// The sprayer; the program's where it is absent.
    pub rig: Option<RigId>,
    /// The water; the program's where it is absent.
    pub water: Option<WaterId>,
    /// The sprayer's setup.
    pub setup: Option<Line>,
    /// The area, all blocks together.
    pub area: Option<Line>,
    /// How many times as strong as dilute; as often as the program says where it is absent.
    pub concentrate: Option<Line>,
    /// What is put in besides.
    pub puts: Vec<Line>,
}

/// The job as journal text. Without a volume it is a draft, from which the area can be known.
pub fn text(season: &Season<'_>, asked: &Asked, volume: Option<Amount>) -> String {
    let journal = season.journal;
    let program = asked.program.map(|program| journal.program(program));
    let mut out = format!("{}\n\nspray ", asked.day.format("%Y-%m-%d %a"));
    for (at, &block) in asked.blocks.iter().enumerate() {
        let comma = if at == 0 { "" } else { ", " };
        let _ = write!(out, "{comma}{}", journal.block(block).named.name);
    }
    if let Some(rows) = &asked.rows {
        let _ = write!(out, " {}", rows_words(rows.words()));
    }
    out.push('\n');
    let mix = asked.mix.or_else(|| program?.mix?.id);
    let made = volume.map(|volume| volume.to_string());
    match (mix, &made) {
        (Some(mix), Some(made)) => field(&mut out, "mix", &format!("{}, {made}", journal.mix(mix).named.name)),
        (Some(mix), None) => field(&mut out, "mix", &journal.mix(mix).named.name),
        (None, Some(made)) => field(&mut out, "volume", made),
        (None, None) => {}
    }
    for put in &asked.puts {
        field(&mut out, "put", put.words());
    }
    let of_program = || Some(program?.concentrate?.value.to_string());
    if let Some(times) = asked.concentrate.as_ref().map(|times| times.words().to_string()).or_else(of_program) {
        let number = times.strip_suffix("times").map_or(times.as_str(), str::trim_end);
        field(&mut out, "concentrate", &format!("{number} times"));
    }
    if let Some(area) = &asked.area {
        field(&mut out, "over", area.words());
    }
    if let Some(rig) = asked.rig.or_else(|| program?.rig?.id) {
        field(&mut out, "rig", &journal.rig(rig).named.name);
    }
    if let Some(setup) = &asked.setup {
        field(&mut out, "setup", setup.words());
    }
    if let Some(water) = asked.water.or_else(|| program?.water?.id) {
        field(&mut out, "water", &journal.water(water).named.name);
    }
    let words = [("reason", program.and_then(|one| one.reason)), ("target", program.and_then(|one| one.target))];
    for (word, span) in words {
        // A value of the journal is one line.
        if let Some(value) = span.and_then(|span| Line::new(season.words(span)).ok()) {
            field(&mut out, word, value.words());
        }
    }
    out
}

fn field(out: &mut String, word: &str, value: &str) {
    let _ = writeln!(out, "    {word} {value}");
}

/// `1 to 9` as `rows 1 to 9`; what begins or ends with the word already stays.
fn rows_words(words: &str) -> String {
    let lower = words.to_lowercase();
    if lower.starts_with("row") || lower.ends_with("rows") {
        return words.to_string();
    }
    match lower.as_str() {
        "odd" | "even" | "alternate" => format!("{lower} rows"),
        _ => format!("rows {words}"),
    }
}
