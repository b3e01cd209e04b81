//! Exact rational numbers whose every operation is checked.

use std::cmp::Ordering;
use std::fmt;

use num_integer::Integer;
use num_rational::Ratio;

/// An exact rational number, always in lowest terms with a positive denominator.
///
/// An operation whose result does not fit in 128-bit parts gives `None`; it never wraps and never rounds.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
// The numerator is never `i128::MIN`, so that turning the sign cannot overflow.
pub struct Exact {
    num: Part,
    den: Part,
}

/// A 128-bit part in two words: a journal holds millions of numbers, and this way each starts at any eighth byte.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
struct Part([u64; 2]);

impl Part {
    const fn new(part: i128) -> Part {
        Part([part as u64, (part >> 64) as u64])
    }

    const fn get(self) -> i128 {
        ((self.0[1] as i128) << 64) | self.0[0] as i128
    }
}

impl Ord for Exact {
    fn cmp(&self, other: &Exact) -> Ordering {
        if self.den == other.den {
            return self.numerator().cmp(&other.numerator());
        }
        let ratio = |number: &Exact| Ratio::new_raw(number.numerator(), number.denominator());
        ratio(self).cmp(&ratio(other))
    }
}

impl PartialOrd for Exact {
    fn partial_cmp(&self, other: &Exact) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl fmt::Debug for Exact {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "Exact({}/{})", self.numerator(), self.denominator())
    }
}

#[expect(clippy::should_implement_trait, reason = "the operator traits cannot say that a result did not fit")]
impl Exact {
    /// 0
    pub const ZERO: Exact = Exact::int(0);
    /// 1
    pub const ONE: Exact = Exact::int(1);

    /// A whole number.
    pub const fn int(whole: i64) -> Exact {
        Exact::lowest_terms(whole as i128, 1)
    }

    /// `num / den` in lowest terms; `None` when `den` is zero or a part does not fit.
    pub fn new(num: i128, den: i128) -> Option<Exact> {
        if den == 0 || num == i128::MIN || den == i128::MIN {
            return None;
        }
        let common = gcd(num, den) * den.signum();
        Some(Exact::lowest_terms(num / common, den / common))
    }

    /// `num / den` for tables of constants; both parts must be positive.
    pub(super) const fn constant(num: i128, den: i128) -> Exact {
        assert!(num > 0 && den > 0);
        let (mut a, mut b) = (num, den);
        while b != 0 {
            (a, b) = (b, a % b);
        }
        Exact::lowest_terms(num / a, den / a)
    }

    /// `num / den` that the caller knows to be in lowest terms.
    pub(super) const fn lowest_terms(num: i128, den: i128) -> Exact {
        Exact { num: Part::new(num), den: Part::new(den) }
    }

    /// The number above the line, which carries the sign.
    pub fn numerator(self) -> i128 {
        self.num.get()
    }

    /// The number below the line, always positive.
    pub fn denominator(self) -> i128 {
        self.den.get()
    }

    /// Sum.
    pub fn add(self, other: Exact) -> Option<Exact> {
        let (b, d) = (self.denominator(), other.denominator());
        let common = gcd(b, d);
        let (b_rest, d_rest) = (over(b, common), over(d, common));
        let num = self.numerator().checked_mul(d_rest)?.checked_add(other.numerator().checked_mul(b_rest)?)?;
        if num == i128::MIN {
            return None;
        }
        // Only what the denominators had in common can still cancel.
        let cancels = gcd(num, common);
        Some(Exact::lowest_terms(over(num, cancels), over(b, cancels).checked_mul(d_rest)?))
    }

    /// Difference.
    pub fn sub(self, other: Exact) -> Option<Exact> {
        self.add(other.neg())
    }

    /// Product.
    pub fn mul(self, other: Exact) -> Option<Exact> {
        let (a, b, c, d) = (self.numerator(), self.denominator(), other.numerator(), other.denominator());
        // Cancelled crosswise first, the product is in lowest terms and never larger than it must be.
        let (ad, cb) = (gcd(a, d), gcd(c, b));
        let num = over(a, ad).checked_mul(over(c, cb))?;
        let den = over(b, cb).checked_mul(over(d, ad))?;
        (num != i128::MIN).then_some(Exact::lowest_terms(num, den))
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

/// The greatest common divisor, in 64 bits when both fit: the common case, and several times faster.
fn gcd(a: i128, b: i128) -> i128 {
    let (a, b) = (a.unsigned_abs(), b.unsigned_abs());
    if a == 1 || b == 1 {
        return 1;
    }
    match (u64::try_from(a), u64::try_from(b)) {
        (Ok(a), Ok(b)) => i128::from(a.gcd(&b)),
        // A divisor of a part is no larger than the part, which fits.
        _ => a.gcd(&b) as i128,
    }
}

/// `part / divisor` where it divides; most often by one.
fn over(part: i128, divisor: i128) -> i128 {
    if divisor == 1 {
        return part;
    }
    // Division in 128 bits is a call; in 64 it is one instruction.
    match (i64::try_from(part), i64::try_from(divisor)) {
        (Ok(part), Ok(divisor)) => i128::from(part) / i128::from(divisor),
        _ => part / divisor,
    }
}

impl From<i64> for Exact {
    fn from(whole: i64) -> Exact {
        Exact::int(whole)
    }
}
