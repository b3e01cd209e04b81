//! Laws of the stock that hold for every journal.

use chrono::NaiveDate;
use foliary::journal::MaterialId;
use foliary::quantity::Exact;
use foliary::season::Season;
use foliary::text::Sources;
use foliary::{Farm, compile_farm};
use proptest::prelude::*;

const FARM: &str = "farm f\n    timezone America/Boise\nblock b\n    crop pear\n    area 1 acre\nmaterial kelp\n    form liquid\n\
                    material whey\n    form liquid\nmix tonic\n    in 10 gal\n    put kelp 1 gal\n";

/// One entry, with its page.
fn entry() -> impl Strategy<Value = String> {
    let amount =
        prop_oneof![Just("3 qt"), Just("1/3 gal"), Just("2 L"), Just("7 fl oz"), Just("5 gal"), Just("0.1 gal")];
    let lot = prop_oneof![Just(""), Just("A"), Just("B"), Just("c")];
    (1_u32..28, 0_u32..7, amount, lot, 1_u32..40).prop_map(|(day, kind, amount, lot, volume)| {
        let field = if lot.is_empty() { String::new() } else { format!("    lot {lot}\n") };
        let tail = if lot.is_empty() { String::new() } else { format!(", lot {lot}") };
        let body = match kind {
            0 | 1 => format!("receive kelp\n    amount {amount}\n{field}"),
            2 => format!("count kelp\n    amount {amount}\n{field}"),
            3 => format!("discard kelp\n    amount {amount}\n    reason wet\n{field}"),
            4 => format!("brew NAME of kelp\n    amount {amount}\n"),
            5 => format!(
                "spray b\n    mix tonic, {volume} gal\n    measured kelp {amount}{tail}\n    time 06:00 to 07:00\n"
            ),
            _ => format!("spray b\n    mix tonic, {volume} gal\n    time 06:{volume} to 07:00\n"),
        };
        format!(
            "2026-05-{day:02}\n\n{}\n",
            body.replace("06:", if volume < 10 { "06:0" } else { "06:" }).replace("06:000", "06:00")
        )
    })
}

/// Entries, each batch with a name of its own.
fn entries(most: usize) -> impl Strategy<Value = Vec<String>> {
    prop::collection::vec(entry(), 1..most).prop_map(|entries| {
        entries.into_iter().enumerate().map(|(at, entry)| entry.replace("NAME", &format!("k-{at}"))).collect()
    })
}

/// Something of the stock of kelp.
fn with<T>(pages: &str, ask: impl FnOnce(&Season<'_>) -> T) -> T {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", format!("{FARM}{pages}")).unwrap();
    let journal = compile_farm(&sources, Farm { files: &[file], missing: &[] });
    assert!(journal.troubles.is_empty(), "{:?} in {pages}", journal.troubles);
    ask(&Season::new(&journal, &sources, None))
}

fn days() -> impl Iterator<Item = NaiveDate> {
    NaiveDate::from_ymd_opt(2026, 5, 1).unwrap().iter_days().take(30)
}

/// What is there, and what is left of each lot by its name.
type Told = (Option<Exact>, Vec<(String, Option<Exact>)>);

/// The stock of every day: what is there, and what is left of each lot by its name.
fn told(pages: &str) -> Vec<Told> {
    with(pages, |season| {
        let stock = season.stock().of(MaterialId(0));
        let on = |day| {
            let lots = stock.by_lot(day).map(|shelf| {
                let name = |at: usize| stock.lots[at].words.map_or("", |words| season.words(words)).to_lowercase();
                shelf.lots.iter().enumerate().map(|(at, lot)| (name(at), lot.left)).collect::<Vec<_>>()
            });
            (
                stock.on_hand(day).map(|amount| amount.value.mul(amount.unit.to_base()).unwrap()),
                lots.unwrap_or_default(),
            )
        };
        let unit = stock.unit.map(|unit| unit.to_base());
        let in_base = |left: Option<Exact>| left.and_then(|left| left.mul(unit?));
        days()
            .map(on)
            .map(|(all, lots)| (all, lots.into_iter().map(|(name, left)| (name, in_base(left))).collect()))
            .collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    #[test]
    fn lots_add_up_to_the_whole_exactly(entries in entries(24)) {
        with(&entries.concat(), |season| {
            let stock = season.stock().of(MaterialId(0));
            for day in days() {
                let Some(shelf) = stock.by_lot(day) else { continue };
                let sum = shelf.lots.iter().try_fold(shelf.loose.unwrap(), |sum, lot| sum.add(lot.left.unwrap()));
                prop_assert_eq!(shelf.total(), sum);
                prop_assert_eq!(stock.on_hand(day).map(|amount| amount.value), sum);
                for lot in &shelf.lots {
                    // What came and was corrected less what went is what is left.
                    let went = lot.used.add(lot.discarded).unwrap();
                    let left = lot.came.add(lot.corrected).and_then(|came| came.sub(went));
                    prop_assert_eq!(left, lot.left);
                }
            }
            Ok(())
        })?;
    }

    #[test]
    fn a_count_of_all_is_what_there_is(entries in entries(24), found in 0_u32..40) {
        let pages = format!("{}2026-05-29\n\ncount kelp\n    amount {found} pt\n", entries.concat());
        with(&pages, |season| {
            let stock = season.stock().of(MaterialId(0));
            let last = NaiveDate::from_ymd_opt(2026, 5, 29).unwrap();
            let amount = stock.on_hand(last).unwrap();
            let pints = amount.in_unit(foliary::quantity::Unit::PINT).unwrap().value;
            prop_assert_eq!(pints, Exact::int(i64::from(found)));
            let shelf = stock.by_lot(last).unwrap();
            let below = |value: Option<Exact>| value.is_some_and(Exact::is_negative);
            prop_assert!(!below(shelf.loose) && !shelf.lots.iter().any(|lot| below(lot.left)));
            Ok(())
        })?;
    }

    #[test]
    fn the_order_of_entries_changes_nothing(
        (entries, shuffled) in entries(16)
            .prop_flat_map(|entries| (Just(entries.clone()), Just(entries).prop_shuffle())),
    ) {
        prop_assert_eq!(told(&entries.concat()), told(&shuffled.concat()));
    }
}
