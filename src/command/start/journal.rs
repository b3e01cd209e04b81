//! The texts of a first journal, and whether they are sound.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use chrono::NaiveDate;
use chrono_tz::Tz;

use super::Units;
use crate::finding::Finding;
use crate::journal::nearest_word;
use crate::text::{SourceId, Sources, is_hidden};
use crate::{Farm, check_farm};

/// What git is to pass over.
pub(super) const IGNORE_FILE: &str = "\
# What `foliary report --out records` writes; it can be written again.
/records/
";

/// What a first journal is made of.
pub(super) struct Asked {
    pub(super) farm: String,
    pub(super) zone: Tz,
    pub(super) units: Units,
    pub(super) blocks: Vec<BlockAsked>,
    pub(super) people: Vec<String>,
}

/// A block as it was asked for.
#[derive(Clone, Debug)]
pub(super) struct BlockAsked {
    title: String,
    crop: String,
    area: String,
}

/// Words that can stand in a title or a field: one line, and nothing that ends it early.
pub(super) fn plain(words: &str) -> Result<String, String> {
    let words = words.trim();
    if words.is_empty() {
        return Err("there is nothing in it".to_string());
    }
    let one_line = |words: String| words.split_whitespace().collect::<Vec<_>>().join(" ");
    match words.chars().find(|&letter| matches!(letter, '"' | '#' | '\t' | '\n' | '\r') || is_hidden(letter)) {
        Some('#') => {
            Err(format!("a `#` begins a remark, so it may not hold one; write `{}`", one_line(words.replace('#', " "))))
        }
        Some('"') => {
            Err(format!("a `\"` ends a name, so it may not hold one; write `{}`", one_line(words.replace('"', "'"))))
        }
        Some('\t' | '\n' | '\r') => {
            Err(format!("it is one line without a tab; write `{}`", one_line(words.to_string())))
        }
        Some(letter) => {
            Err(format!("it may not hold a character that is not seen, U+{:04X}; type it anew", u32::from(letter)))
        }
        None => Ok(words.to_string()),
    }
}

/// A time zone by its name.
pub(super) fn zone(words: &str) -> Result<Tz, String> {
    let words = words.trim();
    let names = || chrono_tz::TZ_VARIANTS.iter().map(|zone| zone.name());
    let known = chrono_tz::TZ_VARIANTS.iter().find(|zone| zone.name().eq_ignore_ascii_case(words));
    known.copied().ok_or_else(|| match nearest_word(words, names()) {
        Some(near) => format!("no time zone is called so; did you mean {near}?"),
        None => "no time zone is called so; it is written as America/Boise or Europe/Dublin".to_string(),
    })
}

/// A block as `Creek pears, pear, 1.2 acre`.
pub(super) fn block(words: &str) -> Result<BlockAsked, String> {
    let words = plain(words)?;
    let parts: Vec<&str> = words.rsplitn(3, ',').map(str::trim).collect();
    let [area, crop, title] = parts[..] else {
        let commas = words.replace(';', ",");
        let instead = if commas.matches(',').count() == 2 { commas } else { "Creek pears, pear, 1.2 acre".to_string() };
        return Err(format!("a block is name, crop and area with commas between: write `{instead}`"));
    };
    if let Some(instead) = with_point(&words) {
        return Err(format!("a number is written with a point and without a comma: write {instead}"));
    }
    let block = BlockAsked { title: plain(title)?, crop: plain(crop)?, area: plain(area)? };
    // Each by itself, so that what is told is of that one.
    let judged = |crop: &str, area: &str| {
        let mut text = String::new();
        BlockAsked { crop: crop.to_string(), area: area.to_string(), ..block.clone() }.write(&mut text, "block");
        found(&[text], None)
    };
    if let Some(finding) = judged("pear", &block.area) {
        return Err(format!(
            "{}. An area is a number and its unit, as `1.2 acre`, `0.5 ha` or `800 sq ft`",
            finding.headline
        ));
    }
    match judged(&block.crop, &block.area) {
        None => Ok(block),
        Some(finding) => Err(match as_name(&block.crop) {
            name if judged(&name, &block.area).is_none() => format!(
                "`{crop}` is no name of a crop, which holds letters, digits and hyphens and begins with a letter; \
                 write `{title}, {name}, {area}`"
            ),
            _ => format!("{}. A crop is a name, as `pear`", finding.headline),
        }),
    }
}

/// What to write in the place of `Creek, pear, 1,5 acre`; nothing where its last comma is in no number.
fn with_point(words: &str) -> Option<String> {
    let (before, behind) = words.rsplit_once(',')?;
    let is_digit = |letter: char| letter.is_ascii_digit();
    let whole = &before[before.trim_end_matches(is_digit).len()..];
    let decimals = behind.len() - behind.trim_start_matches(is_digit).len();
    if whole.is_empty() || decimals == 0 {
        return None;
    }
    // Thousands, or decimals.
    let thousands = (decimals == 3).then(|| format!("`{before}{behind}` or "));
    Some(format!("{}`{before}.{behind}`", thousands.unwrap_or_default()))
}

/// A person's full name.
pub(super) fn person(words: &str) -> Result<String, String> {
    let name = plain(words)?;
    sound(&[format!("person person \"{name}\"\n")], None).map(|()| name)
}

impl BlockAsked {
    fn write(&self, text: &mut String, name: &str) {
        let _ = write!(text, "block {name} \"{}\"\n    crop {}\n    area {}\n", self.title, self.crop, self.area);
    }
}

/// The first files of a journal.
pub(super) struct FirstJournal {
    pub(super) farm: String,
    pub(super) page: String,
    pub(super) page_name: String,
    day: NaiveDate,
}

impl FirstJournal {
    pub(super) fn new(asked: &Asked, day: NaiveDate) -> Self {
        let mut taken = BTreeSet::new();
        let mut farm = String::from(
            "# Every file here that ends in .spray is part of the journal. `foliary check`\n\
             # looks for slips, and `foliary language` tells what can be written.\n\n",
        );
        let name = name(&asked.farm, "farm", &mut taken);
        let _ = write!(
            farm,
            "farm {name} \"{}\"\n    units {}\n    timezone {}\n",
            asked.farm,
            asked.units.word(),
            asked.zone.name()
        );
        farm.push_str("    # The rules that you work under; `foliary rulebook` lists them.\n    # rulebook   ____\n");
        let mut first_block = None;
        for block in &asked.blocks {
            let name = self::name(&block.title, "block", &mut taken);
            farm.push('\n');
            block.write(&mut farm, &name);
            first_block.get_or_insert(name);
        }
        let mut first_person = None;
        for person in &asked.people {
            let name = self::name(person, "person", &mut taken);
            let _ = write!(farm, "\nperson {name} \"{person}\"\n    role applicator\n");
            first_person.get_or_insert(name);
        }
        farm.push('\n');
        farm.push_str(materials(asked.units));
        let page = page(day, &first_block.unwrap_or_default(), &first_person.unwrap_or_default(), asked.units);
        Self { farm, page, page_name: day.format("%Y.spray").to_string(), day }
    }

    /// What is wrong with it, by the checks that judge every journal.
    pub(super) fn judge(&self) -> Result<(), String> {
        let texts = [self.farm.clone(), self.page.clone()];
        sound(&texts, Some(self.day)).map_err(|why| format!("nothing was written: {why}"))
    }
}

/// The first thing that the checks find in a journal of some texts. What is typed on a command line is never too large.
fn found(texts: &[String], as_of: Option<NaiveDate>) -> Option<Finding> {
    let mut sources = Sources::new();
    let files: Vec<SourceId> = texts.iter().filter_map(|text| sources.add("farm.spray", text.clone()).ok()).collect();
    check_farm(&sources, Farm { files: &files, missing: &[] }, as_of).into_iter().next()
}

/// What the checks find in a journal of some texts, in words.
fn sound(texts: &[String], as_of: Option<NaiveDate>) -> Result<(), String> {
    found(texts, as_of).map_or(Ok(()), |finding| {
        let help = finding.help.map(|help| format!(". {help}")).unwrap_or_default();
        Err(format!("{}{help}", finding.headline))
    })
}

/// Words as a name: lower case, hyphens between.
fn as_name(words: &str) -> String {
    let lower = words.to_lowercase();
    let parts: Vec<&str> =
        lower.split(|letter: char| !letter.is_alphanumeric()).filter(|part| !part.is_empty()).collect();
    parts.join("-")
}

/// A title as a name: its letters and digits with hyphens between, and different from all others.
fn name(title: &str, kind: &str, taken: &mut BTreeSet<String>) -> String {
    let mut plain = as_name(title);
    if !plain.starts_with(char::is_alphabetic) {
        plain = [kind, &plain].iter().filter(|part| !part.is_empty()).copied().collect::<Vec<_>>().join("-");
    }
    let mut name = plain.clone();
    let mut number = 2;
    while !taken.insert(name.clone()) {
        name = format!("{plain}-{number}");
        number += 1;
    }
    name
}

/// A material and a mix to fill in. No number of theirs is supplied: they come from the label.
fn materials(units: Units) -> &'static str {
    match units {
        Units::Metric => {
            "\
# What goes into the tank, copied from its label: Foliary supplies no rate and
# no interval. Take off the `#` and fill in the blanks.
#
# material leaf-food \"Leaf food\"
#     form liquid
#     rate ____ to ____ mL per L
#     reentry ____ h
#     preharvest ____ days
#     label ____
#
# mix leaf-tonic
#     in 1 L
#     put leaf-food ____ mL
#     total at most ____ % v/v
"
        }
        Units::Us | Units::Imperial => {
            "\
# What goes into the tank, copied from its label: Foliary supplies no rate and
# no interval. Take off the `#` and fill in the blanks.
#
# material leaf-food \"Leaf food\"
#     form liquid
#     rate ____ to ____ fl oz per gal
#     reentry ____ h
#     preharvest ____ days
#     label ____
#
# mix leaf-tonic
#     in 1 gal
#     put leaf-food ____ fl oz
#     total at most ____ oz per gal
"
        }
    }
}

/// The first page: its date, and a spray to fill in.
fn page(day: NaiveDate, block: &str, person: &str, units: Units) -> String {
    let (volume, warmth, wind) = match units {
        Units::Metric => ("L", "C", "km/h"),
        Units::Us | Units::Imperial => ("gal", "F", "mph"),
    };
    format!(
        "\
# Each day begins with its date; what was done stands below.

{}

# A spray, once its mix is in farm.spray: take off the `#`, fill in the blanks.
#
# spray {block}
#     mix leaf-tonic, ____ {volume}
#     time ____ to ____
#     by {person}
#     weather ____ {warmth}, wind ____ {wind} ____, humidity ____ %
#     reason nutrition
#     note ____
",
        day.format("%Y-%m-%d %a")
    )
}
