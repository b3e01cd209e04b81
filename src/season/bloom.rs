//! Whether a block stood in bloom, from the words and numbers that growers write about it.

use chrono::NaiveDate;
use rustc_hash::FxHashMap;

use super::Season;
use crate::journal::{BlockId, Observation};
use crate::quantity::Exact;
use crate::text::Span;

/// For how many days an observation says how a block stands. Common practice, no source: scouts look once a week.
const SEEN_FOR: i64 = 7;

/// What an observation says about bloom.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BloomSeen {
    /// The day.
    pub day: NaiveDate,
    /// Whether the block was in bloom.
    pub open: bool,
    /// Where that is written.
    pub span: Span,
}

/// Whether the words of a growth stage mean open bloom. A BBCH code from 60 (first flowers open) to 68 is bloom, any
/// other is not (BBCH scales for pome and stone fruit, principal growth stage 6: flowering). Words count before the
/// code: petal fall ends bloom, and `before`, `pre`, `post` and `after` bloom are not bloom.
pub fn stage_is_bloom(stage: &str) -> bool {
    let words: Vec<String> = stage
        .to_lowercase()
        .split(|character: char| !character.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_string)
        .collect();
    let pair = |one: &str, other: &str| words.windows(2).any(|pair| pair[0] == one && pair[1].starts_with(other));
    if pair("petal", "fall") || pair("petals", "fall") || pair("petals", "down") {
        return false;
    }
    const NOT_YET_OR_OVER: &[&str] = &[
        "before", "pre", "post", "after", "until", "till", "no", "not", "end", "ended", "over", "past", "finished",
        "since", "done",
    ];
    let flowering = |word: &String| matches!(word.as_str(), "bloom" | "blooming" | "blossom" | "flowering");
    if words.iter().any(flowering) {
        return !words.iter().any(|word| NOT_YET_OR_OVER.contains(&word.as_str()));
    }
    let code = words.iter().position(|word| word == "bbch").and_then(|at| words.get(at + 1));
    code.and_then(|code| code.parse::<u32>().ok()).is_some_and(|code| (60..=68).contains(&code))
}

/// What an observation says about bloom; `None` where it says nothing. A share of open bloom counts before words, of which
/// growers use few.
fn seen<'j>(
    season: &Season<'j>,
    observation: &Observation,
    words: &mut FxHashMap<&'j str, bool>,
) -> Option<(bool, Span)> {
    if let Some(bloom) = observation.bloom {
        return Some((bloom.value > Exact::ZERO, bloom.span));
    }
    let stage = observation.stage?;
    Some((*words.entry(season.words(stage)).or_insert_with_key(|stage| stage_is_bloom(stage)), stage))
}

/// For each block, what was seen of its bloom, in the order of time.
#[derive(Debug)]
pub struct BloomRecord {
    by_block: Vec<Vec<BloomSeen>>,
}

impl BloomRecord {
    /// Gathers what was seen of some blocks.
    pub fn new(season: &Season<'_>, wanted: impl Fn(BlockId) -> bool) -> Self {
        let journal = season.journal;
        let mut by_block: Vec<Vec<(Option<chrono::NaiveDateTime>, BloomSeen)>> = vec![Vec::new(); journal.blocks.len()];
        let mut words = FxHashMap::default();
        for observation in &journal.observations {
            let mut blocks =
                observation.ground.blocks.iter().filter_map(|block| block.id).filter(|id| wanted(*id)).peekable();
            if blocks.peek().is_none() {
                continue;
            }
            let Some((open, span)) = seen(season, observation, &mut words) else { continue };
            let time = observation.time.map(|time| time.start.local);
            for block in blocks {
                by_block[block.index()].push((time, BloomSeen { day: observation.at.day, open, span }));
            }
        }
        let by_block = by_block
            .into_iter()
            .map(|mut list| {
                // On one day, what has no time comes first; ties go by what is written, never by where it stands.
                let when = |one: &(Option<chrono::NaiveDateTime>, BloomSeen)| (one.1.day, one.0, one.1.open);
                list.sort_by(|one, other| {
                    let words = || season.words(one.1.span).cmp(season.words(other.1.span));
                    when(one).cmp(&when(other)).then_with(words)
                });
                list.into_iter().map(|(_, seen)| seen).collect()
            })
            .collect();
        Self { by_block }
    }

    /// The latest that was seen of a block on a day or in the week before it.
    pub fn at(&self, block: BlockId, day: NaiveDate) -> Option<BloomSeen> {
        let list = &self.by_block[block.index()];
        let seen = *list[..list.partition_point(|seen| seen.day <= day)].last()?;
        (day.signed_duration_since(seen.day).num_days() <= SEEN_FOR).then_some(seen)
    }
}
