//! See the Markdown beside this file.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};

use super::asked::USES;
use super::{Ahead, Check, Findings, When, ruled, say, scene, written};
use crate::duty::{Against, Asked, Duties, about_block, bbch, concerned, own_purpose};
use crate::finding::Level;
use crate::journal::{BlockId, MaterialId, Status, same_crop};
use crate::quantity::{Amount, Exact, Unit, show_apart};
use crate::rulebook::{Demand, UseLimit};
use crate::season::{RowParts, Season, SprayFacts, like, rows_treated};
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "basic-substance-use",
    level: Level::Error,
    ahead: Ahead::RoundAndJob(When::OnTheDay),
    summary: "A basic substance used otherwise than approved",
    explain: include_str!("basic_substance_use.md"),
    run,
};

/// A rule with the use that it approves.
type Approved<'s> = (Asked<'s>, &'s UseLimit);

/// One thing about a use that is not as approved.
struct Failure {
    words: String,
    at: Span,
}

/// A use on a block that is not as approved.
struct Breach {
    spray: usize,
    place: usize,
    block: BlockId,
    rule: usize,
    /// Whether the rule is about the crop; else it is only the first of those about the substance.
    fits: bool,
    failures: Vec<Failure>,
}

/// What some rows got of a substance.
#[derive(Clone, Copy, Default)]
struct Got {
    last: Option<NaiveDate>,
    year: i32,
    sprays: u32,
}

/// What a spray adds: the shortest time since the last one on the same rows, and the most sprays of the year on any.
#[derive(Clone, Copy, Default)]
struct Added {
    days: Option<i64>,
    sprays: u32,
}

fn approved(demand: &Demand) -> Option<&UseLimit> {
    match demand {
        Demand::ApprovedUse(limit) => Some(limit),
        _ => None,
    }
}

fn run(season: &Season<'_>, found: &mut Findings) {
    found.among(season, USES, |found| search(season, found));
}

fn search(season: &Season<'_>, found: &mut Findings) {
    let rules: Vec<Approved<'_>> = Duties::new(season).of_kind(approved).collect();
    if rules.is_empty() {
        return;
    }
    let about = |at: usize| {
        let material = &season.journal.materials[at];
        // As what else it is used, other rules say.
        if material.status() != Some(Status::BasicSubstance) || own_purpose(material) == Against::No {
            return Vec::new();
        }
        let is_about = |(asked, limit): &Approved<'_>| {
            let named = limit.substances.iter().any(|substance| material.is(substance));
            named && concerned(season, MaterialId::at(at), &asked.rule.when)
        };
        (0..rules.len()).filter(|&rule| is_about(&rules[rule])).collect()
    };
    let about: Vec<Vec<usize>> = (0..season.journal.materials.len()).map(about).collect();
    if about.iter().all(Vec::is_empty) {
        return;
    }
    let mut breaches: Vec<Breach> = Vec::new();
    for index in 0..season.by_block.len() {
        walk(season, &rules, &about, BlockId::at(index), &mut breaches);
    }
    breaches.sort_by_key(|breach| (breach.spray, breach.place));
    for of_dose in breaches.chunk_by(|one, other| (one.spray, one.place) == (other.spray, other.place)) {
        report(season, found, &rules, of_dose);
    }
}

/// Goes through the sprays of a block in the order of time.
fn walk(season: &Season<'_>, rules: &[Approved<'_>], about: &[Vec<usize>], block: BlockId, breaches: &mut Vec<Breach>) {
    let mut got: BTreeMap<usize, RowParts<Got>> = BTreeMap::new();
    for &spray in &season.by_block[block.index()] {
        let facts = &season.sprays[spray];
        for (place, dose) in facts.doses.iter().enumerate() {
            let of_substance: Vec<usize> = about[dose.material.index()]
                .iter()
                .copied()
                .filter(|&rule| about_block(season, season.journal.block(block), &rules[rule].0.rule.when))
                .filter(|&rule| rules[rule].0.holds_for(season, facts))
                .collect();
            let Some(&first) = of_substance.first() else { continue };
            let Some(fitting) = fitting(season, rules, &of_substance, block) else {
                // On a block whose crop is not known any of the uses may be meant.
                if let Some(crop) = season.crop(block) {
                    let failures = vec![other_crop(season, rules, &of_substance, facts, block, crop)];
                    breaches.push(Breach { spray, place, block, rule: first, fits: false, failures });
                }
                continue;
            };
            // Of several uses on a crop the one is meant that fits best.
            let mut best: Option<(usize, Vec<Failure>)> = None;
            for rule in fitting {
                let added = add(season, facts, block, got.entry(rule).or_default());
                let failures = failures(season, facts, place, rules[rule].1, added);
                if best.as_ref().is_none_or(|(_, known)| failures.len() < known.len()) {
                    best = Some((rule, failures));
                }
            }
            if let Some((rule, failures)) = best.filter(|(_, failures)| !failures.is_empty()) {
                breaches.push(Breach { spray, place, block, rule, fits: true, failures });
            }
        }
    }
}

/// The rules that are about a block's crop; nothing where none is, or the crop is not known and matters.
fn fitting(season: &Season<'_>, rules: &[Approved<'_>], among: &[usize], block: BlockId) -> Option<Vec<usize>> {
    let crop = season.crop(block);
    let fits = |limit: &UseLimit| {
        limit.crops.is_empty() || crop.is_some_and(|crop| limit.crops.iter().any(|known| same_crop(known, crop)))
    };
    let fitting: Vec<usize> = among.iter().copied().filter(|&rule| fits(rules[rule].1)).collect();
    (!fitting.is_empty()).then_some(fitting)
}

fn other_crop(
    season: &Season<'_>,
    rules: &[Approved<'_>],
    among: &[usize],
    facts: &SprayFacts,
    block: BlockId,
    crop: &str,
) -> Failure {
    let mut crops: Vec<&str> = among.iter().flat_map(|&rule| &rules[rule].1.crops).map(String::as_str).collect();
    crops.sort_unstable();
    crops.dedup();
    let spray = facts.spray(season.journal);
    let named = spray.ground.blocks.iter().find(|named| named.id == Some(block));
    Failure {
        words: format!("the crop is {crop}, and its approved uses are on {}", say::list(&crops)),
        at: named.map_or(spray.at.line, |named| named.span),
    }
}

/// Counts a spray on the rows of a block. Tanks of one day on the same rows are one spray.
fn add(season: &Season<'_>, facts: &SprayFacts, block: BlockId, got: &mut RowParts<Got>) -> Added {
    let spray = facts.spray(season.journal);
    let day = spray.at.day;
    let mut added = Added::default();
    for rows in rows_treated(spray, block) {
        got.on(rows, |got| {
            if got.last == Some(day) {
                return;
            }
            if let Some(last) = got.last {
                let days = scene::between(last, day);
                added.days = Some(added.days.map_or(days, |known| known.min(days)));
            }
            let before = if got.year == day.year() { got.sprays } else { 0 };
            *got = Got { last: Some(day), year: day.year(), sprays: before.saturating_add(1) };
            added.sprays = added.sprays.max(got.sprays);
        });
    }
    added
}

/// What of a use is surely not as approved.
fn failures(season: &Season<'_>, facts: &SprayFacts, place: usize, limit: &UseLimit, added: Added) -> Vec<Failure> {
    let spray = facts.spray(season.journal);
    let dose = &facts.doses[place];
    let mut failures = Vec::new();
    let mut fail = |at: Span, words: String| failures.push(Failure { words, at });
    if let Some(target) = spray.target.filter(|_| !limit.targets.is_empty()) {
        let words = season.words(target).to_lowercase();
        if !limit.targets.iter().any(|known| words.contains(known.as_str())) {
            let known = limit.targets.join(", ");
            fail(target, format!("the target is {}, and the approved use is against {known}", season.words(target)));
        }
    }
    if let Some((stage, (first, last))) = spray.stage.zip(limit.bbch)
        && let Some(code) = bbch(season.words(stage)).filter(|code| !(first..=last).contains(code))
    {
        fail(stage, format!("the growth stage is BBCH {code:02}, and the approved ones are {first:02} to {last:02}"));
    }
    if let Some((least, most)) = limit.per_hectolitre
        && let Some(strength) = per_hectolitre(season, facts, place)
        && (strength < least || strength > most)
    {
        let litres = |number: Exact| Amount::new(number, Unit::LITRE);
        let (is, nearest) = show_apart(litres(strength), litres(if strength < least { least } else { most }));
        let range = if least == most {
            "is"
        } else if strength < least {
            "is at least"
        } else {
            "is at most"
        };
        fail(
            written::place(spray, dose),
            format!("it was {is} in 100 L of spray, and the approved strength {range} {nearest}"),
        );
    }
    if let (Some(apart), Some(days)) = (limit.days_apart, added.days)
        && days < i64::from(apart)
    {
        fail(
            spray.at.line,
            format!("it came {} after the one before, and at least {apart} are asked for", scene::days(days)),
        );
    }
    if let Some(most) = limit.sprays
        && added.sprays > most
    {
        fail(spray.at.line, format!("it was spray number {} of the year, and {most} are approved", added.sprays));
    }
    failures
}

/// Litres of a material in a hundred litres of finished spray.
fn per_hectolitre(season: &Season<'_>, facts: &SprayFacts, place: usize) -> Option<Exact> {
    let dose = &facts.doses[place];
    let amount = written::went_in(season, facts.spray(season.journal), dose)?;
    let litres = like(season.journal, dose.material, amount, Unit::LITRE)?;
    litres.ratio(facts.finished?)?.mul(Exact::int(100))
}

fn report(season: &Season<'_>, found: &mut Findings, rules: &[Approved<'_>], breaches: &[Breach]) {
    let Some(first) = breaches.first() else { return };
    let facts = &season.sprays[first.spray];
    let spray = facts.spray(season.journal);
    let material = facts.doses[first.place].material;
    let name = say::material(season, material);
    // Blocks alike fail alike: each failure is told once.
    let mut failures: Vec<&Failure> = Vec::new();
    for failure in breaches.iter().flat_map(|breach| &breach.failures) {
        if !failures.iter().any(|known| known.words == failure.words) {
            failures.push(failure);
        }
    }
    let Some(at) = failures.first().map(|failure| failure.at) else { return };
    let words: Vec<&str> = failures.iter().map(|failure| failure.words.as_str()).collect();
    let headline = format!(
        "{name} on {} on {} was not used as approved: {}",
        scene::named(season, breaches.iter().map(|breach| breach.block)),
        say::day(spray.at.day),
        words.join("; ")
    );
    let mut finding = found.finding(at, headline);
    let mut told = vec![at];
    for failure in &failures {
        if !told.contains(&failure.at) {
            told.push(failure.at);
            finding = finding.label(failure.at, "this, too");
        }
    }
    if let Some(status) = season.journal.material(material).status {
        finding = finding.label(status.span, "status set here");
    }
    finding = finding.help(
        "read the review report of the approval before the next use; if the material only feeds the crop, say `purpose nutrition` in its entry",
    );
    let fits = breaches.iter().find(|breach| breach.fits);
    found.add(match fits {
        Some(breach) => ruled::by(finding, &rules[breach.rule].0),
        None => ruled::cited(finding, &rules[first.rule].0),
    });
}
