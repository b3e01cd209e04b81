//! What is wrong with a template, in words that lead to the place.

use std::error::Error as _;
use std::fmt;

use minijinja::{Error, ErrorKind};

/// What is wrong with a template.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TemplateTrouble {
    /// Which template.
    pub template: String,
    /// Which line, from one.
    pub line: Option<usize>,
    /// What it asked for there, as written.
    pub asked: Option<String>,
    /// What is wrong.
    pub why: String,
}

impl TemplateTrouble {
    /// From the engine's error: its innermost cause, which is where the template is wrong.
    pub(super) fn new(template: &str, error: &Error) -> Self {
        let mut innermost = error;
        while let Some(cause) = innermost.source().and_then(|cause| cause.downcast_ref::<Error>()) {
            innermost = cause;
        }
        let asked = innermost
            .range()
            .and_then(|range| innermost.template_source()?.get(range))
            .map(|words| words.split_whitespace().collect::<Vec<_>>().join(" "))
            .filter(|words| !words.is_empty());
        let why = match innermost.kind() {
            ErrorKind::UndefinedError => "there is no such value".to_string(),
            kind => innermost.detail().map_or_else(|| kind.to_string(), |detail| format!("{kind}: {detail}")),
        };
        Self {
            template: innermost.name().or_else(|| error.name()).unwrap_or(template).to_string(),
            line: innermost.line().or_else(|| error.line()),
            asked,
            why,
        }
    }
}

impl fmt::Display for TemplateTrouble {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "template {}", self.template)?;
        if let Some(line) = self.line {
            write!(out, ", line {line}")?;
        }
        if let Some(asked) = &self.asked {
            write!(out, ", at `{asked}`")?;
        }
        write!(out, ": {}", self.why)
    }
}

impl std::error::Error for TemplateTrouble {}
