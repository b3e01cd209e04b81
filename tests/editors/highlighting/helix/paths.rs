//! The ways through the patterns of a value, one token after the other. A parser of this kind looks one token ahead and
//! never goes back: patterns that begin alike are one way that parts later, and a way may end wherever one more token
//! would be needed to tell that it does not fit. What was read until then is shown as what it began.

use super::super::pattern::{Gap, Kind, Part, Pattern};
use super::super::rules;
use super::tokens::{Token, Tokens};

/// A token on the way, and what may follow it.
#[derive(Clone, PartialEq)]
pub struct Step {
    /// What is read.
    pub token: Token,
    /// What it is; nothing for what is passed over.
    pub kind: Option<Kind>,
    /// Whether the way may end here.
    pub ends: bool,
    /// What may follow.
    pub next: Vec<Step>,
}

/// All ways that patterns offer.
pub fn ways(patterns: &[&Pattern], tokens: &Tokens) -> Vec<Step> {
    let mut ways = Vec::new();
    // Where a word alone is passed over, it is a name only by what follows it.
    let passing = patterns.iter().any(|pattern| ***pattern == rules::sky());
    for pattern in patterns {
        if **pattern == rules::sky() {
            let rest = Step { token: tokens.of(&pattern[0])[0], kind: None, ends: true, next: Vec::new() };
            join(&mut ways, Step { token: Token::Word, kind: None, ends: true, next: vec![rest] });
        } else if **pattern == rules::unknown() {
            let plain = |token| Step { token, kind: None, ends: true, next: Vec::new() };
            let number = ways.iter().any(|way: &Step| way.kind == Some(Kind::Number));
            for token in [Token::Comma, Token::Word, Token::Figures, Token::Signs] {
                let begun = ways.iter().any(|way| way.token == token) || number && token == Token::Figures;
                if !begun {
                    ways.push(plain(token));
                }
            }
        } else {
            walk(&mut ways, pattern, passing, tokens);
        }
    }
    let alone: Vec<Step> = ways.iter().filter(|way| way.next.is_empty()).cloned().collect();
    ways.iter_mut().for_each(|way| shorten(way, &alone));
    ways
}

/// Adds the ways of a pattern, or of what is left of it.
fn walk(ways: &mut Vec<Step>, parts: &[Part], passing: bool, tokens: &Tokens) {
    for (at, part) in parts.iter().enumerate() {
        let mut rest = &parts[at + 1..];
        // The rest of a word that is passed over is in the same token.
        if part.re == rules::letter() && rest.first().is_some_and(|next| next.gap == Gap::No) {
            rest = &rest[1..];
        }
        let more = rest.iter().any(|part| !part.optional);
        for token in tokens.of(part) {
            let mut next = Vec::new();
            walk(&mut next, rest, false, tokens);
            join(ways, Step { token, kind: part.kind, ends: !(passing && more), next });
        }
        if !part.optional {
            break;
        }
    }
}

/// Adds a step to others; what is there already goes on where both go on.
fn join(ways: &mut Vec<Step>, step: Step) {
    let known = ways.iter_mut().find(|way| way.token == step.token && (way.kind == step.kind || way.ends && step.ends));
    match known {
        Some(way) => {
            way.ends |= step.ends;
            step.next.into_iter().for_each(|next| join(&mut way.next, next));
        }
        None => ways.push(step),
    }
}

/// Leaves out what another way begins anyway.
fn shorten(step: &mut Step, alone: &[Step]) {
    step.next.iter_mut().for_each(|next| shorten(next, alone));
    if step.ends {
        step.next.retain(|next| !alone.contains(next));
    }
}
