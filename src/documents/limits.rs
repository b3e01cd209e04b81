//! How much of each limit is used up on each block: season caps, and the strongest tank against a mix's limit.

use chrono::NaiveDate;
use serde::Serialize;

use super::book::Book;
use super::words::{count, day, percent};
use crate::checks::{CapUsed, caps_used, went_in};
use crate::journal::{BlockId, CapAmount, Journal, MixId, RateRange};
use crate::quantity::{Amount, Exact, Unit, show, show_apart};
use crate::season::{
    Dose, SprayFacts, TotalKind, contributions, counts_for, holds_for, limit_for, may_count, total_kind,
};

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
    /// Sprays that could not be counted, or of a tank, of which not all is known.
    pub missing: usize,
}

/// The season caps of everything that was used: block by block, and always for whole calendar years, whichever part of
/// the journal is shown.
pub(super) fn season_caps(book: &Book<'_>) -> Vec<LimitUsed> {
    let used = caps_used(book.season).into_iter().filter(|used| {
        let ends = (NaiveDate::from_ymd_opt(used.year, 1, 1), NaiveDate::from_ymd_opt(used.year, 12, 31));
        let (Some(first), Some(last)) = ends else { return true };
        book.scope.has_block(used.block)
            && book.scope.from.is_none_or(|from| from <= last)
            && book.scope.to.is_none_or(|to| first <= to)
    });
    used.filter_map(|used| cap_row(book, &used)).collect()
}

fn cap_row(book: &Book<'_>, used: &CapUsed<'_>) -> Option<LimitUsed> {
    let sum = used.sum?;
    let (share, said) = match used.cap.most {
        CapAmount::Sprays(most) => (
            sum.div(Exact::int(i64::from(most))),
            format!("{} of {}", sum.floor(), count(most as usize, "spray", "sprays")),
        ),
        CapAmount::PerArea(most, ground) => {
            // In the limit's own unit, with as many figures as it takes to tell the two apart.
            let (used, most_said) = show_apart(Amount::new(sum, most.unit), most);
            let per = if ground.value == Exact::ONE { ground.unit.word().to_string() } else { show(ground) };
            (sum.div(most.value), format!("{used} of {most_said} per {per}"))
        }
    };
    // A cap of nothing at all: any use passes it.
    let share = share.unwrap_or(Exact::int(if sum.is_positive() { 2 } else { 0 }));
    let percent = percent(share)?;
    Some(LimitUsed {
        block: book.block(used.block).to_string(),
        limit: book.words(used.cap.span),
        set_by: match used.material {
            Some(material) => book.material(material).to_string(),
            None => {
                let rules = book.journal().limits.iter().find(|limits| *limits.named.name == *used.whose);
                rules.map_or(used.whose, |rules| rules.named.shown()).to_string()
            }
        },
        when: used.year.to_string(),
        used: said,
        percent,
        bar: percent.min(100),
        over: share > Exact::ONE,
        missing: used.missing,
    })
}

/// The strongest tank that a block got, against a limit on tanks.
struct Strongest {
    share: Exact,
    value: Exact,
    day: NaiveDate,
    /// Whether some of what was in it is not known: it was at least this strong.
    at_least: bool,
}

/// A limit on all of a tank or on a class in it.
pub(super) struct TankLimit<'j> {
    pub range: &'j RateRange,
    pub class: Option<&'j str>,
    /// The mix that set it, for its own tanks alone.
    pub mix: Option<MixId>,
    pub set_by: &'j str,
    /// Limits of the same rules on the same class that are written for other crops.
    special: Vec<&'j RateRange>,
}

impl TankLimit<'_> {
    /// Whether it holds for a crop: one for all does not where the same rules have one for the crop itself.
    pub(super) fn holds_for(&self, crop: Option<&str>) -> bool {
        let special = || self.special.iter().any(|other| holds_for(&other.crops, crop));
        holds_for(&self.range.crops, crop) && !(self.range.crops.is_empty() && special())
    }
}

/// Limits on tanks, with the strongest tank of each block.
pub(super) fn tank_limits(book: &Book<'_>) -> Vec<LimitUsed> {
    limits_on_tanks(book.journal()).iter().flat_map(|limit| strongest(book, limit)).collect()
}

/// Every limit on tanks: of rules of the farm, then of mixes.
pub(super) fn limits_on_tanks(journal: &Journal) -> Vec<TankLimit<'_>> {
    let of_rules = journal.limits.iter().flat_map(|limits| {
        limits.totals.iter().map(|total| {
            let same = limits.totals.iter().filter(|other| other.class == total.class);
            let special = same.map(|other| &other.range).filter(|other| !other.crops.is_empty()).collect();
            let (range, class) = (&total.range, total.class.as_deref());
            TankLimit { range, class, mix: None, set_by: limits.named.shown(), special }
        })
    });
    let of_mixes = journal.mixes.iter().enumerate().filter_map(|(index, mix)| {
        let (range, set_by) = (mix.total.as_ref()?, mix.named.shown());
        Some(TankLimit { range, class: None, mix: Some(MixId::at(index)), set_by, special: Vec::new() })
    });
    of_rules.chain(of_mixes).collect()
}

/// The strongest tank of each block against a limit.
fn strongest(book: &Book<'_>, limit: &TankLimit<'_>) -> Vec<LimitUsed> {
    let journal = book.journal();
    let Some(most) = limit.range.most else { return Vec::new() };
    let kind = total_kind(most);
    let Some(bound) = limit_for(kind, most) else { return Vec::new() };
    let has_class = |dose: &Dose| limit.class.is_none_or(|class| journal.material(dose.material).is(class));
    let mut found: Vec<(Option<Strongest>, usize)> = Vec::new();
    found.resize_with(journal.blocks.len(), Default::default);
    for facts in book.sprays() {
        let spray = facts.spray(journal);
        let other_mix = limit.mix.is_some() && spray.mix.and_then(|used| used.mix.id) != limit.mix;
        if other_mix || !facts.doses.iter().any(has_class) {
            continue;
        }
        let (sum, at_least) = strength_of(book, facts, kind, has_class);
        for touched in &facts.touched {
            if !book.scope.has_block(touched.block) || !limit.holds_for(book.season.crop(touched.block)) {
                continue;
            }
            let (best, missing) = &mut found[touched.block.index()];
            *missing += usize::from(at_least);
            let Some((value, share)) = sum.and_then(|sum| Some((sum, sum.div(bound)?))) else {
                continue;
            };
            if best.as_ref().is_none_or(|best| best.value < value) {
                *best = Some(Strongest { share, value, day: spray.at.day, at_least });
            }
        }
    }
    let rows = found.into_iter().enumerate().filter_map(|(block, (best, missing))| {
        let best = best?;
        let percent = percent(best.share)?;
        let used = said(kind, best.value)?;
        Some(LimitUsed {
            block: book.block(BlockId::at(block)).to_string(),
            limit: limit_words(book, limit.range, limit.class),
            set_by: limit.set_by.to_string(),
            when: day(best.day),
            used: if best.at_least { format!("at least {used}") } else { used },
            percent,
            bar: percent.min(100),
            over: best.share > Exact::ONE,
            // The strongest itself says that it is not wholly known.
            missing: missing - usize::from(best.at_least),
        })
    });
    rows.collect()
}

/// How strong a tank was in the measure of a limit, of what is known of it; and whether something is not.
fn strength_of(
    book: &Book<'_>,
    facts: &SprayFacts,
    kind: TotalKind,
    has_class: impl Fn(&Dose) -> bool,
) -> (Option<Exact>, bool) {
    let (journal, spray) = (book.journal(), facts.spray(book.journal()));
    let Some(finished) = facts.finished else { return (None, true) };
    // What went in, with an amount that only rounds to the recipe's taken as the recipe's, as the checks do.
    let counted = facts.doses.iter().filter(|dose| has_class(dose) && may_count(journal, kind, dose.material));
    let counted: Vec<Dose> = counted
        .map(|dose| Dose { expected: went_in(book.season, spray, dose), measured: None, ..dose.clone() })
        .collect();
    let (mut sum, mut unknown) = (Some(Exact::ZERO), 0);
    for part in contributions(journal, &counted, finished) {
        match part.and_then(|part| counts_for(journal, kind, &part)) {
            Some(value) => sum = sum.and_then(|sum| sum.add(value)),
            None => unknown += 1,
        }
    }
    // Of a tank of which nothing is known nothing is said.
    let known = unknown == 0 || unknown < counted.len();
    (sum.filter(|_| known), unknown > 0 || sum.is_none())
}

pub(super) fn limit_words(book: &Book<'_>, range: &RateRange, class: Option<&str>) -> String {
    let written = book.words(range.span);
    match class {
        Some(class) if !written.contains(class) => format!("{class} {written}"),
        _ => written,
    }
}

/// The strength of a tank in the measure of its limit.
pub(super) fn said(kind: TotalKind, value: Exact) -> Option<String> {
    Some(match kind {
        TotalKind::Ounces => format!("{} oz per gal", value.figures(4)),
        TotalKind::Volume => show(Amount::from_base(value, Unit::PERCENT_BY_VOLUME)?),
        TotalKind::Weight => show(Amount::from_base(value, Unit::PERCENT_WEIGHT_IN_VOLUME)?),
    })
}
