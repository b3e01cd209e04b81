//! Small changes after which a line can be read. A change is only offered once the grammar has read the changed line.

use super::explain::reads;
use super::grammar::Rule;

/// A small change after which a line can be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Repair {
    /// The whole line, changed.
    pub line: String,
    /// What was in the way, as a sentence without a full stop.
    pub why: String,
    /// Whether the line could just as well have meant something else.
    pub sure: bool,
}

/// A line changed in one way, and what was in the way; nothing where there is nothing to change.
type Change = fn(&str) -> Option<(String, String)>;

/// The first change that helps. `stop` is where reading stopped, `known` tells whether a name is declared.
pub(super) fn find(rule: Rule, line: &str, stop: usize, known: &dyn Fn(&str) -> bool) -> Option<Repair> {
    let anywhere: [Change; 14] = [
        odd_space,
        colon,
        quotes,
        fraction_sign,
        grouped_number,
        decimal_comma,
        clock,
        bare_hour,
        range,
        about,
        bound,
        nothing,
        per_time,
        swapped,
    ];
    for change in anywhere {
        if let Some((changed, why)) = change(line)
            && reads(rule, &changed)
        {
            return Some(Repair { line: changed, why, sure: true });
        }
    }
    at_stop(rule, line, stop, known)
}

/// A space of another kind than the plain one, as pages of the web use.
fn odd_space(line: &str) -> Option<(String, String)> {
    let odd = |character: char| character.is_whitespace() && !matches!(character, ' ' | '\t');
    if !line.contains(odd) {
        return None;
    }
    let why = "this line holds a space that is not a plain space, as copied text often does";
    Some((line.replace(odd, " "), why.to_string()))
}

/// `over: 0.8 acre`, `over = 0.8 acre`.
fn colon(line: &str) -> Option<(String, String)> {
    let word = super::read::first_word(line);
    let rest = line[word..].trim_start();
    let mark = rest.chars().next().filter(|mark| matches!(mark, ':' | '='))?;
    // A date says nothing about what is behind it.
    if line.starts_with(|first: char| first.is_ascii_digit()) {
        return None;
    }
    let changed = format!("{} {}", &line[..word], rest[mark.len_utf8()..].trim_start());
    Some((changed, format!("nothing stands between `{}` and what it says, not even a `{mark}`", &line[..word])))
}

/// Quotes as word processors bend them.
fn quotes(line: &str) -> Option<(String, String)> {
    let bent = ['\u{201c}', '\u{201d}', '\u{201e}', '\u{2018}', '\u{2019}', '\''];
    if !line.contains(bent) {
        return None;
    }
    Some((line.replace(bent, "\""), "a title stands in straight double quotes".to_string()))
}

/// `½` and its like.
fn fraction_sign(line: &str) -> Option<(String, String)> {
    const SIGNS: [(char, &str); 7] =
        [('½', "1/2"), ('¼', "1/4"), ('¾', "3/4"), ('⅓', "1/3"), ('⅔', "2/3"), ('⅛', "1/8"), ('⅕', "1/5")];
    let (sign, plain) = SIGNS.into_iter().find(|(sign, _)| line.contains(*sign))?;
    let mut changed = String::with_capacity(line.len() + 8);
    for character in line.chars() {
        match SIGNS.iter().find(|(sign, _)| *sign == character) {
            Some((_, plain)) => {
                if changed.ends_with(|before: char| before.is_ascii_digit()) {
                    changed.push(' ');
                }
                changed.push_str(plain);
            }
            None => changed.push(character),
        }
    }
    Some((changed, format!("`{sign}` is written `{plain}`")))
}

/// `1,250 gal`.
fn grouped_number(line: &str) -> Option<(String, String)> {
    let (at, before, behind) = comma_in_number(line)?;
    if behind != 3 || before > 3 {
        return None;
    }
    let start = at - before;
    let length = line[start..].bytes().take_while(|byte| byte.is_ascii_digit() || *byte == b',').count();
    let written = &line[start..start + length];
    let plain = written.replace(',', "");
    let changed = format!("{}{plain}{}", &line[..start], &line[start + length..]);
    Some((changed, format!("`{written}` has a comma in it: write {plain}, or a full stop if it is a decimal comma")))
}

/// `0,5 acre`.
fn decimal_comma(line: &str) -> Option<(String, String)> {
    let (at, before, behind) = comma_in_number(line)?;
    let written = &line[at - before..at + 1 + behind];
    let plain = written.replace(',', ".");
    let changed = format!("{}.{}", &line[..at], &line[at + 1..]);
    Some((changed, format!("`{written}` has a comma in it: decimals are written with a full stop, {plain}")))
}

/// The first comma between two digits, and how many digits stand before and behind it.
fn comma_in_number(line: &str) -> Option<(usize, usize, usize)> {
    let bytes = line.as_bytes();
    let digit = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
    let at = (1..bytes.len()).find(|&at| bytes[at] == b',' && digit(at - 1) && digit(at + 1))?;
    let before = bytes[..at].iter().rev().take_while(|byte| byte.is_ascii_digit()).count();
    let behind = bytes[at + 1..].iter().take_while(|byte| byte.is_ascii_digit()).count();
    Some((at, before, behind))
}

/// `6am`, `5.50`, `0550`, in a line of times.
fn clock(line: &str) -> Option<(String, String)> {
    let mut first = None;
    let changed = each_word(line, |word| {
        let digits = word.trim_end_matches(|letter: char| letter.is_ascii_alphabetic());
        let half = &word[digits.len()..];
        let is_half = half.eq_ignore_ascii_case("am") || half.eq_ignore_ascii_case("pm");
        let numeric = |part: &str, lengths: &[usize]| {
            lengths.contains(&part.len()) && part.bytes().all(|byte| byte.is_ascii_digit())
        };
        let plain = match digits.split_once(['.', 'h']) {
            Some((hour, minute)) if numeric(hour, &[1, 2]) && numeric(minute, &[2]) && (is_half || half.is_empty()) => {
                format!("{hour}:{minute}")
            }
            None if is_half && numeric(digits, &[1, 2]) => format!("{digits}:00"),
            None if numeric(digits, &[4]) && half.is_empty() => format!("{}:{}", &digits[..2], &digits[2..]),
            _ => return None,
        };
        let plain = if half.is_empty() { plain } else { format!("{plain} {half}") };
        first.get_or_insert_with(|| (word.to_string(), plain.clone()));
        Some(plain)
    })?;
    let (written, plain) = first?;
    Some((changed, format!("the time `{written}` is written `{plain}`")))
}

/// `6 to 7`, `6 am`, in a line of times.
fn bare_hour(line: &str) -> Option<(String, String)> {
    let field = &line[..super::read::first_word(line)];
    // Elsewhere a small number is more likely a number.
    if !["time", "up", "down"].iter().any(|timed| timed.eq_ignore_ascii_case(field)) {
        return None;
    }
    let mut first = None;
    let changed = each_word(line, |word| {
        let hour = matches!(word.len(), 1 | 2) && word.bytes().all(|byte| byte.is_ascii_digit());
        if !hour {
            return None;
        }
        first.get_or_insert_with(|| word.to_string());
        Some(format!("{word}:00"))
    })?;
    let hour = first?;
    Some((changed, format!("a time has hours and minutes: `{hour}` is written `{hour}:00`")))
}

/// `below 85 F`, `max 10 mph`, `most 2 oz per gal`.
fn bound(line: &str) -> Option<(String, String)> {
    let mut first = None;
    let mut before = String::new();
    let changed = each_word(line, |word| {
        let lower = word.to_lowercase();
        let said = std::mem::replace(&mut before, lower.clone());
        let plain = match lower.as_str() {
            "below" | "under" | "max" | "max." | "maximum" | "<" | "<=" => "at most",
            "most" if said != "at" => "at most",
            "above" | "over" | "min" | "min." | "minimum" | ">" | ">=" => "at least",
            "least" if said != "at" => "at least",
            _ => return None,
        };
        // The word of the field itself stays.
        if said.is_empty() {
            return None;
        }
        first.get_or_insert_with(|| (word.to_string(), plain));
        Some(plain.to_string())
    })?;
    let (written, plain) = first?;
    Some((changed, format!("a limit is written `at most` or `at least`: `{written}` is `{plain}`")))
}

/// `rain none`.
fn nothing(line: &str) -> Option<(String, String)> {
    let (field, word) = line.split_once(char::is_whitespace)?;
    let none = matches!(word.trim().to_lowercase().as_str(), "none" | "no" | "nil" | "zero" | "nothing");
    let zero = if field.eq_ignore_ascii_case("rain") { "0 in" } else { "0" };
    none.then(|| (format!("{field} {zero}"), format!("nothing is written as a number: `{zero}`")))
}

/// `rated 0.4 gal per min`, `rated 1.5 L/min`.
fn per_time(line: &str) -> Option<(String, String)> {
    let word = super::read::first_word(line);
    if !line[..word].eq_ignore_ascii_case("rated") {
        return None;
    }
    let per = [" per ", "/"].into_iter().find(|per| line.contains(per))?;
    let why = "what a nozzle gives is written with the time that it took: `in 1 min`";
    Some((line.replacen(per, " in 1 ", 1), why.to_string()))
}

/// `7-10 days`, `05:50 until 07:20`.
fn range(line: &str) -> Option<(String, String)> {
    let mut first = None;
    let changed = each_word(line, |word| {
        let plain = match word.split_once(['-', '\u{2013}', '\u{2014}']) {
            Some(("", "")) => "to".to_string(),
            Some((low, high)) if in_numbers(low) && in_numbers(high) => format!("{low} to {high}"),
            _ if ["until", "till", "through", "thru"].iter().any(|until| until.eq_ignore_ascii_case(word)) => {
                "to".to_string()
            }
            _ => return None,
        };
        first.get_or_insert_with(|| (word.to_string(), plain.clone()));
        Some(plain)
    })?;
    let (written, plain) = first?;
    Some((changed, format!("`{written}` is written `{plain}`")))
}

fn in_numbers(part: &str) -> bool {
    part.starts_with(|first: char| first.is_ascii_digit())
        && part.bytes().all(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b':' | b'/'))
}

/// `about 2 lb`.
fn about(line: &str) -> Option<(String, String)> {
    let mut left_out = None;
    let changed = each_word(line, |word| {
        let roughly = ["about", "approx", "approx.", "approximately", "roughly", "ca", "ca.", "circa", "~"];
        if roughly.iter().any(|about| about.eq_ignore_ascii_case(word)) {
            left_out.get_or_insert_with(|| word.to_string());
            return Some(String::new());
        }
        Some(word.strip_prefix('~').filter(|rest| in_numbers(rest))?.to_string())
    })?;
    let word = left_out.unwrap_or_else(|| "~".to_string());
    Some((changed, format!("a quantity is a plain number, without `{word}`; say in a note that it was estimated")))
}

/// `put 3 lb sulfur`, `put 3 lb of sulfur`.
fn swapped(line: &str) -> Option<(String, String)> {
    let word = super::read::first_word(line);
    let rest = line[word..].trim();
    let (amount, name) = rest.rsplit_once([' ', '\t'])?;
    if !amount.starts_with(|first: char| first.is_ascii_digit()) || !name.starts_with(char::is_alphabetic) {
        return None;
    }
    let amount = amount.trim_end();
    let amount = amount.strip_suffix(" of").unwrap_or(amount).trim_end();
    Some((format!("{} {name} {amount}", &line[..word]), "the name comes first, then how much".to_string()))
}

/// The line with some of its words changed; nothing where none was.
fn each_word(line: &str, mut change: impl FnMut(&str) -> Option<String>) -> Option<String> {
    let mut changed = false;
    let mut words: Vec<String> = Vec::new();
    for word in line.split_whitespace() {
        let bare = word.trim_end_matches(',');
        match change(bare) {
            Some(new) => {
                changed = true;
                if !new.is_empty() {
                    words.push(format!("{new}{}", &word[bare.len()..]));
                }
            }
            None => words.push(word.to_string()),
        }
    }
    changed.then(|| words.join(" "))
}

/// What can be put right where reading stopped: a comma left out, `and` for a comma, a name with spaces.
fn at_stop(rule: Rule, line: &str, stop: usize, known: &dyn Fn(&str) -> bool) -> Option<Repair> {
    let (before, behind) = (line[..stop].trim_end(), line[stop..].trim_start());
    let next = behind.split([' ', '\t', ',']).next().unwrap_or_default();
    if before.is_empty() || next.is_empty() {
        return None;
    }
    if ["and", "&", "+"].iter().any(|and| and.eq_ignore_ascii_case(next)) {
        let changed = format!("{before}, {}", behind[next.len()..].trim_start());
        let why = format!("a comma stands between two of a kind, not `{next}`");
        return reads(rule, &changed).then_some(Repair { line: changed, why, sure: true });
    }
    let comma = || {
        let changed = format!("{before}, {behind}");
        let why = format!("a comma is missing before `{next}`");
        reads(rule, &changed).then_some(Repair { line: changed, why, sure: true })
    };
    let last = before.rsplit([' ', '\t', ',']).next().unwrap_or_default();
    match spaced_name(rule, before, behind) {
        Some((changed, name)) if known(&name) => Some(joined(changed, &name, true)),
        Some((changed, name)) => {
            let comma = comma()
                .filter(|_| known(next) || known(last) || next.starts_with(|first: char| first.is_ascii_digit()));
            Some(comma.unwrap_or_else(|| joined(changed, &name, false)))
        }
        None => comma(),
    }
}

fn joined(line: String, name: &str, sure: bool) -> Repair {
    Repair { line, why: format!("a name has no spaces: `{name}`"), sure }
}

/// `spray creek pear`: the line with hyphens in the name, and the name.
fn spaced_name(rule: Rule, before: &str, behind: &str) -> Option<(String, String)> {
    let start = before.rfind([' ', '\t', ',']).map_or(0, |at| at + 1);
    let first = &before[start..];
    // The first word of the line is not a part of a name.
    if start == 0 || !is_name_part(first) || is_keyword(first) || !first.starts_with(char::is_alphabetic) {
        return None;
    }
    let mut name = first.to_string();
    let mut rest = behind;
    let mut name_ends_in_number = false;
    // Names of more than five words are sentences.
    for _ in 0..4 {
        let next = rest.split([' ', '\t', ',']).next().unwrap_or_default();
        // A number can only end a name: `whey 3`.
        if !is_name_part(next) || is_keyword(next) || name_ends_in_number {
            return None;
        }
        name_ends_in_number = !next.starts_with(char::is_alphabetic);
        name.push('-');
        name.push_str(next);
        rest = &rest[next.len()..];
        let changed = format!("{}{name}{rest}", &before[..start]);
        if reads(rule, &changed) {
            return Some((changed, name));
        }
        rest = rest.trim_start();
    }
    None
}

fn is_keyword(word: &str) -> bool {
    let keywords =
        ["rows", "row", "of", "on", "with", "from", "to", "per", "at", "alternate", "odd", "even", "until", "since"];
    keywords.iter().any(|keyword| keyword.eq_ignore_ascii_case(word))
}

fn is_name_part(word: &str) -> bool {
    !word.is_empty() && word.chars().all(|character| character.is_alphanumeric() || matches!(character, '-' | '_'))
}
