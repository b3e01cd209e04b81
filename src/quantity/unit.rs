//! Units by name.

use std::fmt;
use std::num::NonZeroU8;

use super::table::{Row, TABLE};
use super::{Dimension, Exact, ShareOf, System, names};

/// A unit of the table; one byte.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
// One more than the line, so that a missing amount takes no more room than an amount.
pub struct Unit(NonZeroU8);

impl Unit {
    /// The unit of that name. Case, spaces, full stops, hyphens, degree signs and plurals are forgiven: `Gal`,
    /// `gallons` and `gal.` are one unit.
    pub fn named(words: &str) -> Option<Unit> {
        names::named(words)
    }

    /// The unit that an unknown word is probably a slip for: at most one letter in three differs. A name that differs
    /// only in its digits is never offered.
    pub fn nearest(words: &str) -> Option<Unit> {
        names::nearest(words)
    }

    /// Every unit, in the order of the table.
    pub fn all() -> impl Iterator<Item = Unit> {
        (0..TABLE.len()).map(|index| Unit::at(index as u8))
    }

    /// The canonical word; [`Unit::named`] reads it back.
    pub fn word(self) -> &'static str {
        self.row().word
    }

    /// The word after a number: `1/3 cup`, `1 day`, `3 days`, `60 gal`. Reads back too.
    pub fn word_after(self, number: Exact) -> &'static str {
        if number.is_positive() && number <= Exact::ONE { self.row().word } else { self.row().many }
    }

    /// Other names that are understood.
    pub fn aliases(self) -> &'static [&'static str] {
        self.row().aliases
    }

    /// What it measures.
    pub fn dimension(self) -> Dimension {
        self.row().dimension
    }

    /// What a share is a share of; `None` for every other dimension.
    pub fn share_of(self) -> Option<ShareOf> {
        self.row().share_of
    }

    /// Plain `oz`: ounces of weight for dry materials, fluid ounces for liquids.
    pub fn is_plain_ounce(self) -> bool {
        self.dimension() == Dimension::Ounce
    }

    /// The systems it belongs to; empty for units that every system uses, such as hours.
    pub fn systems(self) -> &'static [System] {
        self.row().systems
    }

    /// Is it at home in that system?
    pub fn belongs_to(self, system: System) -> bool {
        self.systems().is_empty() || self.systems().contains(&system)
    }

    /// Base units in one of it, exactly: mL, g, m², m, s, K (a degree's size, not its zero), kPa, m/s, fraction of one.
    /// 1 for a plain ounce, which has no size.
    pub fn to_base(self) -> Exact {
        self.row().factor
    }

    /// Can an amount in it be said in the other unit? Shares only of the same thing, counts only of the same kind,
    /// plain ounces only as plain ounces.
    pub fn converts_to(self, other: Unit) -> bool {
        if self == other {
            return true;
        }
        match self.dimension() {
            Dimension::Count | Dimension::Ounce => false,
            dimension => dimension == other.dimension() && self.share_of() == other.share_of(),
        }
    }

    fn row(self) -> &'static Row {
        &TABLE[usize::from(self.0.get()) - 1]
    }

    /// The unit in that line of the table, which must exist.
    pub(super) const fn at(index: u8) -> Unit {
        match NonZeroU8::new(index + 1) {
            Some(line) => Unit(line),
            None => panic!("the table is longer than a unit can say"),
        }
    }
}

/// The line of the table with that word; a word that is not there does not compile.
const fn line(word: &str) -> Unit {
    let mut index = 0;
    while index < TABLE.len() {
        if same(TABLE[index].word.as_bytes(), word.as_bytes()) {
            return Unit::at(index as u8);
        }
        index += 1;
    }
    panic!("no such unit in the table")
}

const fn same(a: &[u8], b: &[u8]) -> bool {
    let mut at = 0;
    while at < a.len() && at < b.len() {
        if a[at] != b[at] {
            return false;
        }
        at += 1;
    }
    a.len() == b.len()
}

impl fmt::Display for Unit {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self.word())
    }
}

impl fmt::Debug for Unit {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "Unit({})", self.word())
    }
}

#[expect(missing_docs, reason = "the names say it; sizes are in the table")]
impl Unit {
    pub const GALLON: Unit = line("gal");
    pub const QUART: Unit = line("qt");
    pub const PINT: Unit = line("pt");
    pub const CUP: Unit = line("cup");
    pub const FL_OZ: Unit = line("fl oz");
    pub const TBSP: Unit = line("tbsp");
    pub const TSP: Unit = line("tsp");
    pub const DRY_PINT: Unit = line("dry pt");
    pub const BUSHEL: Unit = line("bushel");
    pub const IMP_GALLON: Unit = line("imp gal");
    pub const IMP_PINT: Unit = line("imp pt");
    pub const IMP_FL_OZ: Unit = line("imp fl oz");
    pub const MILLILITRE: Unit = line("mL");
    pub const LITRE: Unit = line("L");
    pub const HECTOLITRE: Unit = line("hL");
    pub const CUBIC_FOOT: Unit = line("cu ft");
    pub const CUBIC_METRE: Unit = line("m3");
    pub const OZ_WT: Unit = line("oz wt");
    pub const POUND: Unit = line("lb");
    pub const TON: Unit = line("ton");
    pub const LONG_TON: Unit = line("long ton");
    pub const MILLIGRAM: Unit = line("mg");
    pub const GRAM: Unit = line("g");
    pub const KILOGRAM: Unit = line("kg");
    pub const TONNE: Unit = line("tonne");
    pub const OZ: Unit = line("oz");
    pub const ACRE: Unit = line("acre");
    pub const SQ_FT: Unit = line("sq ft");
    pub const HECTARE: Unit = line("ha");
    pub const SQ_METRE: Unit = line("m2");
    pub const INCH: Unit = line("in");
    pub const FOOT: Unit = line("ft");
    pub const YARD: Unit = line("yd");
    pub const MILE: Unit = line("mile");
    pub const MILLIMETRE: Unit = line("mm");
    pub const CENTIMETRE: Unit = line("cm");
    pub const METRE: Unit = line("m");
    pub const KILOMETRE: Unit = line("km");
    pub const SECOND: Unit = line("s");
    pub const MINUTE: Unit = line("min");
    pub const HOUR: Unit = line("h");
    pub const DAY: Unit = line("day");
    pub const WEEK: Unit = line("week");
    pub const FAHRENHEIT: Unit = line("F");
    pub const CELSIUS: Unit = line("C");
    pub const PSI: Unit = line("psi");
    pub const BAR: Unit = line("bar");
    pub const KPA: Unit = line("kPa");
    pub const MPH: Unit = line("mph");
    pub const FT_PER_MIN: Unit = line("ft/min");
    pub const FT_PER_S: Unit = line("ft/s");
    pub const KM_PER_H: Unit = line("km/h");
    pub const M_PER_S: Unit = line("m/s");
    pub const KNOT: Unit = line("kn");
    pub const PERCENT: Unit = line("%");
    pub const PERCENT_BY_VOLUME: Unit = line("% v/v");
    pub const PERCENT_WEIGHT_IN_VOLUME: Unit = line("% w/v");
    pub const PERCENT_BY_WEIGHT: Unit = line("% w/w");
    pub const PPM: Unit = line("ppm");
    pub const GRAINS_PER_GALLON: Unit = line("gpg");
    pub const PH: Unit = line("pH");
    pub const TREE: Unit = line("tree");
    pub const SPRAY: Unit = line("spray");
    pub const EACH: Unit = line("each");
}
