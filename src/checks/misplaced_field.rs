//! See the Markdown beside this file.

use super::wording::{noun, with_article};
use super::{Ahead, Check, Findings};
use crate::finding::Level;
use crate::journal::Trouble;
use crate::season::Season;
use crate::syntax::SCHEMA;

pub(super) const CHECK: Check = Check {
    code: "misplaced-field",
    level: Level::Error,
    ahead: Ahead::Job,
    summary: "A field that the entry does not have",
    explain: include_str!("misplaced_field.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    for trouble in &season.journal.troubles {
        let &Trouble::MisplacedField { at, word, entry } = trouble else { continue };
        let kind = with_article(noun(entry));
        let homes: Vec<String> = SCHEMA
            .iter()
            .filter(|rule| rule.field(word).is_some())
            .map(|rule| format!("`{}`", rule.word.word()))
            .collect();
        let finding = found
            .finding(at, format!("{kind} has no field `{}`", word.word()))
            .here("not read here")
            .help(format!("`{}` stands under {}", word.word(), super::wording::either(&homes)));
        found.add(finding);
    }
}
