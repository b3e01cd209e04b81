//! Which records two states of a file do not share, at a cost that follows what changed rather than the file.

use std::sync::Arc;

use super::record::{Wording, day_of, records};
use crate::syntax::is_date_line;

/// Records on either side of a change.
#[derive(Debug, Default)]
pub(super) struct Sides {
    /// Taken out.
    pub(super) removed: Vec<Placed>,
    /// Put in.
    pub(super) added: Vec<Placed>,
}

/// A record and the file it stands in.
#[derive(Clone, Debug)]
pub(super) struct Placed {
    pub(super) wording: Wording,
    pub(super) path: Arc<str>,
}

impl Sides {
    /// Adds what became of one file.
    pub(super) fn add(&mut self, path: &Arc<str>, before: &[u8], after: &[u8]) {
        let Some((before, after)) = changed_parts(before, after) else { return };
        self.removed.extend(before.records().map(|wording| Placed { wording, path: path.clone() }));
        self.added.extend(after.records().map(|wording| Placed { wording, path: path.clone() }));
    }

    /// Takes away what stands on both sides: it has moved at most.
    pub(super) fn without_moves(mut self) -> Self {
        if self.removed.is_empty() || self.added.is_empty() {
            return self;
        }
        let mut left: rustc_hash::FxHashMap<&Wording, usize> = rustc_hash::FxHashMap::default();
        for placed in &self.removed {
            *left.entry(&placed.wording).or_default() += 1;
        }
        let mut take = |wording: &Wording| match left.get_mut(wording) {
            Some(count) if *count > 0 => {
                *count -= 1;
                true
            }
            _ => false,
        };
        let stays: Vec<bool> = self.added.iter().map(|placed| take(&placed.wording)).collect();
        // What is still counted was not put in again; of equal ones the last are those.
        let mut gone: Vec<bool> = self.removed.iter().rev().map(|placed| take(&placed.wording)).collect();
        gone.reverse();
        let mut stays = stays.into_iter();
        self.added.retain(|_| !stays.next().unwrap_or_default());
        let mut gone = gone.into_iter();
        self.removed.retain(|_| gone.next().unwrap_or_default());
        self
    }
}

/// A stretch of whole entries, and the day that holds where it starts.
struct Part<'t> {
    text: &'t [u8],
    day: Option<&'t [u8]>,
}

impl Part<'_> {
    fn records(&self) -> impl Iterator<Item = Wording> + use<> {
        let day = self.day.map(String::from_utf8_lossy);
        let found = records(&String::from_utf8_lossy(self.text), day.as_deref());
        found.into_iter().map(|(_, wording)| wording)
    }
}

/// The entries that two texts do not share at their beginnings and ends; nothing where the texts are equal.
fn changed_parts<'t>(before: &'t [u8], after: &'t [u8]) -> Option<(Part<'t>, Part<'t>)> {
    if before == after {
        return None;
    }
    let shortest = before.len().min(after.len());
    let same = shared_start(before, after);
    let start = entry_start_before(before, same);
    let rest = shortest - start;
    let tail = shared_end(&before[before.len() - rest..], &after[after.len() - rest..]);
    let day = day_before(before, start);
    let part = |text: &'t [u8], tail: usize| Part { text: &text[start..text.len() - tail], day };
    let kept = tail_after_entry_start(before, tail, |_| true);
    // Where the day of what follows is another now, it changed too, up to the next date line.
    let day_at = |text: &'t [u8]| day_before(&text[..text.len() - kept], text.len() - kept);
    let kept = if day_at(before) == day_at(after) {
        kept
    } else {
        tail_after_entry_start(before, kept + 1, |byte| byte.is_ascii_digit()).min(kept)
    };
    Some((part(before, kept), part(after, kept)))
}

/// Bytes that are compared at once.
const STRIDE: usize = 64;

/// How many bytes two texts share at their beginnings.
fn shared_start(one: &[u8], other: &[u8]) -> usize {
    let strides = one.chunks_exact(STRIDE).zip(other.chunks_exact(STRIDE));
    let from = STRIDE * strides.take_while(|(one, other)| one == other).count();
    from + one[from..].iter().zip(&other[from..]).take_while(|(one, other)| one == other).count()
}

/// How many bytes two texts share at their ends.
fn shared_end(one: &[u8], other: &[u8]) -> usize {
    let strides = one.rchunks_exact(STRIDE).zip(other.rchunks_exact(STRIDE));
    let kept = STRIDE * strides.take_while(|(one, other)| one == other).count();
    let rest = |text: &[u8]| text.len() - kept;
    let bytes = one[..rest(one)].iter().rev().zip(other[..rest(other)].iter().rev());
    kept + bytes.take_while(|(one, other)| one == other).count()
}

/// The last start of an entry before an offset; 0 where there is none.
fn entry_start_before(text: &[u8], offset: usize) -> usize {
    let mut end = offset;
    while let Some(newline) = memchr::memrchr(b'\n', &text[..end]) {
        if newline + 1 < offset && begins_entry(text[newline + 1]) {
            return newline + 1;
        }
        end = newline;
    }
    0
}

/// How much of the last `tail` bytes is left from the first start of an entry in it on, of those that begin with a byte
/// of the wanted sort. The byte at the very start of the tail does not count, since the one before it may differ.
fn tail_after_entry_start(text: &[u8], tail: usize, wanted: impl Fn(u8) -> bool) -> usize {
    let mut from = text.len() - tail.min(text.len());
    while let Some(newline) = memchr::memchr(b'\n', &text[from..]) {
        from += newline + 1;
        match text.get(from) {
            Some(&byte) if begins_entry(byte) && wanted(byte) => return text.len() - from,
            _ => {}
        }
    }
    0
}

/// The day of the last date line before an offset.
fn day_before(text: &[u8], offset: usize) -> Option<&[u8]> {
    let line_at = |start: usize| {
        let line = &text[start..];
        let line = &line[..memchr::memchr(b'\n', line).unwrap_or(line.len())];
        // A date line is told by its first byte, so that it need not be valid text as a whole.
        let digits = line.iter().take_while(|byte| byte.is_ascii()).count();
        std::str::from_utf8(&line[..digits]).ok().filter(|line| is_date_line(line)).map(|line| day_of(line).as_bytes())
    };
    let mut end = offset;
    while let Some(newline) = memchr::memrchr(b'\n', &text[..end]) {
        if newline + 1 < offset
            && let Some(day) = line_at(newline + 1)
        {
            return Some(day);
        }
        end = newline;
    }
    let start = if text.starts_with("\u{feff}".as_bytes()) { 3 } else { 0 };
    if start < offset { line_at(start) } else { None }
}

/// As the reading of entries has it: whether a line that starts with this byte begins one.
fn begins_entry(byte: u8) -> bool {
    !matches!(byte, b' ' | b'\t' | b'\r' | b'\n' | b'#')
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wordings(sides: &[Placed]) -> Vec<(String, String)> {
        let mut all: Vec<_> =
            sides.iter().map(|placed| (placed.wording.day.to_string(), placed.wording.text.to_string())).collect();
        all.sort();
        all
    }

    /// The difference worked out from all of both texts.
    fn whole(before: &str, after: &str) -> Sides {
        let all = |text: &str| {
            records(text, None).into_iter().map(|(_, wording)| Placed { wording, path: "".into() }).collect::<Vec<_>>()
        };
        Sides { removed: all(before), added: all(after) }.without_moves()
    }

    #[test]
    fn the_short_way_finds_what_the_long_way_finds() {
        // Small texts made of lines that matter, all pairs of them.
        let lines = ["2026-05-01\n", "2026-05-02 Fri\n", "spray a\n", "  by b\n", "# x\n", "\n"];
        let mut texts = vec![String::new()];
        for length in 0..4 {
            let longer: Vec<String> = texts
                .iter()
                .filter(|text| text.lines().count() == length)
                .flat_map(|text| lines.iter().map(move |line| format!("{text}{line}")))
                .collect();
            texts.extend(longer);
        }
        let texts: Vec<&String> = texts.iter().step_by(3).collect();
        for before in &texts {
            for after in &texts {
                let mut sides = Sides::default();
                sides.add(&"".into(), before.as_bytes(), after.as_bytes());
                let (short, long) = (sides.without_moves(), whole(before, after));
                assert_eq!(wordings(&short.removed), wordings(&long.removed), "{before:?} to {after:?}");
                assert_eq!(wordings(&short.added), wordings(&long.added), "{before:?} to {after:?}");
            }
        }
    }
}
