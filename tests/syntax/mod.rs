//! Text in, tree out: what a page reads as, what no text can do to the reader, and the language reference.

pub mod examples;
pub mod laws;
mod reference;
mod trees;
mod words;

use foliary::syntax::{Entry, read_entry, split_entries};

/// The entries of a text, read one by one as a file that starts at `base`.
pub fn read(text: &str, base: u32) -> Vec<Entry> {
    split_entries(text).into_iter().map(|range| read_entry(&text[range.clone()], base + range.start as u32)).collect()
}

/// A tree with the words in place of the spans, and each span's place behind them: the same for the same text wherever
/// it lies.
pub fn dump(text: &str, base: u32, entries: &[Entry]) -> String {
    resolve(&format!("{entries:#?}"), |start, end| {
        // A part that is not there has an empty span, wherever.
        if start == end {
            return "nothing".to_owned();
        }
        let (from, to) = ((start - base) as usize, (end - base) as usize);
        format!("{:?} @{from}..{to}", &text[from..to])
    })
}

/// A tree with the words alone, lines ended alike: what stays the same when only blanks between words change.
pub fn words_of(text: &str, entries: &[Entry]) -> String {
    resolve(&format!("{entries:#?}"), |start, end| {
        format!("{:?}", text[start as usize..end as usize].replace("\r\n", "\n").trim_end())
    })
}

/// Puts something in place of every span of a pretty-printed tree.
pub fn resolve(tree: &str, show: impl Fn(u32, u32) -> String) -> String {
    let mut out = String::with_capacity(tree.len());
    let mut rest = tree;
    while let Some(at) = rest.find("Span {") {
        let (before, span) = rest.split_at(at);
        let (span, after) = span.split_once('}').expect("a span closes its brace");
        let mut numbers = span.split(|c: char| !c.is_ascii_digit()).filter_map(|number| number.parse::<u32>().ok());
        let (Some(start), Some(end)) = (numbers.next(), numbers.next()) else { panic!("a span has two ends: {span}") };
        out.push_str(before);
        out.push_str(&show(start, end));
        rest = after;
    }
    out.push_str(rest);
    out
}
