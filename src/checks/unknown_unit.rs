//! See the Markdown beside this file.

use rustc_hash::FxHashMap;

use super::wording::{either, hides, quoted};
use super::{Ahead, Check, Findings};
use crate::finding::Level;
use crate::journal::Trouble;
use crate::quantity::Unit;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "unknown-unit",
    level: Level::Error,
    ahead: Ahead::Job,
    summary: "A unit that nobody knows",
    explain: include_str!("unknown_unit.md"),
    run,
};

/// Whether a word can hardly mean another unit than this: a short one can (`mcg` is no slip for `mg`), and a wrong guess
/// would be a wrong dose.
fn is_slip(written: &str, unit: Unit) -> bool {
    const LEAST: usize = 4;
    let first = |word: &str| word.chars().next().map(|letter| letter.to_ascii_lowercase());
    written.chars().count() >= LEAST && first(written) == first(unit.word())
}

fn run(season: &Season<'_>, found: &mut Findings) {
    let mut meant: FxHashMap<&str, Vec<Unit>> = FxHashMap::default();
    for trouble in &season.journal.troubles {
        let &Trouble::UnknownUnit { at } = trouble else { continue };
        if hides(season, at) {
            continue;
        }
        let written = season.words(at);
        let near = meant.entry(written).or_insert_with(|| nearest(written));
        let finding = found.finding(at, format!("there is no unit called {}", quoted(written))).here("unknown unit");
        let finding = match near.as_slice() {
            [] => finding.help("write a unit as on a label or a jug: gal, fl oz, oz wt, lb, L, mL, g, acre, sq ft, ha"),
            [one] if is_slip(written, *one) => finding.help(format!("did you mean `{one}`?")).edit(at, one.word()),
            [one] => finding.help(format!("did you mean `{one}`?")),
            // A wrong guess would be a wrong dose, so the choice is the grower's.
            several => {
                let units: Vec<String> = several.iter().map(|unit| format!("`{unit}`")).collect();
                finding.help(format!("did you mean {}?", either(&units)))
            }
        };
        found.add(finding);
    }
}

/// The units that an unknown word is equally probably a slip for.
fn nearest(written: &str) -> Vec<Unit> {
    let Some(near) = Unit::nearest(written) else { return Vec::new() };
    let written = written.to_lowercase();
    let slips = |unit: Unit| {
        let names = std::iter::once(unit.word()).chain(unit.aliases().iter().copied());
        names.map(|name| strsim::damerau_levenshtein(&written, &name.to_lowercase())).min().unwrap_or(usize::MAX)
    };
    let least = slips(near);
    let rivals = Unit::all().filter(|&unit| unit != near && slips(unit) <= least);
    std::iter::once(near).chain(rivals).take(4).collect()
}
