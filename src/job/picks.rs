//! The picks that are expected, beside a job: a pick that the job would close is found before the tank is filled.

use std::fmt::Write as _;

use crate::finding::{Finding, Level};
use crate::season::{Season, SprayFacts};
use crate::text::Span;

use super::Verdict;

/// The check that judges a pick.
pub const OF_PICKS: &str = "harvest-in-interval";

/// Picks as journal text, and where each of them is expected.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Picks {
    /// The text; empty where no pick is expected.
    pub text: String,
    /// Where each entry ends, in bytes of the text, and the `picking` that it stands for.
    ends: Vec<(u32, Span)>,
}

/// The picks that are expected of a spray's blocks on its day and later, as far as the spray can matter to them.
pub fn picks(season: &Season<'_>, facts: &SprayFacts) -> Picks {
    let day = facts.spray(season.journal).at.day;
    let mut picks = Picks::default();
    for touched in &facts.touched {
        let block = season.journal.block(touched.block);
        for picking in &block.picking {
            for pick in picking.days(picking.first, std::iter::once(day)).filter(|pick| *pick >= day) {
                let _ = write!(picks.text, "{pick}\n\nharvest {}\n\n", block.named.name);
                picks.ends.push((picks.text.len() as u32, picking.span));
            }
        }
    }
    picks
}

impl Verdict {
    /// Adds what the checks find in the journal with the job and the picks beside it: `text` is where the picks stand, and
    /// `job` the entry of the job. What an earlier spray does to a pick is a warning.
    pub fn with_picks(&mut self, picks: &Picks, found: Vec<Finding>, text: Span, job: Span) {
        for mut finding in found.into_iter().filter(|finding| finding.code == OF_PICKS && text.covers(finding.span())) {
            let offset = finding.span().start - text.start;
            let place = picks.ends.partition_point(|(end, _)| *end <= offset);
            let Some(&(_, picking)) = picks.ends.get(place) else { continue };
            // A pick to come is a plan: nothing has been picked.
            finding.headline = finding.headline.replacen(" was picked on ", " is to be picked on ", 1);
            finding.labels[0].span = picking;
            finding.labels[0].text = "the pick is expected here".to_string();
            finding.help = Some(
                "picking days are a plan: take another day for the job, or put the block's `picking` right".to_string(),
            );
            if finding.labels.iter().any(|label| job.covers(label.span)) {
                match finding.level {
                    Level::Error => self.stops.push(finding),
                    _ => self.warnings.push(finding),
                }
            } else {
                self.warnings.push(finding);
            }
        }
    }
}
