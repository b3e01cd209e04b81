//! From a written name to a unit: a small table of hashes built by the compiler, so that a look-up neither allocates nor
//! needs anything prepared at start.

use super::Unit;
use super::table::TABLE;

/// Longer words are no unit's name.
const LONGEST: usize = 24;
/// A power of two, several times the number of names.
const SLOTS: usize = 1024;
const FREE: u8 = u8::MAX;

/// A name without what is forgiven, padded with zeros.
type Key = [u8; LONGEST];

struct Slot {
    key: Key,
    unit: u8,
}

static SLOT: [Slot; SLOTS] = fill();

/// Lower case; without spaces, full stops, hyphens, `^` and degree signs; `²` and `³` as digits. Second part: length.
const fn key(words: &[u8]) -> Option<(Key, usize)> {
    let mut key = [0; LONGEST];
    let (mut from, mut to) = (0, 0);
    while from < words.len() {
        let mut byte = words[from].to_ascii_lowercase();
        from += 1;
        match byte {
            b' ' | b'\t' | b'.' | b'-' | b'^' => continue,
            // The two-byte signs from U+0080 to U+00BF that stand in unit names.
            0xC2 if from < words.len() => {
                let second = words[from];
                from += 1;
                match second {
                    0xB0 | 0xBA | 0xA0 => continue,
                    0xB2 => byte = b'2',
                    0xB3 => byte = b'3',
                    0xB5 => byte = b'u',
                    _ => return None,
                }
            }
            0 | 0x80.. => return None,
            _ => {}
        }
        if to == LONGEST {
            return None;
        }
        key[to] = byte;
        to += 1;
    }
    Some((key, to))
}

/// FNV-1a.
const fn slot_of(key: &Key, length: usize) -> usize {
    let mut hash: u32 = 0x811C_9DC5;
    let mut at = 0;
    while at < length {
        hash = (hash ^ key[at] as u32).wrapping_mul(0x0100_0193);
        at += 1;
    }
    ((hash ^ (hash >> 15)) as usize) & (SLOTS - 1)
}

const fn same(a: &Key, b: &Key) -> bool {
    let mut at = 0;
    while at < LONGEST {
        if a[at] != b[at] {
            return false;
        }
        at += 1;
    }
    true
}

const fn fill() -> [Slot; SLOTS] {
    let mut slots = [const { Slot { key: [0; LONGEST], unit: FREE } }; SLOTS];
    let mut unit = 0;
    while unit < TABLE.len() {
        put(&mut slots, TABLE[unit].word, unit as u8);
        let mut alias = 0;
        while alias < TABLE[unit].aliases.len() {
            put(&mut slots, TABLE[unit].aliases[alias], unit as u8);
            alias += 1;
        }
        unit += 1;
    }
    slots
}

/// Two units of one name do not compile.
const fn put(slots: &mut [Slot; SLOTS], name: &str, unit: u8) {
    let Some((key, length)) = key(name.as_bytes()) else { panic!("a unit name is too long") };
    let mut at = slot_of(&key, length);
    while slots[at].unit != FREE {
        assert!(!same(&slots[at].key, &key), "two units share a name, or one has it twice");
        at = (at + 1) & (SLOTS - 1);
    }
    slots[at] = Slot { key, unit };
}

fn look_up(key: &Key, length: usize) -> Option<Unit> {
    let mut at = slot_of(key, length);
    // There are fewer names than slots, so a free one ends the walk.
    while SLOT[at].unit != FREE {
        if SLOT[at].key == *key {
            return Some(Unit::at(SLOT[at].unit));
        }
        at = (at + 1) & (SLOTS - 1);
    }
    None
}

pub(super) fn named(words: &str) -> Option<Unit> {
    let (mut key, length) = key(words.as_bytes())?;
    if let Some(unit) = look_up(&key, length) {
        return Some(unit);
    }
    // A plural. Not of one letter: `ms` is not metres.
    if length > 2 && key[length - 1] == b's' {
        key[length - 1] = 0;
        return look_up(&key, length - 1);
    }
    None
}

pub(super) fn nearest(words: &str) -> Option<Unit> {
    let (written, length) = key(words.as_bytes())?;
    let mut best: Option<(usize, Unit)> = None;
    for unit in Unit::all() {
        for name in std::iter::once(unit.word()).chain(unit.aliases().iter().copied()) {
            let Some((known, known_length)) = key(name.as_bytes()) else { continue };
            let (written, known) = (&written[..length], &known[..known_length]);
            let Some(distance) = distance(written, known) else { continue };
            if best.is_none_or(|(least, _)| distance < least) {
                best = Some((distance, unit));
            }
        }
    }
    best.map(|(_, unit)| unit)
}

/// Slips between two names, when there are few for their length and they are not only in digits.
fn distance(written: &[u8], known: &[u8]) -> Option<usize> {
    let letters = |name: &[u8]| name.iter().copied().filter(|byte| !byte.is_ascii_digit()).collect::<Vec<u8>>();
    if written != known && letters(written) == letters(known) {
        return None;
    }
    // Keys are ASCII, so both are text.
    let (written, known) = (std::str::from_utf8(written).ok()?, std::str::from_utf8(known).ok()?);
    let distance = strsim::damerau_levenshtein(written, known);
    (distance * 3 <= written.len().max(known.len())).then_some(distance)
}
