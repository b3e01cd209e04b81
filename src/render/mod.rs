//! View models and templates to HTML and Markdown. The only place that knows of the template engine.

mod calendar;
mod columns;
mod escape;
mod press;
mod prose;
mod tables;
mod trouble;

use minijinja::syntax::SyntaxConfig;
use minijinja::value::{Serde, Value};
use minijinja::{AutoEscape, Environment, Error, Output, State, UndefinedBehavior};
use serde::Serialize;

pub use calendar::ical;
pub use columns::columns;
pub use press::{DOCUMENTS, DocumentKind, Press, Sheet};
pub use trouble::TemplateTrouble;

use crate::journal::nearest_word;

/// What a document is written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// One self-contained page.
    Html,
    /// Plain Markdown.
    Markdown,
}

impl Format {
    /// The ending of its files.
    pub const fn ending(self) -> &'static str {
        match self {
            Format::Html => "html",
            Format::Markdown => "md",
        }
    }
}

/// The templates that come with the program, by name.
pub const BUILT_IN: &[(&str, &str)] = &[
    ("page.html", include_str!("../../templates/page.html")),
    ("style.css", include_str!("../../templates/style.css")),
    ("parts.html", include_str!("../../templates/parts.html")),
    ("picture.html", include_str!("../../templates/picture.html")),
    ("season.html", include_str!("../../templates/season.html")),
    ("records.html", include_str!("../../templates/records.html")),
    ("inputs.html", include_str!("../../templates/inputs.html")),
    ("binder.html", include_str!("../../templates/binder.html")),
    ("incident.html", include_str!("../../templates/incident.html")),
    ("law-records.html", include_str!("../../templates/law-records.html")),
    ("monthly-use.html", include_str!("../../templates/monthly-use.html")),
    ("trail.html", include_str!("../../templates/trail.html")),
    ("plan.html", include_str!("../../templates/plan.html")),
    ("plan-strip.html", include_str!("../../templates/plan-strip.html")),
    ("postings.html", include_str!("../../templates/postings.html")),
    ("postings.css", include_str!("../../templates/postings.css")),
    ("mix-sheet.html", include_str!("../../templates/mix-sheet.html")),
    ("mix-sheet.css", include_str!("../../templates/mix-sheet.css")),
    ("calendar.html", include_str!("../../templates/calendar.html")),
    ("calibration.html", include_str!("../../templates/calibration.html")),
    ("signs.html", include_str!("../../templates/signs.html")),
    ("pantry.html", include_str!("../../templates/pantry.html")),
    ("stock.html", include_str!("../../templates/stock.html")),
    ("batch-labels.html", include_str!("../../templates/batch-labels.html")),
    ("clearance.html", include_str!("../../templates/clearance.html")),
    ("clearance.css", include_str!("../../templates/clearance.css")),
    ("live-frame.html", include_str!("../../templates/live-frame.html")),
    ("live-parts.html", include_str!("../../templates/live-parts.html")),
    ("live-start.html", include_str!("../../templates/live-start.html")),
    ("live-findings.html", include_str!("../../templates/live-findings.html")),
    ("live-journal.html", include_str!("../../templates/live-journal.html")),
    ("live-text.html", include_str!("../../templates/live-text.html")),
    ("live-pages.html", include_str!("../../templates/live-pages.html")),
    ("live-meaning.html", include_str!("../../templates/live-meaning.html")),
    ("live-meanings.html", include_str!("../../templates/live-meanings.html")),
    ("live-message.html", include_str!("../../templates/live-message.html")),
    ("index.html", include_str!("../../templates/index.html")),
    ("parts.md", include_str!("../../templates/parts.md")),
    ("season.md", include_str!("../../templates/season.md")),
    ("records.md", include_str!("../../templates/records.md")),
    ("inputs.md", include_str!("../../templates/inputs.md")),
    ("binder.md", include_str!("../../templates/binder.md")),
    ("incident.md", include_str!("../../templates/incident.md")),
    ("law-records.md", include_str!("../../templates/law-records.md")),
    ("monthly-use.md", include_str!("../../templates/monthly-use.md")),
    ("trail.md", include_str!("../../templates/trail.md")),
    ("plan.md", include_str!("../../templates/plan.md")),
    ("postings.md", include_str!("../../templates/postings.md")),
    ("mix-sheet.md", include_str!("../../templates/mix-sheet.md")),
    ("calendar.md", include_str!("../../templates/calendar.md")),
    ("calibration.md", include_str!("../../templates/calibration.md")),
    ("signs.md", include_str!("../../templates/signs.md")),
    ("pantry.md", include_str!("../../templates/pantry.md")),
    ("stock.md", include_str!("../../templates/stock.md")),
    ("batch-labels.md", include_str!("../../templates/batch-labels.md")),
    ("clearance.md", include_str!("../../templates/clearance.md")),
    ("index.md", include_str!("../../templates/index.md")),
];

/// The name that [`Templates`] gives to values escaped for Markdown.
const MARKDOWN: &str = "markdown";

/// Templates, ready to be filled.
#[derive(Debug)]
pub struct Templates {
    environment: Environment<'static>,
}

impl Templates {
    /// The templates that come with the program, those of the same name in `own` in their place.
    ///
    /// # Errors
    /// A [`TemplateTrouble`] where a template cannot be read, or has a name that no document uses.
    pub fn new(own: Vec<(String, String)>) -> Result<Self, TemplateTrouble> {
        let mut environment = Environment::new();
        environment.set_syntax(
            SyntaxConfig::builder()
                .trim_blocks(true)
                .lstrip_blocks(true)
                .build()
                .map_err(|error| TemplateTrouble::new("the templates", &error))?,
        );
        environment.set_undefined_behavior(UndefinedBehavior::Strict);
        environment.set_auto_escape_callback(|name| match name.rsplit('.').next() {
            Some("html") => AutoEscape::Html,
            Some("md") => AutoEscape::Custom(MARKDOWN.into()),
            _ => AutoEscape::None,
        });
        environment.set_formatter(write_value);
        environment.add_filter("prose", prose::prose);
        environment.add_filter("chapter", prose::chapter);
        for (name, _) in &own {
            if !BUILT_IN.iter().any(|(known, _)| known == name) {
                return Err(unknown_name(name));
            }
        }
        for (name, text) in BUILT_IN {
            let own = own.iter().find(|(known, _)| known == name);
            let text = own.map_or_else(|| (*text).to_string(), |(_, text)| text.clone());
            environment.add_template_owned(*name, text).map_err(|error| TemplateTrouble::new(name, &error))?;
        }
        Ok(Self { environment })
    }

    /// Fills the templates of a name with a view.
    ///
    /// # Errors
    /// A [`TemplateTrouble`] where a template asks for what is not there.
    pub fn fill(&self, document: &str, view: &impl Serialize, format: Format) -> Result<String, TemplateTrouble> {
        let name = format!("{document}.{}", format.ending());
        let view = Value::from(Serde(view));
        let fill = |environment: &Environment<'static>| environment.get_template(&name)?.render(&view);
        let filled = fill(&self.environment).map_err(|error| {
            // Once more, keeping track of what is asked for where: too slow to do always, and needed to name it.
            let mut traced = self.environment.clone();
            traced.set_debug(true);
            TemplateTrouble::new(&name, &fill(&traced).err().unwrap_or(error))
        })?;
        Ok(if format == Format::Markdown { without_gaps(&filled) } else { filled })
    }
}

fn unknown_name(name: &str) -> TemplateTrouble {
    let known = || BUILT_IN.iter().map(|(known, _)| *known);
    let hint = match nearest_word(name, known()) {
        Some(near) => format!("did you mean {near}?"),
        None => format!("templates are {}", known().collect::<Vec<_>>().join(", ")),
    };
    TemplateTrouble { template: name.to_string(), line: None, asked: None, why: format!("no document uses it; {hint}") }
}

/// Writes a value into a document: hidden characters made visible, and everything escaped that the format would read as
/// its own.
fn write_value(out: &mut Output<'_>, state: &mut State<'_, '_>, value: &Value) -> Result<(), Error> {
    let markdown = matches!(state.auto_escape(), AutoEscape::Custom(name) if name == MARKDOWN);
    let html = *state.auto_escape() == AutoEscape::Html;
    match value.as_str() {
        Some(text) if value.is_safe() => out.write_str(text)?,
        Some(text) if html => escape::html(out, text)?,
        Some(text) if markdown => escape::markdown(out, text)?,
        Some(text) => out.write_str(text)?,
        // Numbers and truth values hold nothing to escape; lists and objects are escaped as the text they print as.
        None if value.is_number() || value.is_none() => write!(out, "{value}")?,
        None if html => escape::html(out, &value.to_string())?,
        None if markdown => escape::markdown(out, &value.to_string())?,
        None => write!(out, "{value}")?,
    }
    Ok(())
}

/// Markdown with never more than one empty line in a row: what the templates' own layout leaves behind.
fn without_gaps(text: &str) -> String {
    let mut tidy = String::with_capacity(text.len());
    let mut empty = 1;
    for line in text.lines() {
        let line = line.trim_end();
        empty = if line.is_empty() { empty + 1 } else { 0 };
        if empty < 2 {
            tidy.push_str(line);
            tidy.push('\n');
        }
    }
    tidy.truncate(tidy.trim_end().len());
    tidy.push('\n');
    tidy
}
