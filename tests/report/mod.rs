//! The `report` stage: one set of hand-made findings, written out in every format.

mod bounds;
mod json;
mod line;
mod page;
mod sarif;
pub mod schemas;

use foliary::finding::{Accepted, Finding, Level};
use foliary::finding::{Counts, summary_counts};
use foliary::report::Format;
use foliary::text::{SourceId, Sources, Span};

/// A page with letters of two, three and four bytes, and a tab.
const MAY: &str = "\
2026-05-14 Thu
spray block-é by Zoë 🍐 crew
\trate 2.5 kg per acre
\tnote drizzle from noon
";

/// The same sort of page with carriage returns, and a last line without an end.
const JUNE: &str = "2026-06-02 Tue\r\nspray creek-pear\r\n    re-entry 4 h\r\n    rate 3 kg per acre";

/// A material, with the limit that the findings quote.
const MATERIALS: &str = "\
material willow-salt \"Willow salt\"
    most-per-acre 2 kg per acre
    re-entry 12 h
";

/// The first place where some words stand in a file.
fn at(sources: &Sources, file: SourceId, words: &str) -> Span {
    let source = sources.get(file);
    let offset = source.text().find(words).expect("the words stand in the fixture") as u32;
    Span::new(source.base() + offset, source.base() + offset + words.len() as u32)
}

fn journal() -> (Sources, [SourceId; 4]) {
    let mut sources = Sources::new();
    let files = [("2026/may.spray", MAY), ("2026/june.spray", JUNE), ("materials.spray", MATERIALS), ("new.spray", "")]
        .map(|(path, text)| sources.add(path, text.to_owned()).expect("small files fit"));
    (sources, files)
}

fn findings() -> (Sources, Vec<Finding>) {
    let (sources, [may, june, materials, empty]) = journal();
    let end_of_june = Span::new(sources.get(june).span().end, sources.get(june).span().end);
    let mut accepted = Finding::new(
        "re-entry-shorter-than-label",
        Level::Warning,
        at(&sources, june, "re-entry 4 h"),
        "Re-entry to `creek-pear` is 4 h, the material's own is 12 h",
    )
    .here("4 h here")
    .label(at(&sources, materials, "re-entry 12 h"), "12 h set here");
    accepted.accepted = Some(Accepted {
        reason: "only the gate row was sprayed; nobody works there".to_owned(),
        span: at(&sources, june, "spray creek-pear"),
    });
    let findings = vec![
        Finding::new(
            "rate-over-limit",
            Level::Error,
            at(&sources, may, "2.5 kg per acre"),
            "Rate 2.5 kg per acre of `willow-salt` on `block-é` is above the limit of 2 kg per acre that the \
             material sets",
        )
        .here("0.5 kg per acre too much")
        .label(at(&sources, may, "block-é"), "on this block")
        .label(at(&sources, materials, "2 kg per acre"), "limit set here")
        .working("2.5 kg per acre - 2 kg per acre = 0.5 kg per acre")
        .working("0.5 / 2 = 25 % over")
        .slip(Some("the rate was meant for two acres".to_owned()))
        .help(
            "Read the product label again. If the entry is wrong, put it right with an `amend`; if it is right, say \
             why with `accept`",
        )
        .source("the material's own `most-per-acre`, as entered"),
        Finding::new("unknown-name", Level::Error, at(&sources, may, "crew"), "`crew` is not a person of this journal")
            .edit(at(&sources, may, "crew"), "crews"),
        Finding::new(
            "rate-over-limit",
            Level::Error,
            at(&sources, june, "3 kg per acre"),
            "Rate 3 kg per acre is high",
        )
        .here("1 kg per acre too much"),
        accepted,
        Finding::new("no-end-time", Level::Warning, end_of_june, "The spray of 2026-06-02 has no end time")
            .help("Add an `end` line"),
        Finding::new("empty-file", Level::Note, sources.get(empty).span(), "`new.spray` holds no entry"),
    ];
    (sources, findings)
}

#[test]
fn an_accepted_finding_counts_as_accepted_and_as_nothing_else() {
    let (_, findings) = findings();
    let counts = summary_counts(&findings);
    assert_eq!(counts, Counts { errors: 3, warnings: 1, notes: 1, accepted: 1 });
    assert_eq!(counts.to_string(), "3 errors, 1 warning, 1 note (1 accepted)");
}

#[test]
fn counts_read_as_a_sentence_when_there_is_little_to_count() {
    assert_eq!(Counts::default().to_string(), "no findings");
    assert_eq!(Counts { accepted: 2, ..Counts::default() }.to_string(), "no findings (2 accepted)");
    assert_eq!(Counts { notes: 2, ..Counts::default() }.to_string(), "2 notes");
}

#[test]
fn every_format_is_chosen_by_its_own_word_and_others_are_refused_with_the_choice() {
    for format in Format::ALL {
        assert_eq!(format.word().parse(), Ok(format));
    }
    let refused = "xml".parse::<Format>().expect_err("not a format");
    assert_eq!(refused, "`xml` is not a format; choose one of page, line, json, sarif");
}
