//! The mix sheets of sprays that the journal has for today and later: what is about to be filled.

use super::edition::FarmPages;
use super::{Journals, Reading, overview};
use crate::documents::{Book, Language, MixJob, Scope, mix_sheet};
use crate::job::{judge_picks, judge_record, strength, warned_of};
use crate::render::{Format, TemplateTrouble, Templates};
use crate::season::{Season, SprayFacts};
use crate::text::escape_hidden;
use crate::{Farm, checks};

/// A spray of today or later, by the name of its page: its day, and its number on that day.
struct Coming<'s> {
    name: String,
    facts: &'s SprayFacts,
}

fn coming<'s>(season: &'s Season<'_>) -> Vec<Coming<'s>> {
    let mut coming: Vec<Coming<'s>> = Vec::new();
    let (mut last, mut number) = (None, 0);
    for facts in &season.sprays {
        let day = facts.spray(season.journal).at.day;
        if season.as_of.is_none_or(|today| day < today) {
            continue;
        }
        number = if last == Some(day) { number + 1 } else { 1 };
        last = Some(day);
        coming.push(Coming { name: format!("{day}-{number}"), facts });
    }
    coming
}

fn title(season: &Season<'_>, facts: &SprayFacts) -> String {
    let spray = facts.spray(season.journal);
    let blocks: Vec<&str> = spray.ground.blocks.iter().map(|block| season.words(block.span)).collect();
    let what = match spray.mix {
        Some(used) => season.words(used.mix.span).to_string(),
        None => {
            let materials = facts.doses.iter().map(|dose| &*season.journal.material(dose.material).named.name);
            materials.collect::<Vec<_>>().join(", ")
        }
    };
    format!("{}, {}: {what}", checks::day(spray.at.day), blocks.join(", "))
}

/// The page that lists them.
pub(super) fn list(farm: &FarmPages<'_>, templates: &Templates) -> Result<String, TemplateTrouble> {
    let season = &farm.season;
    let rows: Vec<(String, String)> = coming(season)
        .iter()
        .map(|one| (title(season, one.facts), farm.address(&format!("mix-sheets/{}", one.name))))
        .collect();
    if rows.is_empty() {
        let words = "The journal has no spray for today or later. Write it down, and its mix sheet is here; \
                     `foliary mix-sheet` prints one for a round that is not written yet.";
        return templates.fill("live-message", &overview::message("Mix sheets", words), Format::Html);
    }
    templates.fill("live-pages", &overview::list(farm, "Mix sheets", rows), Format::Html)
}

/// The sheet of one, or what stands in its way; none where there is no such spray.
pub(super) fn sheet(
    reading: &Reading,
    at: usize,
    farm: &FarmPages<'_>,
    journals: &dyn Journals,
    templates: &Templates,
    name: &str,
) -> Result<Option<String>, TemplateTrouble> {
    let Some(day) = coming(&farm.season)
        .into_iter()
        .find(|one| one.name == name)
        .map(|one| one.facts.spray(farm.season.journal).at.day)
    else {
        return Ok(None);
    };
    let files = &reading.loaded.farms[at];
    let (journal, history) = (&reading.journals[at], &reading.histories[at]);
    let as_of = journals.today(journal).max(day);
    // What is expected to be picked is laid beside the journal, in a copy of it.
    let mut sources = reading.loaded.sources.clone();
    let (entry, mut verdict, picks, findings) = {
        let season = Season::new(journal, &sources, Some(as_of)).with_shelf(&files.shelf).with_history(history);
        let findings = checks::run(&season);
        let Some(facts) = named(&season, farm, name) else { return Ok(None) };
        let (verdict, picks) = judge_record(&season, &findings, facts);
        (facts.spray(journal).at.entry, verdict, picks, findings)
    };
    let whole = Farm { files: &files.files, missing: &files.missing };
    if judge_picks(&mut sources, whole, &files.shelf, as_of, &picks, entry, &mut verdict).is_err() {
        return message(templates, "The journals are too large for the picks to be laid beside them.").map(Some);
    }
    if !verdict.stops.is_empty() {
        let errors = farm.address("findings/errors");
        let rows = verdict.stops.iter().map(|stop| (stop.headline.clone(), errors.clone()));
        let view = overview::list(farm, "No mix sheet while errors are open", rows);
        return templates.fill("live-pages", &view, Format::Html).map(Some);
    }
    let season = Season::new(journal, &sources, Some(as_of)).with_shelf(&files.shelf).with_history(history);
    let Some(facts) = named(&season, farm, name) else { return Ok(None) };
    let strength = strength(&season, facts);
    let blocks = facts.touched.iter().map(|touched| touched.block).collect();
    let scope = Scope { blocks, from: Some(day), to: Some(day), ..Scope::default() };
    let book = Book::new(&season, &findings, &files.files, &scope);
    let warnings = warned_of(&season, facts, strength.off, &verdict);
    let job = MixJob { facts, volume: &strength.said, warnings: &warnings, language: Language::Both };
    match mix_sheet(&book, job) {
        Ok(view) => templates.fill("mix-sheet", &view, Format::Html).map(Some),
        Err(words) => message(templates, &escape_hidden(&words)).map(Some),
    }
}

/// The spray of that name, in a season of another day.
fn named<'s>(season: &'s Season<'_>, farm: &FarmPages<'_>, name: &str) -> Option<&'s SprayFacts> {
    let known = coming(&farm.season);
    let index = known.iter().find(|one| one.name == name)?.facts.index;
    season.sprays.iter().find(|facts| facts.index == index)
}

fn message(templates: &Templates, words: &str) -> Result<String, TemplateTrouble> {
    templates.fill("live-message", &overview::message("No mix sheet", words), Format::Html)
}
