//! Which farms and blocks a command is about.

use super::Failure;
use crate::journal::{BlockId, Journal, nearest_word};
use crate::text::escape_hidden;

/// The farms asked for, with the blocks asked for in each.
pub(super) fn chosen(
    journals: &[Journal],
    farm: Option<&str>,
    blocks: &[String],
) -> Result<Vec<(usize, Vec<BlockId>)>, Failure> {
    let names: Vec<String> = journals.iter().map(farm_name).collect();
    let farms: Vec<usize> = match farm {
        None => (0..journals.len()).collect(),
        Some(wanted) => (0..journals.len()).filter(|&at| names[at].eq_ignore_ascii_case(wanted)).collect(),
    };
    if let (Some(wanted), true) = (farm, farms.is_empty()) {
        return Err(unknown("farm", wanted, names.iter().map(String::as_str)));
    }
    if blocks.is_empty() {
        return Ok(farms.into_iter().map(|at| (at, Vec::new())).collect());
    }
    let has = |at: usize, wanted: &String| {
        journals[at].blocks.iter().position(|block| block.named.name.eq_ignore_ascii_case(wanted))
    };
    for wanted in blocks {
        if farms.iter().all(|&at| has(at, wanted).is_none()) {
            let known = farms.iter().flat_map(|&at| &journals[at].blocks).map(|block| &*block.named.name);
            return Err(unknown("block", wanted, known));
        }
    }
    let chosen = farms.into_iter().map(|at| {
        let blocks = blocks.iter().filter_map(|wanted| has(at, wanted)).map(BlockId::at).collect();
        (at, blocks)
    });
    // A farm without any of them has nothing to show.
    Ok(chosen.filter(|(_, blocks): &(usize, Vec<BlockId>)| !blocks.is_empty()).collect())
}

/// A name that nothing has, with the nearest that something has.
pub(super) fn unknown<'n>(what: &str, wanted: &str, known: impl Iterator<Item = &'n str> + Clone) -> Failure {
    let hint = match nearest_word(&wanted.to_lowercase(), known.clone()) {
        Some(near) => format!("did you mean {near}?"),
        None => format!("there are {}", known.collect::<Vec<_>>().join(", ")),
    };
    Failure::Other(escape_hidden(&format!("no {what} is called {wanted}; {hint}")).into_owned())
}

/// A farm's name, for the command line.
pub(super) fn farm_name(journal: &Journal) -> String {
    journal.farm.as_ref().map_or_else(|| "journal".to_string(), |farm| farm.named.name.to_string())
}
