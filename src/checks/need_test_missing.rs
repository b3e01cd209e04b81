//! See the Markdown beside this file.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::asked::USES;
use super::{Ahead, Check, Findings, When, ruled, say, scene, written};
use crate::duty::{Asked, Duties, about_block, concerned};
use crate::finding::Level;
use crate::journal::{BlockId, MaterialId, Origin, SampleKind};
use crate::rulebook::Demand;
use crate::season::Season;
use crate::syntax::EntryWord;

pub(super) const CHECK: Check = Check {
    code: "need-test-missing",
    level: Level::Warning,
    ahead: Ahead::Round(When::Anytime),
    summary: "A material that needs a test used without one",
    explain: include_str!("need_test_missing.md"),
    run,
};

/// Which materials need a test, and which tests count.
#[derive(Clone, Copy)]
struct Need<'s> {
    classes: &'s [String],
    origin: Option<Origin>,
    kinds: &'s [SampleKind],
}

/// A use without a test: which spray, which of its doses, on which blocks.
struct Untested {
    at: usize,
    place: usize,
    blocks: Vec<BlockId>,
}

fn need(demand: &Demand) -> Option<Need<'_>> {
    match demand {
        Demand::Test { classes, origin, kinds } => Some(Need { classes, origin: *origin, kinds }),
        _ => None,
    }
}

fn run(season: &Season<'_>, found: &mut Findings) {
    found.among(season, USES, |found| search(season, found));
}

fn search(season: &Season<'_>, found: &mut Findings) {
    // A sample that could not be read may be the one that is missing here.
    if season.lost(EntryWord::Sample) {
        return;
    }
    for (asked, need) in Duties::new(season).of_kind(need) {
        look(season, found, &asked, need);
    }
}

fn look(season: &Season<'_>, found: &mut Findings, asked: &Asked<'_>, need: Need<'_>) {
    let journal = season.journal;
    let needs = |at: usize| {
        let material = &journal.materials[at];
        let origin = need.origin.is_none_or(|origin| material.origin.is_some_and(|own| own.value == origin));
        let class = need.classes.iter().any(|class| material.is(class));
        origin && class && concerned(season, MaterialId::at(at), &asked.rule.when)
    };
    let needs: Vec<bool> = (0..journal.materials.len()).map(needs).collect();
    if !needs.contains(&true) {
        return;
    }
    let tested = first_tests(season, need.kinds);
    // Each use without a test, and in how many sprays each material was so used on each block, with the last of them.
    let mut uses: Vec<Untested> = Vec::new();
    let mut counts: BTreeMap<(MaterialId, BlockId), (usize, usize)> = BTreeMap::new();
    for (at, facts) in season.sprays.iter().enumerate() {
        if !facts.doses.iter().any(|dose| needs[dose.material.index()]) {
            continue;
        }
        let spray = facts.spray(journal);
        let day = spray.at.day;
        if spray.evidence.is_some_and(|evidence| names_a_day(season.words(evidence))) {
            continue;
        }
        let untested = |block: &BlockId| {
            tested[block.index()].is_none_or(|first| first > day)
                && about_block(season, journal.block(*block), &asked.rule.when)
        };
        let mut blocks: Vec<BlockId> = facts.touched.iter().map(|touched| touched.block).filter(untested).collect();
        blocks.sort_unstable();
        blocks.dedup();
        if blocks.is_empty() || !asked.holds_for(season, facts) {
            continue;
        }
        for (place, dose) in facts.doses.iter().enumerate().filter(|(_, dose)| needs[dose.material.index()]) {
            for &block in &blocks {
                let (count, last) = counts.entry((dose.material, block)).or_insert((1, at));
                *count += usize::from(*last != at);
                *last = at;
            }
            uses.push(Untested { at, place, blocks: blocks.clone() });
        }
    }
    for mut untested in uses {
        let material = season.sprays[untested.at].doses[untested.place].material;
        let mut most = 0;
        // What was told with an earlier spray is told.
        untested.blocks.retain(|&block| {
            let count = counts.remove(&(material, block)).map_or(0, |(count, _)| count);
            most = most.max(count);
            count > 0
        });
        if most > 0 {
            report(season, found, asked, need, &untested, most - 1);
        }
    }
}

/// For each block, the day of its first sample of some kinds. A sample of which the kind could not be read counts, and one
/// without blocks counts for all.
fn first_tests(season: &Season<'_>, kinds: &[SampleKind]) -> Vec<Option<NaiveDate>> {
    let mut first: Vec<Option<NaiveDate>> = vec![None; season.journal.blocks.len()];
    let mut of_all: Option<NaiveDate> = None;
    let note = |known: &mut Option<NaiveDate>, day| *known = Some(known.map_or(day, |known: NaiveDate| known.min(day)));
    for sample in &season.journal.samples {
        if sample.kind.is_some_and(|kind| !kinds.contains(&kind.value)) {
            continue;
        }
        match sample.ground.blocks.as_slice() {
            [] => note(&mut of_all, sample.at.day),
            named => scene::ids(named).for_each(|block| note(&mut first[block.index()], sample.at.day)),
        }
    }
    if let Some(day) = of_all {
        first.iter_mut().for_each(|known| note(known, day));
    }
    first
}

/// Whether words name a day: `leaf test of 2026-04-02`, `soil report, 2 April 2026`.
fn names_a_day(words: &str) -> bool {
    const MONTHS: &[&str] = &["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];
    let iso = words.split(|sign: char| !sign.is_ascii_digit() && sign != '-');
    if iso.into_iter().any(|word| word.parse::<NaiveDate>().is_ok()) {
        return true;
    }
    let words = words.to_lowercase();
    let mut words = words.split(|sign: char| !sign.is_alphanumeric());
    let (mut month, mut number) = (false, false);
    words.any(|word| {
        month |= MONTHS.iter().any(|month| word.starts_with(month));
        number |= word.bytes().next().is_some_and(|byte| byte.is_ascii_digit());
        month && number
    })
}

fn report(
    season: &Season<'_>,
    found: &mut Findings,
    asked: &Asked<'_>,
    need: Need<'_>,
    untested: &Untested,
    more: usize,
) {
    let facts = &season.sprays[untested.at];
    let spray = facts.spray(season.journal);
    let dose = &facts.doses[untested.place];
    let material = season.journal.material(dose.material);
    let name = say::material(season, dose.material);
    let kinds: Vec<&str> = need.kinds.iter().map(|kind| kind.word()).collect();
    let kinds = kinds.join(" or ");
    let headline = format!(
        "{name} went on {} on {}, and no {kinds} test on record shows that it was needed",
        scene::named(season, untested.blocks.iter().copied()),
        say::day(spray.at.day)
    );
    let mut finding = found.finding(written::place(spray, dose), headline).here(format!("{name} is in here"));
    if let Some(class) = material.classes.iter().find(|class| need.classes.iter().any(|known| **known == *class.value))
    {
        finding = finding.label(class.span, "a test is asked for of this class");
    }
    if let Some(origin) = material.origin.filter(|_| need.origin.is_some()) {
        finding = finding.label(origin.span, "and of this origin");
    }
    finding = finding.help(format!(
        "if there is a test, write it down: a `sample` entry of the block with `kind` {kinds} on the page of its day, or `evidence` in the spray with the day of the report"
    ));
    found.add(ruled::more(ruled::by(finding, asked), more, "spray"));
}
