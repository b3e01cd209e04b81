//! Tree-sitter from outside, for the tests of the colours of Helix.
//!
//! - `write GRAMMAR FOLDER` writes into a folder the parser that a grammar file gives.
//! - `show PARSER QUERY FOLDER LETTERS` writes a letter for each character of the journals in a folder, by the colours
//!   that a query gives them where a parser reads them.

use std::collections::BTreeMap;
use std::error::Error;
use std::fs;
use std::path::Path;

use tree_sitter::Parser;
use tree_sitter_generate::{OptLevel, generate_parser_in_directory};
use tree_sitter_highlight::{HighlightConfiguration, HighlightEvent, Highlighter};
use tree_sitter_loader::{CompileConfig, Loader};

/// What every Helix reads that is still in use.
const ABI: usize = 14;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match arguments.iter().map(String::as_str).collect::<Vec<&str>>()[..] {
        ["write", grammar, folder] => write(grammar, folder),
        ["show", parser, query, folder, letters] => show(Path::new(parser), query, Path::new(folder), letters),
        _ => Err(format!("not a command: {arguments:?}").into()),
    }
}

fn write(grammar: &str, folder: &str) -> Result<(), Box<dyn Error>> {
    Ok(generate_parser_in_directory(folder, Some(folder), Some(grammar), ABI, None, None, true, OptLevel::default())?)
}

fn show(parser: &Path, query: &str, folder: &Path, letters: &str) -> Result<(), Box<dyn Error>> {
    let letters: BTreeMap<String, char> = serde_json::from_str(letters)?;
    let scopes: Vec<&String> = letters.keys().collect();
    let library = folder.join(format!("foliary.{}", std::env::consts::DLL_EXTENSION));
    let loader = Loader::with_parser_lib_path(folder.to_owned());
    let language = loader.load_language_at_path(CompileConfig::new(parser, None, Some(library)))?;
    let mut reader = Parser::new();
    reader.set_language(&language)?;
    let mut colours = HighlightConfiguration::new(language, "foliary", &fs::read_to_string(query)?, "", "")?;
    let unknown: Vec<&&str> = colours.names().iter().filter(|name| !letters.contains_key(**name)).collect();
    if !unknown.is_empty() {
        return Err(format!("the query has scopes that are no kind's: {unknown:?}").into());
    }
    colours.configure(&scopes);
    let mut highlighter = Highlighter::new();
    for file in fs::read_dir(folder)? {
        let file = file?.path();
        if file.extension().is_none_or(|ending| ending != "spray") {
            continue;
        }
        let text = fs::read_to_string(&file)?;
        if reader.parse(&text, None).is_none_or(|tree| tree.root_node().has_error()) {
            return Err(format!("the parser cannot read all of {}", file.display()).into());
        }
        let mut shown = String::new();
        let mut open = Vec::new();
        for event in highlighter.highlight(&colours, text.as_bytes(), None, |_| None)? {
            match event? {
                HighlightEvent::HighlightStart(scope) => open.push(letters[scopes[scope.0]]),
                HighlightEvent::HighlightEnd => drop(open.pop()),
                HighlightEvent::Source { start, end } => {
                    let letter = open.last().copied().unwrap_or('.');
                    shown.extend(text[start..end].chars().map(|sign| if sign == '\n' { sign } else { letter }));
                }
            }
        }
        fs::write(file.with_extension("shown"), shown)?;
    }
    Ok(())
}
