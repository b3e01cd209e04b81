//! Entries for what the sheet names and the farm does not declare, for the grower to complete.

use std::collections::{BTreeMap, BTreeSet};

use super::draft::reads;
use super::names::look_different;
use crate::journal::nearest_in_pantry;
use crate::quantity::{Amount, Dimension};

/// What the sheet says about one name that is new.
#[derive(Clone, Debug, Default)]
pub(super) struct Proposal {
    /// The ways the sheet writes it.
    written: BTreeSet<String>,
    /// One of the farm's that it may be a slip for.
    near: Option<String>,
    /// What is said of it, by field: the value, and a row that says so.
    facts: BTreeMap<&'static str, BTreeMap<String, usize>>,
}

/// Everything new, by sort and name.
#[derive(Clone, Debug, Default)]
pub(super) struct Proposals {
    sorts: BTreeMap<&'static str, BTreeMap<String, Proposal>>,
}

impl Proposals {
    pub(super) fn name(&mut self, sort: &'static str, name: &str, written: &str, near: Option<&str>) {
        let proposal = self.sorts.entry(sort).or_default().entry(name.to_string()).or_default();
        proposal.written.insert(written.to_string());
        proposal.near = near.map(str::to_string);
    }

    /// Whether a name is new; its facts are wanted then.
    pub(super) fn has(&self, sort: &'static str, name: &str) -> bool {
        self.sorts.get(sort).is_some_and(|names| names.contains_key(name))
    }

    pub(super) fn fact(&mut self, sort: &'static str, name: &str, field: &'static str, value: String, row: usize) {
        if let Some(proposal) = self.sorts.get_mut(sort).and_then(|names| names.get_mut(name)) {
            proposal.facts.entry(field).or_default().entry(value).or_insert(row);
        }
    }

    /// Keeps what some text names, and drops the rest: rows that are in the journal already need nothing new.
    pub(super) fn keep(&mut self, used: &dyn Fn(&'static str, &str) -> bool) {
        for (sort, names) in &mut self.sorts {
            names.retain(|name, _| used(sort, name));
        }
    }

    /// The entries, a list of lines each.
    pub(super) fn entries(&self) -> Vec<Vec<String>> {
        let all = self.sorts.iter().flat_map(|(sort, names)| names.iter().map(move |(name, one)| (*sort, name, one)));
        all.map(|(sort, name, one)| one.entry(sort, name)).collect()
    }
}

impl Proposal {
    fn entry(&self, sort: &str, name: &str) -> Vec<String> {
        let first = self.written.first().map(String::as_str).unwrap_or_default();
        let title: String = first.chars().filter(|letter| *letter != '"' && !letter.is_control()).collect();
        let mut lines = Vec::new();
        match &self.near {
            Some(near) => lines.push(format!("# settle: is this {near}? The farm declares no {sort} {name}")),
            None => lines.push(format!("# settle: the farm declares no {sort} {name}")),
        }
        lines.push(format!("{sort} {name} \"{title}\""));
        for other in self.written.iter().skip(1).filter(|other| look_different(first, other)) {
            lines.push(format!("    # settle: `{first}` and `{other}` are both written {name} here"));
        }
        for (field, values) in &self.facts {
            if *field == "form" {
                let said: Vec<String> = values.keys().cloned().collect();
                lines.push(format!("    # settle: form dry or liquid? It is measured in {}", said.join(", ")));
                continue;
            }
            let mut each = values.iter();
            match (each.next(), each.next()) {
                (Some((value, row)), None) if is_whole(field, value) => {
                    lines.push(format!("    {field} {value}   # settle: from row {row}; hold it against the label"));
                }
                _ => lines
                    .extend(values.iter().map(|(value, row)| format!("    # settle: {field} `{value}` in row {row}"))),
            }
        }
        match sort {
            "block" => lines.push("    # settle: area, and crop if it is not there".to_string()),
            "material" => {
                if !self.facts.contains_key("form") {
                    lines.push("    # settle: form dry or liquid?".to_string());
                }
                if let Some(pantry) = nearest_in_pantry(name) {
                    lines.push(format!("    # The pantry has {pantry}: foliary pantry {pantry}"));
                }
            }
            _ => {}
        }
        lines
    }
}

/// Whether a value can stand in the field as it is. An interval without a unit is none.
fn is_whole(field: &str, value: &str) -> bool {
    let is_interval = matches!(field, "reentry" | "preharvest");
    let has_unit = Amount::parse(value).is_ok_and(|amount| amount.dimension() == Dimension::Time);
    reads(field, value) && (has_unit || !is_interval)
}
