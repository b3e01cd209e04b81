//! Elements and the oxides that labels count them as.

use crate::quantity::Exact;

/// Standard atomic weights in thousandths (IUPAC, abridged): what an oxide's share of its element is worked out from.
const OXYGEN: i128 = 15_999;

/// An element and how it is written as an oxide: symbol, weight, oxide, atoms of it and of oxygen.
const OXIDES: &[(&str, i128, &str, i128, i128)] = &[
    ("P", 30_974, "P2O5", 2, 5),
    ("K", 39_098, "K2O", 2, 1),
    ("Ca", 40_078, "CaO", 1, 1),
    ("Mg", 24_305, "MgO", 1, 1),
    ("S", 32_060, "SO3", 1, 3),
    ("Si", 28_085, "SiO2", 1, 2),
];

const ELEMENTS: &[&str] = &["N", "P", "K", "Ca", "Mg", "S", "Fe", "B", "Cu", "Mn", "Zn", "Mo", "Si", "Na", "Cl"];

/// The element that a symbol stands for, and its weight in one weight of what is written: `P2O5` is phosphorus, 0.4364.
pub fn element_of(symbol: &str) -> Option<(&'static str, Exact)> {
    if let Some(element) = ELEMENTS.iter().find(|element| element.eq_ignore_ascii_case(symbol)) {
        return Some((element, Exact::ONE));
    }
    let (element, weight, _, atoms, oxygens) =
        OXIDES.iter().find(|(_, _, oxide, ..)| oxide.eq_ignore_ascii_case(symbol))?;
    Some((element, Exact::new(weight * atoms, weight * atoms + OXYGEN * oxygens)?))
}
