//! See the Markdown beside this file.

use super::{Ahead, Check, Findings};
use crate::finding::Level;
use crate::history::Silence;
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "history-cut-off",
    level: Level::Note,
    ahead: Ahead::Nothing,
    summary: "A git history that cannot be read, or not to its beginning",
    explain: include_str!("history_cut_off.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    let Some(history) = season.history else { return };
    let journal = season.journal;
    let farm = journal.farm.as_ref().map(|farm| farm.named.span);
    let Some(at) = farm.or_else(|| journal.days.first().map(|day| day.at.line)) else { return };
    let headline = match history.silence() {
        Some(broken @ Silence::Broken(_)) => {
            format!("git says nothing of this journal, so changes of its records are not looked for: {broken}")
        }
        Some(_) => return,
        None if history.shallow() => {
            "this copy of the git history does not go back to its beginning, so earlier changes of records are not seen"
                .to_string()
        }
        None => return,
    };
    found.add(found.finding(at, headline).help(
        "check a whole copy of the repository (`git fetch --unshallow` completes a shallow one), or leave git out with `--no-git`",
    ));
}
