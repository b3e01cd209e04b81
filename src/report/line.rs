//! One line a finding: `path:line:column: level[code]: headline`. Columns count characters from 1.

use std::fmt::Write as _;

use super::place::region;
use super::shown::one_line;
use crate::finding::Finding;
use crate::text::Sources;

/// Findings, a line each; accepted ones only if asked for, with their reason.
pub fn render(findings: &[Finding], sources: &Sources, show_accepted: bool) -> String {
    let mut out = String::new();
    for finding in findings.iter().filter(|finding| show_accepted || finding.accepted.is_none()) {
        let region = region(sources, finding.span());
        let path = one_line(&region.path.to_string_lossy());
        let (line, column) = (region.start.line, region.start.column);
        let (level, code) = (finding.level.word(), finding.code);
        // Writing to a String cannot fail.
        let _ = write!(out, "{path}:{line}:{column}: {level}[{code}]: {}", one_line(&finding.headline));
        if let Some(accepted) = &finding.accepted {
            let _ = write!(out, " (accepted: {})", one_line(&accepted.reason));
        }
        out.truncate(out.trim_end().len());
        out.push('\n');
    }
    out
}
