//! Findings as one JSON object. [`SCHEMA`] describes it, conventions included.

use serde::Serialize;

use super::machine::json_text;
use super::place::region;
use crate::finding::{self, Finding};
use crate::finding::{Counts, summary_counts};
use crate::text::{Place, Sources, Span};

/// JSON Schema (draft 2020-12) of what [`render`] writes.
pub const SCHEMA: &str = include_str!("findings.schema.json");

/// The value of `schema` in the output: the name with [`FORMAT_VERSION`].
pub const SCHEMA_NAME: &str = "foliary-findings/1";

/// The version of the output. It is raised when a key goes or changes its meaning, never for a key more.
pub const FORMAT_VERSION: u32 = 1;

#[derive(Serialize)]
struct Document<'a> {
    schema: &'static str,
    format_version: u32,
    findings: Vec<Entry<'a>>,
    counts: Counts,
}

#[derive(Serialize)]
struct Entry<'a> {
    code: &'a str,
    level: &'static str,
    headline: &'a str,
    #[serde(flatten)]
    at: Stretch,
    labels: Vec<Label<'a>>,
    working: &'a [String],
    slip: Option<&'a str>,
    help: Option<&'a str>,
    source: Option<&'a str>,
    edit: Option<Edit<'a>>,
    accepted: Option<Accepted<'a>>,
}

#[derive(Serialize)]
struct Stretch {
    file: String,
    start: Point,
    end: Point,
}

#[derive(Serialize)]
struct Point {
    line: u32,
    column: u32,
    offset: u32,
}

#[derive(Serialize)]
struct Label<'a> {
    text: &'a str,
    #[serde(flatten)]
    at: Stretch,
}

#[derive(Serialize)]
struct Edit<'a> {
    with: &'a str,
    #[serde(flatten)]
    at: Stretch,
}

#[derive(Serialize)]
struct Accepted<'a> {
    reason: &'a str,
    #[serde(flatten)]
    at: Stretch,
}

/// All findings, the accepted ones too, and their counts.
pub fn render(findings: &[Finding], sources: &Sources) -> String {
    json_text(&Document {
        schema: SCHEMA_NAME,
        format_version: FORMAT_VERSION,
        findings: findings.iter().map(|finding| entry(finding, sources)).collect(),
        counts: summary_counts(findings),
    })
}

fn entry<'a>(finding: &'a Finding, sources: &Sources) -> Entry<'a> {
    let label = |label: &'a finding::Label| Label { text: &label.text, at: stretch(sources, label.span) };
    let edit = |edit: &'a finding::Edit| Edit { with: &edit.with, at: stretch(sources, edit.span) };
    let accepted =
        |accepted: &'a finding::Accepted| Accepted { reason: &accepted.reason, at: stretch(sources, accepted.span) };
    Entry {
        code: finding.code,
        level: finding.level.word(),
        headline: &finding.headline,
        at: stretch(sources, finding.span()),
        labels: finding.labels.iter().map(label).collect(),
        working: &finding.working,
        slip: finding.slip.as_deref(),
        help: finding.help.as_deref(),
        source: finding.source.as_deref(),
        edit: finding.edit.as_ref().map(edit),
        accepted: finding.accepted.as_ref().map(accepted),
    }
}

fn stretch(sources: &Sources, span: Span) -> Stretch {
    let region = region(sources, span);
    let point = |place: &Place| Point { line: place.line, column: place.column, offset: place.offset };
    Stretch { file: region.path.to_string_lossy().into_owned(), start: point(&region.start), end: point(&region.end) }
}
