//! Season caps: applications and amounts, added up by block and calendar year.

use chrono::{Datelike, NaiveDate};

use crate::journal::{BlockId, Cap, CapAmount, Content, ContentShare, Material, MaterialId};
use crate::quantity::{Exact, Unit};
use crate::season::{
    RowPart, RowParts, Rows, Season, SprayFacts, block_area, holds_for, like, row_share, rows_of, shares_on,
};
use crate::text::Span;
use crate::trade::{element_named, element_of};

use super::asked::TANK_AND_LIMITS;
use super::{Findings, written};
use crate::finding::Finding;

/// A cap, who set it, and where its number comes from.
#[derive(Clone, Copy)]
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
struct Tally<'j> {
    stamp: Option<(BlockId, i32)>,
    told: bool,
    /// What each part of the block got.
    parts: RowParts<Got>,
    entries: Vec<Entry<'j>>,
    /// Doses that count, and whose amount is not known.
    missing: usize,
}

/// What one part of a block got.
#[derive(Clone, Copy)]
struct Got {
    last: Option<NaiveDate>,
    sum: Option<Exact>,
}

impl Default for Got {
    fn default() -> Self {
        Self { last: None, sum: Some(Exact::ZERO) }
    }
}

/// An application that counted: which spray, which of its doses last, how much per area, and on which rows.
#[derive(Clone, Copy)]
pub(super) struct Entry<'j> {
    pub spray: usize,
    pub dose: usize,
    pub value: Exact,
    pub day: NaiveDate,
    pub rows: Rows<'j>,
}

/// A cap that is exceeded: by the last of its entries, and with what the year so far comes to.
pub(super) struct Exceeded<'a, 'j> {
    pub cap: &'a CapOf<'j>,
    pub block: BlockId,
    /// One of the rows on which it is, where not all rows of the block got the same.
    pub row: Option<u32>,
    pub year: i32,
    pub sum: Exact,
    /// Those that touched these trees, one a spray (one a day where sprays are counted).
    pub entries: Vec<Entry<'j>>,
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
    /// Applications, or the amount per the cap's area in the cap's unit, on the rows that got most; `None` where the sum
    /// does not fit.
    pub sum: Option<Exact>,
    /// Doses that count, and whose amount is not known.
    pub missing: usize,
}

/// What every block used of every cap in every calendar year, by cap in the order of the journal.
pub fn caps_used<'j>(season: &Season<'j>) -> Vec<CapUsed<'j>> {
    let mut used: Vec<CapUsed<'j>> = Vec::new();
    for sprays_counted in [true, false] {
        let caps = caps(season, sprays_counted);
        let mut sums = Sums::new(season, &caps);
        let mut done = |at: usize, tally: &Tally<'j>| {
            let (CapOf { cap, material, whose, .. }, Some((block, year))) = (caps[at], tally.stamp) else { return };
            let Some((_, sum)) = tally.most() else { return };
            used.push(CapUsed { cap, material, whose, block, year, sum, missing: tally.missing });
        };
        for (index, sprays) in season.by_block.iter().enumerate().filter(|_| !caps.is_empty()) {
            sums.add_up(BlockId::at(index), sprays, |_| {}, &mut done);
        }
    }
    used.sort_by_key(|used| (used.cap.span, used.block, used.year));
    used
}

/// Adds up all caps of one kind (sprays counted, or amounts), and tells the first application on each block and in each
/// year that goes over one.
pub(super) fn look(
    season: &Season<'_>,
    found: &mut Findings,
    sprays_counted: bool,
    tell: impl Fn(&Findings, Exceeded<'_, '_>) -> Option<Finding>,
) {
    let caps = caps(season, sprays_counted);
    if caps.is_empty() {
        return;
    }
    let mut sums = Sums::new(season, &caps);
    let findings = found.on_blocks(season, TANK_AND_LIMITS, |found, block, sprays| {
        let mut findings = Vec::new();
        sums.add_up(block, sprays, |exceeded| findings.extend(tell(found, exceeded)), |_, _| {});
        findings
    });
    findings.into_iter().for_each(|finding| found.add(finding));
}

/// Caps being added up, block by block.
struct Sums<'s, 'j> {
    season: &'s Season<'j>,
    caps: &'s [CapOf<'j>],
    /// For each material, the caps that it counts towards.
    counts: Vec<Vec<(usize, Counts<'j>)>>,
    /// For each cap, how far a block and year have come.
    tallies: Vec<Tally<'j>>,
}

impl<'s, 'j> Sums<'s, 'j> {
    fn new(season: &'s Season<'j>, caps: &'s [CapOf<'j>]) -> Self {
        let materials = 0..season.journal.materials.len();
        let counts = materials.map(|at| counts(season, caps, MaterialId::at(at))).collect();
        Self { season, caps, counts, tallies: caps.iter().map(|_| Tally::default()).collect() }
    }

    /// Adds up a block; hands over the first application in each year that goes over a cap, and each year when it is added
    /// up.
    fn add_up(
        &mut self,
        block: BlockId,
        sprays: &[usize],
        mut tell: impl FnMut(Exceeded<'_, 'j>),
        mut done: impl FnMut(usize, &Tally<'j>),
    ) {
        let Self { season, caps, counts, tallies } = self;
        let crop = season.crop(block);
        let mut here: Vec<usize> = Vec::new();
        for &at in sprays {
            let facts = &season.sprays[at];
            let day = facts.spray(season.journal).at.day;
            here.clear();
            for (place, dose) in facts.doses.iter().enumerate() {
                for &(cap, how) in &counts[dose.material.index()] {
                    if !applies(caps, cap, crop) {
                        continue;
                    }
                    let tally = &mut tallies[cap];
                    if tally.stamp != Some((block, day.year())) {
                        done(cap, tally);
                        tally.begin(block, day.year());
                    }
                    let entry = Entry { spray: at, dose: place, value: Exact::ONE, day, rows: None };
                    tally.count(season, entry, how, caps[cap].cap);
                    if !here.contains(&cap) {
                        here.push(cap);
                    }
                }
            }
            for &cap in &here {
                let tally = &mut tallies[cap];
                if let Some(exceeded) = tally.exceeded(&caps[cap]) {
                    tally.told = true;
                    tell(exceeded);
                }
            }
        }
        for (cap, tally) in tallies.iter_mut().enumerate() {
            done(cap, tally);
            tally.stamp = None;
        }
    }
}

impl<'j> Tally<'j> {
    fn begin(&mut self, block: BlockId, year: i32) {
        self.stamp = Some((block, year));
        self.told = false;
        self.parts.clear();
        self.entries.clear();
        self.missing = 0;
    }

    /// Counts a dose on all the ground of this block that the spray treated.
    fn count(&mut self, season: &Season<'j>, entry: Entry<'j>, how: Counts<'_>, cap: &Cap) {
        let Some((block, _)) = self.stamp else { return };
        let facts = &season.sprays[entry.spray];
        let spray = facts.spray(season.journal);
        let counted = match cap.most {
            CapAmount::Sprays(_) => None,
            CapAmount::PerArea(most, _) => Some(counted(season, facts, entry.dose, how, most.unit)),
        };
        let mut missing = false;
        for (ground, share) in shares_on(facts, spray, block) {
            let rows = rows_of(ground);
            let (CapAmount::PerArea(_, per), Some(counted)) = (cap.most, counted) else {
                self.spray(Entry { rows, ..entry });
                continue;
            };
            let per_area = || {
                let block = season.journal.block(block);
                // How large the rows are is known only of a block whose rows are; else they count as all of it.
                let (rows, part) = match row_share(block, ground).filter(|part| part.is_positive()) {
                    Some(part) => (rows, part.min(Exact::ONE)),
                    None => (None, Exact::ONE),
                };
                let area = block_area(block, spray.at.day)?.times(part)?;
                Some(Entry { value: counted?.mul(share?)?.div(area.ratio(per)?)?, rows, ..entry })
            };
            match per_area() {
                Some(entry) => self.amount(entry),
                None => missing = true,
            }
        }
        self.missing += usize::from(missing);
    }

    /// Tanks of one day on the same rows are one application.
    fn spray(&mut self, entry: Entry<'j>) {
        let mut new = false;
        self.parts.on(entry.rows, |got| {
            if got.last != Some(entry.day) {
                got.last = Some(entry.day);
                got.sum = got.sum.and_then(|sum| sum.add(Exact::ONE));
                new = true;
            }
        });
        if new {
            self.entries.push(entry);
        }
    }

    fn amount(&mut self, entry: Entry<'j>) {
        self.parts.on(entry.rows, |got| got.sum = got.sum.and_then(|sum| sum.add(entry.value)));
        self.entries.push(entry);
    }

    /// The rows that got most, and how much.
    fn most(&self) -> Option<(RowPart, Option<Exact>)> {
        self.stamp?;
        let mut parts = self.parts.iter().map(|(part, got)| (part, got.sum));
        let first = parts.next()?;
        // What does not fit is more than what does.
        let more = |one: Option<Exact>, than: Option<Exact>| than.is_some_and(|than| one.is_none_or(|one| one > than));
        Some(parts.fold(first, |most, part| if more(part.1, most.1) { part } else { most }))
    }

    fn exceeded<'a>(&self, cap: &'a CapOf<'j>) -> Option<Exceeded<'a, 'j>> {
        let (block, year) = self.stamp.filter(|_| !self.told)?;
        let (part, sum) = self.most()?;
        let most = match cap.cap.most {
            CapAmount::Sprays(most) => Exact::int(i64::from(most)),
            CapAmount::PerArea(most, _) => most.value,
        };
        let sum = sum.filter(|sum| *sum > most)?;
        let by_day = matches!(cap.cap.most, CapAmount::Sprays(_));
        let mut entries: Vec<Entry<'j>> = Vec::new();
        for entry in self.entries.iter().filter(|entry| part.is_of(entry.rows)) {
            match entries.last_mut() {
                Some(last) if by_day && last.day == entry.day => {}
                Some(last) if !by_day && last.spray == entry.spray => {
                    last.value = last.value.add(entry.value).unwrap_or(last.value);
                    last.dose = entry.dose;
                }
                _ => entries.push(*entry),
            }
        }
        Some(Exceeded { cap, block, row: part.one_row(), year, sum, entries })
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

/// How much of an element a dose holds, in grams; `None` where the amount or the content is not known.
pub(super) fn grams_of(season: &Season<'_>, facts: &SprayFacts, place: usize, element: &str) -> Option<Exact> {
    let (content, factor) = substance(season.journal.material(facts.doses[place].material), element)?;
    counted(season, facts, place, Counts::Content(content, factor), Unit::GRAM)
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

/// How much of what is capped a dose holds, in the unit of the cap.
fn counted(season: &Season<'_>, facts: &SprayFacts, place: usize, how: Counts<'_>, unit: Unit) -> Option<Exact> {
    let dose = &facts.doses[place];
    let amount = written::went_in(season, facts.spray(season.journal), dose)?;
    let counted = match how {
        Counts::Product => like(season.journal, dose.material, amount, unit)?,
        Counts::Unknown => return None,
        Counts::Content(content, factor) => match content.share {
            ContentShare::ByWeight(share) => {
                let weight = like(season.journal, dose.material, amount, Unit::GRAM)?;
                weight.times(share.mul(factor)?)?.in_unit(unit)?
            }
            ContentShare::PerVolume(density) => {
                let volume = like(season.journal, dose.material, amount, Unit::MILLILITRE)?;
                density.mass_of(volume)?.times(factor)?.in_unit(unit)?
            }
        },
    };
    Some(counted.value)
}
