//! The findings of a farm, each with all that is known about it.

use std::hash::{Hash, Hasher};

use rustc_hash::{FxHashMap, FxHasher};
use serde::Serialize;

use super::address::{FINDINGS, LINES, Which, page_from};
use super::edition::FarmPages;
use super::frame::Link;
use super::meaning;
use super::overview::MADE_BY;
use super::written::{Piece, lines, on_line, pieces};
use crate::finding::{Finding, Label, Level, summary_counts};
use crate::text::Sources;

/// A page of findings.
#[derive(Debug, Serialize)]
pub(super) struct Findings {
    made_by: &'static str,
    farm: String,
    counts: String,
    /// Which are shown, and which could be.
    which: Vec<Link>,
    findings: Vec<Card>,
    /// Which part of them this is, where they are many.
    part: Option<String>,
    earlier: Option<String>,
    later: Option<String>,
}

/// A finding.
#[derive(Debug, Serialize)]
struct Card {
    /// The same for the same finding after other lines have moved.
    key: String,
    level: &'static str,
    code: &'static str,
    headline: String,
    places: Vec<Spotted>,
    working: Vec<String>,
    slip: Option<String>,
    help: Option<String>,
    source: Option<String>,
    /// A spelling that would put it right.
    spelling: Option<String>,
    accepted: Option<String>,
    /// Markdown.
    meaning: String,
}

/// A place that matters, with its line.
#[derive(Debug, Serialize)]
struct Spotted {
    place: String,
    /// Where it stands in the journal's text; absent for what comes with the program.
    address: Option<String>,
    words: String,
    line: usize,
    pieces: Vec<Piece>,
}

/// A page of the findings of a farm, from the one of a number on.
pub(super) fn page(farm: &FarmPages<'_>, sources: &Sources, which: Which, from: usize) -> Findings {
    let keys = keys(&farm.findings);
    let wanted: Vec<usize> = (0..farm.findings.len()).filter(|&at| is(&farm.findings[at], which)).collect();
    let from = page_from(from, FINDINGS);
    let shown = wanted.iter().skip(from - 1).take(FINDINGS);
    let word = Which::EACH.iter().find(|(known, ..)| *known == which).map_or("all", |(_, word, _)| *word);
    let address = |from: usize| farm.address(&format!("findings/{word}/{from}"));
    let last = wanted.len().min(from - 1 + FINDINGS);
    let count = |which| farm.findings.iter().filter(|finding| is(finding, which)).count();
    let choices = Which::EACH.iter().map(|&(other, word, title)| (other, word, title, count(other)));
    Findings {
        made_by: MADE_BY,
        farm: farm.title.clone(),
        counts: summary_counts(&farm.findings).to_string(),
        which: choices
            .filter(|&(other, .., count)| count > 0 || other == which)
            .map(|(other, word, title, count)| Link {
                title: format!("{title} ({count})"),
                address: farm.address(&format!("findings/{word}")),
                here: other == which,
            })
            .collect(),
        findings: shown.map(|&at| card(farm, sources, &farm.findings[at], keys[at].clone())).collect(),
        part: (wanted.len() > FINDINGS).then(|| format!("{from} to {last} of {}", wanted.len())),
        earlier: (from > 1).then(|| address(from.saturating_sub(FINDINGS))),
        later: (last < wanted.len()).then(|| address(from + FINDINGS)),
    }
}

fn is(finding: &Finding, which: Which) -> bool {
    match which {
        Which::Accepted => finding.accepted.is_some(),
        _ if finding.accepted.is_some() => false,
        Which::All => true,
        Which::Errors => finding.level == Level::Error,
        Which::Warnings => finding.level == Level::Warning,
        Which::Notes => finding.level == Level::Note,
    }
}

/// Something that stays with each finding while lines move: what it says, and which it is of those that say the same.
pub(super) fn keys(findings: &[Finding]) -> Vec<String> {
    let mut met: FxHashMap<u64, usize> = FxHashMap::default();
    findings
        .iter()
        .map(|finding| {
            let mut hasher = FxHasher::default();
            (finding.code, &finding.headline).hash(&mut hasher);
            let hash = hasher.finish();
            let number = met.entry(hash).and_modify(|number| *number += 1).or_insert(1);
            format!("found-{hash:016x}-{number}")
        })
        .collect()
}

/// Where a finding stands among the findings.
pub(super) fn address(farm: &FarmPages<'_>, at: usize, key: &str) -> String {
    let which = if farm.findings[at].accepted.is_some() { Which::Accepted } else { Which::All };
    let number = farm.findings[..=at].iter().filter(|finding| is(finding, which)).count();
    let word = if which == Which::Accepted { "accepted" } else { "all" };
    farm.address(&format!("findings/{word}/{}#{key}", page_from(number, FINDINGS)))
}

fn card(farm: &FarmPages<'_>, sources: &Sources, finding: &Finding, key: String) -> Card {
    Card {
        key,
        level: finding.level.word(),
        code: finding.code,
        headline: finding.headline.clone(),
        places: finding.labels.iter().map(|label| spotted(farm, sources, label, finding.level)).collect(),
        working: finding.working.clone(),
        slip: finding.slip.clone(),
        help: finding.help.clone(),
        source: finding.source.clone(),
        spelling: finding.edit.as_ref().map(|edit| edit.with.clone()),
        accepted: finding.accepted.as_ref().map(|accepted| accepted.reason.trim().to_string()),
        meaning: meaning::in_short(finding.code),
    }
}

fn spotted(farm: &FarmPages<'_>, sources: &Sources, label: &Label, level: Level) -> Spotted {
    let place = sources.place(label.span.start);
    let source = sources.get(place.source);
    let range = sources.local(label.span);
    let around = around(source.text(), range.start);
    let file = farm.written.file(place.source);
    let line = place.line as usize;
    let shown = file.map_or_else(|| source.path().to_string_lossy().into_owned(), |file| file.shown.clone());
    Spotted {
        place: format!("{shown}, line {line}"),
        address: file.map(|file| text_address(farm, &file.name, line)),
        words: label.text.clone(),
        line,
        pieces: pieces(&source.text()[around.clone()], &[(on_line(&around, range.start, range.end), level)]),
    }
}

/// Where a line stands in the journal's text.
pub(super) fn text_address(farm: &FarmPages<'_>, file: &str, line: usize) -> String {
    farm.address(&format!("journal/{file}/{}#line-{line}", page_from(line, LINES)))
}

/// The bytes of the line that a place is on.
fn around(text: &str, at: usize) -> std::ops::Range<usize> {
    let start = text.as_bytes()[..at].iter().rposition(|&byte| byte == b'\n').map_or(0, |before| before + 1);
    let range = lines(&text[start..]).next().map_or(0..0, |(_, range)| range);
    start + range.start..start + range.end
}
