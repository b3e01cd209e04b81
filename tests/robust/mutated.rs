//! Real journals, damaged: bytes and lines lost, doubled, moved, and put in.

use std::ops::Range;

use foliary::text::Sources;
use foliary::{Farm, check_farm};

use super::{FORMATS, check, folder, run};
use crate::syntax::examples::journals;

/// xorshift: chance enough, and the same on every machine.
struct Chance(u64);

impl Chance {
    fn below(&mut self, bound: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % bound.max(1) as u64) as usize
    }

    fn range(&mut self, length: usize, longest: usize) -> Range<usize> {
        let start = self.below(length + 1);
        let end = (start + self.below(longest)).min(length);
        start..end
    }
}

/// Bytes that slip into journals.
const INSERTS: &[&[u8]] = &[
    b" ",
    b"\n",
    b"\n\n",
    b"\t",
    b"\r",
    b"\r\n",
    b",",
    b"#",
    b"\"",
    b"-",
    b"/",
    b":",
    b"0",
    b"9",
    b"99999",
    b"%",
    b"\0",
    b"\xff",
    b"\xc3",
    b"\xe2\x80\xae",
    b"\xef\xbb\xbf",
    b"note ",
    b"from ",
    b" per ",
    b" to ",
    b"2026-05-14\n",
    b"spray ",
];

fn damage(bytes: &mut Vec<u8>, chance: &mut Chance) {
    match chance.below(8) {
        0 => {
            let range = chance.range(bytes.len(), 12);
            bytes.drain(range);
        }
        1 => {
            let range = chance.range(bytes.len(), 40);
            let copy = bytes[range.clone()].to_vec();
            bytes.splice(range.end..range.end, copy);
        }
        2 if !bytes.is_empty() => {
            let (one, other) = (chance.below(bytes.len()), chance.below(bytes.len()));
            bytes.swap(one, other);
        }
        3 => {
            let at = chance.below(bytes.len() + 1);
            bytes.splice(at..at, INSERTS[chance.below(INSERTS.len())].iter().copied());
        }
        4 if !bytes.is_empty() => {
            let at = chance.below(bytes.len());
            bytes[at] = chance.below(256) as u8;
        }
        _ => {
            let mut lines: Vec<Vec<u8>> = bytes.split_inclusive(|&byte| byte == b'\n').map(<[u8]>::to_vec).collect();
            if lines.is_empty() {
                return;
            }
            let at = chance.below(lines.len());
            match chance.below(4) {
                0 => drop(lines.remove(at)),
                1 => lines.insert(at, lines[at].clone()),
                2 => {
                    let other = chance.below(lines.len());
                    lines.swap(at, other);
                }
                _ => lines.truncate(at + 1),
            }
            *bytes = lines.concat();
        }
    }
}

/// A journal of the examples, damaged by chance.
pub fn damaged(seed: u64) -> Vec<u8> {
    let mut chance = Chance(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1);
    let texts = [journals("home-orchard"), journals("adviser/linnet-field"), journals("adviser/pantry")].concat();
    let mut bytes = texts[chance.below(texts.len())].clone().into_bytes();
    for _ in 0..=chance.below(12) {
        damage(&mut bytes, &mut chance);
    }
    // The shared folder of an example may be anywhere once its path is damaged.
    let text = String::from_utf8_lossy(&bytes).replace("uses ", "owner ");
    text.into_bytes()
}

#[test]
fn damaged_journals_are_checked_without_a_panic() {
    for seed in 0..400 {
        let text = String::from_utf8_lossy(&damaged(seed)).into_owned();
        let mut sources = Sources::new();
        let files = [sources.add("a.spray", text).unwrap()];
        let findings = check_farm(&sources, Farm { files: &files, missing: &[] }, None);
        for finding in &findings {
            for label in &finding.labels {
                let file = sources.get(sources.source_of(label.span));
                assert!(file.span().covers(label.span), "{}: {:?}", finding.code, label.span);
                assert!(!sources.slice(label.span).is_empty() || label.span.is_empty());
            }
            assert!(!finding.headline.is_empty() && !finding.headline.contains('\n'), "{:?}", finding.headline);
        }
    }
}

#[test]
fn damaged_journals_end_to_end() {
    for seed in 1000..1060 {
        check(&damaged(seed), &FORMATS[(seed % 4) as usize..][..1]);
    }
}

#[test]
fn whole_farms_with_a_damaged_file() {
    let mut chance = Chance(77);
    for _ in 0..15 {
        let mut texts: Vec<Vec<u8>> = journals("twenty-acres").into_iter().map(String::into_bytes).collect();
        let at = chance.below(texts.len());
        for _ in 0..20 {
            damage(&mut texts[at], &mut chance);
        }
        let names: Vec<String> = (0..texts.len()).map(|at| format!("{at:02}.spray")).collect();
        let files: Vec<(&str, &[u8])> =
            names.iter().zip(&texts).map(|(name, text)| (name.as_str(), text.as_slice())).collect();
        let farm = folder(&files);
        run(farm.path(), &["check", "--as-of", "2026-12-31"]);
    }
}
