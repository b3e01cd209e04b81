//! Highlighting from one source: the files of `editors/` are the ones that the tables of the language give, and what
//! they tell apart is what the grammar reads.

mod agree;
mod emacs;
mod grammar;
mod helix;
mod pattern;
mod rules;
mod shapes;
mod textmate;
mod told;
mod vim;

use std::fs;
use std::path::Path;

use rules::Language;

use crate::editors::tree_sitter;
use crate::syntax::examples::folder;

/// Set to write the files anew.
const UPDATE: &str = "FOLIARY_UPDATE_REFERENCE";

#[test]
fn the_committed_files_are_those_that_the_tables_give() {
    let language = Language::read();
    for (path, text) in [
        ("vscode/syntaxes/foliary.tmLanguage.json", textmate::file(&language)),
        ("neovim/syntax/foliary.vim", vim::file(&language)),
        ("emacs/foliary-words.el", emacs::file(&language)),
        ("helix/tree-sitter-foliary/src/grammar.json", helix::grammar(&language)),
        ("helix/queries/foliary/highlights.scm", helix::query()),
    ] {
        is_committed(path, &text);
    }
}

#[test]
fn the_committed_parser_is_the_one_that_the_grammar_gives() {
    let place = tempfile::tempdir().unwrap();
    let grammar = place.path().join("grammar.json");
    fs::write(&grammar, helix::grammar(&Language::read())).unwrap();
    let Some(mut tree_sitter) = tree_sitter() else { return };
    agree::run(tree_sitter.arg("write").args([&grammar, place.path()]));
    for path in ["parser.c", "tree_sitter/parser.h"] {
        let text = fs::read_to_string(place.path().join(path)).unwrap();
        is_committed(Path::new("helix/tree-sitter-foliary/src").join(path), &text);
    }
}

fn is_committed(path: impl AsRef<Path>, text: &str) {
    let file = folder("editors").join(&path);
    if std::env::var_os(UPDATE).is_some() {
        fs::create_dir_all(file.parent().unwrap()).unwrap();
        fs::write(&file, text).unwrap();
    }
    let committed = fs::read_to_string(&file).unwrap_or_default();
    assert!(committed == text, "{} is out of date: run the tests once with {UPDATE}=1", file.display());
}
