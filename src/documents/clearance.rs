//! The clearance board for a moment: each block, whether people may enter, whether it may be picked, when that turns clear
//! and why; what is posted, and what is due. Nothing on it is a permission, and what is not recorded is never clear.

use serde::Serialize;

use super::assumed;
use super::board_fit::fit;
use super::board_notices::notices;
use super::board_reasons::{Reason, WhyLine, grouped, reasons};
use super::book::Book;
use super::cautions::cautions;
use super::head::Head;
use super::phrases::{self, Both, PHRASES, Phrase};
use super::posting_sheets::unread_rinses;
use super::table::iso_time;
use super::words::day;
use crate::duty::{self, Duties};
use crate::season::{BlockClearance, Moment, PartClearance, RowRun, State, Verdict};

/// After how many days without a page the board says that the journal may be behind.
const FRESH: i64 = 3;

/// The board of a farm at a moment.
#[derive(Clone, Debug, Serialize)]
pub struct ClearanceBoard {
    /// Top and foot.
    pub head: Head,
    /// The headings in both languages.
    pub words: BoardWords,
    /// The moment it is for.
    pub moment: Told,
    /// Up to which day the journal has pages.
    pub knows: String,
    /// A warning that the journal may be behind or that a spray may be missing.
    pub mind: Vec<String>,
    /// How large the letters can be so that the board stays on one sheet: `roomy`, `snug` or `tight`.
    pub fit: &'static str,
    /// Each block, or part of its rows, in the order of the names.
    pub rows: Vec<BoardRow>,
    /// Why, each reason once with all that it holds for.
    pub why: Vec<WhyLine>,
    /// What is posted, and since when.
    pub posted: Vec<String>,
    /// What is to be done now.
    pub due: Vec<String>,
    /// What was taken as so.
    pub assumed: Vec<String>,
    /// What to mind.
    pub cautions: Vec<String>,
}

/// The words on a board, in both languages.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct BoardWords {
    /// The name of the page.
    pub board: Phrase,
    /// Over the blocks.
    pub block: Phrase,
    /// Over whether people may enter.
    pub enter: Phrase,
    /// Over whether it may be picked.
    pub pick: Phrase,
    /// Over when that turns clear.
    pub turns: Phrase,
    /// Over the reasons.
    pub why: Phrase,
    /// Before a moment.
    pub until: Phrase,
    /// Over what is posted.
    pub posted: Phrase,
    /// Over what is due.
    pub due: Phrase,
    /// What clear means, and what not.
    pub clear_means: Phrase,
}

/// A moment, to print and for machines.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Told {
    /// In English.
    pub en: String,
    /// In Spanish.
    pub es: String,
    /// The local time by ISO 8601, with its distance from UTC where the farm's time zone is known.
    pub iso: String,
}

/// A block, or some of its rows.
#[derive(Clone, Debug, Serialize)]
pub struct BoardRow {
    /// Its title.
    pub block: String,
    /// Its name in the journal.
    pub name: String,
    /// Which rows; absent for all of them.
    pub rows: Option<Both>,
    /// Whether people may enter.
    pub enter: Said,
    /// Whether it may be picked.
    pub pick: Said,
    /// When that turns clear, a line where both are the same.
    pub turns: Vec<Both>,
    /// What holds here.
    pub reasons: Vec<Reason>,
}

/// Whether people may enter, or whether it may be picked.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Said {
    /// `clear`, `closed` or `not-known`.
    pub state: &'static str,
    /// The same in words.
    pub word: Both,
    /// Whether something is not recorded, so that one must ask first, also after `until`.
    pub ask: bool,
    /// The first moment at which nothing that is recorded closes it.
    pub until: Option<Told>,
}

/// The board at a moment.
pub fn clearance_board(book: &Book<'_>, moment: Moment) -> ClearanceBoard {
    let duties = Duties::new(book.season);
    let clearance = duty::clearance(&duties, moment);
    let shown = |block: &&BlockClearance| book.scope.has_block(block.block);
    let mut blocks: Vec<&BlockClearance> = clearance.blocks.iter().filter(shown).collect();
    let name = |block: &BlockClearance| &book.journal().block(block.block).named;
    blocks.sort_by_cached_key(|block| (natural(name(block).shown()), natural(&name(block).name)));
    let row = |block: &BlockClearance, part: &PartClearance| BoardRow {
        block: name(block).shown().to_string(),
        name: name(block).name.to_string(),
        rows: (!part.rows.is_empty()).then(|| rows(&part.rows)),
        enter: said(book, moment, &part.people),
        pick: said(book, moment, &part.picking),
        turns: turns(book, moment, part),
        reasons: reasons(book, moment, block.block, part),
    };
    let rows: Vec<BoardRow> =
        blocks.iter().flat_map(|block| block.parts.iter().map(move |part| row(block, part))).collect();
    let why = grouped(&rows);
    let (posted, due) = notices(book, &duties, moment, &blocks);
    let (knows, mut mind) = knows(book, moment);
    mind.extend(unread_rinses(book));
    let head = Head::new(book);
    let fit = fit(&rows, &why, mind.len() + usize::from(head.banner.is_some()), &[&posted, &due]);
    ClearanceBoard {
        head,
        words: WORDS,
        moment: told(book, moment, phrases::moment(moment.local)),
        knows,
        mind,
        fit,
        rows,
        why,
        posted,
        due,
        assumed: assumed::of_clearance(book),
        cautions: cautions(book),
    }
}

const WORDS: BoardWords = BoardWords {
    board: PHRASES.board,
    block: PHRASES.block,
    enter: PHRASES.enter,
    pick: PHRASES.pick,
    turns: PHRASES.turns_clear,
    why: PHRASES.why,
    until: PHRASES.until,
    posted: PHRASES.posted,
    due: PHRASES.due,
    clear_means: PHRASES.clear_means,
};

/// A moment as a board says it: a part of a minute counted as one, the year where it is another, and which of two equal
/// clock times it is.
pub(super) fn when(book: &Book<'_>, at: Moment, moment: Moment) -> Told {
    told(book, moment, phrases::short(phrases::whole_minute(moment), at.local))
}

/// A moment in words that do not yet say which of two equal clock times it is.
fn told(book: &Book<'_>, moment: Moment, mut both: Both) -> Told {
    let zone = &book.season.zone;
    let which = |which| zone.moment(moment.local, Some(which), false).0.seconds;
    let (first, second) = (which(crate::syntax::Which::First), which(crate::syntax::Which::Second));
    if first != second {
        let phrase = if moment.seconds == first { PHRASES.first_of_two } else { PHRASES.second_of_two };
        both = phrase.with(&[("time", &both)]);
    }
    Told { en: both.en, es: both.es, iso: iso_time(zone, moment) }
}

fn said(book: &Book<'_>, at: Moment, state: &State) -> Said {
    let (name, word) = match state.verdict() {
        Verdict::Clear => ("clear", PHRASES.clear),
        Verdict::Closed => ("closed", PHRASES.closed),
        Verdict::NotKnown => ("not-known", PHRASES.ask_first),
    };
    let until = state.closed.as_ref().map(|closed| when(book, at, closed.until));
    Said { state: name, word: word.said(), ask: !state.not_known.is_empty(), until }
}

/// When a part turns clear: one line where it is the same for people and for picking.
fn turns(book: &Book<'_>, at: Moment, part: &PartClearance) -> Vec<Both> {
    let line = |state: &State| {
        let until = state.closed.as_ref().map(|closed| {
            let when = when(book, at, closed.until);
            Both { en: when.en, es: when.es }
        });
        match (until, state.not_known.is_empty()) {
            (None, true) => None,
            (None, false) => Some(PHRASES.not_known.said()),
            (Some(until), true) => Some(until),
            (Some(until), false) => Some(PHRASES.at_least.with(&[("until", &until)])),
        }
    };
    let (people, picking) = (line(&part.people), line(&part.picking));
    if people == picking {
        return people.into_iter().collect();
    }
    let of = |phrase: Phrase, line: Option<Both>| line.map(|line| phrase.with(&[("until", &line)]));
    of(PHRASES.to_enter, people).into_iter().chain(of(PHRASES.to_pick, picking)).collect()
}

/// Rows in both languages: `rows 1-7, 9`; every other row as `1, 3 … 13`.
fn rows(runs: &[RowRun]) -> Both {
    let run = |run: &RowRun| match (run.last, run.every_other) {
        (Some(last), false) if last == run.first => last.to_string(),
        (Some(last), false) => format!("{}-{last}", run.first),
        (Some(last), true) if last == run.first + 2 => format!("{}, {last}", run.first),
        (Some(last), true) => format!("{}, {} … {last}", run.first, run.first + 2),
        (None, false) => format!("{} …", run.first),
        (None, true) => format!("{}, {} …", run.first, run.first.saturating_add(2)),
    };
    let runs: Vec<String> = runs.iter().map(run).collect();
    PHRASES.rows.with(&[("rows", &Both::same(runs.join(", ")))])
}

/// Up to which day the journal has pages, and what to mind of it.
fn knows(book: &Book<'_>, moment: Moment) -> (String, Vec<String>) {
    let today = moment.local.date();
    let mut mind = Vec::new();
    let pages = book.journal().days.iter().map(|page| page.at.day);
    let knows = match pages.filter(|page| *page <= today).max() {
        None => "The journal has no page up to this moment.".to_string(),
        Some(last) => {
            let behind = today.signed_duration_since(last).num_days();
            if behind > FRESH {
                mind.push(format!(
                    "The journal's last page is {behind} days older than this moment: what was sprayed since is not on this board."
                ));
            }
            format!("The journal's last page up to this moment is of {}.", day(last))
        }
    };
    let later = book.season.sprays.iter().filter(|facts| facts.start.seconds > moment.seconds).count();
    let knows = match later {
        0 => knows,
        1 => format!("{knows} 1 spray begins later and is not counted."),
        later => format!("{knows} {later} sprays begin later and are not counted."),
    };
    (knows, mind)
}

/// What names are put in order by: runs of digits as numbers, capitals as small letters.
fn natural(name: &str) -> Vec<(usize, String)> {
    let mut pieces: Vec<(usize, String)> = Vec::new();
    let mut number = false;
    for letter in name.chars().flat_map(char::to_lowercase) {
        if letter.is_ascii_digit() != number || pieces.is_empty() {
            number = letter.is_ascii_digit();
            pieces.push((0, String::new()));
        }
        if let Some((_, piece)) = pieces.last_mut() {
            piece.push(letter);
        }
    }
    for (size, piece) in &mut pieces {
        if piece.starts_with(|letter: char| letter.is_ascii_digit()) {
            // Of two numbers the longer is the larger; words come behind all numbers.
            let plain = piece.trim_start_matches('0').to_string();
            (*size, *piece) = (plain.len(), plain);
        } else {
            *size = usize::MAX;
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_in_the_order_of_their_numbers() {
        let mut names = ["block 10", "Block 9", "7b", "creek", "block 010a", "7a", "12", "block"];
        names.sort_by_key(|name| natural(name));
        assert_eq!(names, ["7a", "7b", "12", "block", "Block 9", "block 10", "block 010a", "creek"]);
    }

    #[test]
    fn rows_are_told_as_on_a_gate() {
        let run = |first, last, every_other| RowRun { first, last, every_other };
        for (runs, told) in [
            (vec![run(1, Some(7), false), run(9, Some(9), false)], "rows 1-7, 9"),
            (vec![run(1, Some(13), true)], "rows 1, 3 … 13"),
            (vec![run(2, Some(4), true)], "rows 2, 4"),
            (vec![run(8, None, false)], "rows 8 …"),
            (vec![run(2, None, true)], "rows 2, 4 …"),
        ] {
            assert_eq!(rows(&runs).en, told);
        }
    }
}
