//! What git shows of each record, and which correction gives the reason of which change.

use chrono::NaiveDate;
use rustc_hash::FxHashMap;

use super::Season;
use crate::history::{Change, Entered, History, Trail};
use crate::journal::{Amendment, At, BlockId, Ground, Journal};
use crate::quantity::Unit;
use crate::syntax::{EntryWord, first_word};
use crate::text::Span;

/// A record and what became of it.
#[derive(Clone, Debug)]
pub struct Tracked<'j> {
    /// What kind of record it is; nothing where its first word is none of the language's.
    pub kind: Option<EntryWord>,
    /// The first line of its entry.
    pub line: Span,
    /// The blocks that it is about; none where it names no ground.
    pub blocks: Vec<BlockId>,
    /// When it was entered and what was changed since.
    pub trail: &'j Trail,
    /// For each change of the trail what is to be said of it.
    pub changes: Vec<Explained<'j>>,
    /// The corrections of the record.
    pub amendments: Vec<&'j Amendment>,
}

/// A change, and what the journal says about it.
#[derive(Clone, Copy, Debug)]
pub struct Explained<'j> {
    /// The change.
    pub change: &'j Change,
    /// Whether it asks for a reason.
    pub asks: bool,
    /// Whether it altered what somebody had signed, and nobody has signed the record again since.
    pub unsigned: bool,
    /// The correction that gives one.
    pub by: Option<&'j Amendment>,
}

/// Words that add to a record without changing what it says was done.
const ASIDE: &[&str] = &["accept", "signed", "note", "entered"];

/// Corrections by the record that they are about.
#[derive(Debug)]
pub struct Corrections<'j> {
    by_record: FxHashMap<(EntryWord, NaiveDate, BlockId), Vec<&'j Amendment>>,
}

impl<'j> Corrections<'j> {
    /// Of a journal.
    pub fn new(journal: &'j Journal) -> Self {
        let mut in_order: Vec<&Amendment> = journal.amendments.iter().collect();
        in_order.sort_by_key(|amendment| (amendment.at.day, amendment.at.entry.start));
        let mut by_record: FxHashMap<_, Vec<&Amendment>> = FxHashMap::default();
        for amendment in in_order {
            if let (Some(kind), Some(day), Some(block)) = (amendment.kind, amendment.day, amendment.block.id) {
                by_record.entry((kind, day.value, block)).or_default().push(amendment);
            }
        }
        Self { by_record }
    }

    /// Those of a record, in the order of time.
    pub fn of(&self, kind: EntryWord, day: NaiveDate, blocks: &[BlockId]) -> Vec<&'j Amendment> {
        let lists = blocks.iter().filter_map(|block| self.by_record.get(&(kind, day, *block)));
        let mut found: Vec<&Amendment> = lists.flatten().copied().collect();
        found.sort_by_key(|amendment| (amendment.at.day, amendment.at.entry.start));
        found.dedup_by_key(|amendment| amendment.at.entry.start);
        found
    }
}

/// Every record that git shows something of, in the order of the files.
pub fn tracked<'j>(season: &Season<'j>) -> Vec<Tracked<'j>> {
    let Some(history) = season.history else { return Vec::new() };
    let corrections = Corrections::new(season.journal);
    let grounds: FxHashMap<u32, (At, &Ground)> =
        grounds(season.journal).map(|(_, at, ground)| (at.entry.start, (at, ground))).collect();
    let record = |(start, trail): (u32, &'j Trail)| {
        let kind = trail.wording.kind();
        let (day, blocks) = match grounds.get(&start) {
            Some((at, ground)) => (Some(at.day), ground.blocks.iter().filter_map(|block| block.id).collect()),
            None => (None, Vec::new()),
        };
        let amendments = match (kind, day) {
            (Some(kind), Some(day)) => corrections.of(kind, day, &blocks),
            _ => Vec::new(),
        };
        let changes = explained(season, history, trail, &amendments);
        Tracked { kind, line: line_at(season, start), blocks, trail, changes, amendments }
    };
    history.trails().map(record).collect()
}

fn line_at(season: &Season<'_>, start: u32) -> Span {
    let source = season.sources.get(season.sources.source_of(Span::new(start, start)));
    let text = &source.text()[(start - source.base()) as usize..];
    let line = text.lines().next().unwrap_or_default().trim_end();
    Span::new(start, start + line.len() as u32)
}

fn explained<'j>(
    season: &Season<'j>,
    history: &History,
    trail: &'j Trail,
    amendments: &[&'j Amendment],
) -> Vec<Explained<'j>> {
    let asks: Vec<bool> = trail.changes.iter().map(|change| asks(season, history, trail, change)).collect();
    let alone = asks.iter().filter(|asks| **asks).count() == 1;
    // A new signature is for all that stands there when it is given; one put in the place of another is none.
    let signature = |lines: Vec<&str>| lines.iter().any(|line| word(line) == "signed");
    let signs = |change: &Change| signature(change.gained()) && !signature(change.dropped());
    let signed = trail.changes.iter().rposition(signs);
    let one = |(at, (change, &asks)): (usize, (&'j Change, &bool))| {
        let by = if asks { reason(season, amendments, change, alone) } else { None };
        let unsigned = change.after_signing && signed.is_none_or(|signed| signed < at) && alters(change);
        Explained { change, asks, unsigned, by }
    };
    trail.changes.iter().zip(&asks).enumerate().map(one).collect()
}

/// Whether a change asks for a reason: one that takes away or alters what was written always does; one that only adds
/// where it was made on a later day than the record was entered, unless it adds no more than a remark or a signature.
fn asks(season: &Season<'_>, history: &History, trail: &Trail, change: &Change) -> bool {
    // An accept speaks of findings, not of what was done.
    if change.moved_day() || change.dropped().iter().any(|line| word(line) != "accept") {
        return true;
    }
    if change.gained().iter().all(|line| ASIDE.contains(&&*word(line))) {
        return false;
    }
    let day_of = |commit: usize| history.commit(commit).when.map(|when| when.date_naive());
    let changed = match change.commit {
        Some(commit) => day_of(commit),
        None => season.as_of,
    };
    match trail.entered {
        Entered::In(commit) => matches!((day_of(commit), changed), (Some(entered), Some(changed)) if changed > entered),
        Entered::NotAfter(_) | Entered::BeforeCounting => true,
        Entered::NotCommitted => false,
    }
}

/// Whether a change alters what was signed: an accept does not, since it speaks of findings, nor does one more signature.
fn alters(change: &Change) -> bool {
    change.moved_day()
        || !change.dropped().iter().all(|line| word(line) == "accept")
        || !change.gained().iter().all(|line| matches!(&*word(line), "accept" | "signed"))
}

/// The first word of a line, in lower case.
fn word(line: &str) -> String {
    line[..first_word(line)].to_ascii_lowercase()
}

/// The correction that gives the reason of a change: each field that it touched must be quoted by one. The words of the only
/// change of a record, in one field, need not be quoted.
fn reason<'j>(
    season: &Season<'j>,
    amendments: &[&'j Amendment],
    change: &Change,
    alone: bool,
) -> Option<&'j Amendment> {
    let (dropped, gained) = (change.dropped(), change.gained());
    let mut fields: Vec<String> = dropped.iter().map(|line| word(line)).collect();
    fields.extend(gained.iter().map(|line| word(line)).filter(|word| !ASIDE.contains(&word.as_str())));
    fields.retain(|field| field != "accept");
    fields.sort_unstable();
    fields.dedup();
    let quotes = |words: Option<Span>, lines: &[&str], field: &str| {
        let words = words.map(|span| season.words(span));
        words.is_some_and(|words| lines.iter().any(|line| word(line) == field && holds_words(line, words)))
    };
    let of_field = |field: &String| {
        let mut all = amendments.iter().copied();
        all.find(|one| quotes(one.was, &dropped, field) || quotes(one.now, &gained, field))
    };
    let of_day = || {
        let names = |words: Option<Span>, day: &str| words.is_some_and(|span| holds_words(season.words(span), day));
        let mut all = amendments.iter().copied();
        all.find(|one| names(one.was, &change.before.day) || names(one.now, &change.after.day))
    };
    let mut by: Vec<Option<&Amendment>> = fields.iter().map(of_field).collect();
    if change.moved_day() {
        by.push(of_day());
    }
    if alone && by.len() == 1 {
        return by[0].or_else(|| amendments.first().copied());
    }
    let all: Option<Vec<&Amendment>> = by.into_iter().collect();
    all?.first().copied()
}

/// Whether a text holds some words, one after the other, whatever blanks stand between them and however their units are
/// spelt: a tidied record is still the one that a correction quotes.
pub fn holds_words(text: &str, words: &str) -> bool {
    let plain = |text: &str| -> Vec<String> {
        let words = text.split([' ', '\t', '\r', '\n', ',']).map(str::to_lowercase);
        words.filter(|word| !word.is_empty()).collect()
    };
    let holds = |text: &[String], words: &[String]| {
        !words.is_empty() && text.windows(words.len()).any(|window| window == words)
    };
    let (text, words) = (plain(text), plain(words));
    holds(&text, &words) || holds(&usual_units(&text), &usual_units(&words))
}

/// Words with their units as they are usually written: `3 fluid ounces` and `3fl oz` as `3 fl oz`.
fn usual_units(words: &[String]) -> Vec<String> {
    let apart: Vec<&str> = words
        .iter()
        .flat_map(|word| {
            let number = word.find(|letter: char| !matches!(letter, '0'..='9' | '.' | '/')).unwrap_or(word.len());
            [&word[..number], &word[number..]]
        })
        .filter(|part| !part.is_empty())
        .collect();
    let mut usual = Vec::with_capacity(apart.len());
    let mut at = 0;
    while at < apart.len() {
        let longest = (1..=(apart.len() - at).min(3)).rev();
        let mut units = longest.filter_map(|length| Some((length, Unit::named(&apart[at..at + length].join(" "))?)));
        let (length, word) = units.next().map_or((1, apart[at]), |(length, unit)| (length, unit.word()));
        usual.push(word.to_string());
        at += length;
    }
    usual
}

/// Every record that can be put right by a correction, with where and when it was.
pub fn grounds(journal: &Journal) -> impl Iterator<Item = (EntryWord, At, &Ground)> {
    let sprays = journal.sprays.iter().map(|it| (EntryWord::Spray, it.at, &it.ground));
    let observations = journal.observations.iter().map(|it| (EntryWord::Observe, it.at, &it.ground));
    let skips = journal.skips.iter().map(|it| (EntryWord::Skip, it.at, &it.ground));
    let forecasts = journal.forecasts.iter().map(|it| (EntryWord::Forecast, it.at, &it.ground));
    let weather = journal.weather.iter().map(|it| (EntryWord::Weather, it.at, &it.ground));
    let harvests = journal.harvests.iter().map(|it| (EntryWord::Harvest, it.at, &it.ground));
    let works = journal.works.iter().map(|it| (EntryWord::Work, it.at, &it.ground));
    let postings = journal.postings.iter().map(|it| (EntryWord::Post, it.at, &it.ground));
    sprays.chain(observations).chain(weather).chain(harvests).chain(works).chain(postings).chain(skips).chain(forecasts)
}
