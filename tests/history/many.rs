//! Long histories, and histories that differ only in how the same journal came about.

use std::time::{Duration, Instant};

use foliary::history::{Counting, Entered};
use foliary::text::Span;
use proptest::prelude::*;

use super::made::{Made, git, git_is_there, histories};

/// A day's page with one record, a few lines long.
fn page(number: usize) -> String {
    let day = chrono::NaiveDate::from_ymd_opt(2001, 1, 1).unwrap() + chrono::Days::new(number as u64);
    format!("{day}\nobserve creek-pear\n  note Looked at tree {number}.\n\n")
}

/// A repository of as many commits, each adding a page, every tenth changing one before; packed as git packs it.
fn long(commits: usize) -> Made {
    let mut made = Made::new();
    // A file a year, so that a commit is about as large in a long history as in a short one.
    let mut files: Vec<(String, String)> = Vec::new();
    for number in 0..commits {
        if number % 365 == 0 {
            files.push((format!("{}.spray", 2001 + number / 365), String::new()));
        }
        let last = files.last_mut().unwrap();
        last.1.push_str(&page(number));
        if number % 10 == 9 {
            for file in files.iter_mut().rev().take(2) {
                file.1 = file.1.replace(&format!("at tree {}.", number - 3), &format!("at the tree {}.", number - 3));
            }
        }
        let second = number % 60;
        let when = format!("2026-01-01T00:{:02}:{second:02}Z", number / 60 % 60);
        let latest = files.iter().rev().take(2).map(|(path, text)| (path.as_str(), text.as_str()));
        made.and("Tansy Marsh", &when, &latest.collect::<Vec<_>>());
    }
    let made = made.done();
    git(made.path(), &["gc", "--quiet"]);
    made
}

#[test]
fn reading_grows_with_the_history_and_no_faster() {
    if !git_is_there() {
        return;
    }
    let (short, long) = (long(1_000), long(4_000));
    let took = |made: &Made, commits: usize| -> Duration {
        let start = Instant::now();
        let (sources, found) = histories(&[made.path().to_path_buf()], Counting::All);
        let took = start.elapsed();
        assert_eq!(found[0].commits().len(), commits);
        let spans = sources.iter().flat_map(|(_, source)| {
            let base = source.base();
            let entries = foliary::syntax::split_entries(source.text());
            entries.into_iter().map(move |entry| Span::new(base + entry.start as u32, base + entry.end as u32))
        });
        let trails: Vec<_> = spans.filter_map(|span| found[0].of(span)).collect();
        assert_eq!(trails.len(), commits);
        assert_eq!(trails.iter().filter(|trail| !trail.changes.is_empty()).count(), commits / 10);
        took
    };
    // The machine may be busy with other tests for a while; what grows too fast does so every time.
    let mut met = Vec::new();
    for _ in 0..10 {
        met.push((took(&short, 1_000), took(&long, 4_000)));
        let fastest = |part: fn(&(Duration, Duration)) -> Duration| met.iter().map(part).min().unwrap();
        if met.len() >= 3 && fastest(|pair| pair.1) < fastest(|pair| pair.0) * 8 {
            return;
        }
    }
    panic!("1,000 and 4,000 commits take {met:?}");
}

/// A journal of records that are much alike, and in how many commits, of which lines of it, it came about.
fn commits() -> impl Strategy<Value = Vec<(usize, bool)>> {
    prop::collection::vec((1..4_usize, any::<bool>()), 1..6)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// However the same journal came about by entering records one after the other, in whatever order of pages, nothing
    /// in it was changed and nothing is gone.
    #[test]
    fn entering_records_changes_none(steps in commits(), turn in any::<u64>()) {
        prop_assume!(git_is_there());
        let total: usize = steps.iter().map(|(count, _)| count).sum();
        // Records that share most lines, some of them on the same day.
        let record = |at: usize| {
            let day = 10 + at / 2;
            (day, format!("spray creek-pear\n  mix tonic, {} gal\n  over 1 acre\n  by t-marsh\n\n", 50 + at))
        };
        let mut order: Vec<usize> = (0..total).collect();
        order.sort_by_key(|at| (*at as u64 + 1).wrapping_mul(turn | 1) >> 32);
        let mut entered: Vec<usize> = Vec::new();
        let mut made = Made::new();
        for (step, (count, apart)) in steps.iter().enumerate() {
            entered.extend(order[entered.len()..].iter().take(*count).copied().collect::<Vec<_>>());
            let mut sorted = entered.clone();
            sorted.sort_unstable();
            let (mut one, mut other) = (String::new(), String::new());
            let mut last = [0; 2];
            for at in sorted {
                let (day, text) = record(at);
                // The same record may stand in another file from one commit to the next.
                let second = *apart && at % 3 == 0;
                let (file, last) = if second { (&mut other, &mut last[1]) } else { (&mut one, &mut last[0]) };
                if *last != day {
                    file.push_str(&format!("2026-05-{day}\n"));
                }
                *last = day;
                file.push_str(&text);
            }
            let when = format!("2026-06-{:02}T08:00:00Z", step + 1);
            made.then("Tansy Marsh", &when, &[("one.spray", &one), ("other.spray", &other)]);
        }
        let made = made.done();
        let (sources, found) = histories(&[made.path().to_path_buf()], Counting::All);
        prop_assert!(found[0].removed().is_empty());
        let mut seen = 0;
        for (_, source) in sources.iter() {
            for entry in foliary::syntax::split_entries(source.text()) {
                let start = source.base() + entry.start as u32;
                if let Some(trail) = found[0].of(Span::new(start, start + 1)) {
                    seen += 1;
                    prop_assert!(trail.changes.is_empty(), "{:?}", trail);
                    prop_assert!(matches!(trail.entered, Entered::In(_)));
                }
            }
        }
        prop_assert_eq!(seen, total);
    }
}
