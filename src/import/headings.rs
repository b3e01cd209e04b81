//! Headings: which row they are in, and what each column holds by its heading.

use super::amounts::{Said, leading_number, rate_unit, with_unit};
use super::mapping::{Column, Sureness};
use super::role::{ROLES, Role};
use super::sheet::Sheet;
use crate::quantity::{Dimension, Unit};

/// The rows from the top in which headings are looked for.
const LOOKED_AT: usize = 40;

/// The row of the headings, as a place in the list: the one in which the most columns are known.
pub(super) fn heading_row(sheet: &Sheet) -> Option<usize> {
    let known = |row: usize| {
        let mut roles: Vec<Role> = sheet.rows[row]
            .iter()
            .filter(|cell| !cell.is_empty())
            .map(|cell| understood(&cell.words()))
            .filter(|known| known.sure != Sureness::Guess)
            .map(|known| known.role)
            .collect();
        roles.sort_unstable();
        roles.dedup();
        roles.len()
    };
    let best = (0..sheet.rows.len().min(LOOKED_AT)).rev().max_by_key(|&row| known(row))?;
    (known(best) >= 2).then_some(best)
}

/// What a heading is taken for.
pub(super) struct Known {
    pub(super) role: Role,
    pub(super) unit: Option<String>,
    pub(super) part: u32,
    pub(super) sure: Sureness,
}

/// The columns of a sheet by their headings. A role that a sheet can have once is given to the heading that fits best;
/// the others go into the note. `material` says which material a heading names, if it names one.
pub(super) fn columns(sheet: &Sheet, row: usize, material: &dyn Fn(&str) -> Option<String>) -> Vec<Column> {
    let mut columns: Vec<Column> = Vec::new();
    for (place, cell) in sheet.rows[row].iter().enumerate() {
        let heading = flat(&cell.words());
        let known = understood(&heading);
        let (name, unit) = without_unit(&heading);
        let own = (known.sure != Sureness::Sure && !heading.is_empty()).then(|| material(&name)).flatten();
        columns.push(match own {
            // A column for each ingredient, its name in the heading.
            Some(material) => Column {
                of: Some(material),
                is: Role::Amount,
                unit,
                sure: Sureness::Likely,
                ..Column::new(place, heading)
            },
            None => Column {
                is: known.role,
                unit: known.unit,
                part: if known.role.is_of_ingredient() { known.part } else { 1 },
                sure: known.sure,
                ..Column::new(place, heading)
            },
        });
    }
    // A column beyond the last heading still has its cells.
    let width = sheet.rows[row..].iter().map(Vec::len).max().unwrap_or_default();
    columns.extend((columns.len()..width).map(|place| Column::new(place, String::new())));
    for column in &mut columns {
        let is_water = column.is == Role::Volume && plain(&column.heading) == "water";
        if is_water && !has_numbers(sheet, row + 1, column.place()) {
            column.is = Role::Water;
        }
    }
    settle_doubles(&mut columns);
    columns
}

/// Whether a cell of a column begins with a number.
fn has_numbers(sheet: &Sheet, from: usize, column: usize) -> bool {
    (from..sheet.rows.len())
        .any(|row| !leading_number(sheet.cell(row, column).words().trim_start_matches('~')).0.is_empty())
}

/// `Material`, `Rate`, `Material`, `Rate` are two ingredients; two dates are one too many.
fn settle_doubles(columns: &mut [Column]) {
    for text in ROLES {
        let same: Vec<usize> =
            (0..columns.len()).filter(|&at| columns[at].is == text.role && columns[at].of.is_none()).collect();
        if matches!(text.role, Role::Note | Role::Leave) || same.len() < 2 {
            continue;
        }
        if text.role.is_of_ingredient() {
            let mut seen: Vec<u32> = Vec::new();
            for at in same {
                // A unit belongs to what stands before it, an amount and a rate may both have one.
                if seen.contains(&columns[at].part) && text.role != Role::Unit {
                    columns[at].part = seen.iter().max().map_or(1, |most| most + 1);
                }
                seen.push(columns[at].part);
            }
            continue;
        }
        let best = same.iter().copied().min_by_key(|&at| (columns[at].sure, at)).unwrap_or_default();
        for at in same.into_iter().filter(|&at| at != best) {
            (columns[at].is, columns[at].unit, columns[at].sure) = (Role::Note, None, Sureness::Guess);
        }
    }
    // A unit is that of the ingredient whose amount or rate stands before it.
    let mut part = 1;
    for column in columns {
        match column.is {
            Role::Amount | Role::Rate | Role::Material => part = column.part,
            Role::Unit => column.part = part,
            _ => {}
        }
    }
}

/// What a heading says.
pub(super) fn understood(heading: &str) -> Known {
    let heading = flat(heading);
    let nothing = Known { role: Role::Note, unit: None, part: 1, sure: Sureness::Guess };
    if heading.is_empty() {
        return nothing;
    }
    // `Gallons`, `oz/gal`, `lbs`: the unit is the heading.
    let as_unit = role_of_unit(&heading);
    let whole = by_words(&heading).filter(|(_, sure)| *sure == Sureness::Sure);
    let (name, unit) = if whole.is_some() { (heading.clone(), None) } else { without_unit(&heading) };
    let (name, part) = without_number(&name);
    if let Some((role, sure)) = by_words(&name) {
        let unit = unit.or_else(|| as_unit.as_ref().filter(|(own, _)| *own == role).map(|(_, unit)| unit.clone()));
        let unit = unit.or_else(|| named_unit(&heading, role));
        // `Water F` is no volume.
        if plain(&name) == "water" && unit.as_deref().is_some_and(|unit| !is_volume(unit)) {
            return nothing;
        }
        // `Amount per acre` is no amount of the whole job.
        let role = if role == Role::Amount && per(&heading).is_some() { Role::Rate } else { role };
        let unit = unit.filter(|unit| role != Role::Rate || per(&heading) != Some(unit.to_lowercase()));
        return Known { role, unit, part, sure };
    }
    match as_unit {
        Some((role, unit)) => Known { role, unit: Some(unit), part: 1, sure: Sureness::Likely },
        None => nothing,
    }
}

/// What a heading says that something is counted by: `acre` of `Amount (oz) per acre`.
pub(super) fn per(heading: &str) -> Option<String> {
    let lower = heading.to_lowercase();
    let bare = lower.split(['(', '[']).enumerate().map(|(at, part)| match at {
        0 => part,
        _ => part.split_once([')', ']']).map_or("", |(_, behind)| behind),
    });
    let bare = flat(&bare.collect::<String>());
    bare.split_once(" per ").map(|(_, per)| per.to_string())
}

/// The words of a heading, one space between.
pub(super) fn flat(heading: &str) -> String {
    heading.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Lower case, letters and digits only.
fn plain(words: &str) -> String {
    let spaced: String =
        words.chars().map(|letter| if letter.is_alphanumeric() { letter } else { ' ' }).collect::<String>();
    flat(&spaced.to_lowercase())
}

fn by_words(name: &str) -> Option<(Role, Sureness)> {
    let name = plain(name);
    if name.is_empty() {
        return None;
    }
    let all = || ROLES.iter().flat_map(|text| text.headings.iter().map(move |phrase| (text.role, *phrase)));
    if let Some((role, _)) = all().find(|(_, phrase)| *phrase == name) {
        return Some((role, Sureness::Sure));
    }
    // As a whole only: `Water temp` is something else.
    if name == "water" {
        return Some((Role::Volume, Sureness::Likely));
    }
    let holds = |phrase: &str| name.ends_with(&format!(" {phrase}")) || name.starts_with(&format!("{phrase} "));
    if let Some((role, _)) = all().filter(|(_, phrase)| holds(phrase)).max_by_key(|(_, phrase)| phrase.len()) {
        return Some((role, Sureness::Likely));
    }
    // A slip of the hand: one letter in four.
    all()
        .filter(|(_, phrase)| phrase.len() > 3 && phrase.len().abs_diff(name.len()) <= 2)
        .map(|(role, phrase)| (strsim::damerau_levenshtein(phrase, &name), role, phrase.len()))
        .filter(|(distance, _, length)| distance * 4 <= *length)
        .min_by_key(|(distance, ..)| *distance)
        .map(|(_, role, _)| (role, Sureness::Guess))
}

/// `Rate (oz/gal)`, `Temp F`, `Amount, lb`: the heading without its unit, and the unit.
fn without_unit(heading: &str) -> (String, Option<String>) {
    if let Some(open) = heading.find(['(', '[']) {
        let inside = heading[open + 1..].split([')', ']']).next().unwrap_or_default().trim();
        let before = heading[..open].trim_end();
        if is_unit(inside) {
            // `Rate per acre (oz)`.
            let lower = before.to_ascii_lowercase();
            if let Some(at) = lower.find(" per ").or_else(|| lower.find('/'))
                && let Some(rate) = rate_unit(&format!(
                    "{inside} per {}",
                    before[at..].trim_start_matches([' ', '/']).trim_start_matches("per ")
                ))
            {
                return (before[..at].to_string(), Some(rate));
            }
            return (before.to_string(), Some(inside.to_string()));
        }
        return (format!("{before} {inside}"), None);
    }
    for mark in [", ", " - ", " in ", " "] {
        for (at, _) in heading.match_indices(mark) {
            let (before, behind) = (&heading[..at], &heading[at + mark.len()..]);
            if is_unit(behind) && by_words(before).is_some_and(|(_, sure)| sure != Sureness::Guess) {
                return (before.to_string(), Some(behind.to_string()));
            }
        }
    }
    (heading.to_string(), None)
}

fn is_unit(words: &str) -> bool {
    !words.is_empty() && with_unit("1", words).is_some()
}

fn is_volume(unit: &str) -> bool {
    match with_unit("1", unit) {
        Some(Said::Amount(_, unit)) => unit.dimension() == Dimension::Volume,
        // So much per area is told apart where the cells are read.
        Some(Said::Rate(..)) => true,
        _ => false,
    }
}

/// `Product 2`, `Material #2`: the name and the number.
fn without_number(name: &str) -> (String, u32) {
    let bare = name.trim_end_matches(|letter: char| letter.is_ascii_digit());
    let number = name[bare.len()..].parse().ok().filter(|number| (1..100).contains(number));
    match number {
        Some(number) if !bare.is_empty() => (bare.trim_end_matches([' ', '#', '-', '_']).to_string(), number),
        _ => (name.to_string(), 1),
    }
}

/// What a heading that is nothing but a unit is about.
fn role_of_unit(heading: &str) -> Option<(Role, String)> {
    if let Some(rate) = rate_unit(heading) {
        return Some((Role::Rate, rate));
    }
    let unit = Unit::named(heading)?;
    let role = match unit.dimension() {
        // A letter or two may stand for anything.
        _ if heading.len() < 2 => return None,
        Dimension::Mass | Dimension::Ounce => Role::Amount,
        Dimension::Volume => Role::Volume,
        Dimension::Area => Role::Area,
        Dimension::Speed => Role::Wind,
        Dimension::Temperature => Role::Temperature,
        _ => return None,
    };
    Some((role, unit.word().to_string()))
}

/// The unit that a word of the heading names, where the role has one: `Total gallons`, `Acres treated`.
fn named_unit(heading: &str, role: Role) -> Option<String> {
    let wanted = match role {
        Role::Volume => Dimension::Volume,
        Role::Area => Dimension::Area,
        _ => return None,
    };
    heading
        .split_whitespace()
        .filter_map(Unit::named)
        .find(|unit| unit.dimension() == wanted)
        .map(|unit| unit.word().to_string())
}
