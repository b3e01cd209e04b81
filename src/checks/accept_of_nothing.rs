//! See the Markdown beside this file. What it reports is known only after every other check has run.

use rustc_hash::FxHashSet;

use super::{Ahead, Check, Findings, check_named};
use crate::finding::{Finding, Level};
use crate::journal::{Accept, nearest_word};
use crate::season::Season;

pub(super) const CHECK: Check = Check {
    code: "accept-of-nothing",
    level: Level::Warning,
    ahead: Ahead::Nothing,
    summary: "An accept that no finding answers to",
    explain: include_str!("accept_of_nothing.md"),
    run,
};

/// Checks that find nothing where git shows nothing, or not all.
const NEED_GIT: &[&str] = &[
    super::change_without_reason::CHECK.code,
    super::changed_after_signing::CHECK.code,
    super::record_removed::CHECK.code,
];

fn run(_season: &Season<'_>, _found: &mut Findings) {
    // Reported by `report` below, once all other findings are known.
}

/// Reports the accepts that nothing answered to; `refused` are the places of codes that cannot be accepted there.
pub(super) fn report(
    season: &Season<'_>,
    idle: impl Iterator<Item = Accept>,
    refused: &FxHashSet<u32>,
    findings: &mut Vec<Finding>,
) {
    for accept in idle {
        let code = season.words(accept.code);
        // What was accepted may show where git does.
        if NEED_GIT.contains(&code) {
            continue;
        }
        let finding = match check_named(code) {
            Some(_) if refused.contains(&accept.code.start) => Finding::new(
                CHECK.code,
                CHECK.level,
                accept.code,
                format!("`{code}` cannot be accepted in this entry: no reason makes such a tank safe"),
            )
            .help("take this line out, and what is dangerous; only the record of a spray that is done can accept it"),
            Some(_) => Finding::new(
                CHECK.code,
                CHECK.level,
                accept.code,
                format!("nothing in this entry raises `{code}`, so there is nothing to accept"),
            )
            .help("take the line out, or move it to the entry that raises the finding"),
            None => {
                let finding =
                    Finding::new(CHECK.code, CHECK.level, accept.code, format!("no finding is called `{code}`"));
                match nearest_word(code, super::CHECKS.iter().map(|check| check.code)) {
                    Some(near) => finding.help(format!("did you mean `{near}`?")).edit(accept.code, near),
                    None => finding.help("`foliary explain` lists the names of all findings"),
                }
            }
        };
        findings.push(finding);
    }
}
