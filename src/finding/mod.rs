//! What the checker tells a grower: one plain value for the terminal, JSON, SARIF and the printed record.

mod counts;

pub use counts::{Counts, summary_counts};

use crate::text::Span;

/// How sure and how grave a finding is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// Near-certain: the record is wrong, or someone or something can be hurt. Exit code 1.
    Error,
    /// Probably a slip; worth a look.
    Warning,
    /// Something assumed on the grower's behalf, said so that nothing is guessed in silence.
    Note,
}

impl Level {
    /// The word users see.
    pub const fn word(self) -> &'static str {
        match self {
            Level::Error => "error",
            Level::Warning => "warning",
            Level::Note => "note",
        }
    }
}

/// A place that matters, and what stands there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    /// Where.
    pub span: Span,
    /// A few words about it, such as `limit set here`; may be empty for the first label.
    pub text: String,
}

/// An edit that the finding offers. Facts (dates, amounts, areas, people) are never edited by the tool.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Edit {
    /// The words to replace.
    pub span: Span,
    /// What to write there.
    pub with: String,
}

/// The grower's own reason for letting a finding stand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Accepted {
    /// The reason as written.
    pub reason: String,
    /// Where it was written.
    pub span: Span,
}

/// One thing that disagrees.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// Kebab-case name of what was found; `foliary explain` takes it.
    pub code: &'static str,
    /// How sure and how grave.
    pub level: Level,
    /// One sentence that stands alone: what disagrees, with its numbers and names. No full stop.
    pub headline: String,
    /// Every place that matters; the first is where to look.
    pub labels: Vec<Label>,
    /// The arithmetic, a line each.
    pub working: Vec<String>,
    /// The slip it probably is. Absent when no slip fits.
    pub slip: Option<String>,
    /// What to do about it. Absent when nothing true and useful can be said.
    pub help: Option<String>,
    /// Where the rule comes from.
    pub source: Option<String>,
    /// A spelling that can be put right at a key press.
    pub edit: Option<Edit>,
    /// Words that the reason of an accept must begin with: for findings of which many stand at one place.
    pub accept_by: Option<String>,
    /// Set when the journal accepts the finding on purpose.
    pub accepted: Option<Accepted>,
}

impl Finding {
    /// A finding at a place. Add the rest with the methods below.
    pub fn new(code: &'static str, level: Level, at: Span, headline: impl Into<String>) -> Self {
        Self {
            code,
            level,
            headline: headline.into(),
            labels: vec![Label { span: at, text: String::new() }],
            working: Vec::new(),
            slip: None,
            help: None,
            source: None,
            edit: None,
            accept_by: None,
            accepted: None,
        }
    }

    /// Where to look first.
    pub fn span(&self) -> Span {
        self.labels[0].span
    }

    /// Words for the first label.
    #[must_use]
    pub fn here(mut self, text: impl Into<String>) -> Self {
        self.labels[0].text = text.into();
        self
    }

    /// One more place that matters.
    #[must_use]
    pub fn label(mut self, span: Span, text: impl Into<String>) -> Self {
        self.labels.push(Label { span, text: text.into() });
        self
    }

    /// One line of the arithmetic.
    #[must_use]
    pub fn working(mut self, line: impl Into<String>) -> Self {
        self.working.push(line.into());
        self
    }

    /// The slip it probably is, if one fits.
    #[must_use]
    pub fn slip(mut self, slip: Option<String>) -> Self {
        self.slip = slip;
        self
    }

    /// What to do.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// Where the rule comes from.
    #[must_use]
    pub fn source(mut self, source: impl Into<String>) -> Self {
        self.source = Some(source.into());
        self
    }

    /// An offered change of spelling.
    #[must_use]
    pub fn edit(mut self, span: Span, with: impl Into<String>) -> Self {
        self.edit = Some(Edit { span, with: with.into() });
        self
    }
}
