//! Git's history of a journal, on real repositories.

mod documents;
pub mod made;
mod many;
mod odd;
mod trails;

use std::fmt::Write as _;
use std::path::Path;

use foliary::history::{Change, Counting, Entered, Gone, History, Wording};
use foliary::text::{Sources, Span};
use made::histories;

/// What git shows of one journal, in plain lines: every record in the order of the files, and what became of it.
fn told(path: &Path, counting: Counting) -> String {
    let (sources, histories) = histories(&[path.to_path_buf()], counting);
    assert_eq!(histories.len(), 1);
    told_of(&sources, &histories[0])
}

fn told_of(sources: &Sources, history: &History) -> String {
    let mut told = String::new();
    if let Some(silence) = history.silence() {
        return format!("{silence}\n");
    }
    let who = |at: usize| {
        let commit = history.commit(at);
        format!("{} {}", commit.who, commit.when.unwrap().format("%m-%d"))
    };
    for (_, source) in sources.iter() {
        let mut at = 0;
        for entry in foliary::syntax::split_entries(source.text()) {
            let start = source.base() + entry.start as u32;
            let Some(trail) = history.of(Span::new(start, start + 1)) else { continue };
            at += 1;
            let head = source.text()[entry].lines().next().unwrap();
            let entered = match trail.entered {
                Entered::In(commit) => who(commit),
                Entered::NotAfter(commit) => format!("not after {}", who(commit)),
                Entered::BeforeCounting => "before it counts".into(),
                Entered::NotCommitted => "not committed".into(),
            };
            let _ = writeln!(told, "{at} {head}: {entered}");
            for change in &trail.changes {
                let by = change.commit.map_or("not committed".into(), who);
                let signed = if change.after_signing { " after signing" } else { "" };
                let _ = writeln!(told, "  {by}{signed}: {}", difference(change));
            }
        }
    }
    for removed in history.removed() {
        let how = match removed.how {
            Gone::In(commit) => who(commit),
            Gone::NotCommitted => "not committed".into(),
            Gone::Joining => "where branches were joined".into(),
        };
        let _ = writeln!(told, "gone {} {} ({}): {how}", removed.wording.day, removed.wording.head(), removed.path);
    }
    told
}

fn difference(change: &Change) -> String {
    let days = |wording: &Wording| if change.moved_day() { format!("{} ", wording.day) } else { String::new() };
    format!(
        "{}-[{}] {}+[{}]",
        days(&change.before),
        change.dropped().join("; "),
        days(&change.after),
        change.gained().join("; ")
    )
}
