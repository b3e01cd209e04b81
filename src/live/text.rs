//! The journal's text, with what findings say beside the lines.

use std::hash::{Hash, Hasher};

use rustc_hash::{FxHashMap, FxHasher};
use serde::Serialize;

use super::address::{LINES, page_from};
use super::edition::FarmPages;
use super::findings::{address, keys, text_address};
use super::overview::MADE_BY;
use super::written::{Piece, Spot, lines, on_line, pieces};
use crate::finding::Finding;
use crate::text::Sources;

/// How much is said beside one line.
const BESIDE: usize = 12;
/// How many places of a file are listed above it.
const LISTED: usize = 100;

/// The page that lists the files.
#[derive(Debug, Serialize)]
pub(super) struct Files {
    made_by: &'static str,
    farm: String,
    files: Vec<FileRow>,
}

#[derive(Debug, Serialize)]
struct FileRow {
    shown: String,
    address: String,
    lines: usize,
    /// How many findings begin in it.
    found: usize,
    gravest: Option<&'static str>,
}

pub(super) fn files(farm: &FarmPages<'_>, sources: &Sources) -> Files {
    let files = farm.written.files.iter().map(|file| {
        let first = |spot: &&Spot| spot.label == 0 && farm.findings[spot.finding].accepted.is_none();
        let found: Vec<&Finding> = file.spots.iter().filter(first).map(|spot| &farm.findings[spot.finding]).collect();
        FileRow {
            shown: file.shown.clone(),
            address: farm.address(&format!("journal/{}", file.name)),
            lines: sources.get(file.source).text().lines().count(),
            found: found.len(),
            gravest: found.iter().map(|finding| finding.level).min().map(|level| level.word()),
        }
    });
    Files { made_by: MADE_BY, farm: farm.title.clone(), files: files.collect() }
}

/// A page of a file.
#[derive(Debug, Serialize)]
pub(super) struct Text {
    made_by: &'static str,
    farm: String,
    file: String,
    lines: Vec<Line>,
    /// Which lines of how many these are, where it is not all of them.
    part: Option<String>,
    earlier: Option<String>,
    later: Option<String>,
    /// Where findings of this file begin.
    places: Vec<Place>,
    /// How many more places there are.
    more: usize,
}

#[derive(Debug, Serialize)]
struct Place {
    line: usize,
    address: String,
    level: &'static str,
    headline: String,
}

#[derive(Debug, Serialize)]
struct Line {
    number: usize,
    /// The same for the same words after other lines have moved.
    key: String,
    pieces: Vec<Piece>,
    notes: Vec<Note>,
    /// How many more notes there are.
    more: usize,
}

/// What a finding says beside a line.
#[derive(Debug, Serialize)]
struct Note {
    level: &'static str,
    accepted: bool,
    /// Whether this is the place to look at first.
    first: bool,
    words: String,
    address: String,
    others: Vec<Other>,
}

/// Another place of the same finding.
#[derive(Debug, Serialize)]
struct Other {
    line: usize,
    /// The file, where it is another.
    file: Option<String>,
    words: String,
    address: Option<String>,
}

/// A page of a file, from a line on; none where the farm has no such file.
pub(super) fn page(farm: &FarmPages<'_>, sources: &Sources, name: &str, from: usize) -> Option<Text> {
    let file = farm.written.files.iter().find(|file| file.name == name)?;
    let text = sources.get(file.source).text();
    let total = text.lines().count();
    // The file may have become shorter.
    let from = page_from(from.min(total.max(1)), LINES);
    let keys = keys(&farm.findings);
    let mut met: FxHashMap<u64, usize> = FxHashMap::default();
    // The day and the entry that a line belongs to.
    let (mut day, mut entry) = ("", "");
    let shown = lines(text).take(from - 1 + LINES).filter_map(|(number, range)| {
        let line = &text[range.clone()];
        match line.bytes().next() {
            Some(b'0'..=b'9') => (day, entry) = (line, ""),
            Some(b' ' | b'\t' | b'#') | None => {}
            Some(_) => entry = line,
        }
        if number < from {
            return None;
        }
        // A finding at the very end of a line is about that line, too.
        let begin = file.spots.partition_point(|spot| spot.start < range.start);
        let end = file.spots.partition_point(|spot| spot.start <= range.end);
        // The first line may begin behind a mark of the file.
        let spots = &file.spots[if number == 1 { 0 } else { begin }..end];
        let marks: Vec<_> = spots
            .iter()
            .filter(|spot| farm.findings[spot.finding].accepted.is_none())
            .map(|spot| (on_line(&range, spot.start, spot.end), farm.findings[spot.finding].level))
            .collect();
        let mut hasher = FxHasher::default();
        (day, entry, line).hash(&mut hasher);
        let count = met.entry(hasher.finish()).and_modify(|count| *count += 1).or_insert(1);
        Some(Line {
            number,
            key: format!("{:016x}-{count}", hasher.finish()),
            pieces: pieces(line, &marks),
            notes: spots.iter().take(BESIDE).map(|spot| note(farm, sources, spot, &keys)).collect(),
            more: spots.len().saturating_sub(BESIDE),
        })
    });
    let shown: Vec<Line> = shown.collect();
    let last = from - 1 + shown.len();
    let address = |from: usize| farm.address(&format!("journal/{}/{from}", file.name));
    let first = |spot: &&Spot| spot.label == 0 && farm.findings[spot.finding].accepted.is_none();
    let places = file.spots.iter().filter(first).take(LISTED).map(|spot| {
        let finding = &farm.findings[spot.finding];
        let line = sources.place(finding.span().start).line as usize;
        Place {
            line,
            address: text_address(farm, name, line),
            level: finding.level.word(),
            headline: finding.headline.clone(),
        }
    });
    Some(Text {
        made_by: MADE_BY,
        farm: farm.title.clone(),
        file: file.shown.clone(),
        part: (total > LINES).then(|| format!("Lines {from} to {last} of {total}")),
        earlier: (from > 1).then(|| address(from.saturating_sub(LINES))),
        later: (last < total).then(|| address(from + LINES)),
        places: places.collect(),
        more: file.spots.iter().filter(first).count().saturating_sub(LISTED),
        lines: shown,
    })
}

fn note(farm: &FarmPages<'_>, sources: &Sources, spot: &Spot, keys: &[String]) -> Note {
    let finding = &farm.findings[spot.finding];
    let here = &finding.labels[spot.label];
    let words = match (spot.label, here.text.is_empty()) {
        (0, true) => finding.headline.clone(),
        (0, false) => format!("{} ({})", finding.headline, here.text),
        (_, true) => finding.headline.clone(),
        (_, false) => here.text.clone(),
    };
    let own = sources.source_of(here.span);
    let others = finding.labels.iter().enumerate().filter(|(at, _)| *at != spot.label);
    let others = others.map(|(at, label)| {
        let place = sources.place(label.span.start);
        let line = place.line as usize;
        let file = farm.written.file(place.source);
        let shown =
            || file.map_or_else(|| sources.get(place.source).path().display().to_string(), |file| file.shown.clone());
        let words = if at == 0 && label.text.is_empty() { "the finding".to_string() } else { label.text.clone() };
        Other {
            line,
            file: (place.source != own).then(shown),
            words,
            address: file.map(|file| text_address(farm, &file.name, line)),
        }
    });
    Note {
        level: finding.level.word(),
        accepted: finding.accepted.is_some(),
        first: spot.label == 0,
        words,
        address: address(farm, spot.finding, &keys[spot.finding]),
        others: others.collect(),
    }
}
