//! What a spray was for, from the words that growers write as its reason.

use crate::journal::{Material, Purpose};
use crate::season::{Season, SprayFacts};

/// Whether a spray was against something.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Against {
    /// Against a pest, a disease or weeds.
    Yes,
    /// For something else.
    No,
    /// The journal does not say, or not in words that are surely the one or the other.
    Unknown,
}

impl Against {
    /// The value for a condition that is written as true or false.
    pub const fn known(against: bool) -> Self {
        if against { Against::Yes } else { Against::No }
    }
}

/// Words of reasons that surely mean that something is fought. A spray with a `target` is against it, whatever its reason.
const FIGHTS: &[&str] = &[
    "against",
    "aphid",
    "aphids",
    "bacterial",
    "bactericide",
    "blight",
    "canker",
    "control",
    "disease",
    "diseases",
    "fungal",
    "fungicide",
    "fungus",
    "insect",
    "insecticide",
    "insects",
    "mildew",
    "mite",
    "mites",
    "mold",
    "mould",
    "pest",
    "pests",
    "rot",
    "rust",
    "scab",
    "weed",
    "weeds",
];

/// Words of reasons that surely mean something else.
const FEEDS: &[&str] = &[
    "biostimulant",
    "calcium",
    "color",
    "colour",
    "deficiency",
    "feed",
    "feeding",
    "fertiliser",
    "fertilizer",
    "foliar",
    "growth",
    "magnesium",
    "nutrient",
    "nutrients",
    "nutrition",
    "vigor",
    "vigour",
];

/// Whether a spray was against a pest, a disease or weeds, by its target and the words of its reason.
pub fn against(season: &Season<'_>, facts: &SprayFacts) -> Against {
    if facts.spray(season.journal).target.is_some() { Against::Yes } else { against_by_reason(season, facts) }
}

/// The same by the words of its reason alone.
pub fn against_by_reason(season: &Season<'_>, facts: &SprayFacts) -> Against {
    let Some(reason) = facts.spray(season.journal).reason else { return Against::Unknown };
    let reason = season.words(reason).to_lowercase();
    let has = |known: &[&str]| {
        reason.split(|letter: char| !letter.is_alphanumeric()).any(|word| known.binary_search(&word).is_ok())
    };
    match (has(FIGHTS), has(FEEDS)) {
        (true, false) => Against::Yes,
        (false, true) => Against::No,
        _ => Against::Unknown,
    }
}

/// Whether a material is used against a pest, a disease or weeds by its own `purpose`; unknown where it has none, or
/// serves for both.
pub fn own_purpose(material: &Material) -> Against {
    let fights = |purpose: &Purpose| matches!(purpose, Purpose::Pest | Purpose::Disease | Purpose::Weed);
    let mut purposes = material.purposes.iter().map(|purpose| fights(&purpose.value));
    match purposes.next() {
        Some(first) if purposes.all(|fights| fights == first) => Against::known(first),
        _ => Against::Unknown,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_sorted_for_the_search() {
        assert!(FIGHTS.is_sorted() && FEEDS.is_sorted());
    }
}
