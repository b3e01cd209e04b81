//! Rules of a tree-sitter grammar, as its file has them.

use serde_json::{Value, json};

use super::super::pattern::Kind;
use super::node;

/// A rule with its name.
pub type Rule = (String, Value);

/// What another rule says.
pub fn symbol(name: &str) -> Value {
    json!({ "type": "SYMBOL", "name": name })
}

/// One after the other.
pub fn seq(members: Vec<Value>) -> Value {
    several("SEQ", members)
}

/// One or the other.
pub fn choice(members: Vec<Value>) -> Value {
    several("CHOICE", members)
}

fn several(how: &str, members: Vec<Value>) -> Value {
    if let [one] = &members[..] { one.clone() } else { json!({ "type": how, "members": members }) }
}

/// There or not.
pub fn maybe(content: Value) -> Value {
    choice(vec![content, json!({ "type": "BLANK" })])
}

/// Any number of times, or never.
pub fn repeated(content: Value) -> Value {
    json!({ "type": "REPEAT", "content": content })
}

/// What goes on wherever it can.
pub fn greedy(content: Value) -> Value {
    json!({ "type": "PREC_RIGHT", "value": 0, "content": content })
}

/// What a rule says, as a node of a kind; without one it is only passed over.
pub fn shown(rule: &str, kind: Option<Kind>) -> Value {
    match kind {
        Some(kind) => json!({ "type": "ALIAS", "content": symbol(rule), "named": true, "value": node(kind) }),
        None => symbol(rule),
    }
}

/// A token. Of a higher rank the shorter is taken before the longer of a lower one; of one rank the longer is, and of two
/// as long the first in the file.
pub fn token(pattern: &str, rank: i32) -> Value {
    json!({ "type": "TOKEN", "content": ranked(pattern, rank) })
}

/// A token with no blank before it.
pub fn token_behind(pattern: &str, rank: i32) -> Value {
    json!({ "type": "IMMEDIATE_TOKEN", "content": ranked(pattern, rank) })
}

fn ranked(pattern: &str, rank: i32) -> Value {
    let pattern = json!({ "type": "PATTERN", "value": pattern, "flags": "i" });
    if rank == 0 { pattern } else { json!({ "type": "PREC", "value": rank, "content": pattern }) }
}

/// The file of a grammar. The first rule is that of a whole journal; blanks may stand between any two tokens.
pub fn file(rules: &[Rule]) -> String {
    let blanks = json!({ "type": "PATTERN", "value": r"[ \t\r]" });
    // The order of the rules counts, so that no map may hold them.
    let rules: Vec<String> =
        rules.iter().map(|(name, rule)| format!("    {}: {rule}", Value::from(name.as_str()))).collect();
    format!(
        "{{\n  \"name\": \"foliary\",\n  \"word\": \"_word\",\n  \"rules\": {{\n{}\n  }},\n  \"extras\": [{blanks}]\n}}\n",
        rules.join(",\n"),
    )
}
