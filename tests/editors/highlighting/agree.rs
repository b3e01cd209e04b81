//! What each editor really shows, held against the tree: for every journal that comes with Foliary, and for every
//! journal in the documentation of the checks.

use std::fs;
use std::path::Path;
use std::process::Command;

use super::pattern::Kind;
use super::textmate::{SCOPE, scope};
use super::told::{agrees, letter, told};
use super::{emacs, folder, helix};
use crate::editors::{found, node_modules, tree_sitter};
use crate::syntax::examples::files;

/// Words that no journal has: unknown ones must stay plain, and known ones are known in any case.
const ODD: &str = "\
sprey creek-pear\n    puut sulfur 3 lb\n    3 lb\n    notes are none\n\nSpray creek-pear \"Früh, 3 lb\" # why\n\
\u{20}   MIX leaf-tonic, into 4 GALLONS\n    put sulfur 3 blorps per gal\n    put épsom 2 fl. oz. per 100 gal of water\n\
\u{20}   over 1 1/2 acres # 3 lb\n    reason 🌳 3 lb of put # 2026-05-14\n\tnote one # two\n\t\tput sulfur 3 lb\n\n\
\t\t  # three\n\tput sulfur 1/2 lb, lot 7 lb\n\nsprayer x\n2026-05-14 Xyz\n2026-05-15 thur # day\n# spray\n  # put\nput x 3 lb\n\
spray, x\n    put, sulfur 3 lb\n    note: 3 lb\n    lot\n    put\n2026-05-16x Thu\nblock\n\
\u{20}   note one\n\n      lot 3\n    lot 3\n      note two\n    lot 3\n   note\n    lot 3\n   lot 3\n";

/// The journals, by name.
fn journals() -> Vec<(String, String)> {
    let mut all = vec![("odd".to_owned(), ODD.to_owned())];
    for path in files(&folder("journal-examples"), "spray") {
        all.push((path.display().to_string(), fs::read_to_string(&path).unwrap()));
    }
    for path in files(&folder("src/checks"), "md") {
        let text = fs::read_to_string(&path).unwrap();
        for (at, part) in text.split("\n```spray").skip(1).enumerate() {
            let journal = part.split_once('\n').unwrap().1.split("\n```").next().unwrap();
            all.push((format!("{} {}", path.display(), at + 1), format!("{journal}\n")));
        }
    }
    assert!(all.len() > 300, "there are journals: {}", all.len());
    all
}

/// Has an editor show all journals: it is given a folder of them, named by number, and writes a file of letters beside
/// each.
fn hold(show: impl FnOnce(&Path)) {
    let place = tempfile::tempdir().unwrap();
    let journals = journals();
    for (at, (_, text)) in journals.iter().enumerate() {
        fs::write(place.path().join(format!("{at}.spray")), text).unwrap();
    }
    show(place.path());
    let mut wrong = Vec::new();
    for (at, (name, text)) in journals.iter().enumerate() {
        let shown = fs::read_to_string(place.path().join(format!("{at}.shown"))).unwrap();
        let told = told(text);
        let shown: Vec<&str> = shown.lines().collect();
        assert_eq!(shown.len(), told.len(), "{name}");
        for ((line, told), shown) in text.lines().zip(&told).zip(shown) {
            assert_eq!(told.chars().count(), shown.chars().count(), "{name}: {line}\n{shown}");
            if !told.chars().zip(shown.chars()).all(|(told, shown)| agrees(told, shown)) {
                wrong.push(format!("{name}\n    {line}\n    {told}\n    {shown}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{} lines: the line, the tree, the editor\n{}", wrong.len(), wrong.join("\n"));
}

pub fn run(command: &mut Command) {
    let output = command.output().unwrap();
    let said = String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{command:?}\n{said}");
}

fn letters(named: impl Fn(Kind) -> String) -> String {
    let pairs: serde_json::Map<String, serde_json::Value> =
        Kind::ALL.iter().map(|kind| (named(*kind), letter(*kind).to_string().into())).collect();
    serde_json::Value::from(pairs).to_string()
}

#[test]
fn textmate_shows_what_the_tree_says() {
    let Some(modules) = node_modules() else { return };
    hold(|place| {
        run(Command::new("node")
            .arg(folder("tests/editors/highlighting/show.js"))
            .args([&folder("editors/vscode/syntaxes/foliary.tmLanguage.json"), place])
            .args([SCOPE, &letters(|kind| scope(kind).to_owned())])
            .env("NODE_PATH", &modules));
    });
}

#[test]
fn neovim_shows_what_the_tree_says() {
    let Some(neovim) = found("nvim") else { return };
    hold(|place| {
        run(Command::new(&neovim)
            .args(["--headless", "-n", "-u", "NONE", "-i", "NONE", "--cmd"])
            .arg(format!("set runtimepath^={}", folder("editors/neovim").display()))
            .args(["-S".into(), folder("tests/editors/highlighting/show.vim")])
            .env("FOLIARY_PLACE", place)
            .env("FOLIARY_LETTERS", letters(|kind| format!("foliary{kind:?}"))));
    });
}

#[test]
fn emacs_shows_what_the_tree_says() {
    let Some(editor) = found("emacs") else { return };
    let letters: Vec<String> =
        Kind::ALL.iter().map(|kind| format!("({} . {})", emacs::face(*kind), letter(*kind) as u32)).collect();
    hold(|place| {
        run(Command::new(&editor)
            .args(["-Q", "--batch", "-L"])
            .arg(folder("editors/emacs"))
            .arg("-l")
            .arg(folder("tests/editors/highlighting/show.el"))
            .env("FOLIARY_PLACE", place)
            .env("FOLIARY_LETTERS", format!("({})", letters.join(" "))));
    });
}

#[test]
fn helix_shows_what_the_tree_says() {
    let Some(mut tree_sitter) = tree_sitter() else { return };
    let helix = folder("editors/helix");
    hold(|place| {
        run(tree_sitter
            .arg("show")
            .args([&helix.join("tree-sitter-foliary/src"), &helix.join("queries/foliary/highlights.scm"), place])
            .arg(letters(|kind| helix::scope(kind).to_owned())));
    });
}
