use std::fmt;

use serde::Serialize;

use super::{Finding, Level};

/// How many findings of each kind. An accepted finding counts as accepted and as nothing else.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Counts {
    /// Findings at error level that stand.
    pub errors: usize,
    /// Warnings that stand.
    pub warnings: usize,
    /// Notes that stand.
    pub notes: usize,
    /// Findings of any level that the journal accepts on purpose.
    pub accepted: usize,
}

/// Counts findings by level, the accepted ones apart.
pub fn summary_counts(findings: &[Finding]) -> Counts {
    let mut counts = Counts::default();
    for finding in findings {
        let kind = match finding.level {
            _ if finding.accepted.is_some() => &mut counts.accepted,
            Level::Error => &mut counts.errors,
            Level::Warning => &mut counts.warnings,
            Level::Note => &mut counts.notes,
        };
        *kind += 1;
    }
    counts
}

/// In words, such as `3 errors, 1 warning, 2 notes (1 accepted)` or `no findings`.
impl fmt::Display for Counts {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut separator = "";
        for (count, word) in [(self.errors, "error"), (self.warnings, "warning"), (self.notes, "note")] {
            if count > 0 {
                let plural = if count == 1 { "" } else { "s" };
                write!(out, "{separator}{count} {word}{plural}")?;
                separator = ", ";
            }
        }
        if separator.is_empty() {
            out.write_str("no findings")?;
        }
        if self.accepted > 0 {
            write!(out, " ({} accepted)", self.accepted)?;
        }
        Ok(())
    }
}
