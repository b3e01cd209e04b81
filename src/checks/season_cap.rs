//! Season caps: applications and amounts, added up by block and calendar year.

use chrono::{Datelike, NaiveDate};

use crate::journal::{Block, BlockId, Cap, CapAmount, Content, ContentShare, Material, MaterialId, in_force};
use crate::quantity::{Amount, Exact, Unit};
use crate::season::{Season, SprayFacts, holds_for, like, share_on};
use crate::text::Span;
use crate::trade::{element_named, element_of};

use super::written;

/// A cap, who set it, and where its number comes from.
pub(super) struct CapOf<'j> {
    pub cap: &'j Cap,
    /// The material that set it, of which alone it speaks; none for the farm's rules.
    pub material: Option<MaterialId>,
    /// The name of the material or of the rules.
    pub whose: &'j str,
    pub source: Option<Span>,
}

/// How a material counts towards a cap.
#[derive(Clone, Copy)]
enum Counts<'j> {
    /// As it is.
    Product,
    /// By what is in it: how much, and how much of the capped substance that is.
    Content(&'j Content, Exact),
    /// By what is in it, and how much that is is not known.
    Unknown,
}

/// One cap on one block in one year.
#[derive(Default)]
struct Tally {
    stamp: Option<(BlockId, i32)>,
    told: bool,
    last: Option<NaiveDate>,
    sum: Option<Exact>,
    entries: Vec<Entry>,
    /// Doses that count, and whose amount is not known.
    missing: usize,
}

/// An application that counted: which spray, which of its doses last, how much per area.
#[derive(Clone, Copy)]
pub(super) struct Entry {
    pub spray: usize,
    pub dose: usize,
    pub value: Exact,
}

/// A cap that is exceeded: by the last of its entries, and with what the year so far comes to.
pub(super) struct Exceeded<'a, 'j> {
    pub cap: &'a CapOf<'j>,
    pub block: BlockId,
    pub year: i32,
    pub sum: Exact,
    pub entries: &'a [Entry],
}

/// What a block used of a cap in a calendar year.
#[derive(Clone, Copy, Debug)]
pub struct CapUsed<'j> {
    /// The cap.
    pub cap: &'j Cap,
    /// The material that set it; none for the farm's rules.
    pub material: Option<MaterialId>,
    /// The name of the material or of the rules.
    pub whose: &'j str,
    /// The block.
    pub block: BlockId,
    /// The year.
    pub year: i32,
    /// Applications, or the amount per the cap's area in the cap's unit; `None` where the sum does not fit.
    pub sum: Option<Exact>,
    /// Doses that count, and whose amount is not known.
    pub missing: usize,
}

/// What every block used of every cap in every calendar year, by cap in the order of the journal.
pub fn caps_used<'j>(season: &Season<'j>) -> Vec<CapUsed<'j>> {
    let mut used: Vec<CapUsed<'j>> = Vec::new();
    for sprays_counted in [true, false] {
        let caps = caps(season, sprays_counted);
        add_up(
            season,
            &caps,
            |_| {},
            |at, tally| {
                let (cap, (block, year)) = (&caps[at], tally.stamp?);
                let CapOf { cap, material, whose, .. } = *cap;
                used.push(CapUsed { cap, material, whose, block, year, sum: tally.sum, missing: tally.missing });
                Some(())
            },
        );
    }
    used.sort_by_key(|used| (used.cap.span, used.block, used.year));
    used
}

/// Adds up all caps of one kind (sprays counted, or amounts), and hands over the first application on each block and in
/// each year that goes over one.
pub(super) fn look(season: &Season<'_>, sprays_counted: bool, tell: impl FnMut(Exceeded<'_, '_>)) {
    add_up(season, &caps(season, sprays_counted), tell, |_, _| None);
}

/// Adds up caps; hands over the first application on each block and in each year that goes over one, and each block's
/// year when it is added up.
fn add_up<'j>(
    season: &Season<'j>,
    caps: &[CapOf<'j>],
    mut tell: impl FnMut(Exceeded<'_, 'j>),
    mut done: impl FnMut(usize, &Tally) -> Option<()>,
) {
    if caps.is_empty() {
        return;
    }
    let counts: Vec<Vec<(usize, Counts<'_>)>> =
        (0..season.journal.materials.len()).map(|at| counts(season, caps, MaterialId(at as u32))).collect();
    let mut tallies: Vec<Tally> = caps.iter().map(|_| Tally::default()).collect();
    let mut here: Vec<usize> = Vec::new();
    for (index, sprays) in season.by_block.iter().enumerate() {
        let block = BlockId(index as u32);
        let crop = season.crop(block);
        for &at in sprays {
            let facts = &season.sprays[at];
            let year = facts.spray(season.journal).at.day.year();
            here.clear();
            for (place, dose) in facts.doses.iter().enumerate() {
                for &(cap, how) in &counts[dose.material.index()] {
                    if !applies(caps, cap, crop) {
                        continue;
                    }
                    let entry = Entry { spray: at, dose: place, value: Exact::ONE };
                    let tally = &mut tallies[cap];
                    if tally.stamp != Some((block, year)) {
                        done(cap, tally);
                        tally.entries.clear();
                        *tally = Tally {
                            stamp: Some((block, year)),
                            sum: Some(Exact::ZERO),
                            entries: std::mem::take(&mut tally.entries),
                            ..Tally::default()
                        };
                    }
                    let counted = match caps[cap].cap.most {
                        CapAmount::Sprays(_) => tally.spray(entry, facts.spray(season.journal).at.day),
                        CapAmount::PerArea(most, ground) => per_area(season, facts, place, block, how, (most, ground))
                            .map(|value| {
                                tally.amount(Entry { value, ..entry });
                            }),
                    };
                    match counted {
                        Some(()) if !here.contains(&cap) => here.push(cap),
                        None if matches!(caps[cap].cap.most, CapAmount::PerArea(..)) => tally.missing += 1,
                        _ => {}
                    }
                }
            }
            for &cap in &here {
                let tally = &mut tallies[cap];
                let most = match caps[cap].cap.most {
                    CapAmount::Sprays(most) => Exact::int(i64::from(most)),
                    CapAmount::PerArea(most, _) => most.value,
                };
                let Some(sum) = tally.sum.filter(|sum| *sum > most && !tally.told) else { continue };
                tally.told = true;
                tell(Exceeded { cap: &caps[cap], block, year, sum, entries: &tally.entries });
            }
        }
    }
    for (cap, tally) in tallies.iter().enumerate() {
        done(cap, tally);
    }
}

impl Tally {
    /// Tanks of one day on one block are one application.
    fn spray(&mut self, entry: Entry, day: NaiveDate) -> Option<()> {
        if self.last == Some(day) {
            return None;
        }
        self.last = Some(day);
        self.sum = self.sum.and_then(|sum| sum.add(Exact::ONE));
        self.entries.push(entry);
        Some(())
    }

    fn amount(&mut self, entry: Entry) {
        self.sum = self.sum.and_then(|sum| sum.add(entry.value));
        match self.entries.last_mut().filter(|last| last.spray == entry.spray) {
            Some(last) => {
                last.value = last.value.add(entry.value).unwrap_or(last.value);
                last.dose = entry.dose;
            }
            None => self.entries.push(entry),
        }
    }
}

fn caps<'j>(season: &Season<'j>, sprays_counted: bool) -> Vec<CapOf<'j>> {
    let journal = season.journal;
    let own = journal.materials.iter().enumerate().flat_map(|(at, material)| {
        material.season.iter().map(move |cap| CapOf {
            cap,
            material: Some(MaterialId(at as u32)),
            whose: &material.named.name,
            source: material.source,
        })
    });
    let rules = journal.limits.iter().flat_map(|rules| {
        rules.season.iter().map(move |cap| CapOf {
            cap,
            material: None,
            whose: &rules.named.name,
            source: rules.source,
        })
    });
    own.chain(rules).filter(|one| matches!(one.cap.most, CapAmount::Sprays(_)) == sprays_counted).collect()
}

/// Towards which caps a material counts, and how.
fn counts<'j>(season: &Season<'j>, caps: &[CapOf<'j>], id: MaterialId) -> Vec<(usize, Counts<'j>)> {
    let material = season.journal.material(id);
    let mut counts = Vec::new();
    for (at, one) in caps.iter().enumerate() {
        if one.material.is_some_and(|own| own != id) {
            continue;
        }
        let sprays = matches!(one.cap.most, CapAmount::Sprays(_));
        let how = match &one.cap.of {
            // Of all materials together only applications can be counted.
            None => (one.material.is_some() || sprays).then_some(Counts::Product),
            Some(of) => match substance(material, season.words(of.span)) {
                Some((content, factor)) => Some(Counts::Content(content, factor)),
                // The metal is meant where a class is called like one; how much of it is in there is not known.
                None if element_named(&of.value).is_some() && !sprays => {
                    material.is(&of.value).then_some(Counts::Unknown)
                }
                None => material.is(&of.value).then_some(Counts::Product),
            },
        };
        counts.extend(how.map(|how| (at, how)));
    }
    counts
}

/// What a material holds of a substance: an active ingredient by its name, an element by its symbol (its oxides
/// included), or an element by its name if the material is of the class of that name.
fn substance<'j>(material: &'j Material, name: &str) -> Option<(&'j Content, Exact)> {
    if let Some(active) = material.actives.iter().find(|active| active.substance.eq_ignore_ascii_case(name)) {
        return Some((active, Exact::ONE));
    }
    let (element, factor) = match element_of(name) {
        Some(known) => known,
        None => (element_named(name).filter(|_| material.is(&name.to_lowercase()))?, Exact::ONE),
    };
    let holds = material.contents.iter().filter_map(|content| {
        let (known, share) = element_of(&content.substance)?;
        (known == element).then_some((content, share.div(factor)?))
    });
    // Stated as element and as oxide, it is there once.
    holds.max_by_key(|(_, share)| *share)
}

/// Whether a cap holds for a crop: one for all does not, where the same is capped for the crop itself.
fn applies(caps: &[CapOf<'_>], at: usize, crop: Option<&str>) -> bool {
    let one = &caps[at];
    if !one.cap.crops.is_empty() {
        return holds_for(&one.cap.crops, crop);
    }
    let same = |other: &CapOf<'_>| {
        other.whose == one.whose
            && other.material == one.material
            && other.cap.of.as_ref().map(|of| &of.value) == one.cap.of.as_ref().map(|of| &of.value)
    };
    !caps.iter().any(|other| !other.cap.crops.is_empty() && same(other) && holds_for(&other.cap.crops, crop))
}

/// How much of what is capped a dose brought to the whole of a block, per the area of the cap, in its unit.
fn per_area(
    season: &Season<'_>,
    facts: &SprayFacts,
    place: usize,
    block: BlockId,
    how: Counts<'_>,
    (most, ground): (Amount, Amount),
) -> Option<Exact> {
    let spray = facts.spray(season.journal);
    let dose = &facts.doses[place];
    let amount = written::went_in(season, spray, dose)?;
    let counted = match how {
        Counts::Product => like(season.journal, dose.material, amount, most.unit)?,
        Counts::Unknown => return None,
        Counts::Content(content, factor) => match content.share {
            ContentShare::ByWeight(share) => {
                let weight = like(season.journal, dose.material, amount, Unit::GRAM)?;
                weight.times(share.mul(factor)?)?.in_unit(most.unit)?
            }
            ContentShare::PerVolume(density) => {
                let volume = like(season.journal, dose.material, amount, Unit::MILLILITRE)?;
                density.mass_of(volume)?.times(factor)?.in_unit(most.unit)?
            }
        },
    };
    let block_area = in_force(&area_of(season, block).areas, spray.at.day)?.value;
    counted.value.mul(share_on(facts, spray, block)?)?.div(block_area.ratio(ground)?)
}

fn area_of<'j>(season: &Season<'j>, block: BlockId) -> &'j Block {
    season.journal.block(block)
}
