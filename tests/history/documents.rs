//! What the program says of a journal's history.

use std::path::Path;

use scraper::{Html, Selector};

use super::made::{Made, git_is_there};
use crate::robust::run;

const FARM: &str = "\
farm larkspur-bend \"Larkspur Bend\"
  timezone America/Boise

block creek-pear \"Creek pears\"
  crop pear
  area 1.2 acre

person t-marsh \"Tansy Marsh\"

person r-sedge \"Robin Sedge\"

material magnesium-sulfate \"Magnesium sulfate heptahydrate\"
  form dry
  reentry none stated
  preharvest none stated

mix leaf-tonic
  in 1 gal
  put magnesium-sulfate 0.4 oz wt
";

/// A page with one spray.
fn page(day: &str, over: &str, more: &str) -> String {
    format!(
        "{day}\nspray creek-pear\n  mix leaf-tonic, 60 gal\n  over {over} acre\n  time 05:50 to 07:20\n  by t-marsh\n{more}\n"
    )
}

fn amend(reason: &str) -> String {
    format!(
        "2026-05-18\namend spray of creek-pear 2026-05-14\n  was over 1.1 acre\n  now over 1.2 acre\n  reason {reason}\n  by \
         t-marsh\n\n"
    )
}

/// Five records and what became of them: one corrected with a reason, one changed without, one changed after it was
/// signed, one taken out, one not committed.
fn journal() -> Made {
    let signed = "  entered 2026-05-21 by t-marsh\n  signed by r-sedge on 2026-05-21\n";
    let first = page("2026-05-14", "1.1", "");
    let second = page("2026-05-17", "1.1", "");
    let third = page("2026-05-20", "1.1", signed);
    let mut made = Made::new();
    let mut commit = |who: &str, when: &str, pages: &[&str]| {
        made.then(who, when, &[("farm.spray", FARM), ("2026.spray", &pages.concat())]);
    };
    let gone = page("2026-05-15", "0.5", "");
    commit("Tansy Marsh", "2026-05-14T08:05:00-06:00", &[&first]);
    commit("Tansy Marsh", "2026-05-17T19:30:00-06:00", &[&first, &gone, &second]);
    let mended = page("2026-05-14", "1.2", "");
    let reason = amend("area read off the old plan");
    commit("Robin Sedge", "2026-05-18T07:00:00-06:00", &[&mended, &gone, &second, &reason]);
    let grown = page("2026-05-17", "1.0", "  weather 60 F, wind 3 mph SW\n");
    commit("Robin Sedge", "2026-05-19T12:00:00-06:00", &[&mended, &grown, &reason]);
    commit("Tansy Marsh", "2026-05-21T20:00:00-06:00", &[&mended, &grown, &reason, &third]);
    let other = third.replace("60 gal", "58 gal");
    commit("Ada Fen", "2026-05-23T09:00:00+02:00", &[&mended, &grown, &reason, &other]);
    let made = made.done();
    let last = page("2026-05-25", "1.2", "");
    made.write("2026.spray", &[&*mended, &grown, &reason, &other, &last].concat());
    made
}

fn said(folder: &Path, arguments: &[&str]) -> String {
    run(folder, arguments).out().to_string()
}

#[test]
fn the_trail_reads_like_this() {
    if !git_is_there() {
        return;
    }
    let made = journal();
    insta::assert_snapshot!("trail", said(made.path(), &["trail", "--as-of", "2026-06-01"]));
    // Only what was asked for.
    let some = said(made.path(), &["trail", "--as-of", "2026-06-01", "--from", "2026-05-20", "--to", "2026-05-22"]);
    assert!(some.contains("Wednesday 20 May 2026") && !some.contains("Sunday 17 May 2026"), "{some}");
    assert!(!some.contains("In the journal no more"), "{some}");
}

#[test]
fn what_was_found_is_said_and_can_be_left_out() {
    if !git_is_there() {
        return;
    }
    let made = journal();
    let lines = said(made.path(), &["check", "--format", "line", "--as-of", "2026-06-01"]);
    let mut codes: Vec<&str> =
        lines.lines().filter_map(|line| line.split_once('[')?.1.split_once(']')).map(|code| code.0).collect();
    codes.sort_unstable();
    assert_eq!(codes, ["change-without-reason", "changed-after-signing", "record-removed"], "{lines}");
    let without = said(made.path(), &["check", "--no-git", "--format", "line", "--as-of", "2026-06-01"]);
    assert_eq!(without, "");
    made.write("farm.spray", &FARM.replace("  timezone", "  history none\n  timezone"));
    assert_eq!(said(made.path(), &["check", "--format", "line", "--as-of", "2026-06-01"]), "");
    let trail = said(made.path(), &["trail"]);
    assert!(trail.contains("Git says nothing of this journal: the farm's entry leaves git's history out."), "{trail}");
    made.write("farm.spray", &FARM.replace("  timezone", "  history from 2026-05-19\n  timezone"));
    let later = said(made.path(), &["check", "--format", "line", "--as-of", "2026-06-01"]);
    assert!(later.contains("changed-after-signing") && later.contains("change-without-reason"), "{later}");
}

#[test]
fn a_journal_without_git_has_a_trail_of_its_own_words() {
    let folder = tempfile::tempdir().unwrap();
    let text =
        format!("{FARM}\n{}{}", page("2026-05-14", "1.2", "  entered 2026-05-14 by t-marsh\n"), amend("old plan"));
    std::fs::write(folder.path().join("journal.spray"), text).unwrap();
    let trail = said(folder.path(), &["trail", "--as-of", "2026-06-01"]);
    for words in [
        "Git says nothing of this journal: the journal's folder is in no git repository.",
        "- Written down: 14 May 2026, the same day, by Tansy Marsh",
        "Reason: old plan",
    ] {
        assert!(trail.contains(words), "{words}: {trail}");
    }
}

#[test]
fn records_say_what_git_shows_and_carry_the_commit() {
    if !git_is_there() {
        return;
    }
    let made = journal();
    let out = tempfile::tempdir().unwrap();
    let folder = out.path().display().to_string();
    run(made.path(), &["report", "--out", &folder, "--as-of", "2026-06-01"]);
    let read = |name: &str| std::fs::read_to_string(out.path().join("larkspur-bend").join(name)).unwrap();
    let records = read("records.md");
    let commit = super::made::git(made.path(), &["rev-parse", "HEAD"]);
    let foot = format!("In git at commit {}, with changes that are not committed.", commit.trim());
    for words in [
        "- Entered, by git: Tansy Marsh, 14 May 2026 08:05 -06:00, 45 minutes after it ended (commit ",
        "was “over **1.1** acre”, now “over **1.2** acre”. Amended 18 May 2026, 2026.spray line 17: area read off the old plan",
        "**No reason on record.**",
        "**Changed after it was signed, and not signed since.**",
        "- Entered, by git: not committed yet",
        &foot,
    ] {
        assert!(records.contains(words), "{words}: {records}");
    }
    let html = Html::parse_document(&read("records.html")).root_element().text().collect::<String>();
    assert!(html.contains("Entered, by git") && html.contains(commit.trim()), "{html}");
    assert!(read("season.md").contains(&foot) && read("trail.md").contains(&foot));
    assert!(read("trail.html").contains("<del>1.1</del>"));
    run(made.path(), &["report", "--no-git", "--out", &folder, "--as-of", "2026-06-01"]);
    assert!(read("records.md").contains("- By git: not known: git was not asked"));
    assert!(!read("records.md").contains("In git at"));
}

#[test]
fn files_are_written_where_they_are_asked_for() {
    if !git_is_there() {
        return;
    }
    let made = journal();
    let out = tempfile::tempdir().unwrap();
    let folder = out.path().display().to_string();
    let said = said(made.path(), &["trail", "--out", &folder, "--as", "html", "--as-of", "2026-06-01"]);
    assert_eq!(said.trim(), out.path().join("larkspur-bend/trail.html").display().to_string());
    assert!(!out.path().join("larkspur-bend/trail.md").exists());
    assert_eq!(run(made.path(), &["trail", "--from", "2026-06-02", "--to", "2026-06-01"]).code, 2);
    assert_eq!(run(made.path(), &["trail", "--block", "nowhere"]).code, 2);
}

#[test]
fn the_audit_binder_counts_what_git_shows() {
    if !git_is_there() {
        return;
    }
    let made = journal();
    let out = tempfile::tempdir().unwrap();
    let folder = out.path().display().to_string();
    let binder = |more: &[&str]| {
        let asked = ["report", "--document", "binder", "--out", &folder, "--as-of", "2026-06-01"];
        assert_ne!(run(made.path(), &[&asked, more].concat()).code, 2);
        std::fs::read_to_string(out.path().join("larkspur-bend/binder.md")).unwrap()
    };
    let with = binder(&[]);
    let said = "By git, 3 records were changed after being committed, and 1 record is in the journal no more;";
    assert!(with.contains(said), "{with}");
    assert!(!binder(&["--no-git"]).contains("By git"));
}

/// A name that acts in HTML, in Markdown, and on the direction of reading.
const HOSTILE: &str = "Eve \u{202e}<script>alert(1)</script> **x** [go](javascript:alert(2)) | \u{200b}";

#[test]
fn names_of_writers_act_nowhere() {
    if !git_is_there() {
        return;
    }
    let mut made = Made::new();
    let hostile = HOSTILE.replace(['<', '>'], "_");
    // Git itself keeps angle brackets out of names; the records' words may hold them.
    let note = format!("  note {HOSTILE}\n");
    made.then(
        &hostile,
        "2026-05-14T08:05:00-06:00",
        &[("a.spray", &format!("{FARM}\n{}", page("2026-05-14", "1.2", "")))],
    );
    made.then(
        &hostile,
        "2026-05-16T08:05:00-06:00",
        &[("a.spray", &format!("{FARM}\n{}", page("2026-05-14", "1.1", &note)))],
    );
    made.then(&hostile, "2026-05-17T08:05:00-06:00", &[("a.spray", FARM)]);
    let made = made.done();
    made.write("a.spray", &format!("{FARM}\n{}", page("2026-05-14", "1.0", &note)));
    let out = tempfile::tempdir().unwrap();
    run(made.path(), &["trail", "--out", &out.path().display().to_string(), "--as-of", "2026-06-01"]);
    let read = |name: &str| std::fs::read_to_string(out.path().join("larkspur-bend").join(name)).unwrap();
    let (html, markdown) = (read("trail.html"), read("trail.md"));
    assert!(!html.contains("<script") && html.contains("Eve \\u{202e}"));
    let page = Html::parse_document(&html);
    assert_eq!(page.select(&Selector::parse("script, a").unwrap()).count(), 0);
    for text in [&html, &markdown, &said(made.path(), &["check", "--as-of", "2026-06-01"])] {
        assert!(!text.chars().any(foliary::text::is_hidden));
    }
    assert!(!markdown.contains("[go]("), "{markdown}");
}
