//! What keeps the project simple, held by looking at the files.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use crate::syntax::examples::{files, folder};

/// The stages, in the order of the data. A stage knows those before it. `finding` is the value that the later ones pass
/// along, and knows only of text.
const STAGES: &[&str] = &[
    "text",
    "finding",
    "quantity",
    "syntax",
    "history",
    "trade",
    "journal",
    "rulebook",
    "files",
    "season",
    "duty",
    "checks",
    "plan",
    "job",
    "documents",
    "render",
    "report",
    "editor",
    "live",
    "import",
    "command",
];

/// A longer file has more than one reason to change.
const MOST_LINES: usize = 600;

/// The Rust files under a folder, with their paths from the top of the repository.
fn sources(name: &str) -> Vec<(PathBuf, String)> {
    let top = folder("");
    let found: Vec<(PathBuf, String)> = files(&folder(name), "rs")
        .into_iter()
        .map(|path| (path.strip_prefix(&top).unwrap().to_path_buf(), fs::read_to_string(&path).unwrap()))
        .collect();
    assert!(found.len() > 5, "{name} holds Rust files");
    found
}

/// Lines of code, without comments.
fn code(text: &str) -> impl Iterator<Item = &str> {
    text.lines().filter(|line| !line.trim_start().starts_with("//"))
}

/// The stage that a file of `src` belongs to; none for `main.rs` and `lib.rs`.
fn stage(path: &Path) -> Option<&'static str> {
    let part = path.iter().nth(1)?.to_str()?;
    let name = part.strip_suffix(".rs").unwrap_or(part);
    STAGES.iter().find(|stage| **stage == name).copied()
}

/// Whether words stand in a line as words of their own.
fn names(line: &str, words: &str) -> bool {
    line.match_indices(words).any(|(at, _)| {
        let before = line[..at].chars().next_back();
        let after = line[at + words.len()..].chars().next();
        let joins = |character: Option<char>| character.is_some_and(|c| c.is_alphanumeric() || c == '_');
        !joins(before) && !joins(after)
    })
}

#[test]
fn every_folder_of_the_source_is_a_stage() {
    for (path, _) in sources("src") {
        let top = path.iter().count() == 2;
        assert!(stage(&path).is_some() || top, "{} belongs to a stage", path.display());
    }
    let lib = fs::read_to_string(folder("src/lib.rs")).unwrap();
    for module in lib.lines().filter_map(|line| line.strip_prefix("pub mod ")?.strip_suffix(';')) {
        assert!(STAGES.contains(&module), "{module} is a stage");
    }
}

#[test]
fn no_stage_knows_a_later_one() {
    for (path, text) in sources("src") {
        let Some(own) = stage(&path) else { continue };
        let place = STAGES.iter().position(|stage| *stage == own).unwrap();
        for later in &STAGES[place + 1..] {
            for line in code(&text) {
                assert!(!names(line, &format!("crate::{later}")), "{}: `{}`", path.display(), line.trim());
            }
        }
        if own == "finding" {
            assert!(!code(&text).any(|line| line.contains("crate::") && !line.contains("crate::text")));
        }
    }
}

#[test]
fn what_comes_from_outside_stays_in_its_stage() {
    // What is named, and the stages that may name it.
    let rules: &[(&str, &[&str])] = &[
        ("pest::", &["syntax"]),
        ("pest_derive", &["syntax"]),
        ("gix", &["history"]),
        ("minijinja", &["render"]),
        ("codespan_reporting", &["report"]),
        ("toml::", &["rulebook", "import"]),
        ("csv::", &["render", "import"]),
        ("calamine", &["import"]),
        ("quick_xml", &["import"]),
        ("zip::", &["import"]),
        ("encoding_rs", &["import"]),
        ("chardetng", &["import"]),
        ("geojson::", &["import"]),
        ("kml", &["import"]),
        ("geographiclib_rs", &["import"]),
        ("comfy_table", &["render"]),
        ("icalendar", &["render"]),
        ("clap", &["command"]),
        ("dialoguer", &["command"]),
        ("indicatif", &["command"]),
        ("ignore::", &["files"]),
        ("lsp_types", &["editor"]),
        ("lsp_server", &["editor", "command"]),
        ("axum", &["live"]),
        ("tokio", &["live"]),
        ("notify", &["live"]),
        ("std::fs", &["files", "editor", "command"]),
        ("std::env", &["command"]),
        ("SystemTime", &["command"]),
        ("Instant", &["command"]),
        ("Utc::now", &["command"]),
        ("Local::now", &["command"]),
        ("stdout", &["command"]),
        ("stderr", &["command"]),
        ("println", &[]),
        ("eprintln", &[]),
    ];
    let mut met = BTreeSet::new();
    for (path, text) in sources("src") {
        if path == Path::new("src/main.rs") {
            continue;
        }
        for (words, stages) in rules {
            // A word inside a text for people is no use of a library.
            let code = code(&text).filter(|line| !line.trim_start().starts_with('"'));
            for line in code.filter(|line| names(line, words.trim_end_matches(':')) && line.contains(words)) {
                met.insert(*words);
                let own = stage(&path);
                assert!(own.is_some_and(|own| stages.contains(&own)), "{}: `{}`", path.display(), line.trim());
            }
        }
    }
    for words in ["pest::", "clap", "std::fs", "SystemTime", "codespan_reporting"] {
        assert!(met.contains(words), "{words} is found where it belongs, so that the rule can fail");
    }
}

#[test]
fn no_file_is_long() {
    for (path, text) in [sources("src"), sources("tests")].concat() {
        let lines = text.lines().count();
        assert!(lines <= MOST_LINES, "{} has {lines} lines", path.display());
    }
}

#[test]
fn the_order_of_hash_maps_reaches_no_output_and_nothing_is_unsafe() {
    let manifest = fs::read_to_string(folder("Cargo.toml")).unwrap();
    // The compiler looks for these better than a test could; the test holds that it is asked to.
    assert!(manifest.contains("iter_over_hash_type = \"warn\"") || manifest.contains("iter_over_hash_type = \"deny\""));
    assert!(manifest.contains("unsafe_code = \"forbid\""));
    for (path, text) in sources("src") {
        for line in code(&text) {
            assert!(!line.contains("allow(clippy::iter_over_hash_type)"), "{}", path.display());
            // A web page's policy has a word of that name.
            let line = line.replace("'unsafe-inline'", "");
            assert!(!names(&line, "unsafe") && !names(&line, "transmute"), "{}: `{}`", path.display(), line.trim());
        }
    }
    for root in ["src/lib.rs", "src/main.rs"] {
        assert!(fs::read_to_string(folder(root)).unwrap().contains("#![forbid(unsafe_code)]"), "{root}");
    }
}

#[test]
fn every_test_is_run() {
    let tests = folder("tests");
    let listed = |text: &str| -> BTreeSet<String> {
        text.lines()
            .filter_map(|line| line.trim_start_matches("pub ").strip_prefix("mod ")?.strip_suffix(';'))
            .map(str::to_owned)
            .collect()
    };
    let in_main = listed(&fs::read_to_string(tests.join("main.rs")).unwrap());
    for entry in fs::read_dir(&tests).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        if path.is_dir() && path.join("mod.rs").exists() {
            assert!(in_main.contains(&name), "tests/{name} is in tests/main.rs");
            let in_folder = listed(&fs::read_to_string(path.join("mod.rs")).unwrap());
            for file in fs::read_dir(&path).unwrap() {
                let file = file.unwrap().path();
                let name = file.file_stem().unwrap().to_string_lossy().into_owned();
                if file.extension().is_some_and(|ending| ending == "rs") && name != "mod" {
                    assert!(in_folder.contains(&name), "{} is in its mod.rs", file.display());
                }
            }
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            assert!(name == "main" || in_main.contains(&name), "tests/{name}.rs is in tests/main.rs");
        }
    }
    assert!(in_main.len() > 5);
}

#[test]
fn nothing_is_left_undone_and_nothing_tells_of_the_workplace() {
    // Put together here, so that this file does not hold them.
    let forbidden: Vec<String> = [
        ["TO", "DO"],
        ["FIX", "ME"],
        ["todo", "!("],
        ["unimplemented", "!("],
        ["#[ign", "ore"],
        ["/wo", "rk/"],
        ["/tmp", "/wt"],
        ["/ro", "ot/"],
        ["/home", "/"],
        ["C:", "\\\\"],
    ]
    .iter()
    .map(|parts| parts.concat())
    .collect();
    let mut texts: Vec<PathBuf> = Vec::new();
    for place in ["src", "tests", "grammar", "journal-examples", "templates", "docs"].map(folder) {
        if place.is_dir() {
            for ending in ["rs", "md", "pest", "spray", "snap", "toml", "html", "css", "txt", "csv", "py"] {
                texts.extend(files(&place, ending));
            }
        }
    }
    for file in ["Cargo.toml", "README.md", "DEVELOPERS.md", "CHANGELOG.md", "clippy.toml", "rustfmt.toml"].map(folder)
    {
        if file.exists() {
            texts.push(file);
        }
    }
    assert!(texts.len() > 50);
    for path in texts {
        let text = fs::read_to_string(&path).unwrap();
        for words in &forbidden {
            assert!(!text.contains(words.as_str()), "{} holds `{words}`", path.display());
        }
    }
}
