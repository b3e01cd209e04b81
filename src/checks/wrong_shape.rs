//! See the Markdown beside this file.

use super::wording::{hides, quote};
use super::{Ahead, Check, Findings};
use crate::finding::Level;
use crate::journal::Trouble;
use crate::season::Season;
use crate::syntax::{FieldWord, SCHEMA};

pub(super) const CHECK: Check = Check {
    code: "wrong-shape",
    level: Level::Error,
    ahead: Ahead::Job,
    summary: "A quantity in the right units that its field cannot take",
    explain: include_str!("wrong_shape.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    for trouble in &season.journal.troubles {
        let (at, field, why) = match *trouble {
            Trouble::WrongShape { at, field } => (at, field, reason(field, &season.words(at).to_lowercase())),
            Trouble::Impossible { at, field, why } => (at, field, why),
            _ => continue,
        };
        if hides(season, at) {
            continue;
        }
        let finding =
            found.finding(at, format!("`{}` cannot take {}: {why}", field.word(), quote(season, at))).here("not read");
        let example = SCHEMA.iter().find_map(|rule| rule.field(field)).map(|rule| rule.example);
        let words = season.words(at).trim();
        let finding = match example {
            _ if of_what(field, words) => {
                finding.help(format!("write `{words} v/v` if it is by volume, `{words} w/v` if it is weight in volume"))
            }
            _ if field == FieldWord::Season => {
                finding.help("write it like `season at most 4 sprays` or `season at most 5 lb of Cu per acre`")
            }
            Some(example) => finding.help(format!("write it like `{example}`")),
            None => finding,
        };
        found.add(finding);
    }
}

/// Why a field cannot take a quantity, told from its words.
fn reason(field: FieldWord, words: &str) -> &'static str {
    if let Some(why) = by_field(field, words) {
        return why;
    }
    let has = |word: &str| words.split_whitespace().any(|part| part == word);
    match words {
        _ if words.starts_with('-') => "it is less than nothing",
        _ if words.starts_with("none stated") => "a quantity is asked for",
        _ if has("to") && !words.starts_with("up to") => "it takes one number, not a range",
        _ if words.starts_with("at most") || words.starts_with("at least") || words.starts_with("up to") => {
            "it takes the number itself, not a limit"
        }
        _ if words.contains(':') => "it takes an amount, not one in so many",
        _ if has("per") => "it takes an amount by itself, not an amount per something",
        _ if has("on") => "it is the same for all crops",
        _ if has("from") => "it does not change on a day",
        _ if has("of") => "it is not counted by what is in it",
        _ => "it is no such quantity",
    }
}

/// Whether it is a bare percentage where a strength is asked for.
fn of_what(field: FieldWord, words: &str) -> bool {
    matches!(field, FieldWord::Rate | FieldWord::Published | FieldWord::Put | FieldWord::Total) && words.ends_with('%')
}

/// What only some fields ask for.
fn by_field(field: FieldWord, words: &str) -> Option<&'static str> {
    let has = |word: &str| words.split_whitespace().any(|part| part == word);
    Some(match field {
        FieldWord::Rig | FieldWord::Water | FieldWord::Crop | FieldWord::Program => "it takes one name",
        FieldWord::Density | FieldWord::Weighs if !has("per") && !words.contains('/') => {
            "it takes a weight per volume, and the volume is not said"
        }
        FieldWord::Output if !has("per") && !words.contains('/') => {
            "it takes a volume per area, and the area is not said"
        }
        FieldWord::Make if !words.starts_with("up to") => "it says up to how much is made",
        FieldWord::In | FieldWord::Into if words.starts_with("up to") => "only `make` goes up to a volume",
        FieldWord::Season if !words.starts_with("at most") => "a season has a limit, which begins `at most`",
        FieldWord::Season => "it limits whole sprays, or an amount per area",
        _ if of_what(field, words) => {
            "it is not said what it is a share of: `% v/v` by volume, or `% w/v` weight in volume"
        }
        FieldWord::Total if !words.starts_with(|first: char| first.is_ascii_digit()) && !words.starts_with("at ") => {
            "a mix has one total, and classes have theirs under `limits`"
        }
        FieldWord::Rate | FieldWord::Published | FieldWord::Total
            if !has("per") && !words.contains(['/', ':', '%']) =>
        {
            "it is not said per how much: per gal, per 100 gal, per acre"
        }
        FieldWord::Mix if words.starts_with("at ") => "only `up to` may stand in front of the volume",
        FieldWord::Mix => "a program says its volume in a `volume` line of its own",
        FieldWord::Put if words.starts_with(',') => "a recipe is for every lot; the spray says which one went in",
        FieldWord::Price if has("per") => {
            "it takes the money, without a unit, and per how much: a weight, a volume or `each`"
        }
        FieldWord::Price => "it is not said per how much: per lb, per gal, per 50 lb",
        FieldWord::Paid => "it takes the money as a number without a unit",
        FieldWord::Dilute if !has("per") => "it is not said per how much: per 1000 cu ft of canopy, or per acre",
        FieldWord::TankPh => "it takes `at least`, `at most`, or two numbers with `to` between, without a unit",
        FieldWord::Source => "nothing stands behind the colon",
        FieldWord::Course => "it takes the distance driven",
        FieldWord::Bloom | FieldWord::Severity | FieldWord::Weather | FieldWord::Reading
            if !words.starts_with("at ") && words.contains('%') && !has("to") =>
        {
            "nothing is more than 100 %"
        }
        FieldWord::Incidence | FieldWord::FruitSet => "no more can be found than were looked at, and at least one",
        FieldWord::Ph => "it takes a number without a unit",
        FieldWord::Brix => "it is counted in % or brix",
        FieldWord::Within => "it needs `at most`, `at least`, or two numbers with `to` between",
        FieldWord::Apart => "rules of the farm name both sides: `sulfur 14 days from oil`",
        FieldWord::Never => "rules of the farm name both sides: `sulfur with oil`",
        _ => return None,
    })
}
