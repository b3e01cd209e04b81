//! See the Markdown beside this file.

use rustc_hash::FxHashSet;

use super::wording::{noun, with_article};
use super::{Ahead, Check, Findings, say};
use crate::finding::Level;
use crate::journal::Trouble;
use crate::season::Season;
use crate::syntax::{EntryWord, FieldWord, entry_rule};
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "missing-field",
    level: Level::Error,
    ahead: Ahead::Job,
    summary: "An entry without a field that it means nothing without",
    explain: include_str!("missing_field.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    let mut ounces = None;
    for trouble in &season.journal.troubles {
        let Trouble::MissingFields { line, entry, words } = trouble else { continue };
        // A material whose bare ounces are asked about is asked for its form there.
        let asked = *entry == EntryWord::Material && words.as_slice() == [FieldWord::Form] && {
            let ounces = ounces.get_or_insert_with(|| asked_by_ounces(season));
            ounces.contains(&line.start)
        };
        if asked {
            continue;
        }
        let rule = entry_rule(*entry);
        let names: Vec<String> = words.iter().map(|word| format!("`{}`", word.word())).collect();
        let about = words.iter().filter_map(|word| rule.field(*word));
        let examples: Vec<String> = about.clone().map(|field| format!("`{}`", field.example)).collect();
        let mut finding = found
            .finding(*line, format!("{} says nothing without {}", with_article(noun(*entry)), say::list(&names)))
            .here(if words.len() == 1 { "one field is missing" } else { "some fields are missing" });
        for field in about {
            finding = finding.working(format!("`{}`: {}", field.word.word(), field.about.trim_end_matches('.')));
        }
        let finding = finding.help(format!("written like {}", say::list(&examples)));
        found.add(finding);
    }
}

/// Where the entries of the materials start of which there are bare ounces.
fn asked_by_ounces(season: &Season<'_>) -> FxHashSet<u32> {
    let ounces = season.journal.troubles.iter().filter_map(|trouble| match *trouble {
        Trouble::UnsettledOunce { at, material } => Some((material, at)),
        _ => None,
    });
    let materials: Vec<(_, Vec<Span>)> = super::wording::same_material(season, ounces);
    materials.iter().map(|(id, _)| season.journal.material(*id).named.entry.start).collect()
}
