//! What went into the tank, from the columns of a row.

use super::amounts::{Decimals, Quantity, Said, quantity, with_unit};
use super::draft::{Draft, Ingredient, Line};
use super::headings::{flat, per};
use super::mapping::Column;
use super::names::several;
use super::role::Role;
use super::rows::Rows;
use super::sheet::Cell;
use crate::quantity::Dimension;

/// How the cell of a material begins where nothing was sprayed: common practice, no source.
const NO_SPRAY: &[&str] =
    &["no spray", "no application", "not sprayed", "did not spray", "didn't spray", "skipped", "rained out"];

/// The same in a word, alone or with the reason behind a mark: `none - wind`.
const NOTHING: &[&str] = &["none", "nothing", "nil", "n/a"];

/// Whether the cell of a material says that nothing was sprayed. In lower case.
fn is_no_spray(said: &str) -> bool {
    let alone = |words: &str| {
        let behind = said.strip_prefix(words).map(str::trim_start);
        behind.is_some_and(|rest| {
            rest.is_empty() || rest.starts_with(['-', '\u{2013}', '\u{2014}', ',', ';', ':', '(', '.'])
        })
    };
    NO_SPRAY.iter().any(|words| said.starts_with(words)) || NOTHING.iter().any(|words| alone(words))
}

/// What a row says about how much of something went in.
struct Dose<'a> {
    role: Role,
    words: String,
    unit: Option<String>,
    cell: &'a Cell,
    heading: String,
}

impl Dose<'_> {
    /// The quantity; `4 oz` below `Amount per acre` is a rate.
    fn said(&self, decimal: Decimals) -> Result<Quantity, String> {
        let (said, doubt) = quantity(&self.words, self.unit.as_deref(), decimal)?;
        let rate = match (&said, per(&self.heading).filter(|_| self.role == Role::Rate)) {
            (Said::Amount(value, unit), Some(per)) => {
                let number = value.strip_suffix(unit.word()).unwrap_or(value).trim();
                with_unit(number, &format!("{} per {per}", unit.word()))
            }
            _ => None,
        };
        Ok((rate.unwrap_or(said), doubt))
    }
}

impl Rows<'_> {
    /// The materials of a row with what is said of each.
    pub(super) fn ingredients(&mut self, row: usize, draft: &mut Draft) {
        let mapping = self.mapping;
        let mut parts: Vec<u32> =
            mapping.columns.iter().filter(|column| column.is.is_of_ingredient()).map(|column| column.part).collect();
        parts.sort_unstable();
        parts.dedup();
        for part in parts {
            self.part(row, part, draft);
        }
        for column in mapping.columns.iter().filter(|column| column.of.is_some()) {
            self.column_of(row, column, draft);
        }
    }

    /// A column that is about one material alone. A blank, a nought or a stroke says that none went in.
    fn column_of(&mut self, row: usize, column: &Column, draft: &mut Draft) {
        let Some(material) = &column.of else { return };
        let cell = self.sheet.cell(row, column.place());
        let words = flat(&cell.words());
        if words.is_empty() || ["0", "-", "\u{2013}", "no", "none", "x 0"].contains(&words.to_lowercase().as_str()) {
            return;
        }
        let name = self.find("material", material).name().to_string();
        let dose = Dose { role: column.is, words, unit: column.unit.clone(), cell, heading: column.shown() };
        let lines = vec![self.dose(row, &name, &dose, None)];
        draft.ingredients.push(Ingredient { name, lines });
    }

    fn part(&mut self, row: usize, part: u32, draft: &mut Draft) {
        let mut doses = Vec::new();
        for role in [Role::Rate, Role::Amount] {
            let Some((column, cell)) = self.cell(row, role, part) else { continue };
            let unit = self.unit_beside(row, column).or_else(|| column.unit.clone());
            doses.push(Dose { role, words: flat(&cell.words()), unit, cell, heading: column.shown() });
        }
        let lot = self.cell(row, Role::Lot, part).map(|(_, cell)| flat(&cell.words()));
        let Some((_, cell)) = self.cell(row, Role::Material, part) else {
            for dose in &doses {
                draft
                    .lines
                    .push(Line::unknown("put", format!("{} `{}`: of which material?", dose.heading, dose.words)));
            }
            draft.notes.extend(lot.map(|lot| format!("Lot: {lot}")));
            self.facts(row, part, None, draft);
            return;
        };
        let written = cell.words();
        if matches!(written.trim().to_lowercase().as_str(), "-" | "none" | "n/a" | "\u{2013}") && doses.is_empty() {
            return;
        }
        // The row says that there was no spray; it is kept word for word.
        let said = written.trim().to_lowercase();
        if is_no_spray(&said) {
            return;
        }
        let named = self.materials(&written, &doses);
        let single = named.len() == 1;
        let mut about = None;
        for (at, (words, own)) in named.into_iter().enumerate() {
            if let Some(mix) = self.mix(&words).filter(|_| draft.mix.is_none()) {
                draft.mix = Some(mix);
                for dose in &doses {
                    draft.lines.push(Line::unknown("put", format!("{} `{}` beside a mix", dose.heading, dose.words)));
                }
                continue;
            }
            let name = self.find("material", &words).name().to_string();
            let mut lines = Vec::new();
            if let Some((role, own)) = own {
                let dose = Dose { role, words: own, unit: None, cell, heading: "Material".to_string() };
                lines.push(self.dose(row, &name, &dose, lot.as_deref().filter(|_| single)));
            }
            if single {
                for dose in &doses {
                    lines.push(self.dose(row, &name, dose, lot.as_deref()));
                }
                about = Some(name.clone());
            } else if at == 0 {
                let several = "several materials in one cell: how much of each?";
                lines.extend(
                    doses
                        .iter()
                        .filter(|dose| several_of(&dose.words).is_none())
                        .map(|dose| Line::unknown("put", format!("{} `{}`, {several}", dose.heading, dose.words))),
                );
            }
            if lines.is_empty() {
                lines.push(Line::unknown("put", format!("{name} went in; how much is not there")));
            }
            once(&mut lines);
            draft.ingredients.push(Ingredient { name, lines });
        }
        self.facts(row, part, about.as_deref(), draft);
        if let Some(lot) = lot
            && !draft
                .ingredients
                .iter()
                .flat_map(|one| &one.lines)
                .any(|line| line.value.ends_with(&format!(", lot {lot}")))
        {
            draft.notes.push(format!("Lot: {lot}"));
        }
    }

    fn mix(&self, words: &str) -> Option<String> {
        let mapped = self.mapping.materials.get(words).map_or(words, String::as_str);
        self.known.mixes.known(mapped).map(str::to_string)
    }

    fn is_settled(&self, words: &str) -> bool {
        self.mapping.materials.contains_key(words)
            || self.known.materials.known(words).is_some()
            || self.known.mixes.known(words).is_some()
    }

    /// The materials that a cell names, each with the dose that stands with it.
    fn materials(&self, written: &str, doses: &[Dose<'_>]) -> Vec<(String, Option<(Role, String)>)> {
        let whole = flat(written);
        if self.is_settled(&whole) {
            return vec![(whole, None)];
        }
        let pieces = several(written);
        let parts: Vec<(String, Option<(Role, String)>)> = pieces.iter().map(|piece| with_dose(&flat(piece))).collect();
        if parts.len() < 2 {
            return vec![with_dose(&whole)];
        }
        // `Epsom, Kelp` beside `4 oz, 2 oz`.
        if parts.iter().all(|(_, own)| own.is_none())
            && let [dose] = doses
            && let Some(each) = several_of(&dose.words).filter(|each| each.len() == parts.len())
        {
            let unit = dose.unit.clone().map(|unit| format!(" {unit}")).unwrap_or_default();
            let with_unit = |words: &String| {
                if words.contains(char::is_alphabetic) { words.clone() } else { format!("{words}{unit}") }
            };
            return parts
                .into_iter()
                .zip(&each)
                .map(|((name, _), words)| (name, Some((dose.role, with_unit(words)))))
                .collect();
        }
        parts
    }

    /// One line for one dose.
    fn dose(&mut self, row: usize, name: &str, dose: &Dose<'_>, lot: Option<&str>) -> Line {
        let asked = |what: &str| Line::unknown("put", format!("{name}: {} `{}`{what}", dose.heading, dose.words));
        let mut settle = Vec::new();
        if let Some((first, last)) = dose.cell.merged.filter(|_| dose.role != Role::Rate) {
            settle.push(format!(
                "{name}: the cell is merged over rows {first} to {last}: for each, or for all together?"
            ));
        }
        let lot = lot.map(|lot| format!(", lot {lot}")).unwrap_or_default();
        match dose.said(self.decimal(dose.cell)) {
            Ok((Said::Rate(value, rate), doubt)) => {
                settle.extend(doubt.map(|doubt| format!("{name}: {doubt}")));
                if rate.is_plain_ounce() && !self.known.has_form(name) {
                    settle.push(ounce(name));
                }
                Line::new("put", format!("{name} {value}{lot}"), settle)
            }
            Ok((Said::Amount(value, unit), doubt)) => {
                let may_be_measured =
                    matches!(unit.dimension(), Dimension::Mass | Dimension::Volume | Dimension::Ounce);
                if !may_be_measured {
                    return asked(if unit.dimension() == Dimension::Share {
                        ": a share of what, by volume or by weight?"
                    } else {
                        " is no weight or volume"
                    });
                }
                if dose.role == Role::Rate {
                    return asked(": per how much?");
                }
                settle.extend(doubt.map(|doubt| format!("{name}: {doubt}")));
                if unit.is_plain_ounce() && !self.known.has_form(name) {
                    settle.push(ounce(name));
                }
                self.proposals.fact("material", name, "form", unit.word().to_string(), row + 1);
                Line::new("measured", format!("{name} {value}{lot}"), settle)
            }
            Ok((Said::Bare(_), _)) => asked(": in which unit?"),
            Err(why) => Line::unknown("put", format!("{name}: {}: {why}", dose.heading)),
        }
    }

    /// The unit that stands in a column beside that of a dose: each such column is about the nearest dose before it.
    fn unit_beside(&self, row: usize, dose: &Column) -> Option<String> {
        let columns = &self.mapping.columns;
        let is_dose = |column: &&Column| matches!(column.is, Role::Rate | Role::Amount);
        let owner = |unit: &Column| {
            let doses = columns.iter().filter(is_dose).map(Column::place);
            doses.min_by_key(|own| (*own > unit.place(), own.abs_diff(unit.place())))
        };
        let own = columns.iter().filter(|column| column.is == Role::Unit);
        let cell = own.filter(|unit| owner(unit) == Some(dose.place())).map(|unit| self.sheet.cell(row, unit.place()));
        cell.filter(|cell| !cell.is_empty()).map(|cell| flat(&cell.words())).next()
    }

    /// What a row says about the material itself: for the entry of one that is new, else in the note.
    fn facts(&mut self, row: usize, part: u32, name: Option<&str>, draft: &mut Draft) {
        for (role, field) in
            [(Role::Registration, "registration"), (Role::Reentry, "reentry"), (Role::Preharvest, "preharvest")]
        {
            let Some((column, cell)) = self.cell(row, role, part) else { continue };
            let words = flat(&cell.words());
            let Some(name) = name else {
                draft.notes.push(format!("{}: {words}", column.shown()));
                continue;
            };
            if !self.proposals.has("material", name) {
                draft.notes.push(format!("{} of {name}: {words}", column.shown()));
                continue;
            }
            let value = match quantity(&words, column.unit.as_deref(), self.decimal(cell)) {
                Ok((Said::Amount(value, unit), None))
                    if role != Role::Registration && unit.dimension() == Dimension::Time =>
                {
                    value
                }
                _ => words,
            };
            self.proposals.fact("material", name, field, value, row + 1);
        }
    }
}

/// Leaves out what was asked on a line before.
fn once(lines: &mut [Line]) {
    let mut asked: Vec<String> = Vec::new();
    for line in lines {
        line.settle.retain(|what| !asked.contains(what));
        asked.extend(line.settle.iter().cloned());
    }
}

fn ounce(name: &str) -> String {
    format!("{name}: ounces of weight or fluid ounces? Write oz wt or fl oz, or say the form of {name}")
}

/// `4 oz, 2 oz` as two.
fn several_of(words: &str) -> Option<Vec<String>> {
    let parts = several(words);
    (parts.len() > 1).then_some(parts)
}

/// `Epsom salt 4 oz`, `4 oz of Epsom salt`, `Epsom salt (4 oz/gal)`: the name, and the dose.
fn with_dose(words: &str) -> (String, Option<(Role, String)>) {
    let dose = |words: &str| {
        let words = words.trim().trim_matches(['(', ')', ',', ':', '@']).trim();
        match quantity(words, None, Decimals::Unsettled) {
            Ok((Said::Rate(..), _)) => Some((Role::Rate, words.to_string())),
            Ok((Said::Amount(_, unit), _))
                if matches!(unit.dimension(), Dimension::Mass | Dimension::Volume | Dimension::Ounce) =>
            {
                Some((Role::Amount, words.to_string()))
            }
            _ => None,
        }
    };
    let name = |words: &str| words.trim().trim_start_matches("of ").trim_matches([',', ':', '(', '@', ' ']).to_string();
    let spaces: Vec<usize> = words.match_indices(' ').map(|(at, _)| at).collect();
    // At the end: the longest words that are a quantity.
    for &at in &spaces {
        if let Some(found) = dose(&words[at..]) {
            return (name(&words[..at]), Some(found));
        }
    }
    for &at in spaces.iter().rev() {
        if let Some(found) = dose(&words[..at]) {
            return (name(&words[at..]), Some(found));
        }
    }
    (words.to_string(), None)
}
