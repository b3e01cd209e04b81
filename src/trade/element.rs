//! Chemical elements, and how much of one is in its oxide: labels state phosphorus as P2O5 and potassium as K2O, soil
//! and tissue tests as P and K.

use crate::quantity::Exact;

/// Symbol, English name, atomic weight in millionths.
///
/// Conventional and abridged standard atomic weights of IUPAC (Commission on Isotopic Abundances and Atomic Weights,
/// table of 2021), as the `periodictable` package gives them. Only what spray materials are said to contain.
const ELEMENTS: &[(&str, &str, i64)] = &[
    ("H", "hydrogen", 1_008_000),
    ("B", "boron", 10_810_000),
    ("C", "carbon", 12_011_000),
    ("N", "nitrogen", 14_007_000),
    ("O", "oxygen", 15_999_000),
    ("Na", "sodium", 22_989_769),
    ("Mg", "magnesium", 24_305_000),
    ("Al", "aluminium", 26_981_538),
    ("Si", "silicon", 28_085_000),
    ("P", "phosphorus", 30_973_762),
    ("S", "sulfur", 32_060_000),
    ("Cl", "chlorine", 35_450_000),
    ("K", "potassium", 39_098_300),
    ("Ca", "calcium", 40_078_000),
    ("Mn", "manganese", 54_938_043),
    ("Fe", "iron", 55_845_000),
    ("Co", "cobalt", 58_933_194),
    ("Ni", "nickel", 58_693_400),
    ("Cu", "copper", 63_546_000),
    ("Zn", "zinc", 65_380_000),
    ("Se", "selenium", 78_971_000),
    ("Mo", "molybdenum", 95_950_000),
    ("I", "iodine", 126_904_470),
];

/// Oxide, its element, how many atoms of it, how many of oxygen.
const OXIDES: &[(&str, &str, i64, i64)] = &[
    ("P2O5", "P", 2, 5),
    ("K2O", "K", 2, 1),
    ("MgO", "Mg", 1, 1),
    ("CaO", "Ca", 1, 1),
    ("SO2", "S", 1, 2),
    ("SO3", "S", 1, 3),
    ("SO4", "S", 1, 4),
    ("PO4", "P", 1, 4),
    ("NO3", "N", 1, 3),
    ("Na2O", "Na", 2, 1),
    ("B2O3", "B", 2, 3),
    ("SiO2", "Si", 1, 2),
    ("Al2O3", "Al", 2, 3),
    ("MnO", "Mn", 1, 1),
    ("FeO", "Fe", 1, 1),
    ("Fe2O3", "Fe", 2, 3),
    ("CuO", "Cu", 1, 1),
    ("Cu2O", "Cu", 2, 1),
    ("ZnO", "Zn", 1, 1),
    ("MoO3", "Mo", 1, 3),
];

/// The element that a symbol or an oxide's formula stands for, and which share of it by weight that element is: `Mg` is
/// all magnesium, `P2O5` is phosphorus times 0.43643. Case is forgiven. `None` for anything else.
pub fn element_of(symbol: &str) -> Option<(&'static str, Exact)> {
    if let Some(&(element, ..)) = ELEMENTS.iter().find(|(known, ..)| known.eq_ignore_ascii_case(symbol)) {
        return Some((element, Exact::ONE));
    }
    let &(_, element, atoms, oxygens) = OXIDES.iter().find(|(oxide, ..)| oxide.eq_ignore_ascii_case(symbol))?;
    let own = weight(element)? * atoms;
    Exact::int(own).div(Exact::int(own + weight("O")? * oxygens)).map(|share| (element, share))
}

/// The symbol of an element by its English name: `copper` is `Cu`. Case and both spellings of sulfur and aluminium are
/// forgiven.
pub fn element_named(name: &str) -> Option<&'static str> {
    let name = match name.to_ascii_lowercase().as_str() {
        "sulphur" => "sulfur".to_string(),
        "aluminum" => "aluminium".to_string(),
        name => name.to_string(),
    };
    ELEMENTS.iter().find(|(_, known, _)| *known == name).map(|&(symbol, ..)| symbol)
}

/// The English name of an element by its symbol: `Cu` is copper. Case is forgiven.
pub fn element_name(symbol: &str) -> Option<&'static str> {
    ELEMENTS.iter().find(|(known, ..)| known.eq_ignore_ascii_case(symbol)).map(|&(_, name, _)| name)
}

fn weight(element: &str) -> Option<i64> {
    ELEMENTS.iter().find(|(known, ..)| *known == element).map(|&(.., weight)| weight)
}
