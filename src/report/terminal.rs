//! Findings for reading: each with a picture of the journal, the working, and what to do.

use codespan_reporting::diagnostic::{Diagnostic, Label, Severity};
use codespan_reporting::term::termcolor::{Ansi, NoColor};
use codespan_reporting::term::{Config, emit_to_write_style};
use unicode_width::UnicodeWidthStr as _;

use super::excerpt::{Excerpts, Marked, excerpts};
use super::line;
use super::shown::one_line;
use crate::finding::summary_counts;
use crate::finding::{Finding, Level};
use crate::text::Sources;

/// Columns a line should fit.
const WIDTH: usize = 80;

/// Findings one after the other and a closing line of counts. Accepted findings are only counted, unless asked for.
pub fn render(findings: &[Finding], sources: &Sources, colours: bool, show_accepted: bool) -> String {
    let mut out = String::new();
    for finding in findings.iter().filter(|finding| show_accepted || finding.accepted.is_none()) {
        let drawn = draw(finding, sources, colours);
        for line in drawn.lines() {
            out.push_str(line.trim_end());
            out.push('\n');
        }
    }
    out.push_str(&summary_counts(findings).to_string());
    out.push('\n');
    out
}

fn draw(finding: &Finding, sources: &Sources, colours: bool) -> String {
    let (files, marked) = excerpts(&finding.labels, sources, WIDTH);
    let diagnostic = diagnostic(finding, &files, marked);
    let config = Config::default();
    let mut bytes = Vec::new();
    let drawn = if colours {
        emit_to_write_style(&mut Ansi::new(&mut bytes), &config, &files, &diagnostic)
    } else {
        emit_to_write_style(&mut NoColor::new(&mut bytes), &config, &files, &diagnostic)
    };
    match drawn {
        Ok(()) => String::from_utf8_lossy(&bytes).into_owned(),
        // Only a mark outside its excerpt could bring us here; the finding is still said.
        Err(_) => line::render(std::slice::from_ref(finding), sources, true),
    }
}

fn diagnostic(finding: &Finding, files: &Excerpts, marked: Vec<Marked>) -> Diagnostic<usize> {
    let severity = match finding.level {
        Level::Error => Severity::Error,
        Level::Warning => Severity::Warning,
        Level::Note => Severity::Note,
    };
    let mut aside = Vec::new();
    let drawn = (0..).zip(finding.labels.iter().zip(&marked)).map(|(index, (label, at))| {
        let drawn = match index {
            0 => Label::primary(at.file, at.range.clone()),
            _ => Label::secondary(at.file, at.range.clone()),
        };
        let text = one_line(&label.text);
        if files.has_room(at, &marked, WIDTH, text.width()) {
            return drawn.with_message(text);
        }
        aside.push(if index == 0 { format!("here: {text}") } else { format!("{}: {text}", files.said(at)) });
        drawn
    });
    let labels: Vec<Label<usize>> = drawn.collect();
    let before_headline = finding.level.word().len() + "[".len() + finding.code.len() + "]: ".len();
    // `  = ` and the digits of the longest line number stand before a note.
    let before_note = files.number_width() + " = ".len();
    Diagnostic::new(severity)
        .with_code(finding.code)
        .with_message(wrapped(&finding.headline, before_headline, "    "))
        .with_labels(labels)
        .with_notes(aside.iter().chain(&notes(finding)).map(|note| hanging(note, WIDTH - before_note)).collect())
}

/// What stands under the picture, in this order: working, slip, help, source of the rule, reason for accepting.
fn notes(finding: &Finding) -> Vec<String> {
    let said = [
        ("probably", finding.slip.as_deref()),
        ("do", finding.help.as_deref()),
        ("rule", finding.source.as_deref()),
        ("accepted", finding.accepted.as_ref().map(|accepted| accepted.reason.as_str())),
    ];
    let said = said.into_iter().filter_map(|(word, text)| text.map(|text| format!("{word}: {text}")));
    finding.working.iter().cloned().chain(said).collect()
}

/// Text wrapped to the page, its first line leaving room for what is written before it.
fn wrapped(text: &str, before: usize, indent: &str) -> String {
    let room = " ".repeat(before);
    let wrapped = textwrap::fill(&one_line(text), layout(WIDTH).initial_indent(&room).subsequent_indent(indent));
    wrapped.strip_prefix(&room).map_or_else(|| wrapped.trim_start().to_owned(), str::to_owned)
}

/// A note wrapped to the room it has; the picture's own margin stands before each line.
fn hanging(text: &str, width: usize) -> String {
    textwrap::fill(&one_line(text), layout(width))
}

/// Names such as `creek-pear` and addresses stay whole, so that they can be copied and searched for.
fn layout<'a>(width: usize) -> textwrap::Options<'a> {
    textwrap::Options::new(width)
        .break_words(false)
        .word_separator(textwrap::WordSeparator::AsciiSpace)
        .word_splitter(textwrap::WordSplitter::NoHyphenation)
}
