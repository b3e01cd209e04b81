//! What git shows of the journals that were read.

use crate::files::Loaded;
use crate::history::{Counting, FarmScope, History, Silence, read};
use crate::journal::{HistoryFrom, Journal};

/// The history of each farm, in their order; none of it where git is not to be asked.
pub(super) fn histories(loaded: &Loaded, journals: &[Journal], ask_git: bool) -> Vec<History> {
    if !ask_git {
        return vec![History::silent(Silence::NotAsked); journals.len()];
    }
    let scopes: Vec<FarmScope<'_>> = loaded
        .farms
        .iter()
        .zip(journals)
        .map(|(farm, journal)| FarmScope { folder: &farm.folder, files: &farm.files, counting: counting(journal) })
        .collect();
    read(&loaded.sources, &scopes)
}

/// How much of git's history a farm lets count: all of it, unless its entry says otherwise.
fn counting(journal: &Journal) -> Counting {
    match journal.farm.as_ref().and_then(|farm| farm.history).map(|history| history.value) {
        None => Counting::All,
        Some(HistoryFrom::From(day)) => Counting::From(day),
        Some(HistoryFrom::None) => Counting::Nothing,
    }
}
