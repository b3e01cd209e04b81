//! Findings as the protocol tells them, file by file.

use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::ops::Range;
use std::path::{Path, PathBuf};

use lsp_types::{
    CodeDescription, Diagnostic, DiagnosticRelatedInformation, DiagnosticSeverity, Location, NumberOrString,
};

use super::links::Links;
use super::state::State;
use super::{Desk, Document};
use crate::checks::check_named;
use crate::finding::{Finding, Level};
use crate::text::{Span, escape_hidden};

/// How many findings of one code are told one by one in a file. More come of one slip in a line that everything hangs on,
/// and nobody reads them.
pub const MOST: usize = 100;

/// Every finding that no journal accepts, by the file it stands in. What several farms find in a file that they share is
/// told once, and of very many of one code the first, with how many there are.
pub fn diagnostics(state: State<'_>, links: &mut Links) -> BTreeMap<PathBuf, Vec<Diagnostic>> {
    let mut told: BTreeMap<PathBuf, Vec<Diagnostic>> = BTreeMap::new();
    // For each file and code, how many there are, and the place in the list of the first. Paths are compared as they are
    // written: there may be thousands.
    let mut counts: BTreeMap<(&OsStr, &str), (usize, usize)> = BTreeMap::new();
    for desk in state.workspace.farms() {
        for finding in open(desk) {
            let Some((path, _)) = place(desk, finding) else { continue };
            let (count, _) = counts
                .entry((path.as_os_str(), finding.code))
                .or_insert_with(|| (0, told.get(path).map_or(0, Vec::len)));
            *count += 1;
            if *count > MOST || finding.headline.is_empty() {
                continue;
            }
            let Some(diagnostic) = diagnostic(state, desk, finding, links) else { continue };
            let shared = state.workspace.farms_of(path).nth(1).is_some();
            let list = told.entry(path.to_path_buf()).or_default();
            if !shared || !list.contains(&diagnostic) {
                list.push(diagnostic);
            }
        }
    }
    for ((path, code), (count, first)) in counts {
        if count > MOST
            && let Some(diagnostic) = told.get_mut(Path::new(path)).and_then(|list| list.get_mut(first))
        {
            let words =
                format!("the first {MOST} of {count} {code} in this file are marked; `foliary check` lists all");
            diagnostic.message = format!("{}\n{words}", diagnostic.message);
        }
    }
    told
}

/// The findings that the journal does not accept.
pub fn open(desk: &Desk) -> impl Iterator<Item = &Finding> {
    desk.findings().iter().filter(|finding| finding.accepted.is_none())
}

/// The file that a finding stands in and which bytes of it: its first place that is the user's own, or else the start of
/// the farm's first file.
pub fn place<'d>(desk: &'d Desk, finding: &Finding) -> Option<(&'d std::path::Path, Range<usize>)> {
    let located = finding.labels.iter().find_map(|label| desk.locate(label.span));
    located.map(|located| (located.path, located.range)).or_else(|| Some((desk.paths().next()?, 0..0)))
}

/// The bytes of a place that are marked: of several lines the first.
pub fn marked(document: &Document, range: Range<usize>) -> Range<usize> {
    let end = range.end.min(document.text().len());
    let Some(words) = document.text().get(range.start..end) else { return range };
    let first = words.find('\n').map_or(words, |newline| words[..newline].trim_end_matches('\r'));
    range.start..range.start + first.len()
}

/// One finding.
pub fn diagnostic(state: State<'_>, desk: &Desk, finding: &Finding, links: &mut Links) -> Option<Diagnostic> {
    let (path, range) = place(desk, finding)?;
    let document = state.workspace.document(path)?;
    let related = related(state, desk, finding);
    let mut message = message(finding);
    if !state.client.related {
        for place in &related {
            let file = place.location.uri.path().as_str().rsplit('/').next().unwrap_or_default().to_string();
            let line = place.location.range.start.line + 1;
            message.push_str(&format!("\nsee {file}, line {line}: {}", place.message));
        }
    }
    Some(Diagnostic {
        range: document.range(marked(document, range)),
        severity: Some(match finding.level {
            Level::Error => DiagnosticSeverity::ERROR,
            Level::Warning => DiagnosticSeverity::WARNING,
            Level::Note => DiagnosticSeverity::INFORMATION,
        }),
        code: Some(NumberOrString::String(finding.code.to_string())),
        code_description: links
            .to(finding.code)
            .filter(|_| state.client.code_links)
            .map(|href| CodeDescription { href }),
        source: Some("foliary".to_string()),
        message,
        related_information: (state.client.related && !related.is_empty()).then_some(related),
        ..Diagnostic::default()
    })
}

/// The other places that matter.
fn related(state: State<'_>, desk: &Desk, finding: &Finding) -> Vec<DiagnosticRelatedInformation> {
    let told = |(span, text): (Span, &str)| {
        let located = desk.locate(span)?;
        let document = state.workspace.document(located.path)?;
        let range = document.range(marked(document, located.range));
        let words = if text.is_empty() { "this, too" } else { text };
        Some(DiagnosticRelatedInformation {
            location: Location { uri: state.client.uri(located.path)?, range },
            message: escape_hidden(words).into_owned(),
        })
    };
    finding.labels.iter().skip(1).filter_map(|label| told((label.span, &label.text))).collect()
}

/// What a finding says first; of one that is not put into words what its check finds.
pub fn headline(finding: &Finding) -> &str {
    match check_named(finding.code) {
        Some(check) if finding.headline.is_empty() => check.summary,
        _ => &finding.headline,
    }
}

/// The whole of what a finding says, as lines of plain text.
fn message(finding: &Finding) -> String {
    let mut lines = vec![headline(finding).to_string()];
    lines.extend(finding.working.iter().cloned());
    let said = [("probably", &finding.slip), ("do", &finding.help), ("rule", &finding.source)];
    lines.extend(said.iter().filter_map(|(word, text)| text.as_ref().map(|text| format!("{word}: {text}"))));
    escape_hidden(&lines.join("\n")).into_owned()
}
