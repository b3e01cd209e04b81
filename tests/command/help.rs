//! Help that teaches: it fits the terminal, its examples run, and the reference, man pages and completions hold all of it.

use std::fs;
use std::path::Path;

use super::{copy, shell, there, widest};
use crate::robust::run;
use crate::syntax::examples::folder;

/// Set to write the reference anew.
const UPDATE: &str = "FOLIARY_UPDATE_REFERENCE";

/// Commands that go on until they are stopped: their examples are asked for help instead.
const GOES_ON: &[&str] = &["editor", "live"];

/// Every command, as the help lists them.
fn commands() -> Vec<String> {
    let help = run(Path::new("."), &["--help"]).out();
    let list = help.split("Commands:\n").nth(1).unwrap().split("\n\n").next().unwrap();
    // What a command is for goes on in lines that are indented more deeply.
    let first = |line: &str| line.strip_prefix("  ").filter(|rest| !rest.starts_with(' ')).map(str::to_string);
    let names = list.lines().filter_map(first).filter_map(|line| line.split(' ').next().map(str::to_string));
    names.filter(|name| name != "help").collect()
}

fn help(command: &str) -> String {
    run(Path::new("."), &[command, "--help"]).out()
}

/// The examples of a help, each as one line.
fn examples(help: &str) -> Vec<String> {
    let Some(part) = help.split("Examples:\n").nth(1) else { return Vec::new() };
    let joined = part.replace("\\\n", " ");
    joined.lines().filter_map(|line| line.strip_prefix("    ")).map(str::to_string).collect()
}

#[test]
fn every_help_fits_the_terminal_and_shows_examples() {
    let all = commands();
    assert!(all.len() >= 16, "{all:?}");
    let mut without = Vec::new();
    for command in &all {
        for form in ["--help", "-h"] {
            let help = run(Path::new("."), &[command.as_str(), form]).out();
            assert!(widest(&help) <= 80, "{command} {form}:\n{help}");
        }
        if examples(&help(command)).is_empty() {
            without.push(command);
        }
    }
    assert!(without.is_empty(), "no examples in the help of {without:?}");
    let whole = run(Path::new("."), &["--help"]).out();
    assert!(widest(&whole) <= 80 && examples(&whole).len() >= 3, "{whole}");
}

#[test]
#[cfg(unix)]
fn every_example_runs_in_a_farms_folder() {
    let mut ran = 0;
    for command in commands().iter().map(String::as_str).chain([""]) {
        let asked = if command.is_empty() { vec!["--help"] } else { vec![command, "--help"] };
        for example in examples(&run(Path::new("."), &asked).out()) {
            let place = tempfile::tempdir().unwrap();
            copy(&folder("journal-examples/spring-week"), place.path());
            for old in ["sprays-2024.csv", "blocks.geojson"] {
                fs::copy(folder("journal-examples/old-records").join(old), place.path().join(old)).unwrap();
            }
            let home = place.path().join("home");
            fs::create_dir_all(home.join(".config/fish/completions")).unwrap();
            let line = if GOES_ON.contains(&command) { format!("{example} --help") } else { example.clone() };
            // Questions need a terminal; the test of `start` has one.
            let asks = line.starts_with("foliary start") && !line.contains("--farm");
            let output = shell(place.path(), &line).env("HOME", &home).output().unwrap();
            let said = String::from_utf8_lossy(&output.stderr);
            let fine = if asks { output.status.code() == Some(2) } else { matches!(output.status.code(), Some(0 | 1)) };
            assert!(fine, "{example}\n{said}");
            ran += 1;
        }
    }
    assert!(ran > 30, "{ran}");
}

#[test]
fn the_committed_command_reference_is_the_printed_one() {
    let path = folder("src/command").join("COMMANDS.md");
    let printed = foliary::command::reference();
    if std::env::var_os(UPDATE).is_some() {
        fs::write(&path, &printed).unwrap();
    }
    let committed = fs::read_to_string(&path).unwrap_or_default();
    assert!(committed == printed, "src/command/COMMANDS.md is out of date: run the tests once with {UPDATE}=1");
    assert_eq!(run(Path::new("."), &["manual"]).out(), printed);
}

/// The options that a help names.
fn options(help: &str) -> Vec<String> {
    let options = help.split("Options:\n").nth(1).unwrap_or_default().split("Examples:\n").next().unwrap_or_default();
    let words = options.lines().filter(|line| line.trim_start().starts_with('-')).flat_map(|line| {
        let words = line.split([' ', ',']).filter(|word| word.starts_with("--")).map(str::to_string);
        words.collect::<Vec<_>>()
    });
    words.collect()
}

#[test]
fn the_reference_and_the_man_pages_hold_every_command_with_every_option_and_example() {
    let reference = foliary::command::reference();
    let out = tempfile::tempdir().unwrap();
    let written = run(out.path(), &["manual", "--out", "man1"]);
    assert_eq!(written.code, 0);
    assert_eq!(written.out().lines().count(), commands().len() + 1);
    for command in commands() {
        let chapter =
            reference.split(&format!("\n## foliary {command}\n")).nth(1).unwrap_or_else(|| panic!("{command}"));
        let chapter = chapter.split("\n## ").next().unwrap();
        let page = fs::read_to_string(out.path().join(format!("man1/foliary-{command}.1"))).unwrap();
        let page = page.replace("\\-", "-").replace("\\fB", "").replace("\\fR", "").replace("\\fI", "");
        let help = help(&command);
        assert!(options(&help).len() >= 2, "{command}");
        for option in options(&help) {
            let everywhere = ["--help", "--colours"].contains(&option.as_str());
            assert!(everywhere || chapter.contains(&option), "the reference has {command} {option}");
            assert!(page.contains(&option), "the man page has {command} {option}");
        }
        assert!(chapter.contains(&format!("foliary {command}")) && page.contains(".SH EXAMPLES"), "{command}");
    }
}

#[test]
fn man_pages_are_set_without_a_complaint() {
    if !there("groff") {
        return;
    }
    let out = tempfile::tempdir().unwrap();
    assert_eq!(run(out.path(), &["manual", "--out", "."]).code, 0);
    let output = shell(out.path(), "groff -man -Tutf8 -ww foliary-mix-sheet.1").output().unwrap();
    assert!(output.status.success() && output.stderr.is_empty(), "{}", String::from_utf8_lossy(&output.stderr));
    assert!(String::from_utf8_lossy(&output.stdout).contains("pear"));
}

#[test]
fn every_shell_gets_a_script_that_knows_every_command() {
    let here = Path::new(".");
    for name in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let script = run(here, &["shell", name]).out();
        for command in commands() {
            assert!(script.contains(&command), "{name} knows {command}");
        }
    }
    assert_eq!(run(here, &["shell", "abacus"]).code, 2);
}

#[test]
fn bash_completes_a_command_and_a_value() {
    if !there("bash") {
        return;
    }
    let place = tempfile::tempdir().unwrap();
    fs::write(place.path().join("foliary.bash"), run(place.path(), &["shell", "bash"]).out()).unwrap();
    let ask = "
        source ./foliary.bash
        complete_of() {
            COMP_WORDS=(\"$@\"); COMP_CWORD=$(($# - 1)); COMP_LINE=\"$*\"; COMP_POINT=${#COMP_LINE}; COMPREPLY=()
            _foliary foliary \"${COMP_WORDS[COMP_CWORD]}\" \"${COMP_WORDS[COMP_CWORD-1]}\"
            echo \"${COMPREPLY[*]}\"
        }
        complete_of foliary mix-
        complete_of foliary stock --as h
    ";
    fs::write(place.path().join("ask.bash"), ask).unwrap();
    let output = shell(place.path(), "bash ask.bash").output().unwrap();
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    assert_eq!(said, "mix-sheet\nhtml\n", "{}", String::from_utf8_lossy(&output.stderr));
}
