use foliary::finding::{Finding, Level};
use foliary::report::line;
use foliary::text::{Sources, Span};

use super::findings;

#[test]
fn lines() {
    let (sources, findings) = findings();
    insta::assert_snapshot!(line::render(&findings, &sources, false));
}

#[test]
fn lines_with_accepted() {
    let (sources, findings) = findings();
    insta::assert_snapshot!(line::render(&findings[3..4], &sources, true));
}

#[test]
fn the_position_counts_characters_from_one() {
    let (sources, findings) = findings();
    let out = line::render(&findings, &sources, false);
    let starts = ["2026/may.spray:3:7: error[", "2026/may.spray:2:24: error[", "2026/june.spray:4:10: error["];
    let starts = starts.iter().chain(&["2026/june.spray:4:23: warning[", "new.spray:1:1: note["]);
    for (line, start) in out.lines().zip(starts) {
        assert!(line.starts_with(start), "{line} does not begin with {start}");
    }
    assert_eq!(out.lines().count(), 5, "the accepted finding is left out");
}

#[test]
fn a_headline_that_quotes_line_ends_stays_on_one_line() {
    let mut sources = Sources::new();
    sources.add("two\nlines.spray", "x\n".to_owned()).expect("it fits");
    let finding = Finding::new("x", Level::Note, Span::new(0, 1), "one\r\ntwo\tthree");
    assert_eq!(line::render(&[finding], &sources, false), "two lines.spray:1:1: note[x]: one  two three\n");
}

#[test]
fn nothing_found_is_nothing_written() {
    assert_eq!(line::render(&[], &Sources::new(), true), "");
}
