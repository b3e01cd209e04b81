//! The trail of a farm's records: when each was done, when and by whom it was entered, and what was changed since.

use serde::Serialize;

use super::amended::{Amended, amended};
use super::book::Book;
use super::cautions::cautions;
use super::deeds::{Deed, deeds};
use super::head::Head;
use super::past::{Past, past};
use super::record::{Written, written};
use super::words::{clock, day, list, moment, sentence};
use crate::checks::said_time;
use crate::history::{Commit, Counting, Gone, History, Wording};
use crate::journal::{BlockId, Signed};
use crate::season::{Corrections, Moment, holds_words};

/// The trail of a farm's records.
#[derive(Clone, Debug, Serialize)]
pub struct Trail {
    /// Top and foot.
    pub head: Head,
    /// What git was asked and what it holds, a sentence each.
    pub read: Vec<String>,
    /// What it cannot show.
    pub limits: Vec<&'static str>,
    /// The records, in the order of days.
    pub records: Vec<TrailRecord>,
    /// Records that were committed and are in the journal no more.
    pub removed: Vec<RemovedRecord>,
    /// What to mind.
    pub cautions: Vec<String>,
}

/// One record and what became of it.
#[derive(Clone, Debug, Serialize)]
pub struct TrailRecord {
    /// What it is.
    pub title: String,
    /// The day it was done.
    pub done: String,
    /// When it ended, where that is written.
    pub ended: Option<String>,
    /// When it was written down, by its own words.
    pub entered: Option<Written>,
    /// What git shows; absent where git was not looked at.
    pub past: Option<Past>,
    /// Corrections that explain no change that git shows.
    pub amendments: Vec<Amended>,
    /// Who signed it, and when.
    pub signed: Vec<String>,
    /// Where it is written.
    pub place: String,
}

/// A record that is gone.
#[derive(Clone, Debug, Serialize)]
pub struct RemovedRecord {
    /// Its day.
    pub day: String,
    /// What it said last.
    pub lines: Vec<String>,
    /// The file it stood in.
    pub path: String,
    /// How it went.
    pub how: String,
}

/// What git's history is, and is not. Common practice, no source.
const LIMITS: &[&str] = &[
    "Names, days and times are what the computer of whoever made a commit said; anybody can set them to anything.",
    "Changes of what stands behind the records (materials with their intervals, blocks, people, rulebooks) are not followed here: git itself shows them.",
    "A history can be rewritten as a whole, and a copy shows no more than was copied into it.",
    "What was changed before it was committed for the first time left no trace here.",
    "Nothing here proves who did what, or when. It shows what the repository holds, for whoever asks to compare it with other copies and with paper.",
];

/// The trail of a book.
pub fn trail(book: &Book<'_>) -> Trail {
    let journal = book.journal();
    let corrections = Corrections::new(journal);
    let mut deeds = deeds(journal);
    deeds.retain(|deed| in_scope(book, deed));
    // Ties are broken by what is written, never by where.
    deeds.sort_by_cached_key(|deed| (deed.at.day, book.season.words(deed.at.line), book.season.words(deed.at.entry)));
    let removed = book.season.history.map(|history| (history, history.removed()));
    Trail {
        head: Head::new(book),
        read: read(book),
        limits: LIMITS.to_vec(),
        records: deeds.iter().map(|deed| record(book, &corrections, deed)).collect(),
        removed: removed
            .into_iter()
            .flat_map(|(history, removed)| removed.iter().map(move |removed| (history, removed)))
            .filter(|(_, removed)| shows_removed(book, &removed.wording))
            .map(|(history, removed)| RemovedRecord {
                day: removed.wording.day.parse().map_or_else(|_| removed.wording.day.to_string(), day),
                lines: removed.wording.lines().map(str::to_string).collect(),
                path: removed.path.to_string(),
                how: how(history, removed.how),
            })
            .collect(),
        cautions: cautions(book),
    }
}

fn in_scope(book: &Book<'_>, deed: &Deed<'_>) -> bool {
    let scope = book.scope;
    scope.has_day(deed.at.day) && deed.ground.map_or(scope.blocks.is_empty(), |ground| scope.has_ground(ground))
}

/// Whether a record that is gone is of the part to show, as far as its words tell.
fn shows_removed(book: &Book<'_>, wording: &Wording) -> bool {
    let scope = book.scope;
    let names = |block: &BlockId| holds_words(wording.head(), &book.journal().block(*block).named.name);
    wording.day.parse().map_or(true, |day| scope.has_day(day))
        && (scope.blocks.is_empty() || scope.blocks.iter().any(names))
}

fn record(book: &Book<'_>, corrections: &Corrections<'_>, deed: &Deed<'_>) -> TrailRecord {
    let title = match deed.ground.filter(|ground| !ground.blocks.is_empty()) {
        Some(ground) => format!("{} of {}", deed.kind.word(), book.ground(ground)),
        None => book.words(deed.at.line),
    };
    let end = end(book, deed);
    let past = past(book, deed.at.entry.start, deed.at.day, end);
    let used: Vec<u32> = book
        .tracked(deed.at.entry.start)
        .map(|record| record.changes.iter().filter_map(|known| Some(known.by?.at.entry.start)).collect())
        .unwrap_or_default();
    let blocks: Vec<_> = deed.ground.iter().flat_map(|ground| &ground.blocks).filter_map(|block| block.id).collect();
    let amendments = corrections.of(deed.kind, deed.at.day, &blocks).into_iter();
    TrailRecord {
        title: sentence(&title),
        done: deed.at.day.format("%A %-d %B %Y").to_string(),
        ended: end.map(|end| clock(end, deed.at.day)),
        entered: deed.entered.map(|entered| written(book, entered, deed.at.day)),
        past,
        amendments: amendments
            .filter(|amendment| !used.contains(&amendment.at.entry.start))
            .map(|amendment| amended(book, amendment))
            .collect(),
        signed: deed.signed.iter().map(|signed| signature(book, signed)).collect(),
        place: book.place(deed.at.line),
    }
}

/// When it ended, where every session's end is written.
fn end(book: &Book<'_>, deed: &Deed<'_>) -> Option<Moment> {
    let ends: Option<Vec<Moment>> =
        deed.sessions.iter().map(|session| Some(book.season.zone.written(session.end?, true).0)).collect();
    ends?.into_iter().max()
}

fn signature(book: &Book<'_>, signed: &Signed) -> String {
    let when = match signed.clock {
        Some(clock) => moment(book.season.zone.written(clock, false).0),
        None => day(signed.day),
    };
    match book.people(&signed.by) {
        Some(who) => format!("{who}, {when}"),
        None => when,
    }
}

fn how(history: &History, how: Gone) -> String {
    match how {
        Gone::In(commit) => {
            let commit = history.commit(commit);
            let who = if commit.who.is_empty() { "somebody without a name" } else { &commit.who };
            format!("taken out by {who}, {}, commit {}", said_time(commit), commit.short())
        }
        Gone::NotCommitted => "missing from the files as they are; not committed yet".to_string(),
        Gone::Joining => "left behind where branches were joined; no commit of its own took it out".to_string(),
    }
}

/// Names of writers that are listed at most.
const WRITERS: usize = 20;

/// What git was asked and what it holds.
fn read(book: &Book<'_>) -> Vec<String> {
    let Some(history) = book.season.history else { return vec!["Git was not asked.".to_string()] };
    if let Some(silence) = history.silence() {
        return vec![format!("{}.", sentence(&format!("git says nothing of this journal: {silence}")))];
    }
    let commits = history.commits();
    let mut said = Vec::new();
    // By their own clocks, which need not follow the order in which they were made.
    let dated = || commits.iter().filter(|commit| commit.when.is_some());
    let times = |commit: Option<&Commit>| commit.map_or_else(|| "at no time that can be read".into(), said_time);
    said.push(format!(
        "{} read, the oldest of {}, the newest of {}.",
        if commits.len() == 1 { "1 commit was".to_string() } else { format!("{} commits were", commits.len()) },
        times(dated().min_by_key(|commit| commit.when)),
        times(dated().max_by_key(|commit| commit.when)),
    ));
    let mut writers: Vec<&str> = commits.iter().map(|commit| &*commit.who).filter(|who| !who.is_empty()).collect();
    writers.sort_unstable();
    writers.dedup();
    let more = writers.len().saturating_sub(WRITERS);
    let mut names: Vec<String> = writers.iter().take(WRITERS).map(|who| (*who).to_string()).collect();
    if more > 0 {
        names.push(format!("{more} more"));
    }
    said.push(format!(
        "Written by {}.",
        if names.is_empty() { "nobody with a name".to_string() } else { list(&names) }
    ));
    if history.shallow() {
        said.push(
            "This copy of the repository is cut off: it holds the latest commits only, and what came before them is not known."
                .to_string(),
        );
    }
    if let Counting::From(from) = history.counting() {
        said.push(format!("By the farm's entry, git's history counts from {} on.", day(from)));
    }
    for gap in history.gaps() {
        said.push(format!("{} {}.", book.file(gap.source), gap.kind.words()));
    }
    said
}
