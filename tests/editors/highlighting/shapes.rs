//! What may stand behind each field word, read from the grammar: the words of a value, and which kinds of thing it holds.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use pest_meta::ast::Expr;
use pest_meta::parser::{Rule, consume_rules, parse};

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
        let mut rules = BTreeMap::new();
        let text: String = ["page", "values", "fields"]
            .iter()
            .map(|file| fs::read_to_string(folder("grammar").join(format!("{file}.pest"))).unwrap())
            // Only the first file may have a chapter in front.
            .map(|text| {
                text.lines().filter(|line| !line.starts_with("//!")).fold(String::new(), |all, line| all + line + "\n")
            })
            .collect();
        let pairs = parse(Rule::grammar_rules, &text).unwrap();
        for rule in consume_rules(pairs).unwrap() {
            rules.insert(rule.name, rule.expr);
        }
        Grammar(rules)
    }

    /// Gathers what can be met on the way through an expression.
    fn walk(&self, expr: &Expr, shape: &mut Shape) {
        let parts = sequence(expr);
        for (at, part) in parts.iter().enumerate() {
            match part {
                Expr::Insens(word) => {
                    shape.joiners.insert(word.clone());
                    if parts.get(at + 1).is_some_and(|next| plural(next)) {
                        shape.joiners.insert(format!("{word}s"));
                    }
                }
                Expr::Ident(name) => {
                    if shape.rules.insert(name.clone()) && !WHOLE.contains(&name.as_str()) {
                        if let Some(expr) = self.0.get(name) {
                            self.walk(expr, shape);
                        }
                    }
                }
                Expr::Choice(one, other) => {
                    self.walk(one, shape);
                    self.walk(other, shape);
                }
                other if plural(other) => {}
                Expr::Opt(inner) | Expr::Rep(inner) | Expr::RepOnce(inner) | Expr::RepMinMax(inner, ..) => {
                    self.walk(inner, shape);
                }
                _ => {}
            }
        }
    }
}

/// The parts of a sequence, in order.
fn sequence(expr: &Expr) -> Vec<&Expr> {
    match expr {
        Expr::Seq(one, other) => [sequence(one), sequence(other)].concat(),
        other => vec![other],
    }
}

fn plural(expr: &Expr) -> bool {
    matches!(expr, Expr::Opt(inner) if **inner == Expr::Insens("s".to_owned()))
}

fn choices(expr: &Expr) -> Vec<&Expr> {
    match expr {
        Expr::Choice(one, other) => [choices(one), choices(other)].concat(),
        other => vec![other],
    }
}

/// Every shape of a field's value, in the order of their first words; notes are a shape of their own and not among them.
pub fn fields() -> Vec<Shape> {
    let grammar = Grammar::read();
    let parts = sequence(&grammar.0["field"]);
    let mut shapes: Vec<Shape> = Vec::new();
    for way in choices(parts[0]) {
        let parts = sequence(way);
        let words = choices(parts[0]).into_iter().map(|word| match word {
            Expr::Insens(word) => word.clone(),
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
