//! The files for editors: what they show, and that real editors do with them what they promise.

mod clients;
mod highlighting;
mod vscode;

use std::path::PathBuf;
use std::process::Command;

use crate::syntax::examples::folder;

/// Where a program is, if it is installed.
fn found(program: &str) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    let found = std::env::split_paths(&path).map(|folder| folder.join(program)).find(|path| path.is_file());
    if found.is_none() {
        eprintln!("SKIPPED: {program} is not installed; nothing was tried in it");
    }
    found
}

/// The modules that the tests of the extension for Visual Studio Code need, installed once.
fn node_modules() -> Option<PathBuf> {
    let npm = found("npm")?;
    found("node")?;
    let extension = folder("editors/vscode");
    let modules = extension.join("node_modules");
    static INSTALLED: std::sync::OnceLock<bool> = std::sync::OnceLock::new();
    let installed = *INSTALLED.get_or_init(|| {
        modules.join("vscode-textmate").is_dir()
            || Command::new(npm)
                .args(["ci", "--no-audit", "--no-fund", "--ignore-scripts"])
                .current_dir(&extension)
                .output()
                .is_ok_and(|output| output.status.success())
    });
    if !installed {
        eprintln!("SKIPPED: npm could not install the modules of editors/vscode; nothing was tried with them");
    }
    installed.then_some(modules)
}

/// The program that writes parsers of tree-sitter and reads journals by them, built once.
fn tree_sitter() -> Option<Command> {
    let cargo = |does: &str| {
        let mut cargo = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
        cargo.args([does, "--quiet", "--locked", "--manifest-path"]);
        cargo.arg(folder("tests/editors/highlighting/tree-sitter/Cargo.toml"));
        cargo
    };
    // A place of its own: the program has nothing in common with what the tests are built of.
    let place = concat!(env!("CARGO_TARGET_TMPDIR"), "/tree-sitter");
    static BUILT: std::sync::OnceLock<bool> = std::sync::OnceLock::new();
    let built = *BUILT.get_or_init(|| {
        let output = cargo("build").args(["--target-dir", place]).output().unwrap();
        // What could be fetched has to build.
        let excused = !output.status.success() && !cargo("fetch").output().unwrap().status.success();
        assert!(output.status.success() || excused, "{}", String::from_utf8_lossy(&output.stderr));
        !excused
    });
    if !built {
        eprintln!("SKIPPED: cargo could not fetch the crates that run tree-sitter; nothing was tried with it");
        return None;
    }
    let mut run = cargo("run");
    // Where its library keeps what it locks.
    run.args(["--target-dir", place, "--"]).env("XDG_CACHE_HOME", env!("CARGO_TARGET_TMPDIR"));
    Some(run)
}

#[test]
fn helix_is_told_to_start_foliary_for_journals() {
    let text = std::fs::read_to_string(folder("editors/helix/languages.toml")).unwrap();
    let told: toml::Table = text.parse().unwrap();
    let server = &told["language-server"]["foliary"];
    assert_eq!(server["command"].as_str(), Some("foliary"));
    assert_eq!(server["args"][0].as_str(), Some("editor"));
    let language = &told["language"][0];
    assert_eq!(language["file-types"][0].as_str(), Some("spray"));
    assert_eq!(language["language-servers"][0].as_str(), Some("foliary"));
    // Helix looks for a language's grammar and queries by its name.
    let grammar = &told["grammar"][0];
    assert_eq!(grammar["name"], language["name"]);
    let path = grammar["source"]["path"].as_str().unwrap();
    let parser = folder(path.strip_prefix("/where/foliary/is/").unwrap()).join("src/parser.c");
    assert!(std::fs::read_to_string(parser).unwrap().contains("tree_sitter_foliary(void)"));
    assert!(folder("editors/helix/queries/foliary/highlights.scm").is_file());
}
