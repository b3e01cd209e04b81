//! A few lines about something, as Markdown or as plain text; and the language's own words.

use crate::syntax::{EntryWord, FieldRule, FieldWord, entry_rule};
use crate::text::escape_hidden;

/// A few lines about something.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Page(Vec<Line>);

#[derive(Clone, Debug, PartialEq, Eq)]
enum Line {
    /// What it is about.
    Title(String),
    /// A sentence.
    Text(String),
    /// One of a list.
    Item(String),
    /// Journal text.
    Journal(String),
    /// Markdown as it stands.
    Markdown(String),
}

impl Page {
    /// What it is about.
    #[must_use]
    pub fn title(mut self, words: impl Into<String>) -> Self {
        self.0.push(Line::Title(words.into()));
        self
    }

    /// A sentence.
    #[must_use]
    pub fn text(mut self, words: impl Into<String>) -> Self {
        self.0.push(Line::Text(words.into()));
        self
    }

    /// One of a list.
    #[must_use]
    pub fn item(mut self, words: impl Into<String>) -> Self {
        self.0.push(Line::Item(words.into()));
        self
    }

    /// Several of a list.
    #[must_use]
    pub fn items(self, words: impl IntoIterator<Item = String>) -> Self {
        words.into_iter().fold(self, Page::item)
    }

    /// Journal text.
    #[must_use]
    pub fn journal(mut self, text: impl Into<String>) -> Self {
        self.0.push(Line::Journal(text.into()));
        self
    }

    /// Markdown as it stands.
    #[must_use]
    pub fn markdown_text(mut self, text: impl Into<String>) -> Self {
        self.0.push(Line::Markdown(text.into()));
        self
    }

    /// Whether there is nothing on it.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Puts another page behind this one.
    pub fn append(&mut self, other: Page) {
        self.0.extend(other.0);
    }

    /// As Markdown.
    pub fn markdown(&self) -> String {
        self.written(|line| match line {
            Line::Title(words) => format!("**{}**", escaped(words)),
            Line::Text(words) => escaped(words),
            Line::Item(words) => format!("- {}", escaped(words)),
            Line::Journal(text) => format!("```spray\n{text}\n```"),
            Line::Markdown(text) => text.clone(),
        })
    }

    /// As plain text.
    pub fn plain(&self) -> String {
        self.written(|line| match line {
            Line::Title(words) | Line::Text(words) | Line::Journal(words) | Line::Markdown(words) => words.clone(),
            Line::Item(words) => format!("- {words}"),
        })
    }

    fn written(&self, write: impl Fn(&Line) -> String) -> String {
        let mut out = String::new();
        let mut item = false;
        for line in &self.0 {
            let is_item = matches!(line, Line::Item(_));
            if !out.is_empty() {
                out.push_str(if item && is_item { "\n" } else { "\n\n" });
            }
            out.push_str(&escape_hidden(&write(line)));
            item = is_item;
        }
        out
    }
}

/// Words of the user's that Markdown would take for its own marks, with those marks taken at their word. What stands
/// between backticks stays as it is.
fn escaped(words: &str) -> String {
    let mut escaped = String::with_capacity(words.len());
    let mut code = false;
    for character in words.chars() {
        code ^= character == '`';
        if !code && matches!(character, '*' | '_' | '[' | ']' | '<' | '>' | '#' | '|' | '\\' | '~') {
            escaped.push('\\');
        }
        escaped.push(character);
    }
    escaped
}

/// What an entry is for.
pub fn entry(word: EntryWord) -> Page {
    let rule = entry_rule(word);
    let named = |required: bool| -> Vec<String> {
        rule.fields.iter().filter(|field| field.required == required).map(|field| code(field.word.word())).collect()
    };
    let mut page = Page::default().title(word.word()).text(rule.about).journal(rule.head);
    for (about, words) in [("needs", named(true)), ("may have", named(false))] {
        if !words.is_empty() {
            page = page.text(format!("It {about} {}.", words.join(", ")));
        }
    }
    page
}

/// What a field is for.
pub(super) fn field(entry: EntryWord, word: FieldWord) -> Option<Page> {
    let rule = entry_rule(entry).field(word)?;
    Some(field_page(rule))
}

/// What a field is for, by its rule.
pub fn field_page(rule: &FieldRule) -> Page {
    let often = match (rule.required, rule.repeats) {
        (true, true) => " Needed; may be repeated.",
        (true, false) => " Needed.",
        (false, true) => " May be repeated.",
        (false, false) => "",
    };
    Page::default().title(rule.word.word()).text(format!("{}{often}", rule.about)).journal(rule.example)
}

fn code(words: &str) -> String {
    format!("`{words}`")
}
