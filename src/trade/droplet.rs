//! Classes of droplet size, as labels, nozzle charts and rules name them.

/// A class of droplet size, the finest first.
///
/// Source of the classes and of their order: ANSI/ASAE S572, droplet size classification of spray nozzles; only accounts of
/// it were read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DropletClass {
    /// `XF`
    ExtremelyFine,
    /// `VF`
    VeryFine,
    /// `F`
    Fine,
    /// `M`
    Medium,
    /// `C`
    Coarse,
    /// `VC`
    VeryCoarse,
    /// `XC`
    ExtremelyCoarse,
    /// `UC`
    UltraCoarse,
}

use DropletClass::{Coarse, ExtremelyCoarse, ExtremelyFine, Fine, Medium, UltraCoarse, VeryCoarse, VeryFine};

impl DropletClass {
    /// Every class, the finest first.
    pub const ALL: &'static [DropletClass] =
        &[ExtremelyFine, VeryFine, Fine, Medium, Coarse, VeryCoarse, ExtremelyCoarse, UltraCoarse];

    /// Its name: `very fine`.
    pub const fn word(self) -> &'static str {
        match self {
            ExtremelyFine => "extremely fine",
            VeryFine => "very fine",
            Fine => "fine",
            Medium => "medium",
            Coarse => "coarse",
            VeryCoarse => "very coarse",
            ExtremelyCoarse => "extremely coarse",
            UltraCoarse => "ultra coarse",
        }
    }

    /// The finest class that some words name: `fine to medium` is fine, `VC` is very coarse. Letters alone count only as
    /// capitals. `None` where they name none.
    pub fn finest(words: &str) -> Option<DropletClass> {
        let mut finest: Option<DropletClass> = None;
        let mut before = "";
        for word in words.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty()) {
            if let Some(class) = class_of(before, word) {
                finest = Some(finest.map_or(class, |known| known.min(class)));
            }
            before = word;
        }
        finest
    }
}

/// The class of a word, by the word before it.
fn class_of(before: &str, word: &str) -> Option<DropletClass> {
    let after = |first: &str| before.eq_ignore_ascii_case(first);
    if word.eq_ignore_ascii_case("fine") {
        return Some(match () {
            () if after("extremely") => ExtremelyFine,
            () if after("very") => VeryFine,
            () => Fine,
        });
    }
    if word.eq_ignore_ascii_case("coarse") {
        return Some(match () {
            () if after("ultra") => UltraCoarse,
            () if after("extremely") => ExtremelyCoarse,
            () if after("very") => VeryCoarse,
            () => Coarse,
        });
    }
    if word.eq_ignore_ascii_case("medium") {
        return Some(Medium);
    }
    match word {
        "XF" => Some(ExtremelyFine),
        "VF" => Some(VeryFine),
        "F" => Some(Fine),
        "M" => Some(Medium),
        "C" => Some(Coarse),
        "VC" => Some(VeryCoarse),
        "XC" => Some(ExtremelyCoarse),
        "UC" => Some(UltraCoarse),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_finest_class_named_counts() {
        let all = DropletClass::ALL;
        assert!(all.is_sorted());
        for &class in all {
            assert_eq!(DropletClass::finest(class.word()), Some(class), "{}", class.word());
        }
        assert_eq!(DropletClass::finest("Fine to medium"), Some(Fine));
        assert_eq!(DropletClass::finest("VC-XC at 30 psi"), Some(VeryCoarse));
        assert_eq!(DropletClass::finest("very-fine"), Some(VeryFine));
        assert_eq!(DropletClass::finest("ultra-coarse"), Some(UltraCoarse));
        assert_eq!(DropletClass::finest("hollow cone, 68 f"), None);
    }
}
