//! `foliary start`: a journal that compiles, its ignore file and its hook; all of it or nothing.

use std::fs;
use std::path::Path;

use super::{shell, there, widest};
use crate::history::made::git;
use crate::robust::{Done, run};

/// A day that is past, whatever day it is today.
const DAY: &str = "2024-05-14";

/// All answers by options.
fn answers() -> Vec<&'static str> {
    let mut all = vec!["start", "--farm", "Larkspur Bend", "--timezone", "america/boise", "--units", "us"];
    all.extend(["--block", "Creek pears, pear, 1.2 acre", "--block", "12 Hill, apple, 0.5 acre"]);
    all.extend(["--person", "Tansy Marsh", "--as-of", DAY]);
    all
}

fn start(at: &Path, more: &[&str]) -> Done {
    run(at, &[answers().as_slice(), more].concat())
}

/// What a folder holds, but for git's own.
fn held(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        fs::read_dir(folder).unwrap().map(|file| file.unwrap().file_name().to_string_lossy().into_owned()).collect();
    names.retain(|name| name != ".git");
    names.sort();
    names
}

/// What went wrong, on one line.
fn trouble(done: &Done) -> String {
    assert_eq!(done.code, 2, "{}", done.out());
    done.err()
}

#[test]
fn the_journal_that_is_written_is_sound_and_says_what_was_answered() {
    let place = tempfile::tempdir().unwrap();
    let done = start(place.path(), &[]);
    assert_eq!(done.code, 0, "{}", done.err());
    assert!(widest(&done.out()) <= 80, "{}", done.out());
    assert_eq!(held(place.path()), [".gitignore", "2024.spray", "farm.spray", "hooks"]);
    let read = |name: &str| fs::read_to_string(place.path().join(name)).unwrap();
    insta::assert_snapshot!(format!("{}~~~~\n{}~~~~\n{}", read("farm.spray"), read("2024.spray"), done.out()));
    let checked = run(place.path(), &["check", "--accepted", "--as-of", DAY]);
    assert_eq!((checked.code, checked.out().trim()), (0, "no findings"));
}

#[test]
fn every_choice_of_units_gives_a_sound_journal_in_a_folder_that_is_made() {
    for units in ["US", "imperial", "metric"] {
        let place = tempfile::tempdir().unwrap();
        let mut asked = vec!["start", "farms/new one", "--farm", "Zoë's Höhe", "--timezone", "Europe/Dublin"];
        asked.extend([
            "--units",
            units,
            "--block",
            "Élan, left of the gate, apple, 0.4 ha",
            "--person",
            "Zoë Ó Briain",
        ]);
        let done = run(place.path(), &asked);
        assert_eq!(done.code, 0, "{}", done.err());
        let folder = place.path().join("farms/new one");
        let checked = run(&folder, &["check", "--accepted"]);
        assert_eq!((checked.code, checked.out().trim()), (0, "no findings"), "{units}");
        let farm = fs::read_to_string(folder.join("farm.spray")).unwrap();
        assert!(farm.contains("block élan-left-of-the-gate \"Élan, left of the gate\"\n    crop apple\n"), "{farm}");
    }
}

/// The examples in remarks, with the remark signs off and the blanks filled in.
fn filled(text: &str, blanks: &[(&str, &str)]) -> String {
    let mut lines = Vec::new();
    for line in text.lines() {
        let taken_off = line.strip_prefix("# ").filter(|rest| {
            let first = rest.split(' ').next().unwrap_or_default();
            rest.starts_with("    ") || (["material", "mix", "spray"].contains(&first) && !rest.ends_with('.'))
        });
        lines.push(if line == "#" { String::new() } else { taken_off.unwrap_or(line).to_string() });
    }
    blanks.iter().fold(lines.join("\n") + "\n", |text, (blank, words)| {
        assert!(text.contains(blank), "{blank} is in\n{text}");
        text.replace(blank, words)
    })
}

#[test]
fn the_examples_in_it_are_journal_once_the_blanks_are_filled_in() {
    for (units, rate, put, total) in
        [("us", "fl oz per gal", "fl oz", "oz per gal"), ("metric", "mL per L", "mL", "% v/v")]
    {
        let place = tempfile::tempdir().unwrap();
        let mut asked = answers();
        let at = asked.iter().position(|word| *word == "us").unwrap();
        asked[at] = units;
        assert_eq!(run(place.path(), &asked).code, 0);
        let path = |name: &str| place.path().join(name);
        let farm = fs::read_to_string(path("farm.spray")).unwrap();
        let blanks = [
            (format!("____ to ____ {rate}"), format!("1 to 2 {rate}")),
            ("____ h\n".to_string(), "4 h\n".to_string()),
            ("____ days".to_string(), "1 days".to_string()),
            ("label ____".to_string(), "label binder 1".to_string()),
            (format!("leaf-food ____ {put}"), format!("leaf-food 1 {put}")),
            (format!("at most ____ {total}"), format!("at most 6 {total}")),
        ];
        let blanks: Vec<(&str, &str)> = blanks.iter().map(|(blank, words)| (&**blank, &**words)).collect();
        fs::write(path("farm.spray"), filled(&farm, &blanks)).unwrap();
        let page = fs::read_to_string(path("2024.spray")).unwrap();
        let blanks = [
            ("leaf-tonic, ____", "leaf-tonic, 30"),
            ("time ____ to ____", "time 05:50 to 07:20"),
            ("weather ____", "weather 12"),
            ("wind ____", "wind 3"),
            (" ____, humidity ____ %", " NW, humidity 74 %"),
            ("note ____", "note Canopy dry."),
        ];
        fs::write(path("2024.spray"), filled(&page, &blanks)).unwrap();
        let text = fs::read_to_string(path("2024.spray")).unwrap();
        assert!(text.contains("\nspray creek-pears\n    mix leaf-tonic, 30 "), "{text}");
        let checked = run(place.path(), &["check", "--accepted", "--as-of", "2024-05-20"]);
        assert_eq!((checked.code, checked.out().trim()), (0, "no findings"), "{units}");
    }
}

#[test]
fn nothing_is_written_over_and_nothing_is_left_behind() {
    for (there, word) in
        [(".gitignore", "--no-ignore-file"), ("2024.spray", "journal here already"), ("hooks/pre-commit", "--no-hook")]
    {
        let place = tempfile::tempdir().unwrap();
        let old = place.path().join(there);
        fs::create_dir_all(old.parent().unwrap()).unwrap();
        fs::write(&old, "mine\n").unwrap();
        let before = held(place.path());
        let said = trouble(&start(place.path(), &[]));
        assert!(
            said.contains(there) && said.contains(word) && said.to_lowercase().contains("nothing was written"),
            "{said}"
        );
        assert_eq!(held(place.path()), before);
        assert_eq!(fs::read_to_string(&old).unwrap(), "mine\n");
    }
    let place = tempfile::tempdir().unwrap();
    fs::write(place.path().join(".gitignore"), "mine\n").unwrap();
    assert_eq!(start(place.path(), &["--no-ignore-file", "--no-hook"]).code, 0);
    assert_eq!(held(place.path()), [".gitignore", "2024.spray", "farm.spray"]);
    // A second time there is a journal.
    assert!(trouble(&start(place.path(), &["--no-ignore-file", "--no-hook"])).contains("already"));
    // A file where the folder should be.
    for folder in ["farm.spray", "farm.spray/new"] {
        let said = trouble(&start(place.path(), &[folder]));
        assert!(said.contains("farm.spray is a file; give the name of a folder. Nothing was written"), "{said}");
    }
    assert_eq!(held(place.path()), [".gitignore", "2024.spray", "farm.spray"]);
}

#[test]
#[cfg(unix)]
fn a_link_that_leads_nowhere_is_there_too() {
    let place = tempfile::tempdir().unwrap();
    std::os::unix::fs::symlink("elsewhere", place.path().join(".gitignore")).unwrap();
    assert!(trouble(&start(place.path(), &[])).contains("already"));
    assert_eq!(held(place.path()), [".gitignore"]);
}

#[test]
fn without_a_terminal_the_options_that_are_missing_are_named() {
    let place = tempfile::tempdir().unwrap();
    let said = trouble(&run(place.path(), &["start"]));
    for option in ["--farm", "--timezone", "--units", "--block", "--person"] {
        assert!(said.contains(option), "{said}");
    }
    let said = trouble(&run(place.path(), &["start", "--farm", "A", "--units", "US", "--person", "B C"]));
    assert!(said.contains("--timezone, --block.") && !said.contains("--farm"), "{said}");
    assert!(held(place.path()).is_empty());
}

#[test]
fn answers_that_no_journal_can_hold_are_refused() {
    let place = tempfile::tempdir().unwrap();
    for (option, answer, words) in [
        ("--timezone", "America/Bose", "America/Boise"),
        ("--units", "furlong", "metric"),
        ("--farm", "A \"quoted\" farm", "write `A 'quoted' farm`"),
        ("--farm", "Farm #3", "a `#` begins a remark, so it may not hold one; write `Farm 3`"),
        ("--farm", "A\nblock b", "it is one line without a tab; write `A block b`"),
        ("--farm", "A\u{200b} farm", "a character that is not seen, U+200B"),
        ("--farm", " ", "nothing in it"),
        ("--block", "Creek pears", "name, crop and area with commas between: write `Creek pears, pear, 1.2 acre`"),
        ("--block", "Creek; pear; 1 acre", "write `Creek, pear, 1 acre`"),
        ("--block", "Creek, pear, 1,5 acre", "with a point and without a comma: write `Creek, pear, 1.5 acre`"),
        ("--block", "Creek, pear, 1,500 sq ft", "write `Creek, pear, 1500 sq ft` or `Creek, pear, 1.500 sq ft`"),
        ("--block", "Creek pears, pear, some", "An area is a number and its unit, as `1.2 acre`"),
        ("--block", "Creek pears, pear, 3", "has no unit. An area is"),
        ("--block", "Creek pears, pear, 3 gal", "`gal` measures a volume. An area is"),
        ("--block", "Creek pears, pear, -1 acre", "it is less than nothing. An area is"),
        ("--block", "Creek, sweet pear/quince, 3 acre", "write `Creek, sweet-pear-quince, 3 acre`"),
        ("--block", "Creek, 12, 3 acre", "A crop is a name, as `pear`"),
        ("--block", "Creek pears, pear # sweet, 3 acre", "write `Creek pears, pear sweet, 3 acre`"),
        ("--person", "", "nothing in it"),
        ("--as-of", "2026-02-30", "there is no such day: February 2026 ends with 2026-02-28"),
        ("--as-of", "2024-13-01", "there is no such month"),
        ("--as-of", "14.5.2026", "a day is written year-month-day: 2026-05-14"),
        ("--as-of", "2/3/2026", "a day is written year-month-day: 2026-02-03 or 2026-03-02"),
        ("--as-of", "26-05-14", "a day is written year-month-day: 2026-05-14"),
        ("--as-of", "today", "a day is written year-month-day, as 2026-05-14"),
    ] {
        let mut asked = answers();
        if let Some(at) = asked.iter().position(|word| *word == option) {
            asked[at + 1] = answer;
        }
        let said = trouble(&run(place.path(), &asked));
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains(words), "{option} {answer}: {said}");
        assert!(held(place.path()).is_empty(), "{option} {answer}");
    }
}

#[test]
fn a_name_that_begins_with_a_digit_is_taken() {
    let place = tempfile::tempdir().unwrap();
    assert_eq!(start(place.path(), &["--block", "3rd block, pear, 1.5acre"]).code, 0);
    let farm = fs::read_to_string(place.path().join("farm.spray")).unwrap();
    assert!(farm.contains("block block-3rd-block \"3rd block\"\n"), "{farm}");
}

#[test]
#[cfg(unix)]
fn questions_are_asked_on_a_terminal_and_asked_again_after_an_answer_that_cannot_be_read() {
    if !there("script") {
        return;
    }
    let place = tempfile::tempdir().unwrap();
    let typed = "Larkspur Bend\nAmerica/Bose\nAmerica/Boise\nUS\nCreek pears\nCreek pears, pear, 1.2 acre\nHill, apple, 1 acre\n\nTansy Marsh\n";
    fs::write(place.path().join("typed"), typed).unwrap();
    let line = "script -qec 'TZ=Europe/Dublin foliary start new' /dev/null < typed";
    let output = shell(place.path(), line).output().unwrap();
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(output.status.success(), "{said}");
    assert!(
        said.contains("The farm's name") && said.contains("did you mean") && said.contains("name, crop and area"),
        "{said}"
    );
    let folder = place.path().join("new");
    let farm = fs::read_to_string(folder.join("farm.spray")).unwrap();
    assert!(farm.contains("timezone America/Boise") && farm.contains("block hill \"Hill\""), "{farm}");
    let checked = run(&folder, &["check"]);
    assert_eq!((checked.code, checked.out().trim()), (0, "no findings"));
}

/// A repository with a journal just begun and committed.
fn begun(inside: &str) -> tempfile::TempDir {
    let place = tempfile::tempdir().unwrap();
    git(place.path(), &["init", "-q"]);
    let done = start(place.path(), &[if inside.is_empty() { "." } else { inside }]);
    assert_eq!(done.code, 0, "{}", done.err());
    commit(place.path(), true);
    place
}

/// Commits what is staged, by way of the hook; what was said.
fn commit(at: &Path, all: bool) -> (bool, String) {
    let add = if all { "git add -A && " } else { "" };
    let output = shell(at, &format!("{add}git commit -q -m 'A day'")).output().unwrap();
    (output.status.success(), String::from_utf8_lossy(&[output.stdout, output.stderr].concat()).into_owned())
}

const GOOD: &str = "2024-05-14 Tue

work creek-pears
    time 08:00 to 09:00
    by tansy-marsh
";
const WRONG: &str = "2024-05-14 Tue\n\nspray nowhere\n    reason because\n";

#[test]
#[cfg(unix)]
fn in_a_repository_the_hook_works_at_once() {
    if !there("git") {
        return;
    }
    for inside in ["", "it's mine"] {
        let place = begun(inside);
        let folder = place.path().join(inside);
        assert!(!folder.join("hooks").exists());
        let hook = place.path().join(".git/hooks/pre-commit");
        assert!(fs::read_to_string(&hook).unwrap().starts_with("#!/bin/sh\n"));
        assert_eq!(git(place.path(), &["log", "--oneline"]).lines().count(), 1, "the first commit passed");
        // What is written by `report` is passed over.
        assert_ne!(run(&folder, &["report", "--out", "records", "--document", "season"]).code, 2);
        assert_eq!(git(place.path(), &["status", "--porcelain"]), "");
        fs::write(folder.join("may.spray"), WRONG).unwrap();
        let (done, said) = commit(place.path(), true);
        assert!(!done && said.contains("unknown-name") && said.contains("may.spray:3"), "{said}");
        assert!(said.contains("The commit was stopped"), "{said}");
        // What counts is what is staged.
        fs::write(folder.join("may.spray"), "2024-05-14 Tue\n").unwrap();
        assert!(!commit(place.path(), false).0, "the slip is still staged");
        fs::write(folder.join("may.spray"), "2024-05-14 Tue\n\n# So far.\n").unwrap();
        git(place.path(), &["add", "-A"]);
        fs::write(folder.join("may.spray"), WRONG).unwrap();
        let (done, said) = commit(place.path(), false);
        assert!(done, "the slip is not staged: {said}");
        assert_eq!(git(place.path(), &["log", "--oneline"]).lines().count(), 2);
        assert!(fs::read_to_string(folder.join("may.spray")).unwrap() == WRONG, "the files are left as they were");
    }
}

#[test]
#[cfg(unix)]
fn the_hook_knows_the_history_and_lets_pass_where_there_is_no_foliary() {
    if !there("git") {
        return;
    }
    let place = begun("");
    fs::write(place.path().join("may.spray"), GOOD).unwrap();
    let (done, said) = commit(place.path(), true);
    assert!(done, "{said}");
    // Whoever changes it later says why.
    fs::write(place.path().join("may.spray"), GOOD.replace("08:00", "07:00")).unwrap();
    let (_, said) = commit(place.path(), true);
    assert!(said.contains("change-without-reason"), "{said}");
    fs::write(place.path().join("may.spray"), WRONG).unwrap();
    git(place.path(), &["add", "-A"]);
    let hidden =
        shell(place.path(), "git commit -q -m 'Elsewhere'").env("PATH", "/usr/local/bin:/usr/bin:/bin").output();
    let hidden = hidden.unwrap();
    let said = String::from_utf8_lossy(&hidden.stderr).into_owned();
    if !Path::new("/usr/bin/foliary").exists() && !Path::new("/usr/local/bin/foliary").exists() {
        assert!(hidden.status.success() && said.contains("committed unchecked"), "{said}");
    }
}

#[test]
#[cfg(unix)]
fn the_hook_finds_the_folders_that_farms_share_beside_their_repositories() {
    if !there("git") {
        return;
    }
    let beside = tempfile::tempdir().unwrap();
    let place = beside.path().join("farm");
    fs::create_dir(&place).unwrap();
    git(&place, &["init", "-q"]);
    assert_eq!(start(&place, &[]).code, 0);
    let farm = fs::read_to_string(place.join("farm.spray")).unwrap();
    fs::write(place.join("farm.spray"), farm.replacen("    units", "    uses       ../shed\n    units", 1)).unwrap();
    let (done, said) = commit(&place, true);
    assert!(!done && said.contains("missing-folder"), "{said}");
    fs::create_dir(beside.path().join("shed")).unwrap();
    fs::write(beside.path().join("shed/people.spray"), "person m-quill \"Moss Quill\"\n").unwrap();
    let (done, said) = commit(&place, true);
    assert!(done, "{said}");
}

#[test]
#[cfg(unix)]
fn a_worktree_has_the_hook_of_its_repository_and_its_own_files_are_checked() {
    if !there("git") {
        return;
    }
    let place = begun("journal");
    let tree = tempfile::tempdir().unwrap();
    let path = tree.path().join("tree");
    git(place.path(), &["worktree", "add", "-q", "-b", "other", path.to_str().unwrap()]);
    fs::write(path.join("journal/may.spray"), WRONG).unwrap();
    let (done, said) = commit(&path, true);
    assert!(!done && said.contains("unknown-name"), "{said}");
    // Begun in a worktree, the hook goes where git looks for it: to the repository.
    let other = tempfile::tempdir().unwrap();
    git(other.path(), &["init", "-q"]);
    git(other.path(), &["commit", "-q", "--allow-empty", "-m", "First"]);
    let path = tree.path().join("second");
    git(other.path(), &["worktree", "add", "-q", "-b", "second", path.to_str().unwrap()]);
    assert_eq!(start(&path, &[]).code, 0);
    assert!(other.path().join(".git/hooks/pre-commit").exists());
    fs::write(path.join("may.spray"), WRONG).unwrap();
    assert!(!commit(&path, true).0);
}

#[test]
#[cfg(unix)]
fn the_hook_goes_where_git_is_set_to_look_and_never_where_other_repositories_would_run_it() {
    if !there("git") {
        return;
    }
    let place = tempfile::tempdir().unwrap();
    git(place.path(), &["init", "-q"]);
    git(place.path(), &["config", "core.hooksPath", "tools"]);
    assert_eq!(start(place.path(), &[]).code, 0);
    assert!(place.path().join("tools/pre-commit").exists());
    let shared = tempfile::tempdir().unwrap();
    let place = tempfile::tempdir().unwrap();
    git(place.path(), &["init", "-q"]);
    git(place.path(), &["config", "core.hooksPath", shared.path().to_str().unwrap()]);
    let done = start(place.path(), &["journal"]);
    assert_eq!(done.code, 0);
    assert!(held(shared.path()).is_empty());
    let said = done.out().split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("git config core.hooksPath 'journal/hooks'"), "{said}");
    git(place.path(), &["config", "core.hooksPath", "journal/hooks"]);
    fs::write(place.path().join("journal/may.spray"), WRONG).unwrap();
    assert!(!commit(place.path(), true).0);
}

#[test]
#[cfg(unix)]
fn without_a_repository_the_two_commands_that_are_said_make_one_with_the_hook() {
    if !there("git") {
        return;
    }
    let place = tempfile::tempdir().unwrap();
    let done = start(place.path(), &[]);
    let said = done.out().split_whitespace().collect::<Vec<_>>().join(" ");
    for command in ["git init", "git config core.hooksPath hooks"] {
        assert!(said.contains(&format!("`{command}`")), "{said}");
        git(place.path(), &command.split(' ').skip(1).collect::<Vec<_>>());
    }
    let (done, said) = commit(place.path(), true);
    assert!(done, "{said}");
    fs::write(place.path().join("may.spray"), WRONG).unwrap();
    assert!(!commit(place.path(), true).0);
}
