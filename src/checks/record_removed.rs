//! See the Markdown beside this file.

use super::{Ahead, Check, Findings, changed};
use crate::finding::Level;
use crate::history::{Gone, History, Removed};
use crate::season::Season;
use crate::syntax::EntryWord;
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "record-removed",
    level: Level::Warning,
    ahead: Ahead::Nothing,
    summary: "A spray record that was committed and is gone from the journal",
    explain: include_str!("record_removed.md"),
    run,
};

fn run(season: &Season<'_>, found: &mut Findings) {
    let Some(history) = season.history else { return };
    let journal = season.journal;
    let farm = journal.farm.as_ref().map(|farm| farm.named.span);
    let Some(at) = farm.or_else(|| journal.days.first().map(|day| day.at.line)) else { return };
    for removed in history.removed().iter().filter(|removed| removed.wording.kind() == Some(EntryWord::Spray)) {
        report(history, removed, at, found);
    }
}

fn report(history: &History, removed: &Removed, at: Span, found: &mut Findings) {
    let wording = &removed.wording;
    let head = changed::shortened(wording.head());
    let headline = format!(
        "the record `{head}` of {} was committed and is in the journal no more",
        changed::written_day(&wording.day)
    );
    let how = match removed.how {
        Gone::In(commit) => format!("taken out: {}", changed::by(history, Some(commit))),
        Gone::NotCommitted => "taken out of the files as they are; not committed yet".to_string(),
        Gone::Joining => "no commit of its own took it out: it was left behind where branches were joined".to_string(),
    };
    let mut finding = found.finding(at, headline).here("this farm's journal").working(how);
    finding = finding.working(format!("it stood in {}", removed.path));
    for line in wording.lines() {
        finding = finding.working(changed::shortened(line));
    }
    // All removed records are told of at the farm's line; an accept is for those of one day.
    finding.accept_by = Some(wording.day.to_string());
    found.add(finding.help(format!(
        "a record of an application may have to be kept for years, by law or by the certifier: put it back where it \
         stood, and correct it there with an `amend` if it was wrong; a record that should never have been, such as one \
         written twice, is accepted in the `farm` entry: `accept record-removed {} why`",
        wording.day
    )));
}
