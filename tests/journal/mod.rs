//! Trees understood: which troubles a page raises, and that the order of entries and files changes nothing.

mod law_and_paper;
mod order;
mod planned;
mod troubles;

use foliary::journal::{Journal, Trouble, compile};
use foliary::text::{SourceId, Sources};

/// The journal of texts, and the texts.
fn understood(texts: &[&str]) -> (Sources, Journal) {
    let mut sources = Sources::new();
    let files: Vec<SourceId> = texts
        .iter()
        .enumerate()
        .map(|(at, text)| sources.add(format!("{at}.spray"), (*text).into()).unwrap())
        .collect();
    let journal = compile(&sources, &files);
    (sources, journal)
}

/// Each trouble with the words that it points at in place of their places.
fn told(sources: &Sources, troubles: &[Trouble]) -> String {
    troubles.iter().map(|trouble| format!("{}\n", in_words(sources, &format!("{trouble:?}")))).collect()
}

/// A printed value with the words of the journal in place of their places.
fn in_words(sources: &Sources, printed: &str) -> String {
    let mut words = printed.to_owned();
    while let Some(at) = words.find("Span {") {
        let end = at + words[at..].find('}').unwrap();
        let mut numbers = words[at..end].split(|c: char| !c.is_ascii_digit()).filter_map(|n| n.parse::<u32>().ok());
        let (start, stop) = (numbers.next().unwrap(), numbers.next().unwrap());
        let shown = format!("{:?}", sources.slice(foliary::text::Span::new(start, stop)));
        words.replace_range(at..=end, &shown);
    }
    words
}

#[test]
fn a_crop_in_the_plural_is_the_same_crop() {
    use foliary::journal::same_crop;
    for (one, many) in [("apple", "apples"), ("peach", "peaches"), ("cherry", "cherries"), ("tomato", "tomatoes")] {
        assert!(same_crop(one, many) && same_crop(many, one) && same_crop(one, one), "{one}");
    }
    for (one, other) in [("pear", "peach"), ("plum", "plumcot"), ("apple", "pineapple"), ("", "s-crop")] {
        assert!(!same_crop(one, other), "{one} {other}");
    }
}
