//! See the Markdown beside this file.

use super::asked::RECORD;
use super::{Ahead, Check, Findings, When, ruled, say, written};
use crate::duty::{Against, Asked, Duties, concerned, own_purpose};
use crate::finding::Level;
use crate::journal::MaterialId;
use crate::rulebook::Demand;
use crate::season::{Season, SprayFacts};

pub(super) const CHECK: Check = Check {
    code: "refused-substance",
    level: Level::Error,
    ahead: Ahead::RoundAndJob(When::Anytime),
    summary: "A substance that a rulebook refuses",
    explain: include_str!("refused_substance.md"),
    run,
};

fn refused(demand: &Demand) -> Option<&Vec<String>> {
    match demand {
        Demand::Refused { substances } => Some(substances),
        _ => None,
    }
}

fn run(season: &Season<'_>, found: &mut Findings) {
    let journal = season.journal;
    let mut rules: Vec<(Asked<'_>, Vec<Option<&str>>)> = Vec::new();
    for (asked, substances) in Duties::new(season).of_kind(refused) {
        let by = |at: usize| {
            let material = &journal.materials[at];
            // A rule about use against something is not about what only feeds.
            let other_purpose = asked.rule.when.against == Some(true) && own_purpose(material) == Against::No;
            let substance = substances.iter().find(|substance| material.is(substance))?;
            (!other_purpose && concerned(season, MaterialId::at(at), &asked.rule.when)).then_some(substance.as_str())
        };
        let refused: Vec<Option<&str>> = (0..journal.materials.len()).map(by).collect();
        if refused.iter().any(Option::is_some) {
            rules.push((asked, refused));
        }
    }
    if rules.is_empty() {
        return;
    }
    let mut hits = found.in_sprays(season, RECORD, |at, facts| {
        let mut hits: Vec<(MaterialId, usize, (usize, Asked<'_>, &str))> = Vec::new();
        for (asked, refused) in &rules {
            let hit = |dose: &crate::season::Dose| refused[dose.material.index()];
            if facts.doses.iter().any(|dose| hit(dose).is_some()) && asked.holds_for(season, facts) {
                let doses = facts.doses.iter().enumerate();
                hits.extend(doses.filter_map(|(place, dose)| Some((dose.material, at, (place, *asked, hit(dose)?)))));
            }
        }
        hits
    });
    // Of several rulebooks that refuse the same, the first that does speaks.
    hits.sort_by_key(|(_, at, (place, ..))| (*at, *place));
    let hits = hits.into_iter().map(|(id, at, (place, asked, substance))| (id, at, (at, place, asked, substance)));
    for ((at, place, asked, substance), more) in ruled::firsts(hits) {
        report(season, found, &season.sprays[at], place, &asked, substance, more);
    }
}

fn report(
    season: &Season<'_>,
    found: &mut Findings,
    facts: &SprayFacts,
    place: usize,
    asked: &Asked<'_>,
    substance: &str,
    more: usize,
) {
    let spray = facts.spray(season.journal);
    let dose = &facts.doses[place];
    let name = say::material(season, dose.material);
    let what = if name == substance { String::new() } else { format!(" of the class {substance}") };
    let headline = format!(
        "{name}{what} was sprayed on {} on {}, and {} refuses it",
        ruled::place(season, facts, asked),
        say::day(spray.at.day),
        asked.adoption.book.name
    );
    let finding = found
        .finding(written::place(spray, dose), headline)
        .here(format!("{name} is in here"))
        .label(season.journal.material(dose.material).named.span, "the material")
        .help("leave it out until your adviser or the office that made the rule has said otherwise; if it only feeds the crop, say `purpose nutrition` in its entry");
    found.add(ruled::more(ruled::by(finding, asked), more, "spray"));
}
