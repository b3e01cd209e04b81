//! The quantity stage against published numbers, a units library and its own laws.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod laws;
mod names;
mod numbers;
mod printing;
mod published;
mod published_wrong;
mod rates;
mod reference;

use foliary::quantity::{Amount, Density, Exact, Rate, Unit};

pub fn number(words: &str) -> Exact {
    Exact::parse(words).unwrap_or_else(|trouble| panic!("{words}: {trouble}"))
}

pub fn amount(words: &str) -> Amount {
    Amount::parse(words).unwrap_or_else(|trouble| panic!("{words}: {trouble}"))
}

pub fn unit(words: &str) -> Unit {
    Unit::named(words).unwrap_or_else(|| panic!("{words}: no such unit"))
}

pub fn rate(words: &str) -> Rate {
    Rate::parse(words).unwrap_or_else(|trouble| panic!("{words}: {trouble}"))
}

pub fn density(words: &str) -> Density {
    Density::parse(words).unwrap_or_else(|trouble| panic!("{words}: {trouble}"))
}
