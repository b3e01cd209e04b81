//! See the Markdown beside this file.

use rustc_hash::FxHashSet;

use super::wording::{hides, quote, same_material};
use super::{Ahead, Check, Findings};
use crate::finding::Level;
use crate::journal::{Journal, Trouble};
use crate::season::Season;
use crate::syntax::{EntryWord, FieldWord};

/// How far powders differ.
const SPREAD: &str = "New England Vegetable Management Guide (nevegetable.org): 2 to 6 level tablespoons make an ounce";

pub(super) const CHECK: Check = Check {
    code: "unsettled-ounce",
    level: Level::Error,
    ahead: Ahead::Job,
    summary: "An ounce that could be a weight or a volume",
    explain: include_str!("unsettled_ounce.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    let ounces = season.journal.troubles.iter().filter_map(|trouble| match *trouble {
        Trouble::UnsettledOunce { at, material } if !hides(season, at) => Some((material, at)),
        _ => None,
    });
    let materials = same_material(season, ounces);
    if materials.is_empty() {
        return;
    }
    let formless = formless(season.journal);
    for (id, uses) in materials {
        let named = &season.journal.material(id).named;
        // A form that is there and could not be read is reported where it stands.
        if !formless.contains(&named.entry.start) {
            continue;
        }
        let name = &named.name;
        let mut finding = found
            .finding(uses[0], format!("{} of {name} could be ounces of weight or fluid ounces", quote(season, uses[0])))
            .here("which ounce?")
            .label(named.span, "its entry says neither `form liquid` nor `form dry`");
        for &other in uses[1..].iter().take(4) {
            finding = finding.label(other, "here too");
        }
        if uses.len() > 5 {
            finding = finding.working(format!("{} amounts of it are written so", uses.len()));
        }
        let finding = finding
            .working("powders run 2 to 6 level tablespoons to the ounce of weight, and a fluid ounce is 2 tablespoons")
            .help("say `form liquid` or `form dry` in its entry; or write `oz wt` or `fl oz`")
            .source(SPREAD);
        found.add(finding);
    }
}

/// Where the entries of the materials start that say nothing of their form.
fn formless(journal: &Journal) -> FxHashSet<u32> {
    let lines = journal.troubles.iter().filter_map(|trouble| match trouble {
        Trouble::MissingFields { line, entry: EntryWord::Material, words } if words.contains(&FieldWord::Form) => {
            Some(line.start)
        }
        _ => None,
    });
    lines.collect()
}
