//! What findings mean: the checks' own documentation.

use serde::Serialize;

use super::overview::MADE_BY;
use crate::checks::{CHECKS, Check, check_named};

/// The page that lists every finding.
#[derive(Debug, Serialize)]
pub(super) struct Meanings {
    made_by: &'static str,
    meanings: Vec<Row>,
}

#[derive(Debug, Serialize)]
struct Row {
    code: &'static str,
    level: &'static str,
    summary: &'static str,
}

pub(super) fn all() -> Meanings {
    let row = |check: &Check| Row { code: check.code, level: check.level.word(), summary: check.summary };
    Meanings { made_by: MADE_BY, meanings: CHECKS.iter().map(row).collect() }
}

/// The page of one.
#[derive(Debug, Serialize)]
pub(super) struct Meaning {
    made_by: &'static str,
    code: &'static str,
    grade: &'static str,
    /// Markdown.
    text: &'static str,
}

pub(super) fn one(code: &str) -> Option<Meaning> {
    let check = check_named(code)?;
    let text = check.explain.split_once('\n').map_or("", |(_, rest)| rest);
    Some(Meaning { made_by: MADE_BY, code: check.code, grade: check.level.word(), text })
}

/// What a finding means and why it matters, as Markdown, without its examples.
pub(super) fn in_short(code: &str) -> String {
    let text = check_named(code).map_or("", |check| check.explain);
    let text = text.split_once('\n').map_or("", |(_, rest)| rest);
    text.split_once("\n## Wrong").map_or(text, |(before, _)| before).trim().replace("\n## ", "\n### ")
}
