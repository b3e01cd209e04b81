//! A rulebook's file, read. Anything that a file should not say is refused with its line: a misspelt key must not
//! silently ask for less.

use std::fmt;

use chrono::NaiveDate;
use serde::Deserialize;
use toml::value::Datetime;

use super::{Demand, Element, Keep, KeepFrom, Known, LabelLimit, Rule, Rulebook, Sort, TimeSpan, UseLimit, When};
use crate::journal::{Course, Origin, SampleKind, Status, WaterKind};
use crate::quantity::{Amount, Dimension, Exact};
use crate::trade::DropletClass;

/// Why a rulebook cannot be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RulebookTrouble {
    /// The file, as it was named.
    pub file: String,
    /// The rule, where it is one's.
    pub rule: Option<String>,
    /// What is wrong.
    pub why: String,
}

impl fmt::Display for RulebookTrouble {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.rule {
            Some(rule) => write!(out, "{}: rule {rule}: {}", self.file, self.why),
            None => write!(out, "{}: {}", self.file, self.why),
        }
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct RawBook {
    name: String,
    title: String,
    place: String,
    sort: String,
    authority: String,
    citation: String,
    about: String,
    set_down: Datetime,
    #[serde(default)]
    cautions: Vec<String>,
    #[serde(default, rename = "rule")]
    rules: Vec<RawRule>,
}

/// A key that is none of these belongs to what the rule asks for, or to nothing, which [`Own`] finds out.
#[derive(Deserialize)]
#[serde(rename_all = "kebab-case")]
struct RawRule {
    id: String,
    asks: String,
    citation: String,
    from: Option<Datetime>,
    until: Option<Datetime>,
    known: String,
    known_on: Option<String>,
    says: String,
    #[serde(default)]
    when: RawWhen,
    #[serde(flatten)]
    own: toml::Table,
}

#[derive(Default, Deserialize)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
struct RawWhen {
    workers: Option<bool>,
    enclosed: Option<bool>,
    organic: Option<bool>,
    against: Option<bool>,
    licensed: Option<bool>,
    respirator: bool,
    statuses: Vec<String>,
    classes: Vec<String>,
    crops: Vec<String>,
    methods: Vec<String>,
    area_at_least: Option<String>,
    label_limits: Option<String>,
}

/// More rules than any law has: what is longer is no rulebook, and would only take time.
const MOST_RULES: usize = 2_000;

/// Reads a rulebook. `file` is how its messages name it.
///
/// # Errors
/// The first thing that cannot be used.
pub fn read(file: &str, text: &str) -> Result<Rulebook, RulebookTrouble> {
    let raw: RawBook = toml::from_str(text).map_err(|error| trouble(file, None, syntax(text, &error)))?;
    let whole = |why: String| trouble(file, None, why);
    let name_fits = |name: &str| {
        !name.is_empty() && name.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
    };
    if !name_fits(&raw.name) || !raw.name.starts_with(|first: char| first.is_ascii_lowercase()) {
        return Err(whole(format!("its name `{}` is not made of lower-case letters, digits and hyphens", raw.name)));
    }
    if raw.rules.len() > MOST_RULES {
        return Err(whole(format!("it has {} rules; no more than {MOST_RULES} are read", raw.rules.len())));
    }
    let mut rules: Vec<Rule> = Vec::with_capacity(raw.rules.len());
    for rule in raw.rules {
        let id = rule.id.clone();
        if rules.iter().any(|known| known.id == id) {
            return Err(trouble(file, Some(id), "another rule has the same id".into()));
        }
        rules.push(one_rule(rule).map_err(|why| trouble(file, Some(id), why))?);
    }
    Ok(Rulebook {
        sort: choice("sort", &raw.sort, SORTS).map_err(whole)?,
        set_down: day("set-down", raw.set_down).map_err(whole)?,
        name: raw.name,
        title: raw.title,
        place: raw.place,
        authority: raw.authority,
        citation: raw.citation,
        about: raw.about.trim().to_string(),
        cautions: raw.cautions,
        own: false,
        rules,
    })
}

fn trouble(file: &str, rule: Option<String>, why: String) -> RulebookTrouble {
    RulebookTrouble { file: file.to_string(), rule, why }
}

/// The reader's message, with its line.
fn syntax(text: &str, error: &toml::de::Error) -> String {
    let line = error.span().map(|span| 1 + text[..span.start.min(text.len())].matches('\n').count());
    let message = error.message().replace('\n', " ");
    match line {
        Some(line) => format!("line {line}: {message}"),
        None => message,
    }
}

const SORTS: &[(&str, Sort)] = &[("law", Sort::Law), ("scheme", Sort::Scheme), ("guide", Sort::Guide)];
const KNOWN: &[(&str, Known)] = &[("text", Known::Text), ("guidance", Known::Guidance), ("memory", Known::Memory)];
const KEEPS: &[(&str, KeepFrom)] = &[
    ("spray", KeepFrom::Spray),
    ("record", KeepFrom::Record),
    ("reentry", KeepFrom::Reentry),
    ("year-end", KeepFrom::YearEnd),
    ("last-entry", KeepFrom::LastEntry),
];
const LABEL_LIMITS: &[(&str, LabelLimit)] =
    &[("time", LabelLimit::Time), ("stage", LabelLimit::Stage), ("weather", LabelLimit::Weather)];

fn choice<T: Copy>(key: &str, written: &str, table: &[(&str, T)]) -> Result<T, String> {
    table.iter().find(|(word, _)| *word == written).map(|(_, value)| *value).ok_or_else(|| {
        let words: Vec<&str> = table.iter().map(|(word, _)| *word).collect();
        format!("`{key}` is `{written}`; it can be {}", words.join(", "))
    })
}

/// One of the journal's own choices.
fn word<T: Copy>(key: &str, written: &str, all: &[T], words: &[&str]) -> Result<T, String> {
    let at = words.iter().position(|word| *word == written);
    at.and_then(|at| all.get(at))
        .copied()
        .ok_or_else(|| format!("`{key}` is `{written}`; it can be {}", words.join(", ")))
}

fn day(key: &str, written: Datetime) -> Result<NaiveDate, String> {
    let date = written.date.filter(|_| written.time.is_none() && written.offset.is_none());
    date.and_then(|date| NaiveDate::from_ymd_opt(i32::from(date.year), u32::from(date.month), u32::from(date.day)))
        .ok_or_else(|| format!("`{key}` is not a day such as 2026-05-14"))
}

fn one_rule(raw: RawRule) -> Result<Rule, String> {
    let mut own = Own { table: raw.own };
    let demand = demand(&raw.asks, &mut own)?;
    own.nothing_left(&raw.asks)?;
    let from = raw.from.map(|from| day("from", from)).transpose()?;
    let until = raw.until.map(|until| day("until", until)).transpose()?;
    if let (Some(from), Some(until)) = (from, until)
        && from > until
    {
        return Err(format!("it begins on {from}, after it ends on {until}"));
    }
    for (key, words) in [("citation", &raw.citation), ("says", &raw.says)] {
        if words.trim().is_empty() {
            return Err(format!("`{key}` is empty"));
        }
    }
    Ok(Rule {
        id: raw.id,
        demand,
        when: when(raw.when)?,
        citation: raw.citation,
        from,
        until,
        known: choice("known", &raw.known, KNOWN)?,
        known_on: raw.known_on,
        says: raw.says,
    })
}

fn when(raw: RawWhen) -> Result<When, String> {
    let statuses = raw.statuses.iter().map(|status| status_of("statuses", status));
    Ok(When {
        workers: raw.workers,
        enclosed: raw.enclosed,
        organic: raw.organic,
        against: raw.against,
        licensed: raw.licensed,
        respirator: raw.respirator,
        statuses: statuses.collect::<Result<_, _>>()?,
        classes: lower(raw.classes),
        crops: lower(raw.crops),
        methods: lower(raw.methods),
        area_at_least: raw.area_at_least.map(|area| amount("area-at-least", &area, Dimension::Area)).transpose()?,
        label_limits: raw.label_limits.map(|limit| choice("label-limits", &limit, LABEL_LIMITS)).transpose()?,
    })
}

fn lower(words: Vec<String>) -> Vec<String> {
    words.into_iter().map(|word| word.to_lowercase()).collect()
}

fn droplets(key: &str, written: &str) -> Result<DropletClass, String> {
    let words: Vec<&str> = DropletClass::ALL.iter().map(|class| class.word()).collect();
    word(key, written, DropletClass::ALL, &words)
}

fn status_of(key: &str, written: &str) -> Result<Status, String> {
    word(key, written, Status::ALL, Status::WORDS)
}

fn amount(key: &str, written: &str, dimension: Dimension) -> Result<Amount, String> {
    let amount = Amount::parse(written).ok().filter(|amount| amount.unit.dimension() == dimension);
    amount.ok_or_else(|| format!("`{key}` is `{written}`, which is no {}", dimension.word()))
}

fn seconds(key: &str, written: &str) -> Result<i64, String> {
    let seconds = amount(key, written, Dimension::Time)?.base().and_then(|base| i64::try_from(base.ceil()).ok());
    seconds.ok_or_else(|| format!("`{key}` is `{written}`, which is no time"))
}

fn time_span(key: &str, written: &str) -> Result<TimeSpan, String> {
    if written == "same day" {
        return Ok(TimeSpan::SameDay);
    }
    let time = amount(key, written, Dimension::Time)?;
    let whole_days = time.unit == crate::quantity::Unit::DAY && time.value.is_integer();
    if whole_days && let Ok(days) = u32::try_from(time.value.floor()) {
        return Ok(TimeSpan::Days(days));
    }
    Ok(TimeSpan::Seconds(seconds(key, written)?))
}

/// The keys that belong to a rule's own demand, taken out one by one: what is left belongs to nothing.
struct Own {
    table: toml::Table,
}

impl Own {
    fn take<T: for<'de> Deserialize<'de>>(&mut self, key: &str, what: &str) -> Result<Option<T>, String> {
        let Some(value) = self.table.remove(key) else { return Ok(None) };
        value.try_into().map(Some).map_err(|_| format!("`{key}` is not {what}"))
    }

    fn need<T>(key: &str, value: Option<T>) -> Result<T, String> {
        value.ok_or_else(|| format!("`{key}` is missing"))
    }

    fn text(&mut self, key: &str) -> Result<String, String> {
        Self::need(key, self.some_text(key)?)
    }

    fn some_text(&mut self, key: &str) -> Result<Option<String>, String> {
        self.take(key, "words in double quotes")
    }

    fn number(&mut self, key: &str) -> Result<u32, String> {
        Self::need(key, self.some_number(key)?)
    }

    fn some_number(&mut self, key: &str) -> Result<Option<u32>, String> {
        self.take(key, "a whole number")
    }

    fn flag(&mut self, key: &str) -> Result<bool, String> {
        Ok(self.take(key, "true or false")?.unwrap_or(false))
    }

    fn list(&mut self, key: &str) -> Result<Vec<String>, String> {
        Ok(self.take(key, "a list of words in double quotes")?.unwrap_or_default())
    }

    fn full_list(&mut self, key: &str) -> Result<Vec<String>, String> {
        let list = self.list(key)?;
        if list.is_empty() { Err(format!("`{key}` is missing")) } else { Ok(list) }
    }

    fn seconds(&mut self, key: &str) -> Result<i64, String> {
        seconds(key, &self.text(key)?)
    }

    fn pair<T: for<'de> Deserialize<'de>>(&mut self, key: &str, what: &str) -> Result<Option<(T, T)>, String> {
        self.take(key, what)
    }

    fn nothing_left(self, asks: &str) -> Result<(), String> {
        match self.table.keys().next() {
            Some(key) => Err(format!("`{key}` is no key of a rule that asks for `{asks}`")),
            None => Ok(()),
        }
    }
}

fn demand(asks: &str, own: &mut Own) -> Result<Demand, String> {
    Ok(match asks {
        "elements" => {
            let named = |name: &String| {
                Element::named(name)
                    .ok_or_else(|| format!("`elements` names `{name}`, which is no element of a record"))
            };
            Demand::Elements(own.full_list("elements")?.iter().map(named).collect::<Result<_, _>>()?)
        }
        "deadline" => Demand::Deadline(time_span("within", &own.text("within")?)?),
        "machine-readable" => Demand::MachineReadable(time_span("within", &own.text("within")?)?),
        "monthly-report" => match own.number("by-day")? {
            day @ 1..=28 => Demand::MonthlyReport { day },
            day => return Err(format!("`by-day` is {day}; it can be 1 to 28")),
        },
        "keep" => {
            let from = choice("counted-from", &own.text("counted-from")?, KEEPS)?;
            Demand::Keep(Keep { years: own.number("years")?, from })
        }
        "display" => Demand::Display {
            up_within: own.seconds("up-within")?,
            before_entry: own.flag("before-entry")?,
            stays: own.seconds("stays")?,
        },
        "signs" => Demand::Signs {
            outdoors_over: own.seconds("outdoors-over")?,
            enclosed_over: own.seconds("enclosed-over")?,
            before: own.seconds("before")?,
            down_within: own.seconds("down-within")?,
        },
        "exclusion-zone" => Demand::ExclusionZone {
            distance: amount("distance", &own.text("distance")?, Dimension::Length)?,
            methods: lower(own.list("methods")?),
            finer_than: match own.some_text("finer-than")? {
                Some(class) => Some(droplets("finer-than", &class)?),
                None => None,
            },
            height_over: match own.some_text("height-over")? {
                Some(height) => Some(amount("height-over", &height, Dimension::Length)?),
                None => None,
            },
        },
        "training" => Demand::Training {
            course: word("course", &own.text("course")?, Course::ALL, Course::WORDS)?,
            months: own.number("months")?,
            applicators: choice("of", &own.text("of")?, &[("applicators", true), ("workers", false)])?,
            entering_within: match own.some_text("entering-within")? {
                Some(time) => seconds("entering-within", &time)?,
                None => 0,
            },
            or: own
                .list("or")?
                .iter()
                .map(|course| word("or", course, Course::ALL, Course::WORDS))
                .collect::<Result<_, _>>()?,
            family_exempt: own.flag("family-exempt")?,
            licensed_exempt: own.flag("licensed-exempt")?,
        },
        "licence" => Demand::Licence,
        "fit-test" => Demand::FitTest { months: own.number("months")? },
        "registration-form" => {
            let (fewest, most): (u32, u32) = Own::need("groups", own.pair("groups", "two whole numbers")?)?;
            Demand::RegistrationForm { groups: (fewest as usize, most as usize) }
        }
        "purpose" => Demand::Purpose { statuses: statuses(own)? },
        "listed-actives" => {
            Demand::ListedActives { statuses: statuses(own)?, actives: lower(own.full_list("actives")?) }
        }
        "approved-use" => Demand::ApprovedUse(use_limit(own)?),
        "refused" => Demand::Refused { substances: lower(own.full_list("substances")?) },
        "approved-input" => Demand::ApprovedInput,
        "test" => {
            let kinds = own.full_list("kinds")?;
            let kinds = kinds.iter().map(|kind| word("kinds", kind, SampleKind::ALL, SampleKind::WORDS));
            Demand::Test {
                kinds: kinds.collect::<Result<_, _>>()?,
                classes: lower(own.full_list("classes")?),
                origin: match own.some_text("origin")? {
                    Some(origin) => Some(word("origin", &origin, Origin::ALL, Origin::WORDS)?),
                    None => None,
                },
            }
        }
        "plan-reason" => Demand::PlanReason,
        "build-up" => Demand::BuildUp { element: own.text("element")? },
        "days-to-harvest" => Demand::DaysToHarvest {
            classes: lower(own.full_list("classes")?),
            days: own.number("days")?,
            touching_soil: own.number("touching-soil")?,
        },
        "tea" => {
            let waters = own.list("waters")?;
            let waters = waters.iter().map(|kind| word("waters", kind, WaterKind::ALL, WaterKind::WORDS));
            Demand::Tea {
                waters: waters.collect::<Result<_, _>>()?,
                teas: lower(own.full_list("teas")?),
                animal: lower(own.list("animal")?),
                untreated: lower(own.list("untreated")?),
                additives: lower(own.list("additives")?),
            }
        }
        "note" => Demand::Note,
        other => return Err(format!("`asks` is `{other}`, which no rule can ask for")),
    })
}

fn statuses(own: &mut Own) -> Result<Vec<Status>, String> {
    own.full_list("statuses")?.iter().map(|status| status_of("statuses", status)).collect()
}

fn use_limit(own: &mut Own) -> Result<UseLimit, String> {
    let exact =
        |written: &str| Exact::parse(written).map_err(|_| format!("`per-hectolitre` has `{written}`, no number"));
    let per_hectolitre: Option<(String, String)> = own.pair("per-hectolitre", "two numbers in double quotes")?;
    Ok(UseLimit {
        substances: lower(own.full_list("substances")?),
        crops: lower(own.list("crops")?),
        targets: lower(own.list("targets")?),
        bbch: own.pair("bbch", "two whole numbers")?,
        per_hectolitre: match per_hectolitre {
            Some((least, most)) => Some((exact(&least)?, exact(&most)?)),
            None => None,
        },
        days_apart: own.some_number("days-apart")?,
        sprays: own.some_number("sprays")?,
    })
}
