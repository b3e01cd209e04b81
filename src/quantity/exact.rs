//! Exact rational numbers whose every operation is checked.

use num_integer::Integer;
use num_rational::Ratio;
use num_traits::{CheckedAdd, CheckedMul, CheckedSub};

/// An exact rational number, always in lowest terms with a positive denominator.
///
/// An operation whose result does not fit in 128-bit parts gives `None`; it never wraps and never rounds.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
// The numerator is never `i128::MIN`, so that turning the sign cannot overflow.
pub struct Exact(Ratio<i128>);

#[allow(clippy::should_implement_trait, reason = "the operator traits cannot say that a result did not fit")]
impl Exact {
    /// 0
    pub const ZERO: Exact = Exact::int(0);
    /// 1
    pub const ONE: Exact = Exact::int(1);

    /// A whole number.
    pub const fn int(whole: i64) -> Exact {
        Exact(Ratio::new_raw(whole as i128, 1))
    }

    /// `num / den` in lowest terms; `None` when `den` is zero or a part does not fit.
    pub fn new(num: i128, den: i128) -> Option<Exact> {
        if den == 0 || num == i128::MIN || den == i128::MIN {
            return None;
        }
        Some(Exact(Ratio::new(num, den)))
    }

    /// `num / den` for tables of constants; both parts must be positive.
    pub(super) const fn constant(num: i128, den: i128) -> Exact {
        assert!(num > 0 && den > 0);
        let (mut a, mut b) = (num, den);
        while b != 0 {
            (a, b) = (b, a % b);
        }
        Exact(Ratio::new_raw(num / a, den / a))
    }

    /// `num / den` that the caller knows to be in lowest terms.
    pub(super) const fn lowest_terms(num: i128, den: i128) -> Exact {
        Exact(Ratio::new_raw(num, den))
    }

    fn kept(ratio: Ratio<i128>) -> Option<Exact> {
        (*ratio.numer() != i128::MIN).then_some(Exact(ratio))
    }

    fn whole(num: i128) -> Option<Exact> {
        Exact::kept(Ratio::new_raw(num, 1))
    }

    /// The number above the line, which carries the sign.
    pub fn numerator(self) -> i128 {
        *self.0.numer()
    }

    /// The number below the line, always positive.
    pub fn denominator(self) -> i128 {
        *self.0.denom()
    }

    /// Sum.
    pub fn add(self, other: Exact) -> Option<Exact> {
        if self.is_integer() && other.is_integer() {
            return Exact::whole(self.numerator().checked_add(other.numerator())?);
        }
        Exact::kept(self.0.checked_add(&other.0)?)
    }

    /// Difference.
    pub fn sub(self, other: Exact) -> Option<Exact> {
        if self.is_integer() && other.is_integer() {
            return Exact::whole(self.numerator().checked_sub(other.numerator())?);
        }
        Exact::kept(self.0.checked_sub(&other.0)?)
    }

    /// Product.
    pub fn mul(self, other: Exact) -> Option<Exact> {
        if self.is_integer() && other.is_integer() {
            return Exact::whole(self.numerator().checked_mul(other.numerator())?);
        }
        Exact::kept(self.0.checked_mul(&other.0)?)
    }

    /// Quotient; `None` when `other` is zero.
    pub fn div(self, other: Exact) -> Option<Exact> {
        self.mul(other.recip()?)
    }

    /// One over it; `None` for zero.
    pub fn recip(self) -> Option<Exact> {
        let (num, den) = (self.numerator(), self.denominator());
        match num {
            0 => None,
            // The parts stay in lowest terms; the sign moves above the line.
            1.. => Some(Exact::lowest_terms(den, num)),
            _ => Some(Exact::lowest_terms(-den, -num)),
        }
    }

    /// The number without its sign.
    pub fn abs(self) -> Exact {
        if self.is_negative() { self.neg() } else { self }
    }

    /// The number with its sign turned.
    pub fn neg(self) -> Exact {
        Exact::lowest_terms(-self.numerator(), self.denominator())
    }

    /// The greatest whole number not above it.
    pub fn floor(self) -> i128 {
        Integer::div_floor(&self.numerator(), &self.denominator())
    }

    /// The least whole number not below it.
    pub fn ceil(self) -> i128 {
        Integer::div_ceil(&self.numerator(), &self.denominator())
    }

    /// The nearest number that a float can hold: for formulas with roots and logarithms, never for an amount.
    pub fn to_f64(self) -> f64 {
        self.numerator() as f64 / self.denominator() as f64
    }

    /// Is it 0?
    pub fn is_zero(self) -> bool {
        self.numerator() == 0
    }

    /// Is it below 0?
    pub fn is_negative(self) -> bool {
        self.numerator() < 0
    }

    /// Is it above 0?
    pub fn is_positive(self) -> bool {
        self.numerator() > 0
    }

    /// Is it a whole number?
    pub fn is_integer(self) -> bool {
        self.denominator() == 1
    }
}

impl From<i64> for Exact {
    fn from(whole: i64) -> Exact {
        Exact::int(whole)
    }
}
