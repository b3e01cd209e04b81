//! How a command gives what it was asked for: in the terminal, or as a page, to standard output or to a file.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use serde::Serialize;
use serde_json::{Value, json};

use super::output::{templates, write};
use super::{Failure, print};
use crate::render::Format;

/// The version of the JSON that commands give. It is raised when a key goes or changes its meaning.
const JSON_VERSION: u32 = 1;

/// How a command gives what it was asked for.
#[derive(Debug, Args)]
pub(super) struct Given {
    /// How it is given: as --out ends, or else for the terminal.
    #[arg(long = "as", value_enum, value_name = "FORM")]
    form: Option<Look>,
    /// The file to write to, instead of the terminal.
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// A folder with templates of your own.
    #[arg(long, value_name = "DIR")]
    templates: Option<PathBuf>,
}

/// What a page can look like.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Look {
    /// Plain text in columns.
    Terminal,
    /// A web page, to print.
    Html,
    /// Markdown.
    Markdown,
    /// For other programs.
    Json,
}

impl Given {
    /// Gives a view: as a page by the templates of `document`, as JSON by its own keys, or as the text that `terminal`
    /// makes of it.
    pub(super) fn give<V: Serialize>(
        &self,
        document: &str,
        view: &V,
        terminal: impl FnOnce(&V) -> String,
    ) -> Result<(), Failure> {
        let text = match self.look()? {
            Look::Terminal => terminal(view),
            Look::Html => self.fill(document, view, Format::Html)?,
            Look::Markdown => self.fill(document, view, Format::Markdown)?,
            Look::Json => as_json(document, view)?,
        };
        self.put(&text)
    }

    /// Whether it is given as a file of another ending: where no form is asked for, and the file, if there is one, ends so.
    pub(super) fn is_for(&self, ending: &str) -> bool {
        let ends = |path: &PathBuf| path.extension().is_some_and(|own| own.eq_ignore_ascii_case(ending));
        self.form.is_none() && self.out.as_ref().is_none_or(ends)
    }

    /// Puts a text where it was asked for: into the file, or to standard output.
    pub(super) fn put(&self, text: &str) -> Result<(), Failure> {
        match &self.out {
            Some(path) => write(path, text),
            None => print(text),
        }
    }

    fn fill<V: Serialize>(&self, document: &str, view: &V, format: Format) -> Result<String, Failure> {
        templates(self.templates.as_deref())?.fill(document, view, format).map_err(Failure::other)
    }

    /// As asked, or as the file's ending says.
    fn look(&self) -> Result<Look, Failure> {
        if let Some(look) = self.form {
            return Ok(look);
        }
        let Some(path) = &self.out else { return Ok(Look::Terminal) };
        match path.extension().and_then(|ending| ending.to_str()) {
            Some("html") => Ok(Look::Html),
            Some("md") => Ok(Look::Markdown),
            Some("json") => Ok(Look::Json),
            Some("txt") => Ok(Look::Terminal),
            _ => Err(Failure::Other(format!(
                "{} ends in none of .html, .md, .json and .txt; say with --as what it should be",
                path.display()
            ))),
        }
    }
}

/// The view with the name of the document and the version of the format in front.
fn as_json<V: Serialize>(document: &str, view: &V) -> Result<String, Failure> {
    let view = serde_json::to_value(view).map_err(Failure::other)?;
    let mut whole = json!({ "format_version": JSON_VERSION, "document": document });
    match (whole.as_object_mut(), view) {
        (Some(whole), Value::Object(keys)) => whole.extend(keys),
        (Some(whole), other) => {
            whole.insert(document.to_string(), other);
        }
        (None, _) => {}
    }
    let mut text = serde_json::to_string_pretty(&whole).map_err(Failure::other)?;
    text.push('\n');
    Ok(text)
}
