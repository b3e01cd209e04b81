//! Numbers and quantities as spreadsheets have them: thousands marks, decimal commas, fractions, `~`, units in the cell
//! or in the heading.

use serde::Deserialize;

use super::sheet::{Sheet, Value};
use crate::quantity::{Amount, Exact, Rate, Unit};

/// What stands before the decimals in a sheet's numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Decimals {
    /// `1,250.5`.
    Point,
    /// `1.250,5`.
    Comma,
    /// Nothing in the sheet tells.
    #[default]
    Unsettled,
}

impl Decimals {
    /// As the mapping file writes it.
    pub fn word(self) -> &'static str {
        match self {
            Decimals::Point => "point",
            Decimals::Comma => "comma",
            Decimals::Unsettled => "unsettled",
        }
    }
}

/// The decimal mark of some columns of words.
pub(super) fn decimals(sheet: &Sheet, rows: std::ops::Range<usize>, columns: &[usize]) -> Decimals {
    let (mut point, mut comma) = (false, false);
    for row in rows {
        for &column in columns {
            let Value::Text(words) = &sheet.cell(row, column).value else { continue };
            let digits = leading_number(words.trim_start_matches(['~', ' '])).0;
            match shape(digits) {
                Shape::Point => point = true,
                Shape::Comma => comma = true,
                Shape::Plain | Shape::Either => {}
            }
        }
    }
    match (point, comma) {
        (true, false) => Decimals::Point,
        (false, true) => Decimals::Comma,
        _ => Decimals::Unsettled,
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Shape {
    /// Has neither mark.
    Plain,
    /// Can only have a decimal point: `0.5`, `1,250,000`, `1,250.5`.
    Point,
    /// Can only have a decimal comma: `0,5`, `12,75`.
    Comma,
    /// `1,250` or `1.250`.
    Either,
}

fn shape(digits: &str) -> Shape {
    let marks: Vec<(usize, u8)> = digits.bytes().enumerate().filter(|(_, byte)| matches!(byte, b',' | b'.')).collect();
    let decimal = |mark: u8| if mark == b'.' { Shape::Point } else { Shape::Comma };
    let grouping = |mark: u8| if mark == b',' { Shape::Point } else { Shape::Comma };
    match marks[..] {
        [] => Shape::Plain,
        [(at, mark)] => {
            let (whole, behind) = (&digits[..at], digits.len() - at - 1);
            // `1,250` may be either; nobody groups `0,250` or `1250,500`.
            if behind != 3 || !(1..=3).contains(&whole.trim_start_matches('-').len()) || whole.starts_with('0') {
                decimal(mark)
            } else {
                Shape::Either
            }
        }
        [.., (_, before), (_, last)] if before == last => grouping(last),
        [.., (_, last)] => decimal(last),
    }
}

/// What a cell of a quantity says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Said {
    /// An amount, as the journal writes it, and its unit.
    Amount(String, Unit),
    /// A rate, as the journal writes it.
    Rate(String, Rate),
    /// A number without a unit.
    Bare(String),
}

/// A quantity, and what the grower should look at.
pub(super) type Quantity = (Said, Option<String>);

/// Reads a cell, with the unit of its column or of the cell beside it where it has none of its own.
///
/// # Errors
/// A sentence that says what is not understood.
pub(super) fn quantity(words: &str, unit: Option<&str>, decimal: Decimals) -> Result<Quantity, String> {
    let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
    let (bare, about) = without_about(&words);
    let mut doubt = about.then(|| format!("the sheet says `{words}`"));
    let (digits, rest) = leading_number(bare);
    if digits.is_empty() {
        return Err(format!("`{words}` does not begin with a number"));
    }
    if is_range(rest) {
        return Err(format!("`{words}` is a range"));
    }
    let (number, odd) = plain_number(digits, decimal).ok_or_else(|| format!("`{words}` is not understood"))?;
    if odd {
        doubt = Some(format!("`{digits}` is read as {number}"));
    }
    let own = rest.trim();
    let unit = if own.is_empty() { unit.unwrap_or_default() } else { own };
    if unit.is_empty() {
        return Ok((Said::Bare(number), doubt));
    }
    let unknown = || match own.is_empty() {
        true => format!("`{unit}` is no unit that is known"),
        // The whole cell: what stands before the unit is a fact, too.
        false => format!("`{words}`: `{unit}` is no unit that is known"),
    };
    Ok((with_unit(&number, unit).ok_or_else(unknown)?, doubt))
}

/// The quantity that a number and a unit make; the unit may be that of a rate.
pub(super) fn with_unit(number: &str, unit: &str) -> Option<Said> {
    if let Some(known) = Unit::named(unit) {
        if let Ok(rate) = Rate::parse(&format!("{number} {}", known.word())) {
            return Some(Said::Rate(format!("{number} {}", known.word()), rate));
        }
        Amount::read(number, known.word()).ok()?;
        return Some(Said::Amount(format!("{number} {}", known.word()), known));
    }
    let words = rate_unit(unit)?;
    let written = format!("{number} {words}");
    let rate = Rate::parse(&written).ok()?;
    Some(Said::Rate(written, rate))
}

/// `oz/100 gal` as `oz per 100 gal`, in the journal's own units.
pub(super) fn rate_unit(unit: &str) -> Option<String> {
    let (what, per) = match unit.to_ascii_lowercase().find(" per ") {
        Some(at) => (&unit[..at], &unit[at + 5..]),
        None => unit.split_once('/')?,
    };
    let what = Unit::named(what)?;
    let (count, per) = leading_number(per.trim());
    let row = per.trim().to_ascii_lowercase();
    let (per, row) = match row.strip_suffix(" row") {
        Some(per) => (per.trim_end_matches(" of"), " row"),
        None => (row.as_str(), ""),
    };
    let per = Unit::named(per)?;
    let count = plain_number(count, Decimals::Point).map(|(count, _)| format!("{count} ")).unwrap_or_default();
    Some(format!("{} per {count}{}{row}", what.word(), per.word()))
}

/// `~4`, `about 4`, `4 approx.`: the words without that, and whether it was there.
fn without_about(words: &str) -> (&str, bool) {
    const ABOUT: [&str; 9] = ["~", "approximately", "approx.", "approx", "about", "circa", "ca.", "ca ", "roughly"];
    let lower = words.to_ascii_lowercase();
    for about in ABOUT {
        if lower.starts_with(about) {
            return (words[about.len()..].trim_start(), true);
        }
    }
    for about in [" approx.", " approx", " or so", " ish"] {
        if lower.ends_with(about) {
            return (words[..words.len() - about.len()].trim_end(), true);
        }
    }
    (words, false)
}

/// The digits at the start, with their marks and fractions, and the rest.
pub(super) fn leading_number(words: &str) -> (&str, &str) {
    const FRACTIONS: &str = "½⅓⅔¼¾⅕⅛⅜⅝⅞";
    let bytes = words.as_bytes();
    let minus = usize::from(words.starts_with('-'));
    let run = |from: usize| {
        bytes[from..].iter().take_while(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b',')).count()
    };
    let below = |at: usize| {
        let digits = bytes.get(at).filter(|&&slash| slash == b'/').map_or(0, |_| run(at + 1));
        if digits > 0 { digits + 1 } else { 0 }
    };
    let mut end = minus + run(minus);
    let bottom = below(end);
    if end > minus && bottom > 0 {
        end += bottom;
    } else {
        let space = usize::from(bytes.get(end) == Some(&b' '));
        let sign = words[end..].trim_start_matches(' ').chars().next().filter(|sign| FRACTIONS.contains(*sign));
        let top = if end > minus { run(end + space) } else { 0 };
        if let Some(sign) = sign {
            end = words[end..].find(sign).map_or(end, |at| end + at + sign.len_utf8());
        } else if top > 0 && space == 1 && below(end + space + top) > 0 {
            end += space + top + below(end + space + top);
        }
    }
    if end == minus {
        return ("", words);
    }
    // A comma or full stop behind the number belongs to the sentence.
    let digits = words[..end].trim_end_matches([',', '.']);
    (digits, &words[digits.len()..])
}

/// Whether what follows a number makes it a range: `-4 oz`, ` to 4`.
fn is_range(rest: &str) -> bool {
    let rest = rest.trim_start();
    let behind = ["-", "\u{2013}", "\u{2014}", "to ", "or "].iter().find_map(|mark| rest.strip_prefix(mark));
    behind.is_some_and(|behind| behind.trim_start().starts_with(|digit: char| digit.is_ascii_digit()))
}

/// The number as the journal writes it, and whether another reading was possible.
pub(super) fn plain_number(digits: &str, decimal: Decimals) -> Option<(String, bool)> {
    let has_sign = digits.contains(|sign: char| !sign.is_ascii());
    if has_sign || digits.contains('/') {
        let number = Exact::parse(digits).ok().filter(|number| !number.is_negative())?;
        let (whole, rest) = (number.floor(), number.sub(Exact::int(i64::try_from(number.floor()).ok()?))?);
        let fraction = format!("{}/{}", rest.numerator(), rest.denominator());
        let plain = match (whole, rest.is_zero()) {
            (_, true) => whole.to_string(),
            (0, false) => fraction,
            (_, false) => format!("{whole} {fraction}"),
        };
        return Some((plain, false));
    }
    let shape = shape(digits);
    let comma_is_decimal = match (shape, decimal) {
        (Shape::Comma, _) | (Shape::Either, Decimals::Comma) => true,
        // `1.250` where nothing tells is taken as it would be typed, and so is `1,250`.
        (Shape::Plain | Shape::Point | Shape::Either, _) => false,
    };
    let plain = if comma_is_decimal { digits.replace('.', "").replace(',', ".") } else { digits.replace(',', "") };
    let plain = if plain.starts_with('.') { format!("0{plain}") } else { plain };
    Exact::parse(&plain).ok()?;
    let against = matches!((shape, decimal), (Shape::Point, Decimals::Comma) | (Shape::Comma, Decimals::Point));
    let open = shape == Shape::Either && decimal == Decimals::Unsettled;
    Some((plain, against || open))
}
