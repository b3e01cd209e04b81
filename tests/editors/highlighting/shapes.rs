//! What may stand behind each field word, read from the grammar: the words of a value, and which kinds of thing it holds.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use super::grammar::{Expr, read};
use crate::syntax::examples::folder;

/// Field words whose values are written alike.
#[derive(Debug)]
pub struct Shape {
    /// The field words.
    pub words: BTreeSet<String>,
    /// The rules of the grammar that the value may use.
    pub rules: BTreeSet<String>,
    /// Words that belong to the value's way of being written: `to`, `per`, `at`.
    pub joiners: BTreeSet<String>,
}

/// Rules whose insides are one thing to the eye.
const WHOLE: &[&str] = &[
    "text",
    "remark",
    "licence_number",
    "name",
    "number",
    "whole",
    "unit",
    "date",
    "clock",
    "compass",
    "word",
    "title",
    "weekday",
];

struct Grammar(BTreeMap<String, Expr>);

impl Grammar {
    fn read() -> Grammar {
        let files = ["page", "values", "fields"].map(|file| folder("grammar").join(format!("{file}.pest")));
        Grammar(files.iter().flat_map(|path| read(&fs::read_to_string(path).unwrap())).collect())
    }

    /// Gathers what can be met on the way through an expression.
    fn walk(&self, expr: &Expr, shape: &mut Shape) {
        match expr {
            Expr::Word(word) => {
                shape.joiners.insert(word.clone());
            }
            Expr::Rule(name) => {
                if shape.rules.insert(name.clone())
                    && !WHOLE.contains(&name.as_str())
                    && let Some(expr) = self.0.get(name)
                {
                    self.walk(expr, shape);
                }
            }
            Expr::Seq(parts) => {
                let mut parts = parts.iter().peekable();
                while let Some(part) = parts.next() {
                    self.walk(part, shape);
                    // `^"round" ~ ^"s"?` is `rounds`, too.
                    if let (Expr::Word(word), Some(Expr::Repeated(next))) = (part, parts.peek())
                        && **next == Expr::Word("s".to_owned())
                    {
                        shape.joiners.insert(format!("{word}s"));
                        parts.next();
                    }
                }
            }
            Expr::Choice(ways) => ways.iter().for_each(|way| self.walk(way, shape)),
            Expr::Repeated(inner) => self.walk(inner, shape),
            Expr::Other => {}
        }
    }
}

fn parts(expr: &Expr) -> &[Expr] {
    if let Expr::Seq(parts) = expr { parts } else { std::slice::from_ref(expr) }
}

fn ways(expr: &Expr) -> &[Expr] {
    if let Expr::Choice(ways) = expr { ways } else { std::slice::from_ref(expr) }
}

/// Every shape of a field's value, in the order of their first words; notes are a shape of their own and not among them.
pub fn fields() -> Vec<Shape> {
    let grammar = Grammar::read();
    let mut shapes: Vec<Shape> = Vec::new();
    for way in ways(&parts(&grammar.0["field"])[0]) {
        let parts = parts(way);
        let words = ways(&parts[0]).iter().map(|word| match word {
            Expr::Word(word) => word.clone(),
            other => panic!("a field begins with its word: {other:?}"),
        });
        let mut shape = Shape { words: words.collect(), rules: BTreeSet::new(), joiners: BTreeSet::new() };
        for part in &parts[1..] {
            grammar.walk(part, &mut shape);
        }
        match shapes.iter_mut().find(|known| known.rules == shape.rules && known.joiners == shape.joiners) {
            Some(known) => known.words.extend(shape.words),
            None => shapes.push(shape),
        }
    }
    shapes.sort_by(|a, b| a.words.cmp(&b.words));
    shapes
}

/// What may stand behind the first word of an entry.
pub fn head() -> Shape {
    let grammar = Grammar::read();
    let mut shape = Shape { words: BTreeSet::new(), rules: BTreeSet::new(), joiners: BTreeSet::new() };
    grammar.walk(&grammar.0["head"], &mut shape);
    shape
}
