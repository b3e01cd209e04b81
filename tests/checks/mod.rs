//! Every check's Markdown is its documentation and its test: each journal marked `wrong` raises that finding and no
//! other, each marked `right` raises nothing at all. The wrong ones stand in `journal-examples/mistakes/` too.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod edits;
mod folders;
mod follow_on;
mod materials_and_food;
mod mistakes;
mod repairs;

use std::fs;
use std::path::Path;

use chrono::NaiveDate;
use foliary::checks::{CHECKS, Check, never_accepted_ahead, run};
use foliary::finding::Finding;
use foliary::history::{Counting, History};
use foliary::job::verdict_of_record;
use foliary::report::{Format, Options, render};
use foliary::season::Season;
use foliary::text::Sources;
use foliary::{Farm, check_farm, compile_farm};

use crate::history::made::{Made, git_is_there, histories};

/// A journal of a check's documentation.
#[derive(Clone)]
struct Example {
    wrong: bool,
    as_of: Option<NaiveDate>,
    /// What was committed, oldest first; nothing for a journal without git.
    commits: Vec<Commit>,
    text: String,
}

/// A commit of an example.
#[derive(Clone)]
struct Commit {
    author: String,
    day: NaiveDate,
    text: String,
}

/// The fenced journals of a check: ```` ```spray wrong ````, ```` ```spray right as-of=2026-05-01 ````. One marked `then`
/// was committed, by Tansy Marsh on 14 May 2026; what follows it, marked `next`, is the commit after it.
fn examples(check: &Check) -> Vec<Example> {
    let mut examples: Vec<Example> = Vec::new();
    let mut lines = check.explain.lines();
    while let Some(line) = lines.next() {
        let Some(marks) = line.strip_prefix("```spray") else { continue };
        let (author, marks) =
            match marks.split_once("author=\"").and_then(|(before, rest)| Some((before, rest.split_once('"')?))) {
                Some((before, (author, after))) => (author, format!("{before}{after}")),
                None => ("Tansy Marsh", marks.to_string()),
            };
        let marks: Vec<&str> = marks.split_whitespace().collect();
        let date = |mark: &str| marks.iter().find_map(|known| known.strip_prefix(mark)).map(|day| day.parse().unwrap());
        let text: String = lines.by_ref().take_while(|line| *line != "```").map(|line| format!("{line}\n")).collect();
        let day = date("day=").or(NaiveDate::from_ymd_opt(2026, 5, 14)).unwrap();
        let commit = Commit { author: author.to_string(), day, text: text.clone() };
        let wrong = match marks.first() {
            Some(&"wrong") => true,
            Some(&"right") => false,
            Some(&"next") => {
                let before = examples.last_mut().filter(|before| !before.commits.is_empty());
                let before = before.unwrap_or_else(|| panic!("{}: `next` follows `then`", check.code));
                before.commits.push(commit);
                before.text = text;
                continue;
            }
            other => panic!("{}: a journal is marked wrong, right or next, not {other:?}", check.code),
        };
        let commits = if marks.contains(&"then") { vec![commit] } else { Vec::new() };
        examples.push(Example { wrong, as_of: date("as-of="), commits, text });
    }
    // Where there is no git program, what needs one cannot be tried.
    examples.retain(|example| example.commits.is_empty() || git_is_there());
    examples
}

/// What git shows of an example.
fn history(example: &Example) -> Option<History> {
    if example.commits.is_empty() {
        return None;
    }
    let mut made = Made::new();
    for commit in &example.commits {
        made.then(&commit.author, &format!("{}T19:30:00-06:00", commit.day), &[("journal.spray", &commit.text)]);
    }
    let made = made.done();
    made.write("journal.spray", &example.text);
    let (_, mut histories) = histories(&[made.path().to_path_buf()], Counting::All);
    histories.pop()
}

fn findings(example: &Example) -> (Sources, Vec<Finding>) {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", example.text.clone()).unwrap();
    let as_of = example.as_of.or(NaiveDate::from_ymd_opt(2026, 12, 31));
    let Some(history) = history(example) else {
        let findings = check_farm(&sources, Farm { files: &[file], missing: &[] }, as_of);
        return (sources, findings);
    };
    let journal = compile_farm(&sources, Farm { files: &[file], missing: &[] });
    let findings = run(&Season::new(&journal, &sources, as_of).with_history(&history));
    (sources, findings)
}

fn shown(sources: &Sources, findings: &[Finding]) -> String {
    render(Format::Page, findings, sources, Options::default())
}

/// Checks whose finding needs more than one file or folder; each has a test of its own.
const NEED_FOLDERS: &[&str] = &["missing-folder", "history-cut-off"];

#[test]
fn wrong_examples_raise_exactly_their_finding_and_right_ones_none() {
    for check in CHECKS {
        let examples = examples(check);
        let shows = |wrong: bool| !git_is_there() || examples.iter().any(|example| example.wrong == wrong);
        assert!(shows(false), "{} shows nothing right", check.code);
        assert!(shows(true), "{} shows nothing wrong", check.code);
        if NEED_FOLDERS.contains(&check.code) {
            continue;
        }
        for example in examples {
            let (sources, findings) = findings(&example);
            let codes: Vec<&str> = findings.iter().map(|finding| finding.code).collect();
            let wanted = if example.wrong { vec![check.code] } else { vec![] };
            assert_eq!(codes, wanted, "{}:\n{}\n{}", check.code, example.text, shown(&sources, &findings));
        }
    }
}

#[test]
fn every_check_has_its_parts() {
    for (at, check) in CHECKS.iter().enumerate() {
        let text = check.explain;
        assert!(text.starts_with(&format!("# {}\n", check.code)), "{} starts with its name", check.code);
        for heading in ["## Why", "## Wrong", "## Right", "## Source"] {
            assert!(text.contains(&format!("\n{heading}\n")), "{} has no part `{heading}`", check.code);
        }
        assert!(!CHECKS[..at].iter().any(|other| other.code == check.code), "{} stands twice", check.code);
    }
}

#[test]
fn every_file_of_the_folder_is_registered() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/checks");
    for file in fs::read_dir(folder).unwrap() {
        let path = file.unwrap().path();
        if path.extension().is_some_and(|ending| ending == "md") {
            let code = path.file_stem().unwrap().to_str().unwrap().replace('_', "-");
            assert!(CHECKS.iter().any(|check| check.code == code), "{code} is not registered");
        }
    }
}

#[test]
fn the_findings_read_like_this() {
    for check in CHECKS.iter().filter(|check| !NEED_FOLDERS.contains(&check.code)) {
        for (number, example) in examples(check).iter().filter(|example| example.wrong).enumerate() {
            let (sources, findings) = findings(example);
            let before = example.commits.split_last().map_or(&[][..], |(_, before)| before);
            let before: String = before
                .iter()
                .map(|commit| format!("{}=====\n{} on {}, and then\n=====\n", commit.text, commit.author, commit.day))
                .collect();
            let page = format!("{before}{}\n=====\n{}", example.text, shown(&sources, &findings));
            insta::assert_snapshot!(format!("{}-{}", check.code, number + 1), page);
        }
    }
}

/// Accepts a finding where it stands: in the entry of its first place.
fn accepted(text: &str, finding: &Finding) -> Option<String> {
    let at = finding.span().start as usize;
    let line_starts = |text: &str| text.match_indices('\n').map(|(newline, _)| newline + 1).collect::<Vec<_>>();
    let begins = |at: usize| !matches!(text.as_bytes().get(at), None | Some(b' ' | b'\t' | b'#' | b'\n' | b'\r'));
    // The entry ends where the next line at the margin begins.
    let starts: Vec<usize> = std::iter::once(0).chain(line_starts(text)).filter(|&start| begins(start)).collect();
    let entry = starts.iter().rposition(|&start| start <= at)?;
    let end = starts.get(entry + 1).copied().unwrap_or(text.len());
    Some(format!(
        "{}\n    accept {} {} On purpose, for this test.\n\n{}",
        text[..end].trim_end(),
        finding.code,
        finding.accept_by.as_deref().unwrap_or("Yes:"),
        &text[end..]
    ))
}

/// The text of the entry that a finding points at, up to the finding; a blank line parts entries.
fn entry_at<'t>(text: &'t str, finding: &Finding) -> &'t str {
    text[..finding.span().start as usize].rsplit("\n\n").next().unwrap_or_default()
}

#[test]
fn what_is_dangerous_is_not_accepted_ahead() {
    let check = CHECKS.iter().find(|check| check.code == "dangerous-tank").unwrap();
    let example = examples(check).into_iter().filter(|example| example.wrong).nth(1).unwrap();
    let (_, found) = findings(&example);
    let text = accepted(&example.text, &found[0]).unwrap();
    let open = |as_of: &str| {
        let as_of = Some(as_of.parse().unwrap());
        let (_, found) = findings(&Example { text: text.clone(), as_of, ..example.clone() });
        found.iter().filter(|found| found.accepted.is_none()).map(|found| found.code).collect::<Vec<_>>()
    };
    assert!(open("2026-05-14").is_empty());
    // As a job, though, it is still to be filled.
    let (_, done) = findings(&Example { text: text.clone(), ..example.clone() });
    let dangerous = done.iter().find(|found| found.code == "dangerous-tank").unwrap();
    let verdict = verdict_of_record(&done, dangerous.span(), None);
    assert_eq!(verdict.stops.iter().map(|stop| stop.code).collect::<Vec<_>>(), ["dangerous-tank"]);
    let ahead = open("2026-05-13");
    assert!(ahead.contains(&"dangerous-tank") && ahead.contains(&"accept-of-nothing"), "{ahead:?}");
}

#[test]
fn every_finding_can_be_accepted_on_purpose() {
    // Nothing raises it once the accept is right, and a character that stands before any entry belongs to none.
    let apart = ["accept-of-nothing"];
    for check in CHECKS.iter().filter(|check| !NEED_FOLDERS.contains(&check.code) && !apart.contains(&check.code)) {
        for example in examples(check).into_iter().filter(|example| example.wrong) {
            let (_, found) = findings(&example);
            let first = found[0].clone();
            let Some(text) = accepted(&example.text, &first) else { continue };
            let (sources, found) = findings(&Example { text, ..example.clone() });
            // A tank that is still to be filled, rather than the record of a spray.
            let spray = entry_at(&example.text, &first).starts_with("spray ");
            if never_accepted_ahead(check.code) && !spray {
                let open = found.iter().filter(|found| found.accepted.is_none()).map(|found| found.code);
                assert_eq!(open.collect::<Vec<_>>(), [check.code, "accept-of-nothing"]);
                continue;
            }
            let open: Vec<&str> =
                found.iter().filter(|found| found.accepted.is_none()).map(|found| found.code).collect();
            assert!(open.is_empty(), "{}: {open:?}\n{}", check.code, shown(&sources, &found));
            assert!(found.iter().any(|found| found.code == check.code && found.accepted.is_some()), "{}", check.code);
        }
    }
}
