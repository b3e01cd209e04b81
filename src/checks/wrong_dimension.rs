//! See the Markdown beside this file.

use super::wording::{either, hides, quote};
use super::{Ahead, Check, Findings};
use crate::finding::{Finding, Level};
use crate::journal::Trouble;
use crate::quantity::Dimension;
use crate::season::Season;
use crate::syntax::FieldWord;
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "wrong-dimension",
    level: Level::Error,
    ahead: Ahead::Job,
    summary: "A quantity of the wrong kind for its field",
    explain: include_str!("wrong_dimension.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    for trouble in &season.journal.troubles {
        let finding = match *trouble {
            Trouble::WrongDimension { at, field, found: measures, wanted } if !hides(season, at) => {
                wrong_unit(season, at, field, measures, wanted, found)
            }
            Trouble::NoUnit { at, field, wanted } if !hides(season, at) => {
                let quantity = quote(season, at);
                found
                    .finding(at, format!("{quantity} behind `{}` has no unit", field.word()))
                    .here(format!("needs {}", words(wanted)))
                    .help(format!("write the unit behind the number: {}", examples(wanted)))
            }
            _ => continue,
        };
        found.add(finding);
    }
}

fn wrong_unit(
    season: &Season<'_>,
    at: Span,
    field: FieldWord,
    measures: Dimension,
    wanted: &[Dimension],
    found: &Findings,
) -> Finding {
    let unit = quote(season, at);
    let finding = found
        .finding(at, format!("`{}` needs {}, but {unit} measures {}", field.word(), words(wanted), measures.word()))
        .here(format!("{} is needed here", words(wanted)));
    // A bare ounce is the one unit that is right but for a word.
    match measures {
        Dimension::Ounce if wanted.contains(&Dimension::Volume) => finding.help("write `fl oz` if it is fluid ounces"),
        Dimension::Ounce if wanted.contains(&Dimension::Mass) => {
            finding.help("write `oz wt` if it is ounces of weight")
        }
        _ => finding.help(format!("units that would do: {}", examples(wanted))),
    }
}

/// The dimensions in everyday words. A bare ounce is a weight or a volume, which are named by themselves.
fn words(wanted: &[Dimension]) -> String {
    let words: Vec<&str> =
        wanted.iter().filter(|&&dimension| dimension != Dimension::Ounce).map(|dimension| dimension.word()).collect();
    either(&words)
}

fn examples(wanted: &[Dimension]) -> String {
    let units: Vec<&str> = wanted
        .iter()
        .filter(|&&dimension| dimension != Dimension::Ounce)
        .map(|dimension| dimension.examples())
        .collect();
    units.join(", ")
}
