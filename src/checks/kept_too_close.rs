//! See the Markdown beside this file.

use super::asked::MATERIALS_AND_RULES;
use super::not_in_one_tank::KeptOut;
use super::tanks::{Pairing, Sides, Tank, each};
use super::{Ahead, Check, Findings, When, dangerous_tank, say, scene, whose};
use crate::finding::{Finding, Level};
use crate::journal::{Apart, BlockId, Material, MaterialId};
use crate::quantity::Exact;
use crate::season::{ByRows, Rows, Season, rows_treated};
use crate::syntax::FieldWord;
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "kept-too-close",
    level: Level::Error,
    ahead: Ahead::RoundAndJob(When::OnTheDay),
    summary: "Two materials on the same trees closer than allowed",
    explain: include_str!("kept_too_close.md"),
    run,
};

/// A rule, and what its entry says it comes from.
#[derive(Clone, Copy, Debug)]
struct Rule<'j> {
    apart: &'j Apart,
    /// The material in whose entry it stands, if in one.
    material: Option<&'j Material>,
    source: Option<Span>,
}

impl Rule<'_> {
    fn is_pantrys(&self, season: &Season<'_>) -> bool {
        whose::is_pantrys(season, self.material)
    }

    /// The finding with where the rule comes from; a warning where it is the pantry's.
    fn behind(&self, season: &Season<'_>, finding: Finding) -> Finding {
        let finding = finding.source(whose::source(season, "the rule", self.material, FieldWord::Apart, self.source));
        if self.is_pantrys(season) { whose::by_pantry(finding) } else { finding }
    }
}

/// Two sprays that are too close, on one block.
struct Hit {
    later: usize,
    earlier: usize,
    rule: usize,
    materials: (MaterialId, MaterialId),
    block: BlockId,
}

impl Hit {
    fn sprays(&self) -> (usize, usize) {
        (self.later, self.earlier)
    }
}

fn run(season: &Season<'_>, found: &mut Findings) {
    let rules = rules(season);
    if rules.is_empty() {
        return;
    }
    let sides = Sides::new(&season.journal.materials, &rules);
    let mut hits = across_days(season, found, &rules, &sides);
    // Several rules may name one pair of materials, and several materials of one class stand in one tank: each pair of
    // sprays is reported once a rule and once a pair, the longest wait first.
    let wait = |hit: &Hit| std::cmp::Reverse(rules[hit.rule].rule.apart.time);
    hits.sort_by_key(|hit| (hit.sprays(), wait(hit), hit.rule, hit.materials, hit.block));
    for of_sprays in hits.chunk_by(|one, other| one.sprays() == other.sprays()) {
        let mut said: Vec<(usize, (MaterialId, MaterialId))> = Vec::new();
        let same = |one: &Hit, other: &Hit| (one.rule, one.materials) == (other.rule, other.materials);
        for hits in of_sprays.chunk_by(same) {
            let (rule, materials) = (hits[0].rule, hits[0].materials);
            if !said.iter().any(|&(known, pair)| known == rule || pair == materials) {
                said.push((rule, materials));
                report(season, found, &rules, hits);
            }
        }
    }
    in_one_tank(season, found, &rules, &sides);
}

fn rules<'j>(season: &Season<'j>) -> Vec<Pairing<'j, Rule<'j>>> {
    let journal = season.journal;
    let own = journal.materials.iter().flat_map(|material| {
        material.apart.iter().map(move |apart| {
            let what = apart.what.as_deref().unwrap_or(&material.named.name);
            (what, Rule { apart, material: Some(material), source: material.source })
        })
    });
    let limits = journal.limits.iter().flat_map(|limits| {
        limits.apart.iter().filter_map(move |apart| {
            Some((apart.what.as_deref()?, Rule { apart, material: None, source: limits.source }))
        })
    });
    own.chain(limits)
        .map(|(what, rule)| Pairing { what, with: rule.apart.from.iter().map(|from| &**from).collect(), rule })
        .collect()
}

/// One material of a spray on a block, as one side of a rule.
#[derive(Clone, Copy)]
struct Use<'j> {
    rule: usize,
    at: usize,
    side: usize,
    material: MaterialId,
    rows: Rows<'j>,
}

fn across_days(season: &Season<'_>, found: &mut Findings, rules: &[Pairing<'_, Rule<'_>>], sides: &Sides) -> Vec<Hit> {
    let mut uses: Vec<Use<'_>> = Vec::new();
    let mut last: [ByRows<'_, (usize, MaterialId)>; 2] = Default::default();
    found.on_blocks(season, MATERIALS_AND_RULES, |_, block, sprays| {
        let mut hits = Vec::new();
        uses.clear();
        for &at in sprays {
            let facts = &season.sprays[at];
            for dose in &facts.doses {
                for &(rule, side) in sides.of(dose.material) {
                    let material = dose.material;
                    uses.extend(rows_treated(facts.spray(season.journal), block).map(|rows| Use {
                        rule,
                        at,
                        side,
                        material,
                        rows,
                    }));
                }
            }
        }
        uses.sort_by_key(|one| (one.rule, one.at));
        for uses in uses.chunk_by(|one, other| one.rule == other.rule) {
            last.iter_mut().for_each(ByRows::clear);
            for uses in uses.chunk_by(|one, other| one.at == other.at) {
                for one in uses {
                    let other = last[1 - one.side].touching(one.rows).copied().filter(|known| known.1 != one.material);
                    let Some((earlier, material)) = other.max() else { continue };
                    if too_close(season, earlier, one.at, rules[one.rule].rule.apart.time) {
                        let materials = (one.material, material);
                        hits.push(Hit { later: one.at, earlier, rule: one.rule, materials, block });
                    }
                }
                for one in uses {
                    last[one.side].put(one.rows, (one.at, one.material), |_| true);
                }
            }
        }
        hits
    })
}

/// Days are counted on the calendar; anything that is not whole days in hours from end to start, where both are written.
fn too_close(season: &Season<'_>, earlier: usize, later: usize, asked: Exact) -> bool {
    let (earlier, later) = (&season.sprays[earlier], &season.sprays[later]);
    match scene::whole_days(asked) {
        Some(asked) => scene::between(earlier.start.local.date(), later.start.local.date()) < asked,
        None => {
            let timed = !earlier.end_assumed && !later.spray(season.journal).sessions.is_empty();
            timed && Exact::int(later.start.seconds - earlier.end.seconds) < asked
        }
    }
}

fn report(season: &Season<'_>, found: &mut Findings, rules: &[Pairing<'_, Rule<'_>>], hits: &[Hit]) {
    let hit = &hits[0];
    let rule = rules[hit.rule].rule;
    let (apart, keeper) = (rule.apart, whose::keeper(rule.is_pantrys(season)));
    let (later, earlier) = (&season.sprays[hit.later], &season.sprays[hit.earlier]);
    let (from, to) = (earlier.start.local.date(), later.start.local.date());
    let (second, first) = (say::material(season, hit.materials.0), say::material(season, hit.materials.1));
    let place = scene::named(season, hits.iter().map(|hit| hit.block));
    let gap = match scene::between(from, to) {
        0 => "on the same day as".to_string(),
        days => format!("{} after", scene::days(days)),
    };
    let asked = scene::whole_days(apart.time).map_or_else(|| scene::hours(apart.time), scene::days);
    let headline = format!("{second} went on {place} {gap} {first}; {keeper} keeps them {asked} apart");
    let mut finding = found
        .finding(later.spray(season.journal).at.line, headline)
        .here(format!("{second} here"))
        .label(earlier.spray(season.journal).at.line, format!("{first} here"))
        .label(apart.span, "kept apart here");
    if let Some(days) = scene::whole_days(apart.time)
        && let Some(clear) = u64::try_from(days).ok().and_then(|days| from.checked_add_days(chrono::Days::new(days)))
    {
        finding = finding.working(format!(
            "{} and {}: the earliest day is {}",
            say::day(from),
            scene::days(days),
            say::day(clear)
        ));
    }
    let finding = finding.help(
        "if the dates are right, look for injury to leaves and fruit in the next days, and note it; the product labels decide",
    );
    found.add(rule.behind(season, finding));
}

/// Two that are to be days apart, and are in one tank.
fn in_one_tank(season: &Season<'_>, found: &mut Findings, rules: &[Pairing<'_, Rule<'_>>], sides: &Sides) {
    let kept_out = KeptOut::new(season);
    let mut finder = sides.finder();
    each(season, found, MATERIALS_AND_RULES, |found, tank, ingredients| {
        finder.find(ingredients, |rule, one, other| {
            let said = dangerous_tank::together(season, one.material, other.material)
                || kept_out.names(season, one.material, other.material);
            if said {
                return;
            }
            let rule = rules[rule].rule;
            let (apart, keeper) = (rule.apart, whose::keeper(rule.is_pantrys(season)));
            let (here, there) = if one.own { (one, other) } else { (other, one) };
            let asked = scene::whole_days(apart.time).map_or_else(|| scene::hours(apart.time), scene::days);
            let names = (say::material(season, one.material), say::material(season, other.material));
            let headline = format!(
                "{} and {} are both in {}; {keeper} keeps them {asked} apart",
                names.0,
                names.1,
                tank.words(season)
            );
            let finding = found
                .finding(here.span, headline)
                .here(if matches!(tank, Tank::Mix(_)) { "in this mix" } else { "in this tank" })
                .label(there.span, "with this")
                .label(apart.span, "kept apart here")
                .help("spray them one after the other, as far apart as the rule asks; the product labels decide");
            found.add(rule.behind(season, finding));
        });
    });
}
