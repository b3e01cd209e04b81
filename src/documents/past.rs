//! What git shows of one record: who entered it and when, and each later change with its reason.

use chrono::{DateTime, FixedOffset, NaiveDate};
use serde::Serialize;

use super::amended::{Piece, marked};
use super::book::Book;
use super::words::{count, day};
use crate::checks::said_time;
use crate::history::{Commit, Entered, History, Trail};
use crate::season::{Explained, Moment};

/// What git shows of one record.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Past {
    /// Why git says nothing of it; absent where it does.
    pub silence: Option<String>,
    /// Who entered it, and when.
    pub entered: Option<GitEntered>,
    /// Every change since, oldest first.
    pub changes: Vec<Changed>,
    /// Whether words that somebody signed were changed, and nobody has signed since.
    pub unsigned: bool,
}

/// Who entered a record by git, and when.
#[derive(Clone, Debug, Serialize)]
pub struct GitEntered {
    /// Who; absent where git cannot tell.
    pub who: Option<String>,
    /// When, or what is known of it.
    pub when: String,
    /// The commit, shortened.
    pub commit: Option<String>,
    /// How long after it was done.
    pub after: Option<String>,
}

/// A change of a record.
#[derive(Clone, Debug, Serialize)]
pub struct Changed {
    /// Who made it; absent where it is not committed yet.
    pub who: Option<String>,
    /// When.
    pub when: String,
    /// The commit, shortened.
    pub commit: Option<String>,
    /// The day that it was moved from and to.
    pub moved: Option<String>,
    /// The lines that it took away or altered.
    pub was: Vec<Piece>,
    /// The lines that it brought.
    pub now: Vec<Piece>,
    /// Why, by the amendment that explains it.
    pub reason: Option<String>,
    /// Where that amendment stands.
    pub amended: Option<String>,
    /// Whether it needs a reason and has none.
    pub unexplained: bool,
    /// Whether it altered what somebody had signed, and nobody has signed since.
    pub unsigned: bool,
}

/// What git shows of a record; nothing where git was not looked at for this book.
pub(super) fn past(book: &Book<'_>, start: u32, done: NaiveDate, end: Option<Moment>) -> Option<Past> {
    let history = book.season.history?;
    if let Some(silence) = history.silence() {
        return Some(Past { silence: Some(silence.to_string()), ..Past::default() });
    }
    let Some(record) = book.tracked(start) else {
        let silence = "its file is not in the git repository of the farm's folder".to_string();
        return Some(Past { silence: Some(silence), ..Past::default() });
    };
    let changes: Vec<Changed> = record.changes.iter().map(|known| changed(book, history, known)).collect();
    Some(Past {
        silence: None,
        entered: Some(entered(book, history, record.trail, done, end)),
        unsigned: changes.iter().any(|change| change.unsigned),
        changes,
    })
}

fn entered(book: &Book<'_>, history: &History, trail: &Trail, done: NaiveDate, end: Option<Moment>) -> GitEntered {
    let unknown = |when: &str| GitEntered { who: None, when: when.to_string(), commit: None, after: None };
    match trail.entered {
        Entered::In(commit) => {
            let commit = history.commit(commit);
            // Without a time zone the end is no moment that git's can be held against.
            let zone = book.journal().farm.as_ref().is_some_and(|farm| farm.zone.is_some());
            GitEntered {
                who: Some(who(commit)),
                when: said_time(commit),
                commit: Some(commit.short().to_string()),
                after: commit.when.map(|when| after(done, end.filter(|_| zone), when)),
            }
        }
        Entered::NotAfter(commit) => {
            let commit = history.commit(commit);
            let when = format!(
                "in the oldest commit that this copy holds, of {}; who entered it before is not known",
                said_time(commit)
            );
            GitEntered { commit: Some(commit.short().to_string()), ..unknown(&when) }
        }
        Entered::BeforeCounting => unknown("before the day from which the farm lets git's history count"),
        Entered::NotCommitted => unknown("not committed yet"),
    }
}

/// The name in a commit, or what stands in for it.
fn who(commit: &Commit) -> String {
    if commit.who.is_empty() { "somebody without a name".to_string() } else { commit.who.clone() }
}

/// How long after a record's deed something was: from its end where that is known and near, in days otherwise.
fn after(done: NaiveDate, end: Option<Moment>, when: DateTime<FixedOffset>) -> String {
    let near = 2 * 86_400;
    if let Some(end) = end {
        let seconds = when.timestamp() - end.seconds;
        if seconds.abs() < near {
            let minutes = seconds.unsigned_abs() as usize / 60;
            let parts = [(minutes / 60, "hour", "hours"), (minutes % 60, "minute", "minutes")];
            let parts: Vec<String> = parts
                .into_iter()
                .filter(|part| part.0 > 0)
                .map(|(number, one, many)| count(number, one, many))
                .collect();
            let time = if parts.is_empty() { "less than a minute".to_string() } else { parts.join(" ") };
            return format!("{time} {} it ended", if seconds < 0 { "before" } else { "after" });
        }
    }
    match when.date_naive().signed_duration_since(done).num_days() {
        0 => "the same day".to_string(),
        days => {
            let time = count(days.unsigned_abs() as usize, "day", "days");
            format!("{time} {}", if days < 0 { "before it was done" } else { "after" })
        }
    }
}

fn changed(book: &Book<'_>, history: &History, known: &Explained<'_>) -> Changed {
    let change = known.change;
    let commit = change.commit.map(|commit| history.commit(commit));
    let (was, now) = marked(&change.dropped().join("; "), &change.gained().join("; "));
    let written = |words: &str| words.parse().map_or_else(|_| words.to_string(), day);
    Changed {
        who: commit.map(who),
        when: commit.map_or_else(|| "not committed yet".to_string(), said_time),
        commit: commit.map(|commit| commit.short().to_string()),
        moved: change
            .moved_day()
            .then(|| format!("from {} to {}", written(&change.before.day), written(&change.after.day))),
        was,
        now,
        reason: known.by.and_then(|amendment| book.some_words(amendment.reason)),
        amended: known.by.map(|amendment| format!("{}, {}", day(amendment.at.day), book.place(amendment.at.line))),
        unexplained: known.asks && known.by.is_none(),
        unsigned: known.unsigned,
    }
}
