//! What holds for a tank besides what is in it: water and pH, sprayer, protective equipment, intervals, weather, when to
//! break off. Everything is quoted from the journal; what is not recorded is said to be so.

use serde::Serialize;

use super::book::Book;
use super::phrases::{self, Both};
use super::phrases_mix::MIX;
use crate::journal::{MaterialId, PhRange, Spray, Stated, in_force};
use crate::quantity::{Amount, Exact, Unit};
use crate::season::SprayFacts;

/// Something that holds, and for which materials, crops or rules.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Care {
    /// What holds.
    pub what: Both,
    /// For what; empty where it is for all.
    pub of: Vec<String>,
    /// Whether it is not recorded.
    pub open: bool,
    /// Whether it is the longest of several intervals, which holds for the whole tank.
    pub longest: bool,
}

/// The water of a job.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Water {
    /// Its title.
    pub name: Option<String>,
    /// Its pH on the day.
    pub ph: Option<String>,
    /// Its hardness on the day.
    pub hardness: Option<String>,
}

/// The sprayer of a job.
#[derive(Clone, Debug, Serialize)]
pub struct Sprayer {
    /// Its title.
    pub name: Option<String>,
    /// What its tank holds.
    pub tank: Option<String>,
    /// How it applies, with which nozzles and droplets.
    pub about: Vec<String>,
    /// Its setup.
    pub setup: Option<String>,
    /// What it puts out by the calibration in force.
    pub output: Option<String>,
    /// When it was calibrated, or that it was not.
    pub calibrated: Both,
}

/// The materials of a tank, each once.
fn materials(facts: &SprayFacts) -> Vec<MaterialId> {
    let mut ids: Vec<MaterialId> = Vec::new();
    for dose in &facts.doses {
        if !ids.contains(&dose.material) {
            ids.push(dose.material);
        }
    }
    ids
}

/// One line for each thing that holds, with the names of all that it holds for.
fn gathered(facts: impl Iterator<Item = (Both, bool, Option<String>)>) -> Vec<Care> {
    let mut cares: Vec<Care> = Vec::new();
    for (what, open, of) in facts {
        match cares.iter_mut().find(|care| care.what == what && care.open == open) {
            Some(care) => care.of.extend(of.filter(|of| !care.of.contains(of))),
            None => cares.push(Care { what, of: of.into_iter().collect(), open, longest: false }),
        }
    }
    cares
}

pub(super) fn water(book: &Book<'_>, spray: &Spray) -> Water {
    let Some(used) = spray.water else { return Water::default() };
    let Some(id) = used.id else { return Water { name: Some(book.words(used.span)), ..Water::default() } };
    let water = book.journal().water(id);
    Water {
        name: Some(water.named.shown().to_string()),
        ph: in_force(&water.ph, spray.at.day).map(|ph| ph.value.figures(4)),
        hardness: in_force(&water.hardness, spray.at.day)
            .map(|hardness| book.amount(Amount::new(hardness.value, Unit::PPM))),
    }
}

pub(super) fn tank_ph(book: &Book<'_>, facts: &SprayFacts) -> Vec<Care> {
    let asked = materials(facts).into_iter().filter_map(|id| {
        let said = match book.journal().material(id).tank_ph?.value {
            PhRange { least: Some(least), most: Some(most) } => {
                Both::same(format!("{} - {}", least.figures(4), most.figures(4)))
            }
            PhRange { least: Some(least), .. } => MIX.ph_least.with(&[("ph", &Both::same(least.figures(4)))]),
            PhRange { most: Some(most), .. } => MIX.ph_most.with(&[("ph", &Both::same(most.figures(4)))]),
            PhRange { least: None, most: None } => return None,
        };
        Some((said, false, Some(book.material(id).to_string())))
    });
    gathered(asked)
}

pub(super) fn sprayer(book: &Book<'_>, spray: &Spray) -> Sprayer {
    let none = Sprayer {
        name: None,
        tank: None,
        about: Vec::new(),
        setup: book.some_words(spray.setup),
        output: None,
        calibrated: MIX.not_calibrated.said(),
    };
    let Some(used) = spray.rig else { return none };
    let Some(id) = used.id else { return Sprayer { name: Some(book.words(used.span)), ..none } };
    let rig = book.journal().rig(id);
    let setup = spray.setup.map(|span| book.season.words(span));
    let measured = book.season.calibrations.in_force(id, setup, spray.at.day);
    // Of several setups none is named, since it may be any; the latest says how long ago it was.
    let latest = measured.iter().max_by_key(|one| one.calibration.at.day);
    let calibrated = latest.map_or(MIX.not_calibrated.said(), |one| {
        let (on, day) = (one.calibration.at.day, phrases::day(one.calibration.at.day));
        match spray.at.day.signed_duration_since(on).num_days() {
            0 => MIX.calibrated_same_day.with(&[("day", &day)]),
            1 => MIX.calibrated_day_before.with(&[("day", &day)]),
            days => MIX.calibrated.with(&[("day", &day), ("days", &Both::same(days.to_string()))]),
        }
    });
    let only = if measured.len() == 1 { latest } else { None };
    Sprayer {
        name: Some(rig.named.shown().to_string()),
        tank: rig.tank.map(|tank| book.amount(tank.value)),
        about: [rig.method, rig.nozzles, rig.droplets].into_iter().filter_map(|span| book.some_words(span)).collect(),
        setup: none.setup.or_else(|| book.some_words(only?.calibration.setup)),
        output: only.and_then(|one| Some(one.output()?.show())),
        calibrated,
    }
}

pub(super) fn wear(book: &Book<'_>, facts: &SprayFacts) -> Vec<Care> {
    let worn = materials(facts).into_iter().map(|id| {
        let words = book.some_words(book.journal().material(id).protection);
        let open = words.is_none();
        (words.map_or_else(|| MIX.read_label.said(), Both::same), open, Some(book.material(id).to_string()))
    });
    gathered(worn)
}

pub(super) fn reentry(book: &Book<'_>, facts: &SprayFacts) -> Vec<Care> {
    let stated = materials(facts).into_iter().map(|id| {
        let stated = book.journal().material(id).reentry.map(|stated| stated.value);
        (stated, book.material(id).to_string())
    });
    longest_first(stated.collect())
}

pub(super) fn harvest(book: &Book<'_>, facts: &SprayFacts) -> Vec<Care> {
    let mut crops: Vec<Option<&str>> = Vec::new();
    for touched in &facts.touched {
        let crop = book.season.crop(touched.block);
        if !crops.contains(&crop) {
            crops.push(crop);
        }
    }
    let mut stated = Vec::new();
    for id in materials(facts) {
        for &crop in &crops {
            let interval = book.season.preharvest(id, crop).map(|interval| interval.time);
            let name = book.material(id);
            let of = match crop.filter(|_| crops.len() > 1) {
                Some(crop) => format!("{name} ({crop})"),
                None => name.to_string(),
            };
            stated.push((interval, of));
        }
    }
    longest_first(stated)
}

/// What is not recorded, which may be longer than any; then intervals, the longest first; then where none is stated.
fn longest_first(mut stated: Vec<(Option<Stated>, String)>) -> Vec<Care> {
    let rank = |stated: Option<Stated>| match stated {
        Some(Stated::For(_)) => (1, stated.and_then(Stated::seconds).map_or(Exact::ZERO, Exact::neg)),
        Some(Stated::NoneStated) => (2, Exact::ZERO),
        None => (0, Exact::ZERO),
    };
    stated.sort_by_key(|(stated, _)| rank(*stated));
    let longest = stated.iter().find_map(|(stated, _)| stated.filter(|stated| matches!(stated, Stated::For(_))));
    let longest = longest.map(phrases::stated);
    let mut cares = gathered(stated.into_iter().map(|(stated, of)| {
        let said = stated.map_or_else(|| MIX.read_label.said(), phrases::stated);
        (said, stated.is_none(), Some(of))
    }));
    for care in &mut cares {
        care.longest = longest.as_ref() == Some(&care.what);
    }
    cares
}

pub(super) fn weather(book: &Book<'_>, facts: &SprayFacts) -> Vec<Care> {
    let journal = book.journal();
    let own = materials(facts).into_iter().flat_map(|id| {
        let name = book.material(id).to_string();
        journal.material(id).within.iter().map(move |limit| (limit, name.clone()))
    });
    let farm = journal
        .limits
        .iter()
        .flat_map(|rules| rules.within.iter().map(move |limit| (limit, rules.named.shown().to_string())));
    gathered(own.chain(farm).map(|(limit, of)| {
        let words = book.words(limit.span);
        let word = limit.kind.word();
        let said = if words.starts_with(word) { words } else { format!("{word} {words}") };
        (Both::same(said), false, Some(of))
    }))
}

pub(super) fn stops(book: &Book<'_>) -> Vec<String> {
    book.journal().limits.iter().flat_map(|rules| &rules.stops).map(|span| book.words(*span)).collect()
}
