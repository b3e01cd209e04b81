//! Highlighting from one source: the files of `editors/` are the ones that the tables of the language give, and what
//! they tell apart is what the grammar reads.

mod agree;
mod emacs;
mod grammar;
mod pattern;
mod rules;
mod shapes;
mod textmate;
mod told;
mod vim;

use std::fs;

use rules::Language;

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
    ] {
        let file = folder("editors").join(path);
        if std::env::var_os(UPDATE).is_some() {
            fs::create_dir_all(file.parent().unwrap()).unwrap();
            fs::write(&file, &text).unwrap();
        }
        let committed = fs::read_to_string(&file).unwrap_or_default();
        assert!(committed == text, "editors/{path} is out of date: run the tests once with {UPDATE}=1");
    }
}
