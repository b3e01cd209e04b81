//! Notes: the grower's own Markdown, with nothing in it that could act.

use minijinja::value::Value;
use minijinja::{AutoEscape, State};
use pulldown_cmark::{CowStr, Event, LinkType, Parser, Tag, TagEnd, html};

use super::escape;
use crate::text::escape_hidden;

/// Where a link may lead.
const SCHEMES: &[&str] = &["https:", "http:", "mailto:"];

/// The filter of that name: a note as HTML, or as one line of Markdown.
pub(super) fn prose(state: &State<'_, '_>, note: &str) -> Value {
    Value::from_safe_string(if *state.auto_escape() == AutoEscape::Html { as_html(note) } else { as_markdown(note) })
}

/// The filter of the name `chapter`: a chapter of the program's own documentation as HTML, with its headings.
pub(super) fn chapter(text: &str) -> Value {
    let mut out = String::with_capacity(text.len() * 2);
    let shown = Parser::new(text).map(|event| match event {
        Event::Html(raw) | Event::InlineHtml(raw) | Event::Text(raw) => Event::Text(visible(raw)),
        other => other,
    });
    html::push_html(&mut out, shown);
    Value::from_safe_string(out)
}

/// As HTML. Raw HTML is shown as the characters it is, pictures are replaced by their words (nothing is fetched), links
/// lead nowhere but to the web and to mail, and headings are paragraphs.
pub(super) fn as_html(note: &str) -> String {
    let mut out = String::with_capacity(note.len() + 16);
    html::push_html(&mut out, harmless(note));
    out
}

/// As one line of Markdown in which emphasis and links are kept.
pub(super) fn as_markdown(note: &str) -> String {
    let mut out = String::with_capacity(note.len() + 16);
    let mut links: Vec<CowStr<'_>> = Vec::new();
    for event in harmless(note) {
        match event {
            Event::Text(text) => {
                // Writing to a string cannot fail.
                let _ = escape::markdown(&mut out, &text);
            }
            Event::Code(code) => {
                let _ = escape::markdown(&mut out, &code);
            }
            Event::Start(Tag::Emphasis) | Event::End(TagEnd::Emphasis) => out.push('*'),
            Event::Start(Tag::Strong) | Event::End(TagEnd::Strong) => out.push_str("**"),
            Event::Start(Tag::Link { dest_url, .. }) => {
                out.push('[');
                links.push(dest_url);
            }
            Event::End(TagEnd::Link) => {
                let target: String = links.pop().unwrap_or("".into()).chars().flat_map(safe_in_target).collect();
                out.push_str(&format!("](<{target}>)"));
            }
            Event::Start(Tag::Item) => {
                gap(&mut out);
                out.push_str("· ");
            }
            Event::SoftBreak | Event::HardBreak | Event::End(TagEnd::Paragraph | TagEnd::Item) | Event::Rule => {
                gap(&mut out)
            }
            _ => {}
        }
    }
    out.truncate(out.trim_end().len());
    out
}

fn gap(out: &mut String) {
    if !out.is_empty() && !out.ends_with(' ') {
        out.push(' ');
    }
}

/// A character of a link's target; those that would end it, or a table cell, as their percent codes.
fn safe_in_target(letter: char) -> impl Iterator<Item = char> {
    let code = match letter {
        '<' => "%3C",
        '>' => "%3E",
        '|' => "%7C",
        '\\' => "%5C",
        '`' => "%60",
        ' ' | '\n' | '\r' | '\t' => "%20",
        _ => "",
    };
    code.chars().chain(code.is_empty().then_some(letter))
}

/// The note's events with everything taken out that could act.
fn harmless(note: &str) -> impl Iterator<Item = Event<'_>> {
    let mut kept: Vec<bool> = Vec::new();
    Parser::new(note).filter_map(move |event| {
        Some(match event {
            Event::Html(raw) | Event::InlineHtml(raw) | Event::Text(raw) => Event::Text(visible(raw)),
            Event::Code(code) => Event::Code(visible(code)),
            Event::Start(Tag::HtmlBlock) => Event::Start(Tag::Paragraph),
            Event::End(TagEnd::HtmlBlock) => Event::End(TagEnd::Paragraph),
            Event::Start(Tag::Heading { .. }) => Event::Start(Tag::Paragraph),
            Event::End(TagEnd::Heading(_)) => Event::End(TagEnd::Paragraph),
            Event::Start(Tag::Image { .. }) | Event::End(TagEnd::Image) => return None,
            Event::Start(Tag::Link { dest_url, .. }) => {
                let keep = leads_safely(&dest_url);
                kept.push(keep);
                if !keep {
                    return None;
                }
                let tag = Tag::Link {
                    link_type: LinkType::Inline,
                    dest_url: visible(dest_url),
                    title: "".into(),
                    id: "".into(),
                };
                Event::Start(tag)
            }
            Event::End(TagEnd::Link) => {
                if !kept.pop().unwrap_or(false) {
                    return None;
                }
                Event::End(TagEnd::Link)
            }
            other => other,
        })
    })
}

fn visible(text: CowStr<'_>) -> CowStr<'_> {
    match escape_hidden(&text) {
        std::borrow::Cow::Borrowed(_) => text,
        std::borrow::Cow::Owned(shown) => shown.into(),
    }
}

fn leads_safely(target: &str) -> bool {
    SCHEMES.iter().any(|scheme| target.get(..scheme.len()).is_some_and(|start| start.eq_ignore_ascii_case(scheme)))
}
