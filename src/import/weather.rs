//! The weather of a row, from its several columns.

use super::amounts::{Decimals, Said, leading_number, quantity};
use super::draft::{Draft, Line, reads};
use super::headings::flat;
use super::role::Role;
use super::rows::Rows;
use super::sheet::Value;
use crate::quantity::Dimension;

impl Rows<'_> {
    /// One `weather` line of what is understood; the rest as remarks, and in the note.
    pub(super) fn weather(&mut self, row: usize, draft: &mut Draft) {
        let mut items: Vec<String> = Vec::new();
        let mut settle = Vec::new();
        if let Some((column, cell)) = self.cell(row, Role::Temperature, 1) {
            let words = flat(&cell.words());
            match quantity(&words, column.unit.as_deref(), self.decimal(cell)) {
                Ok((Said::Amount(value, unit), doubt)) if unit.dimension() == Dimension::Temperature => {
                    items.push(value);
                    settle.extend(doubt);
                }
                Ok((Said::Bare(_), _)) => settle.push(format!("temperature `{words}`: F or C?")),
                _ => settle.push(format!("temperature `{words}` is not understood")),
            }
        }
        if let Some((column, cell)) = self.cell(row, Role::Wind, 1) {
            let from = self.cell(row, Role::WindFrom, 1).map(|(_, cell)| flat(&cell.words()));
            let words = flat(&cell.words());
            match wind(&words, from.as_deref(), column.unit.as_deref(), self.decimal(cell)) {
                Ok((item, doubt)) => {
                    items.push(item);
                    settle.extend(doubt);
                }
                Err(why) => {
                    let from = from.map(|from| format!(", from `{from}`")).unwrap_or_default();
                    settle.push(format!("wind {why}{from}"));
                }
            }
        } else if let Some((_, cell)) = self.cell(row, Role::WindFrom, 1) {
            settle.push(format!("wind from `{}`; its speed is not there", flat(&cell.words())));
        }
        if let Some((_, cell)) = self.cell(row, Role::Humidity, 1) {
            let words = flat(&cell.words());
            match quantity(&words, Some("%"), self.decimal(cell)) {
                // A cell that is shown as 74 % holds 0.74.
                Ok((Said::Amount(value, _), _))
                    if matches!(cell.value, Value::Number(_)) && value.starts_with("0.") =>
                {
                    settle.push(format!("humidity `{words}`: in percent?"));
                }
                Ok((Said::Amount(value, unit), doubt)) if unit.dimension() == Dimension::Share => {
                    items.push(format!("humidity {value}"));
                    settle.extend(doubt);
                }
                _ => settle.push(format!("humidity `{words}` is not understood")),
            }
        }
        if let Some((column, cell)) = self.cell(row, Role::Weather, 1) {
            let words = flat(&cell.words());
            // Whatever a `weather` line could say is said there, anything else in the note.
            match reads("weather", &words) && !words.starts_with(|digit: char| digit.is_ascii_digit()) {
                true => items.push(words),
                false => draft.notes.push(format!("{}: {words}", column.shown())),
            }
        }
        items.retain(|item| {
            let understood = reads("weather", item);
            if !understood {
                settle.push(format!("weather `{item}` cannot be written as it is"));
            }
            understood
        });
        if !items.is_empty() || !settle.is_empty() {
            draft.lines.push(Line { word: "weather", value: items.join(", "), settle });
        }
    }
}

/// `5 mph NW`, `NW 5`, `calm`: as the journal writes it.
fn wind(
    words: &str,
    from: Option<&str>,
    unit: Option<&str>,
    decimal: Decimals,
) -> Result<(String, Option<String>), String> {
    let lower = words.to_lowercase();
    if ["calm", "none", "still", "no wind"].contains(&lower.as_str()) {
        return Ok(("wind calm".to_string(), None));
    }
    let (first, last) = (words.split(' ').next().unwrap_or_default(), words.rsplit(' ').next().unwrap_or_default());
    let (bare, own) = match (compass(first), compass(last)) {
        (Some(from), _) => (words[first.len()..].trim_start(), Some(from)),
        (None, Some(from)) => (words[..words.len() - last.len()].trim_end(), Some(from)),
        (None, None) => (words, None),
    };
    let given = match from {
        Some(from) => Some(compass(from).ok_or_else(|| format!("`{words}`"))?),
        None => None,
    };
    let from = own.or(given).map(|from| format!(" {from}")).unwrap_or_default();
    if leading_number(bare.trim_start_matches('~').trim_start()).0.is_empty() {
        return Err(format!("`{words}` has no speed"));
    }
    match quantity(bare, unit, decimal)? {
        (Said::Amount(value, unit), doubt) if unit.dimension() == Dimension::Speed => {
            Ok((format!("wind {value}{from}"), doubt))
        }
        (Said::Bare(_), _) => Err(format!("`{words}`: mph, km/h or m/s?")),
        _ => Err(format!("`{words}` is not understood")),
    }
}

/// A direction as the journal writes it.
fn compass(words: &str) -> Option<String> {
    let letters: String = words.chars().filter(char::is_ascii_alphabetic).collect::<String>().to_uppercase();
    let spelled = letters.replace("NORTH", "N").replace("SOUTH", "S").replace("EAST", "E").replace("WEST", "W");
    let plain = words.chars().all(|letter| letter.is_ascii_alphabetic() || matches!(letter, '-' | '.' | ' '));
    let counts = (1..=3).contains(&spelled.len()) && spelled.bytes().all(|letter| b"NSEW".contains(&letter));
    (plain && counts).then_some(spelled)
}
