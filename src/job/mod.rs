//! A spray that is about to be made, as journal text: how much of it there is, and which checks judge it before the tank
//! is filled. Journals are never written.

mod judged;
mod picks;
mod sheet;
mod volume;
mod write;

pub use judged::{Verdict, verdict_of_job, verdict_of_record};
pub use picks::{OF_PICKS, Picks, picks};
pub use sheet::{Strength, batches, judge_picks, judge_record, mix_entry, strength, warned_of};
pub use volume::{Planned, dilute, of_other_rows, planned};
pub use write::{Asked, Line, text};

use crate::season::{Season, SprayFacts};
use crate::text::SourceId;

/// The spray that stands in a file of its own.
pub fn spray_in<'s>(season: &'s Season<'_>, file: SourceId) -> Option<&'s SprayFacts> {
    let here = |facts: &&SprayFacts| {
        let spray = facts.spray(season.journal);
        season.sources.place(spray.at.line.start).source == file
    };
    season.sprays.iter().find(here)
}
