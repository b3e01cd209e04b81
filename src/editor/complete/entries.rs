//! What can stand at the margin: entries, whole ones with holes, and days; and what goes on behind an entry's word.

use std::fmt::Write as _;

use chrono::{Days, NaiveDate};
use lsp_types::CompletionItemKind;

use super::Spot;
use super::offer::Offer;
use crate::editor::hover::{Page, entry_page};
use crate::editor::parts::{about, declares};
use crate::syntax::{EntryRule, EntryWord, FieldWord, SCHEMA};

/// Fields that most entries of a kind have, besides those that it needs.
fn usual(kind: EntryWord) -> &'static [FieldWord] {
    use FieldWord as F;
    match kind {
        EntryWord::Farm => &[F::Timezone],
        EntryWord::Block => &[F::Crop, F::Area, F::Rows],
        EntryWord::Person => &[F::Role],
        EntryWord::Rig => &[F::Tank],
        EntryWord::Water => &[F::Source],
        EntryWord::Material => &[F::Form, F::Rate, F::Reentry, F::Preharvest],
        EntryWord::Mix => &[F::In, F::Put, F::Total],
        EntryWord::Program => &[F::Mix, F::Blocks, F::Start, F::Rounds],
        EntryWord::Limits => &[F::Total],
        EntryWord::Spray => &[F::Mix, F::Over, F::Time, F::By, F::Rig, F::Water, F::Weather, F::Reason],
        EntryWord::Observe => &[F::By, F::Stage],
        EntryWord::Weather | EntryWord::Forecast => &[F::Reading],
        EntryWord::Harvest => &[F::Time, F::Amount, F::Lot, F::By],
        EntryWord::Work => &[F::Time, F::Task, F::By],
        EntryWord::Post => &[F::Up, F::By],
        EntryWord::Receive => &[F::Amount, F::Lot, F::Supplier],
        EntryWord::Brew => &[F::Put, F::Amount, F::Ready, F::UseBy, F::By],
        EntryWord::Calibrate => &[F::Output, F::Speed, F::Pressure, F::By],
        EntryWord::Clean => &[F::Method, F::Time, F::By],
        EntryWord::Amend => &[F::By],
        EntryWord::Approve => &[F::Authority, F::Until],
        EntryWord::Train => &[F::Course, F::Trainer],
        EntryWord::Sample => &[F::Kind, F::Found, F::Lab],
        EntryWord::Count | EntryWord::Discard => &[F::Amount, F::By],
        EntryWord::Day | EntryWord::Skip => &[],
    }
}

impl Spot<'_> {
    /// What can begin at the margin.
    pub(super) fn entries(&self) -> Vec<Offer> {
        let mut offers = self.pages();
        if self.typed.starts_with(|letter: char| letter.is_ascii_digit()) {
            return offers;
        }
        offers.extend(self.same_again());
        // What was done where the cursor is on a page, what is so where it is not.
        let dated = self.page_day().is_some();
        let (first, then): (Vec<&EntryRule>, Vec<&EntryRule>) =
            SCHEMA.iter().skip(1).partition(|rule| rule.word.is_standing() != dated);
        for rule in first.into_iter().chain(then) {
            offers.push(whole(rule));
            let word = rule.word.word();
            let plain = match rule.word {
                EntryWord::Weather | EntryWord::Forecast => word.to_string(),
                _ => format!("{word} "),
            };
            offers.push(Offer::new(word, CompletionItemKind::KEYWORD).types(plain).page(entry_page(rule.word)));
        }
        offers
    }

    /// Days that a page is likely to be of.
    fn pages(&self) -> Vec<Offer> {
        let Some(today) = self.cursor.desk.today() else { return Vec::new() };
        let days = [("today", Some(today)), ("yesterday", today.pred_opt()), ("tomorrow", today.succ_opt())];
        let mut offers = Vec::new();
        for (word, day) in days {
            let Some(day) = day else { continue };
            let written = day.format("%Y-%m-%d %a").to_string();
            if !self.typed.starts_with(|letter: char| letter.is_ascii_alphabetic()) {
                offers.push(Offer::new(&written, CompletionItemKind::EVENT).about(word));
            }
            offers.push(Offer::new(word, CompletionItemKind::EVENT).types(&written).about(&written));
        }
        offers
    }

    /// Days for a field: today and those around it, and the page's own.
    pub(super) fn days(&self) -> Vec<Offer> {
        let offer = |day: NaiveDate, word: String| {
            Offer::new(day.to_string(), CompletionItemKind::EVENT).about(format!("{} {word}", day.format("%a")))
        };
        let page = self.page_day();
        let mut offers: Vec<Offer> = page.map(|day| offer(day, "this page".to_string())).into_iter().collect();
        if let Some(today) = self.cursor.desk.today() {
            let near = [(Some(today), "today"), (today.pred_opt(), "yesterday"), (today.succ_opt(), "tomorrow")];
            let weeks = [7, 14].map(|days| (today.checked_add_days(Days::new(days)), days));
            let near = near.into_iter().map(|(day, word)| (day, word.to_string()));
            let weeks = weeks.into_iter().map(|(day, days)| (day, format!("in {days} days")));
            for (day, word) in near.chain(weeks) {
                offers.extend(day.filter(|day| Some(*day) != page).map(|day| offer(day, word)));
            }
        }
        offers
    }

    /// The day of the page that the cursor is on.
    pub(super) fn page_day(&self) -> Option<NaiveDate> {
        let text = self.cursor.document.text();
        let pages = self.cursor.desk.entries(self.cursor.document.path()).into_iter().rev();
        let day = pages.filter(|entry| entry.start <= self.cursor.offset).find_map(|entry| {
            let words = text.get(entry)?.get(..10)?;
            words.parse::<NaiveDate>().ok()
        });
        day
    }

    /// What goes on behind an entry's word on its first line.
    pub(super) fn head(&self) -> Vec<Offer> {
        let Some(kind) = self.cursor.entry.as_ref().and_then(|entry| entry.kind) else { return Vec::new() };
        let rest = self.before.split_once([' ', '\t']).map_or("", |(_, rest)| rest);
        let done = &rest[..rest.len() - self.typed.len()];
        let words: Vec<&str> = done.split([' ', '\t']).filter(|word| !word.is_empty()).collect();
        let last = words.last().copied().unwrap_or_default();
        if kind == EntryWord::Amend {
            return match (words.len(), last) {
                (0, _) => plain(&["spray", "skip", "observe", "harvest", "work", "post", "weather", "forecast"]),
                (1, _) => plain(&["of"]),
                (2, "of") => self.names(crate::journal::NameSort::Block, done),
                _ => self.days(),
            };
        }
        if kind == EntryWord::Brew {
            return match (words.len(), last) {
                (1, _) => plain(&["of"]),
                (_, "of") => self.names(crate::journal::NameSort::Material, done),
                _ => Vec::new(),
            };
        }
        let Some(sort) = about(kind) else { return Vec::new() };
        if words.is_empty() || last.ends_with(',') {
            return self.names(sort, done);
        }
        let rows = matches!(kind, EntryWord::Spray | EntryWord::Observe | EntryWord::Harvest | EntryWord::Work);
        if rows && !done.contains("row") {
            plain(&["rows", "alternate rows", "odd rows", "even rows"])
        } else {
            Vec::new()
        }
    }
}

/// Words that are typed as they stand.
pub(super) fn plain(words: &[&str]) -> Vec<Offer> {
    words.iter().map(|word| Offer::new(*word, CompletionItemKind::KEYWORD)).collect()
}

/// A whole entry with holes: nothing in it is a fact before somebody types one.
fn whole(rule: &EntryRule) -> Offer {
    let mut text = rule.word.word().to_string();
    let mut hole = 0;
    let mut next = || {
        hole += 1;
        hole
    };
    match rule.word {
        EntryWord::Brew => {
            let _ = write!(text, " ${{{}:name}} of ${{{}:material}}", next(), next());
        }
        EntryWord::Amend => {
            let _ = write!(text, " ${{{}:spray}} of ${{{}:block}} ${{{}:day}}", next(), next(), next());
        }
        kind => {
            if let Some(sort) = about(kind).filter(|_| !matches!(kind, EntryWord::Weather | EntryWord::Forecast)) {
                let _ = write!(text, " ${{{}:{}}}", next(), sort.word());
            } else if declares(kind).is_some() {
                let _ = write!(text, " ${{{}:name}}", next());
            }
        }
    }
    let wanted = |word: FieldWord, required: bool| required || usual(rule.word).contains(&word);
    for field in rule.fields.iter().filter(|field| wanted(field.word, field.required)) {
        let _ = write!(text, "\n    {} ${}", field.word.word(), next());
        if field.word == FieldWord::Mix && rule.word == EntryWord::Spray {
            let _ = write!(text, ", ${}", next());
        }
    }
    text.push_str("\n$0");
    let plain = format!("{} ", rule.word.word());
    Offer::new(format!("{} (whole entry)", rule.word.word()), CompletionItemKind::SNIPPET)
        .holes(text)
        .types(plain)
        .page(Page::default().text(rule.about))
}
