//! How much of each limit is used up on each block: season caps, and the strongest tank against a mix's limit.

use chrono::{Datelike, NaiveDate};
use serde::Serialize;

use super::book::Book;
use super::shares::shares;
use super::totals::both_per_area;
use super::words::{day, percent};
use crate::journal::{BlockId, Cap, CapAmount, ContentShare, Material, MaterialId, RateRange};
use crate::quantity::{Amount, Dimension, Exact, Unit};
use crate::season::{
    Dose, SprayFacts, TotalKind, block_area, contributions, counts_for, holds_for, like, limit_for, total_kind,
};
use crate::trade::element_of;

/// A limit and how much of it a block has used.
#[derive(Clone, Debug, Serialize)]
pub struct LimitUsed {
    /// The block.
    pub block: String,
    /// What is limited, as written: `at most 5 lb of Cu per acre`.
    pub limit: String,
    /// Who set it: a material or a set of rules.
    pub set_by: String,
    /// The calendar year, or the day of the strongest tank.
    pub when: String,
    /// How much was used.
    pub used: String,
    /// How much of the limit that is, in whole percent.
    pub percent: i128,
    /// The same, at most 100: how long a bar is.
    pub bar: i128,
    /// Whether the limit is passed.
    pub over: bool,
    /// Sprays that could not be counted.
    pub missing: usize,
}

/// What a season cap counts.
struct Season<'c> {
    cap: &'c Cap,
    set_by: String,
    /// The material whose own entry sets it.
    own: Option<MaterialId>,
}

/// What was used of a cap on a block in a year.
#[derive(Clone, Copy)]
struct Used {
    year: i32,
    sprays: u32,
    /// In base units per m².
    dose: Exact,
    missing: usize,
}

/// The season caps of everything that was used, block by block.
pub(super) fn season_caps(book: &Book<'_>) -> Vec<LimitUsed> {
    let journal = book.journal();
    let of_materials = journal.materials.iter().enumerate().flat_map(|(id, material)| {
        let set_by = material.named.shown();
        material.season.iter().map(move |cap| Season { cap, set_by: set_by.to_string(), own: Some(MaterialId::at(id)) })
    });
    let of_rules = journal.limits.iter().flat_map(|limits| {
        let set_by = limits.named.shown();
        limits.season.iter().map(move |cap| Season { cap, set_by: set_by.to_string(), own: None })
    });
    let mut rows = Vec::new();
    for season in of_materials.chain(of_rules) {
        for block in book.blocks() {
            if holds_for(&season.cap.crops, book.season.crop(block)) {
                used(book, &season, block, &mut rows);
            }
        }
    }
    rows
}

fn used(book: &Book<'_>, season: &Season<'_>, block: BlockId, rows: &mut Vec<LimitUsed>) {
    let journal = book.journal();
    let mut years: Vec<Used> = Vec::new();
    for &at in &book.season.by_block[block.index()] {
        let facts = &book.season.sprays[at];
        let day = facts.spray(journal).at.day;
        let counted: Vec<&Dose> = facts.doses.iter().filter(|dose| counts(book, season, dose.material)).collect();
        if counted.is_empty() || !book.scope.has_day(day) {
            continue;
        }
        if years.last().is_none_or(|used| used.year != day.year()) {
            years.push(Used { year: day.year(), sprays: 0, dose: Exact::ZERO, missing: 0 });
        }
        let Some(used) = years.last_mut() else { continue };
        used.sprays += 1;
        let CapAmount::PerArea(most, _) = season.cap.most else { continue };
        for dose in counted {
            let dose = on_block(book, season, facts, dose, block, most.dimension());
            match dose.and_then(|dose| used.dose.add(dose)) {
                Some(sum) => used.dose = sum,
                None => used.missing += 1,
            }
        }
    }
    rows.extend(years.into_iter().filter_map(|used| cap_row(book, season, block, used)));
}

/// Whether a material counts towards a cap: by itself, by its class, or by what it contains.
fn counts(book: &Book<'_>, season: &Season<'_>, id: MaterialId) -> bool {
    let material = book.journal().material(id);
    match &season.cap.of {
        None => season.own == Some(id),
        Some(of) => material.is(&of.value) || contains(material, &of.value),
    }
}

fn contains(material: &Material, what: &str) -> bool {
    let of_element = |substance: &str| element_of(substance).map(|(element, _)| element);
    let wanted = of_element(what);
    material.contents.iter().any(|content| wanted.is_some() && of_element(&content.substance) == wanted)
        || material.actives.iter().any(|active| active.substance.eq_ignore_ascii_case(what))
}

/// What a dose puts on a block's ground of what the cap counts, in base units per m².
fn on_block(
    book: &Book<'_>,
    season: &Season<'_>,
    facts: &SprayFacts,
    dose: &Dose,
    block: BlockId,
    dimension: Dimension,
) -> Option<Exact> {
    let share = shares(book, facts)?
        .into_iter()
        .filter(|(known, _)| *known == block)
        .try_fold(Exact::ZERO, |sum, (_, share)| sum.add(share))?;
    let area = block_area(book.journal().block(block), facts.spray(book.journal()).at.day)?.base()?;
    let amount = dose.amount()?.times(share)?;
    let unit = if dimension == Dimension::Volume { Unit::MILLILITRE } else { Unit::GRAM };
    let whole = like(book.journal(), dose.material, amount, unit);
    let counted = match &season.cap.of {
        Some(of) if !book.journal().material(dose.material).is(&of.value) => {
            within(book.journal().material(dose.material), &of.value, whole?.value)?
        }
        _ => whole?.value,
    };
    counted.div(area)
}

/// Grams of an element or active ingredient in so many grams of a material.
fn within(material: &Material, what: &str, grams: Exact) -> Option<Exact> {
    let wanted = element_of(what).map(|(element, _)| element);
    let mut sum: Option<Exact> = None;
    let contents = material.contents.iter().filter_map(|content| {
        let (element, factor) = element_of(&content.substance)?;
        (Some(element) == wanted).then_some((content.share, factor))
    });
    let actives = material.actives.iter().filter(|active| active.substance.eq_ignore_ascii_case(what));
    for (share, factor) in contents.chain(actives.map(|active| (active.share, Exact::ONE))) {
        let part = match share {
            ContentShare::ByWeight(share) => grams.mul(share)?,
            ContentShare::PerVolume(density) => {
                grams.div(material.bridge()?.grams_per_ml())?.mul(density.grams_per_ml())?
            }
        };
        sum = Some(sum.unwrap_or(Exact::ZERO).add(part.mul(factor)?)?);
    }
    sum
}

fn cap_row(book: &Book<'_>, season: &Season<'_>, block: BlockId, used: Used) -> Option<LimitUsed> {
    let (share, said, missing) = match season.cap.most {
        CapAmount::Sprays(most) => {
            let share = Exact::new(i128::from(used.sprays), i128::from(most));
            (share, format!("{} of {most} sprays", used.sprays), 0)
        }
        CapAmount::PerArea(most, area) => {
            let limit = most.base()?.div(area.base()?)?;
            let said = both_per_area(book, used.dose, most.unit, None)?;
            (used.dose.div(limit), said, used.missing)
        }
    };
    // A cap of nothing at all: any use passes it.
    let share = share.unwrap_or(Exact::int(if used.sprays > 0 { 2 } else { 0 }));
    let percent = percent(share)?;
    Some(LimitUsed {
        block: book.block(block).to_string(),
        limit: book.words(season.cap.span),
        set_by: season.set_by.clone(),
        when: used.year.to_string(),
        used: said,
        percent,
        bar: percent.min(100),
        over: share > Exact::ONE,
        missing,
    })
}

/// The strongest tank that a block got, against a limit on tanks.
struct Strongest {
    share: Exact,
    value: Exact,
    day: NaiveDate,
}

/// Limits on all of a tank or on a class in it, with the strongest tank of each block.
pub(super) fn tank_limits(book: &Book<'_>) -> Vec<LimitUsed> {
    let journal = book.journal();
    let mut rows = Vec::new();
    for limits in &journal.limits {
        for total in &limits.totals {
            strongest(book, &total.range, total.class.as_deref(), None, limits.named.shown(), &mut rows);
        }
    }
    for (id, mix) in journal.mixes.iter().enumerate() {
        if let Some(total) = &mix.total {
            strongest(book, total, None, Some(id), mix.named.shown(), &mut rows);
        }
    }
    rows
}

fn strongest(
    book: &Book<'_>,
    range: &RateRange,
    class: Option<&str>,
    mix: Option<usize>,
    set_by: &str,
    rows: &mut Vec<LimitUsed>,
) {
    let journal = book.journal();
    let Some(most) = range.most else { return };
    let kind = total_kind(most);
    let Some(limit) = limit_for(kind, most) else { return };
    let mut found: Vec<(Option<Strongest>, usize)> = Vec::new();
    found.resize_with(journal.blocks.len(), Default::default);
    for facts in book.sprays() {
        let spray = facts.spray(journal);
        let used_mix = spray.mix.and_then(|used| used.mix.id).map(|mix| mix.index());
        let has_class = |dose: &Dose| class.is_none_or(|class| journal.material(dose.material).is(class));
        if mix.is_some() && used_mix != mix || !facts.doses.iter().any(has_class) {
            continue;
        }
        let sum = facts.finished.and_then(|finished| {
            let doses: Vec<Dose> = facts.doses.iter().filter(|dose| has_class(dose)).cloned().collect();
            contributions(journal, &doses, finished)
                .into_iter()
                .try_fold(Exact::ZERO, |sum, part| sum.add(counts_for(journal, kind, &part?)?))
        });
        for touched in &facts.touched {
            if !book.scope.has_block(touched.block) || !holds_for(&range.crops, book.season.crop(touched.block)) {
                continue;
            }
            let (best, missing) = &mut found[touched.block.index()];
            let Some((value, share)) = sum.and_then(|sum| Some((sum, sum.div(limit)?))) else {
                *missing += 1;
                continue;
            };
            if best.as_ref().is_none_or(|best| best.value < value) {
                *best = Some(Strongest { share, value, day: spray.at.day });
            }
        }
    }
    for (block, (best, missing)) in found.into_iter().enumerate() {
        let Some(best) = best else { continue };
        let (Some(percent), Some(used)) = (percent(best.share), said(kind, best.value)) else { continue };
        rows.push(LimitUsed {
            block: book.block(BlockId::at(block)).to_string(),
            limit: limit_words(book, range, class),
            set_by: set_by.to_string(),
            when: day(best.day),
            used,
            percent,
            bar: percent.min(100),
            over: best.share > Exact::ONE,
            missing,
        });
    }
}

fn limit_words(book: &Book<'_>, range: &RateRange, class: Option<&str>) -> String {
    let written = book.words(range.span);
    match class {
        Some(class) if !written.contains(class) => format!("{class} {written}"),
        _ => written,
    }
}

/// The strength of a tank in the measure of its limit.
fn said(kind: TotalKind, value: Exact) -> Option<String> {
    Some(match kind {
        TotalKind::Ounces => format!("{} oz per gal", value.figures(4)),
        TotalKind::Volume => crate::quantity::show(Amount::from_base(value, Unit::PERCENT_BY_VOLUME)?),
        TotalKind::Weight => crate::quantity::show(Amount::from_base(value, Unit::PERCENT_WEIGHT_IN_VOLUME)?),
    })
}
