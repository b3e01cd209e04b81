//! The mix sheet in the terminal.

use std::fmt::Write as _;

use textwrap::Options;

use super::lines::WIDTH;
use crate::documents::{Both, Care, Ingredient, Language, MixSheet, Phrase, Portion};
use crate::render::columns;
use crate::text::escape_hidden;

/// The sheet as text of 80 columns.
pub(super) fn in_terminal(sheet: &MixSheet) -> String {
    let say = Say(sheet.language);
    let words = &sheet.words;
    let mut out = String::new();
    let title = sheet.mix.as_deref().map(|mix| format!(": {mix}")).unwrap_or_default();
    line(&mut out, &format!("{}{title}", say.phrase(words.mix_sheet)));
    line(&mut out, &format!("{}, {}", say.both(&sheet.ground), say.both(&sheet.day)));
    line(&mut out, &say.phrase(words.label_first));
    out.push('\n');
    let mut headings = vec![String::new()];
    for column in [&sheet.full, &sheet.last].into_iter().flatten() {
        let times = column.times.as_ref().map(|times| format!(", {}", say.both(times))).unwrap_or_default();
        headings.push(format!("{}{times}: {}", say.both(&column.name), column.volume.text));
    }
    let wide = headings.len();
    let mut rows: Vec<Vec<String>> = Vec::new();
    for step in &sheet.steps {
        let mut row = vec![say.both(&step.what)];
        if step.to_mark {
            row.extend([&sheet.full, &sheet.last].into_iter().flatten().map(|column| column.volume.text.clone()));
        }
        row.resize(wide, String::new());
        if !step.plain {
            rows.push(row);
        }
        rows.extend(step.ingredients.iter().map(|one| ingredient(&say, sheet, one)));
    }
    let heads: Vec<&str> = headings.iter().map(String::as_str).collect();
    out.push_str(&columns(&heads, &rows));
    out.push('\n');
    fact(&mut out, &say.phrase(words.whole_job), &format!("{}, {}", sheet.whole, say.both(&sheet.loads)));
    for said in &sheet.volume {
        line(&mut out, &format!("  {said}"));
    }
    if let Some(strong) = &sheet.concentrate {
        fact(&mut out, &say.phrase(words.concentrate), &say.both(strong));
    }
    fact(&mut out, &say.phrase(words.order), &say.both(&sheet.order));
    for total in &sheet.totals {
        let limit = match (&total.limit, total.percent) {
            (Some(limit), Some(percent)) => format!("; {}: {limit} ({percent} %)", say.phrase(words.limit)),
            _ => format!("; {}", say.phrase(words.no_limit)),
        };
        let least = if total.at_least { format!(" ({})", say.phrase(words.at_least)) } else { String::new() };
        fact(&mut out, &say.phrase(words.total), &format!("{}{least}{limit}", total.total));
        line(&mut out, &format!("  {}", total.working));
    }
    if let Some(water) = &sheet.water.name {
        let ph = sheet.water.ph.as_ref().map(|ph| format!(", {} {ph}", say.phrase(words.ph))).unwrap_or_default();
        let hard = sheet.water.hardness.as_ref();
        let hard = hard.map(|hard| format!(", {} {hard}", say.phrase(words.hardness))).unwrap_or_default();
        fact(&mut out, &say.phrase(words.water), &format!("{water}{ph}{hard}"));
    }
    cares(&mut out, &say, words.tank_ph, &sheet.tank_ph);
    if sheet.no_acid {
        line(&mut out, &say.phrase(words.acid_and_copper));
    }
    let sprayer = &sheet.sprayer;
    if let Some(name) = &sprayer.name {
        let more = [&sprayer.tank, &sprayer.setup, &sprayer.output].into_iter().flatten().cloned();
        let all: Vec<String> = std::iter::once(name.clone()).chain(more).collect();
        fact(&mut out, &say.phrase(words.sprayer), &format!("{}; {}", all.join(", "), say.both(&sprayer.calibrated)));
    }
    cares(&mut out, &say, words.protection, &sheet.wear);
    cares(&mut out, &say, words.stay_out_after, &sheet.reentry);
    cares(&mut out, &say, words.harvest_after, &sheet.harvest);
    cares(&mut out, &say, words.spray_within, &sheet.weather);
    for stop in &sheet.stops {
        fact(&mut out, &say.phrase(words.stop_rule), stop);
    }
    for warning in &sheet.warnings {
        fact(&mut out, &say.phrase(words.warnings), warning);
    }
    out.push('\n');
    // The record is to be pasted: its lines stay whole.
    for said in &sheet.record {
        let _ = writeln!(out, "{}", escape_hidden(said));
    }
    out
}

fn ingredient(say: &Say, sheet: &MixSheet, one: &Ingredient) -> Vec<String> {
    let mut row = vec![format!("* {}", one.name)];
    let portions = [(sheet.full.is_some(), &one.full), (sheet.last.is_some(), &one.last)];
    for (_, portion) in portions.into_iter().filter(|(there, _)| *there) {
        row.push(portion.as_ref().map(|portion| said(say, portion)).unwrap_or_default());
    }
    row
}

fn said(say: &Say, portion: &Portion) -> String {
    let coarse: String = portion.coarse.iter().map(|one| format!("; {}", say.both(one))).collect();
    format!("{} ({}){coarse}", portion.measured, portion.exactly)
}

fn cares(out: &mut String, say: &Say, phrase: Phrase, cares: &[Care]) {
    for care in cares {
        let of = if care.of.is_empty() { String::new() } else { format!(" ({})", care.of.join(", ")) };
        fact(out, &say.phrase(phrase), &format!("{}{of}", say.both(&care.what)));
    }
}

fn fact(out: &mut String, label: &str, words: &str) {
    line(out, &format!("{label}: {words}"));
}

fn line(out: &mut String, words: &str) {
    let _ = writeln!(out, "{}", textwrap::fill(&escape_hidden(words), Options::new(WIDTH).subsequent_indent("    ")));
}

/// The languages that are printed.
struct Say(Language);

impl Say {
    fn phrase(&self, phrase: Phrase) -> String {
        self.two(phrase.en, phrase.es)
    }

    fn both(&self, both: &Both) -> String {
        self.two(&both.en, &both.es)
    }

    fn two(&self, en: &str, es: &str) -> String {
        match self.0 {
            Language::En => en.to_string(),
            Language::Es => es.to_string(),
            Language::Both if en == es => en.to_string(),
            Language::Both => format!("{en} / {es}"),
        }
    }
}
