//! Suppositions: a field of a standing entry taken otherwise, or an entry more on a day's page, in a copy of the texts.

use std::fmt;

use super::desk::Desk;
use crate::checks;
use crate::journal::{Journal, nearest_word};
use crate::season::Season;
use crate::syntax::{EntryWord, FieldWord, entry_rule, first_word, is_date_line, split_entries};
use crate::text::{SourceId, Sources, SourcesError};

/// Why a supposition cannot be taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SupposeTrouble {
    /// It is not written as one.
    Shape(String),
    /// No such entry is in the journal.
    Unknown {
        /// The first words of the entry.
        head: String,
        /// The nearest name of that sort.
        near: Option<String>,
    },
    /// Its words cannot be understood: what the checker says of them.
    Unread {
        /// The supposition.
        words: String,
        /// What is wrong with it.
        why: String,
    },
    /// All texts together are too large.
    TooLarge,
}

impl fmt::Display for SupposeTrouble {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            SupposeTrouble::Shape(words) => write!(
                out,
                "`{words}` is no supposition; write `program pear-rounds: start 2026-05-20` or `2026-06-04 spray creek-pear: mix leaf-tonic, 60 gal`"
            ),
            SupposeTrouble::Unknown { head, near: Some(near) } => {
                write!(out, "the journal has no `{head}`; did you mean {near}?")
            }
            SupposeTrouble::Unknown { head, near: None } => write!(out, "the journal has no `{head}`"),
            SupposeTrouble::Unread { words, why } => write!(out, "`{words}` cannot be understood: {why}"),
            SupposeTrouble::TooLarge => out.write_str("the journals are larger together than 4 GiB"),
        }
    }
}

impl std::error::Error for SupposeTrouble {}

impl From<SourcesError> for SupposeTrouble {
    fn from(_: SourcesError) -> Self {
        SupposeTrouble::TooLarge
    }
}

/// A farm's texts with what is supposed.
#[derive(Debug)]
pub struct Supposed {
    /// The texts.
    pub desk: Desk,
    /// The page of supposed entries, where there are any.
    pub page: Option<SourceId>,
}

/// Takes a farm's journal otherwise, in memory. `season` is that of the journal as it is.
///
/// # Errors
/// A [`SupposeTrouble`] where a supposition is no such thing, or names no entry, or cannot be understood.
pub fn suppose(season: &Season<'_>, files: &[SourceId], suppositions: &[String]) -> Result<Supposed, SupposeTrouble> {
    let sources = season.sources;
    let mut texts: Vec<(SourceId, String)> =
        files.iter().map(|&file| (file, sources.get(file).text().to_string())).collect();
    let mut page = String::new();
    let mut so_far = season.journal.troubles.len();
    let mut supposed = None;
    for words in suppositions {
        let (head, fields) = parts(words)?;
        if is_date_line(head) {
            let (day, entry) = head.split_once(char::is_whitespace).ok_or_else(|| shape(words))?;
            page.push_str(&format!("{day}\n\n{}\n", entry.trim()));
            fields.iter().for_each(|field| page.push_str(&format!("    {field}\n")));
            page.push('\n');
        } else {
            let (kind, name) = head.split_once(char::is_whitespace).ok_or_else(|| shape(words))?;
            let word = EntryWord::named(&kind.to_lowercase()).filter(|word| word.is_standing());
            let word = word.ok_or_else(|| shape(words))?;
            let edited = texts.iter_mut().find_map(|(_, text)| edit(text, word, name.trim(), &fields));
            edited.ok_or_else(|| unknown(sources, files, word, head, name.trim()))?;
        }
        // Each is tried by itself, so that the one which cannot be understood is named.
        let tried = lay(sources, &texts, &page)?;
        let journal = tried.desk.compile();
        if journal.troubles.len() > so_far {
            let why =
                first_new(season, &tried, &journal).unwrap_or_else(|| "it says nothing that is known".to_string());
            return Err(SupposeTrouble::Unread { words: words.clone(), why });
        }
        so_far = journal.troubles.len();
        supposed = Some(tried);
    }
    match supposed {
        Some(supposed) => Ok(supposed),
        None => lay(sources, &texts, &page),
    }
}

fn lay(sources: &Sources, texts: &[(SourceId, String)], page: &str) -> Result<Supposed, SupposeTrouble> {
    let mut desk = Desk::of_texts(sources, texts.iter().cloned())?;
    let page = if page.is_empty() { None } else { Some(desk.keep("what is supposed", page.to_string())?) };
    Ok(Supposed { desk, page })
}

/// What the checker says of a supposed journal that it does not say of the journal as it is.
fn first_new(season: &Season<'_>, supposed: &Supposed, journal: &Journal) -> Option<String> {
    let known: Vec<String> = checks::run(season).into_iter().map(|finding| finding.headline).collect();
    let other = Season::new(journal, supposed.desk.sources(), season.as_of);
    let mut found = checks::run(&other);
    found.sort_by_key(|finding| finding.level);
    found.into_iter().map(|finding| finding.headline).find(|headline| !known.contains(headline))
}

fn shape(words: &str) -> SupposeTrouble {
    SupposeTrouble::Shape(words.trim().to_string())
}

/// The entry that a supposition is about, and its fields.
fn parts(words: &str) -> Result<(&str, Vec<&str>), SupposeTrouble> {
    let (head, fields) = words.split_once(": ").ok_or_else(|| shape(words))?;
    let fields: Vec<&str> = fields.split(';').map(str::trim).filter(|field| !field.is_empty()).collect();
    let lines = |text: &str| text.contains(['\n', '\r']);
    if fields.is_empty() || head.trim().is_empty() || lines(words) {
        return Err(shape(words));
    }
    Ok((head.trim(), fields))
}

fn unknown(sources: &Sources, files: &[SourceId], word: EntryWord, head: &str, name: &str) -> SupposeTrouble {
    let mut names: Vec<String> = Vec::new();
    for &file in files {
        let text = sources.get(file).text();
        names.extend(split_entries(text).into_iter().filter_map(|range| name_of(&text[range], word)));
    }
    let near = nearest_word(&name.to_lowercase(), names.iter().map(String::as_str)).map(str::to_string);
    SupposeTrouble::Unknown { head: head.to_string(), near }
}

/// The name that an entry of a sort declares, in lower case.
fn name_of(entry: &str, word: EntryWord) -> Option<String> {
    let first = entry.lines().next()?;
    let mut words = first.split_whitespace();
    if !words.next()?.eq_ignore_ascii_case(word.word()) {
        return None;
    }
    words.next().map(str::to_lowercase)
}

/// Takes fields of the standing entry of a name otherwise; nothing where the text does not hold it.
fn edit(text: &mut String, word: EntryWord, name: &str, fields: &[&str]) -> Option<()> {
    let name = name.to_lowercase();
    let range =
        split_entries(text).into_iter().find(|range| name_of(&text[range.clone()], word).as_ref() == Some(&name))?;
    let mut lines: Vec<Line> = lines_of(&text[range.clone()]);
    for field in fields {
        take(&mut lines, word, field);
    }
    let edited: String = lines.iter().map(|line| format!("{}\n", line.text)).collect();
    text.replace_range(range, &edited);
    Some(())
}

/// A line of an entry, and the field that it is; none for its first line, remarks and the lines of a note.
struct Line {
    text: String,
    field: Option<String>,
}

fn lines_of(entry: &str) -> Vec<Line> {
    let mut noted: Option<usize> = None;
    let line = |text: &str| {
        let words = text.trim_start();
        let depth = text.len() - words.len();
        let in_note = noted.is_some_and(|noted| words.is_empty() || depth > noted);
        let field = words[..first_word(words)].to_lowercase();
        let field = (depth > 0 && !in_note && !field.is_empty()).then_some(field);
        if !in_note {
            noted = (field.as_deref() == Some("note")).then_some(depth);
        }
        Line { text: text.to_string(), field }
    };
    entry.lines().map(line).collect()
}

/// Puts a field in the place of those that say the same: all of that word, or, of one that may be repeated and begins with
/// a name, the line with that name.
fn take(lines: &mut Vec<Line>, word: EntryWord, field: &str) {
    let field_word = field[..first_word(field)].to_lowercase();
    let value = |text: &str| {
        let words = text.trim_start();
        let value = words[first_word(words)..].trim_start();
        value.split([' ', '\t', ',']).next().unwrap_or_default().to_lowercase()
    };
    let rule = FieldWord::named(&field_word).and_then(|known| entry_rule(word).field(known));
    let name = value(field);
    let by_name = rule.is_some_and(|rule| rule.repeats) && name.starts_with(char::is_alphabetic);
    let same = |line: &Line| line.field.as_ref() == Some(&field_word) && (!by_name || value(&line.text) == name);
    let place = lines.iter().position(same).unwrap_or(lines.len().min(1));
    lines.retain(|line| !same(line));
    let place = place.min(lines.len());
    lines.insert(place, Line { text: format!("    {field}"), field: Some(field_word) });
}
