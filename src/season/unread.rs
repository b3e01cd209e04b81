//! Records of what came onto ground that could not be read, but name blocks that can, or nearly: nothing is clear there.

use rustc_hash::FxHashMap;

use super::{Moment, Zone};
use crate::journal::{BlockId, Journal, Spray, Trouble, nearest_word};
use crate::syntax::{EntryWord, FieldWord};
use crate::text::{Sources, Span};

/// A line that may bring something onto blocks that it names, and that is not read.
#[derive(Clone, Debug)]
pub struct UnreadGround {
    /// The line.
    pub line: Span,
    /// Whether it is about a cleaning of a sprayer; a spray otherwise.
    pub rinse: bool,
    /// The first moment of its page's day, and the last; of the first day and the last of the journal where it stands under
    /// no day.
    pub day: (Moment, Moment),
    /// The blocks whose names stand in it, or names much like theirs; never empty.
    pub blocks: Vec<BlockId>,
}

/// The lines of a journal that may bring something onto ground and are not read: first those that name blocks, in the order
/// of time, and then whether there are some that name none.
pub(super) fn unread_grounds(journal: &Journal, sources: &Sources, zone: &Zone) -> (Vec<UnreadGround>, bool) {
    let lines: Vec<(Span, bool)> =
        journal.troubles.iter().filter_map(|trouble| line_of(trouble, sources)).chain(rinses(journal)).collect();
    let misnamed = misnamed(journal, sources);
    if lines.is_empty() && misnamed.is_empty() {
        return (Vec::new(), false);
    }
    let mut pages: Vec<&crate::journal::Day> = journal.days.iter().collect();
    pages.sort_by_key(|page| page.at.line.start);
    let days = || journal.days.iter().map(|page| page.at.day);
    let (first, last) = (days().min().unwrap_or_default(), days().max().unwrap_or_default());
    let names: FxHashMap<&str, BlockId> =
        journal.blocks.iter().enumerate().map(|(at, block)| (&*block.named.name, BlockId::at(at))).collect();
    let mut nameless = false;
    let mut found: Vec<UnreadGround> = Vec::new();
    for (line, rinse) in lines {
        let mut blocks: Vec<BlockId> = Vec::new();
        for told in grounds_of(line, sources) {
            let lower = told.to_lowercase();
            let words = lower.split(|letter: char| letter.is_whitespace() || matches!(letter, ',' | ';' | '"'));
            // The first word says what the line is.
            let words = words.filter(|word| !word.is_empty()).skip(1);
            blocks.extend(words.filter_map(|word| names.get(word).copied()));
        }
        blocks.sort_unstable();
        blocks.dedup();
        if blocks.is_empty() {
            nameless |= rinse;
            continue;
        }
        let before = pages.partition_point(|page| page.at.line.start < line.start);
        let same_file = |page: &&&crate::journal::Day| sources.same_file(page.at.line, line);
        let page = pages[..before].last().filter(same_file).map(|page| page.at.day);
        let day = (zone.start_of(page.unwrap_or(first)), zone.end_of(page.unwrap_or(last)));
        found.push(UnreadGround { line, rinse, day, blocks });
    }
    found.extend(misnamed.into_iter().map(|(spray, blocks)| {
        let day = (zone.start_of(spray.at.day), zone.end_of(spray.at.day));
        UnreadGround { line: spray.at.line, rinse: false, day, blocks }
    }));
    found.sort_by_cached_key(|one| (one.day, sources.slice(one.line)));
    (found, nameless)
}

/// Sprays of blocks that nothing declares, with the blocks that may be meant by such names: those called much alike.
fn misnamed<'j>(journal: &'j Journal, sources: &Sources) -> Vec<(&'j Spray, Vec<BlockId>)> {
    let unknown = |spray: &'j Spray| {
        let left = spray.leftover.iter().flat_map(|left| &left.ground.blocks);
        spray.ground.blocks.iter().chain(left).filter(|block| block.id.is_none())
    };
    let meant = |spray: &'j Spray| {
        let names = || journal.blocks.iter().map(|block| &*block.named.name);
        let meant = unknown(spray).filter_map(|block| {
            let near = nearest_word(&sources.slice(block.span).to_lowercase(), names())?;
            names().position(|name| name == near).map(BlockId::at)
        });
        let mut blocks: Vec<BlockId> = meant.collect();
        blocks.sort_unstable();
        blocks.dedup();
        (!blocks.is_empty()).then_some((spray, blocks))
    };
    journal.sprays.iter().filter(|spray| unknown(spray).next().is_some()).filter_map(meant).collect()
}

/// The line of a trouble that may bring something onto ground, and whether it belongs to a cleaning.
fn line_of(trouble: &Trouble, sources: &Sources) -> Option<(Span, bool)> {
    match *trouble {
        Trouble::UnreadableLine { line, entry: Some(kind @ (EntryWord::Spray | EntryWord::Clean)), head: true }
        | Trouble::UndatedEntry { line, entry: kind @ (EntryWord::Spray | EntryWord::Clean) }
        | Trouble::NamelessEntry { line, entry: kind @ (EntryWord::Spray | EntryWord::Clean) } => {
            Some((line, kind == EntryWord::Clean))
        }
        Trouble::UnreadableLine { line, entry: Some(kind @ (EntryWord::Spray | EntryWord::Clean)), head: false } => {
            let word = sources.slice(line).split_whitespace().next().unwrap_or_default().to_ascii_lowercase();
            let (cleaning, wanted) = match kind {
                EntryWord::Clean => (true, FieldWord::Rinse),
                _ => (false, FieldWord::Leftover),
            };
            let known = FieldWord::named(&word);
            let meant = known == Some(wanted)
                || known.is_none() && (cleaning || nearest_word(&word, [wanted.word()].into_iter()).is_some());
            meant.then_some((line, cleaning))
        }
        Trouble::RepeatedField { again, word: word @ (FieldWord::Leftover | FieldWord::Rinse), .. } => {
            Some((line_from(again, sources), word == FieldWord::Rinse))
        }
        _ => None,
    }
}

/// The words of a line that may name blocks: where it is an entry's first, those of the lines that put something somewhere
/// as well, since they are lost with it.
fn grounds_of(line: Span, sources: &Sources) -> Vec<&str> {
    let text = sources.get(sources.source_of(line)).text();
    let std::ops::Range { start, end } = sources.local(line);
    let mut all = vec![&text[start..end]];
    if start == 0 || text[..start].ends_with(['\n', '\r']) {
        let below =
            text[end..].lines().skip(1).take_while(|line| line.trim().is_empty() || line.starts_with([' ', '\t']));
        all.extend(below.filter(|line| {
            let word = FieldWord::named(line.split_whitespace().next().unwrap_or_default());
            matches!(word, Some(FieldWord::Leftover | FieldWord::Rinse))
        }));
    }
    all
}

/// From a word to the end of its line.
fn line_from(word: Span, sources: &Sources) -> Span {
    let text = sources.get(sources.source_of(word)).text();
    let rest = &text[sources.local(word).start..];
    let length = rest.find(['\n', '\r']).unwrap_or(rest.len());
    Span::new(word.start, word.start + length as u32)
}

/// The rinses of cleanings whose sprayer nothing declares.
fn rinses(journal: &Journal) -> impl Iterator<Item = (Span, bool)> {
    let undeclared = journal.cleanings.iter().filter(|one| one.rig.id.is_none());
    let rinses = undeclared.filter_map(|one| one.rinse.as_ref());
    rinses.filter(|rinse| !rinse.ground.blocks.is_empty()).map(|rinse| (rinse.span, true))
}
