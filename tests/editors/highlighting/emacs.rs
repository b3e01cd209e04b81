//! The tables that the Emacs mode reads.

use std::fmt::Write as _;

use super::pattern::{Kind, Part, Set, Spelling, any_word};
use super::rules::Language;

/// The face that a kind is shown in: those that themes know.
pub fn face(kind: Kind) -> &'static str {
    match kind {
        Kind::Entry => "font-lock-keyword-face",
        Kind::Field => "font-lock-type-face",
        Kind::Name => "font-lock-variable-name-face",
        Kind::Number => "font-lock-constant-face",
        Kind::Unit => "font-lock-preprocessor-face",
        Kind::Date => "font-lock-function-name-face",
        Kind::Joiner => "font-lock-builtin-face",
        Kind::Title => "font-lock-string-face",
        Kind::Remark => "font-lock-comment-face",
        Kind::Note => "font-lock-doc-face",
    }
}

/// The spelling of Emacs.
struct Emacs;

impl Spelling for Emacs {
    fn words(&self, words: &str) -> String {
        words.chars().map(|c| if r"\^$.*?+[".contains(c) { format!("\\{c}") } else { c.to_string() }).collect()
    }

    fn set(&self, set: Set) -> String {
        let not = if set.others { "^" } else { "" };
        let beyond = if set.beyond { "[:nonascii:]" } else { "" };
        format!("[{not}{beyond}{}]", set.ascii)
    }

    fn group(&self, inner: &str) -> String {
        format!(r"\(?:{inner}\)")
    }

    fn or(&self) -> &'static str {
        r"\|"
    }

    // The mode's syntax table makes a hyphen and an underscore part of a symbol.
    fn word_end(&self) -> String {
        r"\_>".to_owned()
    }
}

/// A string of Lisp.
fn string(words: &str) -> String {
    let words = words.replace('\\', "\\\\").replace('"', "\\\"").replace('\t', "\\t");
    format!("\"{}\"", words.replace('\r', "\\r").replace('\n', "\\n"))
}

/// A pattern: its expression, then the face of each of its groups.
fn pattern(pattern: &[Part]) -> String {
    let whole = Emacs.whole(pattern, &|_, part| format!(r"\({part}\)"));
    let faces: Vec<&str> = pattern.iter().map(|part| part.kind.map_or("nil", face)).collect();
    format!("({} {})", string(&whole), faces.join(" "))
}

fn list(items: impl Iterator<Item = String>, between: &str) -> String {
    items.collect::<Vec<String>>().join(between)
}

/// The file.
pub fn file(language: &Language) -> String {
    let mut out = String::from(
        ";;; foliary-words.el --- Words of Foliary journals  -*- lexical-binding: t; -*-\n\n\
         ;;; Commentary:\n\n;; Written by the tests from the language's own tables: change those.\n\n;;; Code:\n\n",
    );
    let any = |words: &[String]| string(&Emacs.spell(&any_word(words.iter().map(String::as_str))));
    let entries: Vec<String> = language.entries.iter().map(|word| (*word).to_owned()).collect();
    let places = |places: &[usize]| list(places.iter().map(usize::to_string), " ");
    let patterns = list(language.patterns.iter().map(|one| pattern(one)), "\n    ");
    let fields = language.fields.iter().map(|(words, behind)| format!("({} {})", any(words), places(behind)));
    for (name, value, about) in [
        ("patterns", format!("[{patterns}]"), "Patterns: an expression, and the faces of its groups."),
        ("entry", any(&entries), "What begins an entry."),
        ("head", format!("({})", places(&language.head)), "The patterns of what stands behind it."),
        ("day", pattern(&language.day), "A date line."),
        (
            "fields",
            format!("({})", list(fields, "\n    ")),
            "Field words, with the patterns of what stands behind them.",
        ),
    ] {
        writeln!(out, "(defconst foliary-words-{name}\n  '{value}\n  \"{about}\")\n").unwrap();
    }
    out.push_str("(provide 'foliary-words)\n;;; foliary-words.el ends here\n");
    out
}
