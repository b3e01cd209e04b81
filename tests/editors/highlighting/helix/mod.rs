//! The tree-sitter grammar that Helix reads, and the query that gives its nodes their colours.

mod json;
mod lines;
mod paths;
mod tokens;
mod words;

use std::fmt::Write as _;

use super::pattern::Kind;
use super::rules::Language;

/// The scope of a kind: those that the themes of Helix know.
pub fn scope(kind: Kind) -> &'static str {
    match kind {
        Kind::Entry => "keyword",
        Kind::Field => "type",
        Kind::Name => "variable",
        Kind::Number => "constant.numeric",
        Kind::Unit => "special",
        Kind::Date => "constant",
        Kind::Joiner => "keyword.operator",
        Kind::Title => "markup.heading",
        Kind::Remark => "comment.line",
        Kind::Note => "string",
    }
}

/// What a node of a kind is called.
fn node(kind: Kind) -> String {
    format!("{kind:?}").to_lowercase()
}

/// The query. A node is of one kind and none is inside another, so that no order of the patterns matters.
pub fn query() -> String {
    let mut out = String::from("; Written by the tests from the language's own tables: change those.\n\n");
    for kind in Kind::ALL {
        writeln!(out, "({}) @{}", node(*kind), scope(*kind)).unwrap();
    }
    out
}

/// The grammar, of which tree-sitter makes the parser.
pub fn grammar(language: &Language) -> String {
    json::file(&lines::rules(language))
}
