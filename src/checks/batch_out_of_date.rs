//! See the Markdown beside this file.

use super::asked::TANK;
use super::{Ahead, Check, Findings, say, scene};
use crate::finding::Level;
use crate::journal::{BrewId, Ref};
use crate::season::{Season, SprayFacts};

pub(super) const CHECK: Check = Check {
    code: "batch-out-of-date",
    level: Level::Warning,
    ahead: Ahead::Job,
    summary: "A batch used before it was ready or after its use-by",
    explain: include_str!("batch_out_of_date.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    found.each_spray(season, TANK, |found, _, facts| {
        for batch in &facts.spray(season.journal).batches {
            if let Some(id) = batch.id {
                look(season, found, facts, *batch, id);
            }
        }
    });
}

fn look(season: &Season<'_>, found: &mut Findings, facts: &SprayFacts, batch: Ref<BrewId>, id: BrewId) {
    let journal = season.journal;
    let brew = journal.brew(id);
    let name = &brew.named.name;
    let day = facts.start.local.date();
    let place = scene::blocks(season, &facts.spray(journal).ground);
    let material = brew.material.and_then(|of| of.id);
    if let Some(material) = material
        && !facts.doses.is_empty()
        && scene::tank_known(season, facts.spray(journal))
        && !facts.doses.iter().any(|dose| dose.material == material)
    {
        let of = say::material(season, material);
        let headline = format!("{name} is a batch of {of}, which did not go on {place} on {}", say::day(day));
        let mut finding = found.finding(batch.span, headline).label(brew.named.span, "the batch");
        if let Some(of) = brew.material {
            finding = finding.label(of.span, "what it is of");
        }
        found.add(
            finding.help("put the batch or the mix right").source("the material is the one in the batch's own entry"),
        );
        return;
    }
    let (late, wrong) = if day < brew.at.day {
        (scene::between(day, brew.at.day), Some(("before it was started", brew.at.line, "started here", brew.at.day)))
    } else if let Some(ready) = brew.ready.filter(|ready| day < ready.value) {
        (scene::between(day, ready.value), Some(("before it was ready", ready.span, "ready from here", ready.value)))
    } else if let Some(use_by) = brew.use_by.filter(|use_by| use_by.value < day) {
        (scene::between(use_by.value, day), Some(("after its use-by", use_by.span, "use-by set here", use_by.value)))
    } else {
        (0, None)
    };
    let Some((how, span, label, date)) = wrong else { return };
    let headline = format!("{name} was used on {place} {} {how}", scene::days(late));
    found.add(
        found
            .finding(batch.span, headline)
            .label(span, label)
            .working(format!("used on {}; the date is {}", say::day(day), say::day(date)))
            .help("put the batch or the dates right; if it was used so on purpose, accept this with the reason")
            .source("the dates are your own entry"),
    );
}
