//! What laws and certifiers ask of standing things, understood.

use super::lower::Lowering;
use super::trouble::Trouble;
use super::*;
use crate::syntax::{Field, Value};

impl Lowering<'_> {
    /// Sets of rules, one for each name; none where they would end before they begin.
    pub(super) fn adopted(&mut self, field: &Field) -> Vec<Adopted> {
        let Value::Rulebooks { names, from, until } = &field.value else { return Vec::new() };
        let mut day = |span: &Option<Span>| match span {
            Some(span) => self.date(*span).map(Some),
            None => Some(None),
        };
        let (Some(first), Some(last)) = (day(from), day(until)) else { return Vec::new() };
        if let (Some(first), Some(last), Some(at)) = (first, last, *until)
            && last < first
        {
            self.trouble(Trouble::Impossible { at, field: field.word, why: "the last day comes before the first" });
            return Vec::new();
        }
        let names = self.once_each(names);
        let adopted = names.into_iter().map(|at| {
            let name = Written::new(self.lower(at), at);
            Adopted { name, from: first, until: last, span: field.span }
        });
        adopted.collect()
    }

    /// Years that records are kept.
    pub(super) fn years(&mut self, field: &Field) -> Option<Written<u32>> {
        let Value::Years(number) = field.value else { return None };
        let years = self.whole(number)?;
        if years == 0 {
            self.trouble(Trouble::Impossible { at: field.span, field: field.word, why: "it is nothing" });
            return None;
        }
        Some(Written::new(years, field.span))
    }

    pub(super) fn history(&mut self, field: &Field) -> Option<Written<HistoryFrom>> {
        let Value::History { from } = field.value else { return None };
        let since = match from {
            Some(from) => HistoryFrom::From(self.date(from)?),
            None => HistoryFrom::None,
        };
        Some(Written::new(since, field.span))
    }

    /// A licence; one whose last day is no day keeps its number.
    pub(super) fn licence(&mut self, field: &Field) -> Option<Licence> {
        let Value::Licence { number, until } = field.value else { return None };
        let span = until.map_or(number, |until| number.to(until));
        Some(Licence { number, until: until.and_then(|until| self.date(until)), span })
    }

    /// Several of a few words, each once.
    pub(super) fn choices<T: Copy>(
        &mut self,
        field: &Field,
        allowed: &'static [&'static str],
        values: &[T],
    ) -> Vec<Written<T>> {
        let Value::Names(names) = &field.value else { return Vec::new() };
        let mut chosen = Vec::with_capacity(names.len());
        for at in self.once_each(names) {
            let word = self.words(at);
            match allowed.iter().position(|allowed| allowed.eq_ignore_ascii_case(word)) {
                Some(place) => chosen.push(Written::new(values[place], at)),
                None => self.trouble(Trouble::UnknownChoice { at, field: field.word, allowed }),
            }
        }
        chosen
    }

    pub(super) fn label_limits(&mut self, field: &Field) -> LabelLimits {
        let mut limits = LabelLimits::default();
        for limit in self.choices(field, &["time", "stage", "weather"], &[0, 1, 2]) {
            let place = match limit.value {
                0 => &mut limits.time,
                1 => &mut limits.stage,
                _ => &mut limits.weather,
            };
            *place = Some(limit.span);
        }
        limits
    }

    /// Words of a list, each once: one that stands twice is reported and counts once.
    pub(super) fn once_each(&mut self, spans: &[Span]) -> Vec<Span> {
        let mut seen: rustc_hash::FxHashMap<Box<str>, Span> = rustc_hash::FxHashMap::default();
        let mut once = Vec::with_capacity(spans.len());
        for &span in spans {
            match seen.entry(self.lower(span)) {
                std::collections::hash_map::Entry::Occupied(first) => {
                    self.troubles.push(Trouble::NamedTwice { first: *first.get(), again: span });
                }
                std::collections::hash_map::Entry::Vacant(place) => {
                    place.insert(span);
                    once.push(span);
                }
            }
        }
        once
    }
}
