//! Findings that the journal lets stand on purpose.

use rustc_hash::FxHashSet;

use crate::finding::{Accepted, Finding};
use crate::journal::Accept;
use crate::season::Season;
use crate::text::Span;

/// Findings that only the record of a spray that is done can accept: what has happened is told and explained, but no
/// reason makes it safe to fill such a tank.
pub(super) const NEVER_AHEAD: &[&str] = &[super::dangerous_tank::CHECK.code];

/// Marks every finding whose first place lies in an entry that accepts its code, and reports the accepts that no finding
/// answers to.
pub(super) fn mark(season: &Season<'_>, findings: &mut Vec<Finding>) {
    let mut accepts: Vec<(&Accept, bool)> = season.journal.accepts.iter().map(|accept| (accept, false)).collect();
    accepts.sort_by_key(|(accept, _)| accept.entry.start);
    let refused = refused(season);
    for finding in findings.iter_mut() {
        let at = finding.span();
        for (accept, answered) in in_entry(&mut accepts, at) {
            let reason = season.words(accept.reason).to_string();
            let fits = finding.accept_by.as_ref().is_none_or(|words| reason.starts_with(words.as_str()));
            let counts = !refused.contains(&accept.code.start);
            if season.words(accept.code) == finding.code && fits && counts {
                *answered = true;
                finding.accepted = Some(Accepted { reason, span: accept.reason });
            }
        }
    }
    let idle = accepts.iter().filter(|(_, answered)| !answered).map(|(accept, _)| **accept);
    super::accept_of_nothing::report(season, idle, &refused, findings);
}

/// Where the codes of the accepts stand that cannot count: of [`NEVER_AHEAD`], and not in the record of a spray done.
fn refused(season: &Season<'_>) -> FxHashSet<u32> {
    let mut refused: Vec<&Accept> =
        season.journal.accepts.iter().filter(|accept| NEVER_AHEAD.contains(&season.words(accept.code))).collect();
    if !refused.is_empty() {
        let done = season.journal.sprays.iter().filter(|spray| season.as_of.is_none_or(|today| spray.at.day <= today));
        let done: FxHashSet<u32> = done.map(|spray| spray.at.entry.start).collect();
        refused.retain(|accept| !done.contains(&accept.entry.start));
    }
    refused.into_iter().map(|accept| accept.code.start).collect()
}

/// Where the entries begin that accept a code.
pub(super) fn entries(season: &Season<'_>, code: &str) -> FxHashSet<u32> {
    let accepts = season.journal.accepts.iter().filter(|accept| season.words(accept.code) == code);
    accepts.map(|accept| accept.entry.start).collect()
}

/// The accepts of the entry that a place lies in.
fn in_entry<'a, 'j>(
    accepts: &'a mut [(&'j Accept, bool)],
    at: Span,
) -> impl Iterator<Item = &'a mut (&'j Accept, bool)> {
    let after = accepts.partition_point(|(accept, _)| accept.entry.start <= at.start);
    let first = accepts[..after].last().map_or(0, |(last, _)| last.entry.start);
    let from = accepts.partition_point(|(accept, _)| accept.entry.start < first);
    accepts[from..after].iter_mut().filter(move |(accept, _)| accept.entry.covers(at))
}
