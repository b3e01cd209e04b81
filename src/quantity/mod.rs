//! Words to exact numbers with a dimension: units, amounts, rates and how they are printed.
//!
//! Knows nothing of journals. Every number is an exact rational and every operation is checked; rounding happens only
//! when something is printed for people.
//!
//! Base units, in which [`Amount::base`] answers: mL, g, m², m, s, K, kPa, m/s; a share is a fraction of one (weight in
//! volume: g per mL); counts count themselves.

mod amount;
mod density;
mod digits;
mod dimension;
mod exact;
mod names;
mod number;
mod print;
mod rate;
mod rate_print;
mod table;
mod trouble;
mod unit;
mod words;

pub use amount::{Amount, finished_from_water};
pub use density::Density;
pub use dimension::{Dimension, Form, ShareOf, System};
pub use exact::Exact;
pub use print::{largest_units, show, show_apart, show_both, tidy};
pub use rate::{Basis, Per, Rate, Strength, WrittenShare};
pub use trouble::{FormTrouble, NumberTrouble, QuantityTrouble};
pub use unit::Unit;
