//! See the Markdown beside this file.

use super::asked::MATERIALS;
use super::{Ahead, Check, Findings, When, say, scene, whose};
use crate::finding::{Finding, Level};
use crate::journal::{BlockId, Material, Reading, WeatherDay, WeatherKind, WeatherLimit};
use crate::quantity::{Amount, Exact, Unit, show_apart};
use crate::season::{By, Season, SprayFacts};
use crate::syntax::{EntryWord, FieldWord};
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "weather-outside-limits",
    level: Level::Warning,
    ahead: Ahead::Round(When::OnTheDay),
    summary: "Sprayed outside the weather limits",
    explain: include_str!("weather_outside_limits.md"),
    run,
};

const KINDS: [WeatherKind; 3] = [WeatherKind::Temperature, WeatherKind::Wind, WeatherKind::Humidity];

/// A reading outside a limit.
#[derive(Clone, Copy)]
struct Outside<'j> {
    reading: Amount,
    at: Span,
    limit: &'j WeatherLimit,
    bound: Amount,
    over: bool,
    /// How far outside, in base units.
    by: Exact,
    whose: Whose<'j>,
}

/// Whose limit it is.
#[derive(Clone, Copy)]
struct Whose<'j> {
    /// A material's name, or that of a set of limits.
    name: &'j str,
    material: Option<&'j Material>,
}

fn run(season: &Season<'_>, found: &mut Findings) {
    let journal = season.journal;
    let of_limits = journal.limits.iter().flat_map(|limits| {
        limits.within.iter().map(|limit| (limit, Whose { name: &limits.named.name, material: None }))
    });
    let farm: Vec<(&WeatherLimit, Whose<'_>)> = of_limits.collect();
    if farm.is_empty() && journal.materials.iter().all(|material| material.within.is_empty()) {
        return;
    }
    let mut days: Vec<&WeatherDay> = journal.weather.iter().filter(|day| !day.readings.is_empty()).collect();
    days.sort_by_key(|day| (day.at.day, day.at.entry));
    let hits =
        found.in_sprays(season, By { any: &[EntryWord::Limits, EntryWord::Weather], ..MATERIALS }, |_, facts| {
            let mut limits: Vec<(&WeatherLimit, Whose<'_>)> = Vec::new();
            for dose in &facts.doses {
                let material = journal.material(dose.material);
                let whose = Whose { name: &material.named.name, material: Some(material) };
                limits.extend(material.within.iter().map(|limit| (limit, whose)));
            }
            limits.extend(&farm);
            let worst = |kind| {
                readings(season, facts, &days)
                    .filter_map(|reading| measured(reading, kind))
                    .flat_map(|(reading, at)| {
                        limits.iter().filter_map(move |&(limit, whose)| outside(kind, reading, at, limit, whose))
                    })
                    .reduce(|worst, next| if next.by > worst.by { next } else { worst })
            };
            let kinds = KINDS.into_iter().filter(|_| !limits.is_empty());
            kinds.filter_map(|kind| Some((facts, kind, worst(kind)?))).collect::<Vec<_>>()
        });
    let places = |(facts, _, worst): &(&SprayFacts, WeatherKind, Outside<'_>)| match own_place(season, facts, worst) {
        Some(at) => (at, None),
        None => (facts.spray(season.journal).at.line, Some(worst.at)),
    };
    found.tell(season, &hits, places, |found, (facts, kind, worst)| Some(told(season, found, facts, *kind, worst)));
}

/// The spray's own readings, and those of the day's weather between its start and its end.
fn readings<'s>(
    season: &'s Season<'_>,
    facts: &'s SprayFacts,
    days: &'s [&'s WeatherDay],
) -> impl Iterator<Item = &'s Reading> {
    let spray = facts.spray(season.journal);
    let timed = !spray.sessions.is_empty() && !facts.end_assumed;
    let (from, to) = (facts.start.local.date(), facts.end.local.date());
    let first = days.partition_point(|day| day.at.day < from);
    let own = spray.weather.iter().filter(move |reading| {
        // A spray that was broken off was broken off because of what was read at the end of it.
        let at_end = timed && reading.clock.is_some_and(|clock| season.zone.written(clock, false).0 >= facts.end);
        !(spray.stopped.is_some() && at_end)
    });
    let of_days = days[first..].iter().take_while(move |day| timed && day.at.day <= to).filter(|day| {
        let named = |block: BlockId| facts.touched.iter().any(|touched| touched.block == block);
        day.ground.blocks.is_empty() || scene::ids(&day.ground.blocks).any(named)
    });
    let between = of_days.flat_map(|day| &day.readings).filter(move |reading| {
        reading.clock.is_some_and(|clock| {
            let moment = season.zone.written(clock, false).0;
            facts.start <= moment && (moment < facts.end || moment == facts.end && spray.stopped.is_none())
        })
    });
    own.chain(between)
}

fn measured(reading: &Reading, kind: WeatherKind) -> Option<(Amount, Span)> {
    match kind {
        WeatherKind::Temperature => reading.temperature.map(|written| (written.value, written.span)),
        WeatherKind::Wind => reading.wind.map(|written| (written.value, written.span)),
        WeatherKind::Humidity => {
            reading.humidity.map(|written| (Amount::new(written.value, Unit::PERCENT), written.span))
        }
    }
}

fn outside<'j>(
    kind: WeatherKind,
    reading: Amount,
    at: Span,
    limit: &'j WeatherLimit,
    whose: Whose<'j>,
) -> Option<Outside<'j>> {
    if limit.kind != kind {
        return None;
    }
    let base = reading.base()?;
    let found = |bound: Amount, over: bool| {
        let by = if over { base.sub(bound.base()?)? } else { bound.base()?.sub(base)? };
        by.is_positive().then_some(Outside { reading, at, limit, bound, over, by, whose })
    };
    limit.most.and_then(|most| found(most, true)).or_else(|| limit.least.and_then(|least| found(least, false)))
}

/// Where a reading stands that the spray's own entry has.
fn own_place(season: &Season<'_>, facts: &SprayFacts, worst: &Outside<'_>) -> Option<Span> {
    Some(worst.at).filter(|at| facts.spray(season.journal).at.entry.covers(*at))
}

fn told(season: &Season<'_>, found: &Findings, facts: &SprayFacts, kind: WeatherKind, worst: &Outside<'_>) -> Finding {
    let spray = facts.spray(season.journal);
    let place = scene::blocks(season, &spray.ground);
    let (mut reading, mut bound) = (say::amount(season, worst.reading), say::amount(season, worst.bound));
    // Two that differ never print equal.
    if reading == bound {
        (reading, bound) = show_apart(worst.reading, worst.bound);
    }
    let what = match kind {
        WeatherKind::Temperature => "the temperature",
        WeatherKind::Wind => "the wind",
        WeatherKind::Humidity => "the humidity",
    };
    let most = if worst.over { "at most" } else { "at least" };
    let headline = format!(
        "{what} was {reading} at the spray of {place} on {}; {} asks for {most} {bound}",
        say::day(facts.start.local.date()),
        worst.whose.name
    );
    let own = own_place(season, facts, worst);
    let mut finding = found.finding(own.unwrap_or(spray.at.line), headline);
    if own.is_none() {
        finding = finding.label(worst.at, "read here, during the spray");
    }
    let material = worst.whose.material;
    let source = if whose::is_pantrys(season, material) {
        whose::source(season, "the limit", material, FieldWord::Within, None)
    } else {
        "the limit is your own entry".to_string()
    };
    finding
        .label(worst.limit.span, "limit set here")
        .help("the product label decides; if it was right to go on, accept this with the reason")
        .source(source)
}
