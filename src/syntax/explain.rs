//! The slow path: why a line could not be read. Called for lines that the grammar has already refused, so it may try
//! things.

use std::ops::Range;

use pest::Parser;
use pest::error::{ErrorVariant, InputLocation};

use super::expected;
use super::grammar::{Journal, Rule};
use super::other_dates::{OtherDate, other_date};
use super::read::first_word;
use super::repair::{self, Repair};
use super::words::{EntryWord, FieldWord};

/// Why a line could not be read. Places are bytes of the line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Lost {
    /// The first word is no field's.
    UnknownWord {
        /// Where it stands.
        word: Range<usize>,
    },
    /// A field's word with nothing behind it.
    Empty {
        /// Which field.
        field: FieldWord,
    },
    /// A day written in another order than year, month, day.
    OtherDate(OtherDate),
    /// Reading stopped.
    Stopped {
        /// Whose value, where the line begins with a field's word.
        field: Option<FieldWord>,
        /// The words where it stopped; empty at the end of the line, where something is missing.
        at: Range<usize>,
        /// What could have stood there, in users' words; may be empty.
        expected: String,
        /// The line as it could be read, where a small change is enough.
        repair: Option<Repair>,
    },
}

/// Explains an indented line that is no field. `year` is that of the page, for days without one; `known` tells whether
/// a name is declared.
pub fn explain_field(line: &str, year: Option<i32>, known: &dyn Fn(&str) -> bool) -> Lost {
    let word = first_word(line);
    let Some(field) = FieldWord::named(&line[..word]) else {
        if line[..word].contains(char::is_alphanumeric) {
            return Lost::UnknownWord { word: 0..word };
        }
        let expected = "a field's word".to_string();
        return Lost::Stopped { field: None, at: token(line, 0), expected, repair: None };
    };
    let rest = line[word..].trim();
    if rest.is_empty() || (rest.starts_with('#') && line[word..].starts_with([' ', '\t'])) {
        return Lost::Empty { field };
    }
    stopped(Rule::field, line, Some(field), year, known)
}

/// Explains an entry's first line.
pub fn explain_head(line: &str, entry: EntryWord, year: Option<i32>, known: &dyn Fn(&str) -> bool) -> Lost {
    if entry == EntryWord::Day {
        if let Some(date) = other_date(line, year) {
            return Lost::OtherDate(date);
        }
        return stopped(Rule::day, line, None, year, known);
    }
    let mut lost = stopped(Rule::entry, line, None, year, known);
    if let Lost::Stopped { at, expected, .. } = &mut lost {
        // The grammar has one first line for all entries; each takes only a part of it.
        *expected = match entry {
            _ if line[..at.start].trim_end().len() == first_word(line) => "a name, which starts with a letter",
            _ if at.start > 0 && rows_first(line) => "the name of the block in front of its rows",
            EntryWord::Brew => "`of` and what the batch is of",
            EntryWord::Amend => "`of`, a block and a date",
            _ if entry.is_standing() => "a title in straight double quotes or the end of the line",
            EntryWord::Receive | EntryWord::Calibrate | EntryWord::Clean | EntryWord::Count | EntryWord::Discard => {
                "the end of the line"
            }
            EntryWord::Approve => "a comma and another material, or the end of the line",
            EntryWord::Train => "a comma and another person, or the end of the line",
            _ => "a comma and another block, rows such as `rows 1 to 9`, or the end of the line",
        }
        .to_string();
    }
    lost
}

/// Whether rows stand where the entry's name belongs.
fn rows_first(line: &str) -> bool {
    let second = line.split_whitespace().nth(1).unwrap_or_default();
    ["row", "rows", "alternate", "odd", "even"].iter().any(|word| word.eq_ignore_ascii_case(second))
}

/// Whether a rule reads all of a line.
pub(super) fn reads(rule: Rule, line: &str) -> bool {
    Journal::parse(rule, line).is_ok()
}

fn stopped(rule: Rule, line: &str, field: Option<FieldWord>, year: Option<i32>, known: &dyn Fn(&str) -> bool) -> Lost {
    let (stop, rules) = match Journal::parse(rule, line) {
        Ok(_) => (0, Vec::new()),
        Err(error) => {
            let stop = match error.location {
                InputLocation::Pos(stop) | InputLocation::Span((stop, _)) => stop,
            };
            match error.variant {
                ErrorVariant::ParsingError { positives, .. } => (stop, positives),
                ErrorVariant::CustomError { .. } => (stop, Vec::new()),
            }
        }
    };
    let takes_date = rules.iter().any(|&rule| expected::takes_date(rule));
    let takes_moment = rules.iter().any(|&rule| expected::takes_moment(rule));
    if (takes_date || takes_moment)
        && let Some(date) = other_date(&line[stop..], year)
        // `5.50` where a time could stand is a time.
        && (takes_date || line[stop..][date.at.clone()].contains(|mark: char| mark == '/' || mark.is_alphabetic()))
    {
        let at = stop + date.at.start..stop + date.at.end;
        return Lost::OtherDate(OtherDate { at, ..date });
    }
    let repair = repair::find(rule, line, stop, known);
    Lost::Stopped { field, at: token(line, stop), expected: expected::list(&rules, field, &line[..stop]), repair }
}

/// The word that begins at a place, behind any blanks.
fn token(line: &str, at: usize) -> Range<usize> {
    let rest = &line[at..];
    let start = at + (rest.len() - rest.trim_start().len());
    let word = &line[start..];
    let length = word.find([' ', '\t', ',']).unwrap_or(word.len());
    // A comma that stands where something else should is itself what is in the way.
    let length = if length == 0 && !word.is_empty() { 1 } else { length };
    start..start + length
}

#[cfg(test)]
mod tests {
    use super::{Lost, explain_field, explain_head};
    use crate::syntax::EntryWord;

    fn known(name: &str) -> bool {
        ["creek-pear", "t-marsh", "r-vale"].contains(&name)
    }

    fn shown(line: &str, lost: Lost) -> String {
        match lost {
            Lost::UnknownWord { word } => format!("unknown `{}`", &line[word]),
            Lost::Empty { field } => format!("empty `{}`", field.word()),
            Lost::OtherDate(date) => format!("date `{}` {:?}", &line[date.at], date.readings),
            Lost::Stopped { at, expected, repair, .. } => match repair {
                Some(repair) => format!("write `{}`: {}", repair.line, repair.why),
                None => format!("stopped at `{}`: {expected}", &line[at]),
            },
        }
    }

    #[track_caller]
    fn field(line: &str, wanted: &str) {
        assert_eq!(shown(line, explain_field(line, Some(2026), &known)), wanted, "{line}");
    }

    #[track_caller]
    fn head(line: &str, entry: EntryWord, wanted: &str) {
        assert_eq!(shown(line, explain_head(line, entry, Some(2026), &known)), wanted, "{line}");
    }

    #[test]
    fn first_words_and_empty_fields() {
        field("wether 52 F", "unknown `wether`");
        field("time", "empty `time`");
        field("ph # not measured", "empty `ph`");
        field("- foo", "stopped at `-`: a field's word");
    }

    #[test]
    fn reading_stops_where_something_else_should_stand() {
        field("over half an acre", "stopped at `half`: a quantity, such as `12 gal`");
        field("over 0.8 acre today", "stopped at `today`: the end of the line");
        field(
            "start soon",
            "stopped at `soon`: a date, such as 2026-04-20, `stage` and a growth stage, `BBCH` and its code, or what was \
             seen too much of",
        );
        field("canopy 10 ft", "stopped at `10`: how high and how wide, such as `10 ft high, 8 ft wide`");
        field("window 59 to 75", "stopped at `59`: growth stages by their codes, such as `BBCH 59 to 75`");
        field("halve 1 in", "stopped at `1`: `after` and so much rain, such as `after 1 in of rain`");
        field("rated 0.4 gal, 1 min", "stopped at `0.4`: an amount, and `in` how long, such as `0.4 gal in 1 min`");
        field("picking in September", "stopped at `in`: a date, such as 2026-05-14");
        field("time 05:50 to", "stopped at `to`: `to` and a time or the end of the line");
        field("fruit-set 40", "stopped at `40`: how many of how many, such as `7 of 100 leaves`");
        field("keep five years", "stopped at `five`: a whole number");
        field("history maybe", "stopped at `maybe`: `none`, or `from` and a date");
        field("rulebook us-organic since 2024", "stopped at `since`: the end of the line");
        field("signed r-vale", "stopped at `r-vale`: `by`, who signed, `on` and a date");
        head(
            "train t-marsh yesterday: both",
            EntryWord::Train,
            "stopped at `yesterday:`: a comma and another person, or the end of the line",
        );
        head("block 7", EntryWord::Block, "stopped at `7`: a name, which starts with a letter");
        head("2026-05-14 Thu morning", EntryWord::Day, "stopped at `morning`: the end of the line");
        head("spray rows 1 to 9", EntryWord::Spray, "stopped at `1`: the name of the block in front of its rows");
    }

    #[test]
    fn small_changes_that_make_a_line_readable() {
        for (line, changed) in [
            ("time 05:50 until 07:20", "time 05:50 to 07:20"),
            ("time 5.50 to 7.20", "time 5:50 to 7:20"),
            ("time 6am to 0730", "time 6:00 am to 07:30"),
            ("measured epsom salt 24 oz wt", "measured epsom-salt 24 oz wt"),
            ("measured sulfur about 2 lb", "measured sulfur 2 lb"),
            ("put 3 lb of sulfur", "put sulfur 3 lb"),
            ("by t-marsh r-vale", "by t-marsh, r-vale"),
            ("by t-marsh and r-vale", "by t-marsh, r-vale"),
            ("volume 1,250 gal", "volume 1250 gal"),
            ("over 0,5 acre", "over 0.5 acre"),
            ("over: 0.8 acre", "over 0.8 acre"),
            ("area 1½ acre", "area 1 1/2 acre"),
            ("over\u{a0}0.8 acre", "over 0.8 acre"),
            ("mix leaf-tonic 60 gal", "mix leaf-tonic, 60 gal"),
            ("rated 0.4 gal per min at 40 psi", "rated 0.4 gal in 1 min at 40 psi"),
            ("rated 1.5 L/min", "rated 1.5 L in 1 min"),
            ("measured sulfur 20 lb lot 7", "measured sulfur 20 lb, lot 7"),
            ("weather 52 F wind 3 mph NW", "weather 52 F, wind 3 mph NW"),
            ("rounds 3, every 7-10 days", "rounds 3, every 7 to 10 days"),
        ] {
            match explain_field(line, Some(2026), &known) {
                Lost::Stopped { repair: Some(repair), .. } => assert_eq!(repair.line, changed),
                other => panic!("{line}: {other:?}"),
            }
        }
        head("spray creek pear", EntryWord::Spray, "write `spray creek-pear`: a name has no spaces: `creek-pear`");
        head(
            "spray creek-pear r-vale",
            EntryWord::Spray,
            "write `spray creek-pear, r-vale`: a comma is missing before `r-vale`",
        );
        head(
            "brew whey 3 of culture",
            EntryWord::Brew,
            "write `brew whey-3 of culture`: a name has no spaces: `whey-3`",
        );
    }

    #[test]
    fn days_in_another_order() {
        field("signed by r-vale on 5/15", "date `5/15` [2026-05-15]");
        field("rulebook us-organic until 12/31/2026", "date `12/31/2026` [2026-12-31]");
        field("ready 5/6", "date `5/6` [2026-05-06, 2026-06-05]");
        field("entered May 14 06:00 by t-marsh", "date `May 14` [2026-05-14]");
        field("area 1 acre from 3/14/2024", "date `3/14/2024` [2024-03-14]");
        head("14.5.2026 Thu", EntryWord::Day, "date `14.5.2026` [2026-05-14]");
        head("Thu 14 May", EntryWord::Day, "date `Thu 14 May` [2026-05-14]");
        head("amend spray of creek-pear 5/14", EntryWord::Amend, "date `5/14` [2026-05-14]");
    }
}
