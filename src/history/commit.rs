//! One commit, as far as a journal needs it.

use chrono::{DateTime, FixedOffset, TimeDelta};

/// Characters of a commit's name that are printed where there is little room.
const SHORT: usize = 10;

/// A commit: who says that they made it, and when by their own clock.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Commit {
    /// Its name, in hexadecimal.
    pub id: String,
    /// The name of who wrote it, as their computer gave it.
    pub who: String,
    /// When it was written, by the clock and in the time zone of the computer it was written on; nothing where that
    /// cannot be read.
    pub when: Option<DateTime<FixedOffset>>,
    /// When it was put into the history.
    pub committed: Option<DateTime<FixedOffset>>,
    /// How many commits it follows: none for a first one, several where branches were joined.
    pub parents: usize,
    /// Whether this copy of the repository leaves out what came before it.
    pub cut_off: bool,
}

impl Commit {
    /// The first characters of its name.
    pub fn short(&self) -> &str {
        self.id.get(..SHORT).unwrap_or(&self.id)
    }

    /// When it was put into the history, where that was more than a day away from when it was written.
    pub fn committed_apart(&self) -> Option<DateTime<FixedOffset>> {
        let (when, committed) = (self.when?, self.committed?);
        (committed.signed_duration_since(when).abs() > TimeDelta::days(1)).then_some(committed)
    }
}
