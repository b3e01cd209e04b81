//! See the Markdown beside this file.

use super::asked::RECORD;
use super::{Ahead, Check, Findings, scene};
use crate::duty::{Asked, Duties};
use crate::finding::Level;
use crate::rulebook::{Demand, Keep};
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "kept-too-short",
    level: Level::Error,
    ahead: Ahead::Nothing,
    summary: "Records that the farm keeps for less time than a rulebook asks",
    explain: include_str!("kept_too_short.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    let Some(kept) = season.journal.farm.as_ref().and_then(|farm| farm.keep) else { return };
    let duties = Duties::new(season);
    let keep = |demand: &Demand| match demand {
        Demand::Keep(keep) => Some(*keep),
        _ => None,
    };
    // Any rule that held for any spray: its record is in the farm's hands still.
    let holding = found.in_sprays(season, RECORD, |_, facts| {
        duties.of_spray(facts, keep).filter(|(_, keep)| keep.years > kept.value).collect::<Vec<_>>()
    });
    let mut asked: Vec<(Asked<'_>, Keep)> = Vec::new();
    for (rule, keep) in holding {
        if !asked.iter().any(|(known, _)| std::ptr::eq(known.rule, rule.rule)) {
            asked.push((rule, keep));
        }
    }
    asked.sort_by_key(|(asked, keep)| (std::cmp::Reverse(keep.years), asked.adoption.book.name.clone()));
    let Some((first, longest)) = asked.first() else { return };
    let (years, name) = (longest.years, &first.adoption.book.name);
    let headline = format!(
        "records are kept for {}, and {name} asks for {}",
        scene::count(kept.value as usize, "year"),
        scene::count(years as usize, "year")
    );
    let mut finding = found.finding(kept.span, headline);
    if asked.iter().all(|(asked, _)| asked.from_memory()) {
        finding.level = Level::Note;
    }
    for (asked, keep) in &asked {
        finding = finding
            .label(asked.adoption.adopted.name.span, format!("asks for {}", scene::count(keep.years as usize, "year")));
        finding = finding.working(format!(
            "{}: {} from {}",
            asked.adoption.book.name,
            scene::count(keep.years as usize, "year"),
            keep.from.words()
        ));
    }
    let cited: Vec<String> = asked.iter().map(|(asked, _)| asked.cited()).collect();
    found.add(finding.help("keep them for the longest of all that apply").source(cited.join("; ")));
}
