//! Colours off when they should be, progress where somebody waits for it, and lines that fit.

use std::fs;
use std::path::Path;

use super::{copy, shell, there, widest};
use crate::robust::{folder, run};

/// A farm with a slip.
const SLIP: &[(&str, &[u8])] = &[("journal.spray", b"2026-05-14 Fri\n\nspray nowhere\n    reason because\n")];

/// What a line of shell prints with some of the environment set, its colours and all.
fn printed(at: &Path, line: &str, environment: &[(&str, &str)]) -> String {
    let output = shell(at, line).envs(environment.iter().copied()).output().unwrap();
    String::from_utf8_lossy(&[output.stdout, output.stderr].concat()).into_owned()
}

/// The same on a terminal.
fn on_terminal(at: &Path, line: &str, environment: &[(&str, &str)]) -> String {
    printed(at, &format!("script -qec '{line}' /dev/null"), environment)
}

const CODE: &str = "\u{1b}[";

#[test]
#[cfg(unix)]
fn colours_follow_one_rule_in_findings_help_and_complaints() {
    let farm = folder(SLIP);
    for line in ["foliary check", "foliary check --help", "foliary check --nonsense"] {
        // Into a pipe: only where they are asked for.
        let piped = |environment: &[(&str, &str)]| printed(farm.path(), line, environment).contains(CODE);
        assert!(!piped(&[]), "{line}");
        assert!(piped(&[("CLICOLOR_FORCE", "1")]), "{line}");
        assert!(!piped(&[("CLICOLOR_FORCE", "0")]) && !piped(&[("CLICOLOR_FORCE", "")]), "{line}");
        assert!(!piped(&[("CLICOLOR_FORCE", "1"), ("NO_COLOR", "1")]), "{line}");
        let always = format!("{line} --colours always");
        assert!(printed(farm.path(), &always, &[("NO_COLOR", "1")]).contains(CODE), "{line}");
        if !there("script") {
            continue;
        }
        let shown = |environment: &[(&str, &str)]| on_terminal(farm.path(), line, environment).contains(CODE);
        assert!(shown(&[]) && shown(&[("NO_COLOR", "")]), "{line}");
        for off in [("NO_COLOR", "1"), ("TERM", "dumb"), ("CLICOLOR", "0")] {
            assert!(!shown(&[off]), "{line} {off:?}");
        }
        assert!(!on_terminal(farm.path(), &format!("{line} --colours never"), &[]).contains(CODE), "{line}");
        assert!(!on_terminal(farm.path(), &line.replacen(' ', " --colours=never ", 1), &[]).contains(CODE), "{line}");
    }
}

#[test]
#[cfg(unix)]
fn machine_formats_have_no_colours_even_where_they_are_forced() {
    let farm = folder(SLIP);
    for format in ["line", "json", "sarif"] {
        let said = printed(farm.path(), &format!("foliary check --colours always --format {format}"), &[]);
        assert!(!said.contains(CODE), "{format}");
    }
}

/// So many journals of a whole season.
fn work(farms: usize) -> tempfile::TempDir {
    let place = tempfile::tempdir().unwrap();
    let season = crate::syntax::examples::folder("journal-examples/twenty-acres");
    for farm in 0..farms {
        copy(&season, &place.path().join(farm.to_string()));
    }
    place
}

#[test]
#[cfg(unix)]
fn progress_is_shown_on_a_terminal_after_a_second_and_nowhere_else() {
    let command = "foliary check --as-of 2026-11-20 --no-git --format";
    // More work until it takes well over a second, whatever else the machine does.
    let (mut farms, mut farm, mut took) = (2, work(2), std::time::Duration::ZERO);
    while took.as_millis() < 2_500 && farms < 64 {
        farms *= 2;
        farm = work(farms);
        let start = std::time::Instant::now();
        let piped = printed(farm.path(), &format!("{command} line"), &[]);
        took = start.elapsed();
        assert!(!piped.contains("Reading") && !piped.contains("Checking"));
    }
    if !there("script") {
        return;
    }
    if took.as_millis() >= 2_500 {
        let shown = on_terminal(farm.path(), &format!("{command} line"), &[]);
        assert!(shown.contains("Reading the journals") || shown.contains("Checking "), "after {took:?}");
        let json = on_terminal(farm.path(), &format!("{command} json"), &[]);
        assert!(!json.contains("Checking ") && !json.contains("Reading the"));
        let half = on_terminal(farm.path(), &format!("{command} line > found"), &[]);
        assert!(!half.contains("Checking ") && !half.contains("Reading the"), "{half}");
    } else {
        eprintln!("SKIPPED: this machine is too fast for progress to be seen: {took:?}");
    }
    let short = folder(SLIP);
    let quick = on_terminal(short.path(), "foliary check", &[]);
    assert!(!quick.contains("Reading the journals"), "{quick}");
}

#[test]
fn failures_fit_the_terminal_and_break_between_words_only() {
    let empty = folder(&[]);
    let farm = folder(&[("farm.spray", b"farm a\n\nblock pear\n    area 1 acre\n")]);
    let cases: &[(&Path, &[&str])] = &[
        (empty.path(), &["start"]),
        (empty.path(), &["check"]),
        (farm.path(), &["mix-sheet", "--block", "peer", "--put", "salt 1 oz"]),
        (farm.path(), &["clearance", "--at", "tomorrow"]),
        (farm.path(), &["calendar", "--kind", "nonsense"]),
        (farm.path(), &["report"]),
        (farm.path(), &["explain", "harvest"]),
    ];
    for (at, arguments) in cases {
        let done = run(at, arguments);
        let said = String::from_utf8_lossy(&done.stderr).into_owned();
        assert_eq!(done.code, 2, "{arguments:?}");
        assert!(widest(&said) <= 80, "{arguments:?}:\n{said}");
    }
}

#[test]
fn what_is_listed_fits_the_terminal() {
    let farm = crate::syntax::examples::folder("journal-examples/twenty-acres");
    for arguments in [vec!["explain"], vec!["stock", "--as-of", "2026-05-20"], vec!["rulebook"], vec!["pantry"]] {
        let text = run(&farm, &arguments).out();
        assert!(widest(&text) <= 80, "{arguments:?}:\n{text}");
    }
}

#[test]
fn labels_of_findings_fit_the_terminal() {
    let mistakes = crate::syntax::examples::folder("journal-examples/mistakes");
    for entry in fs::read_dir(&mistakes).unwrap() {
        let folder = entry.unwrap().path();
        let text = run(&folder, &["check", "--as-of", "2026-12-31", "."]).out();
        assert!(widest(&text) <= 80, "{}:\n{text}", folder.display());
    }
}

/// What an explanation says is what its file says, in lines that a terminal shows; journals in it stay as they are.
#[test]
fn explanations_are_filled_and_say_the_same() {
    let html = |markdown: &str| {
        let mut html = String::new();
        pulldown_cmark::html::push_html(&mut html, pulldown_cmark::Parser::new(markdown));
        html.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let home = tempfile::tempdir().unwrap();
    for check in foliary::checks::CHECKS {
        let done = run(home.path(), &["explain", check.code]);
        assert_eq!(done.code, 0);
        let out = done.out();
        assert_eq!(html(&out), html(check.explain), "{}", check.code);
        let mut fenced = false;
        for line in out.lines() {
            fenced ^= line.starts_with("```");
            let whole = fenced || line.starts_with(['|', '#', '`']) || !line.contains(' ');
            assert!(whole || line.chars().count() <= 80, "{}: {line}", check.code);
        }
    }
}
