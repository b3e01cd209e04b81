//! Stock by lot, worked by hand.

use foliary::journal::{BrewId, MaterialId};
use foliary::quantity::{Amount, Exact, Unit};
use foliary::season::{Season, cost_of, price};
use foliary::text::Sources;
use foliary::{Farm, compile_farm};

use super::codes;

const FARM: &str = "farm larkspur-bend\n    timezone America/Boise\n\nblock creek-pear\n    crop pear\n    area 1.2 acre\n\n\
                    material kelp\n    form liquid\n\nmaterial salt\n    form dry\n\nmaterial whey\n    form liquid\n\n\
                    mix tonic\n    in 10 gal\n    put kelp 1 gal\n\n";

fn with<T>(pages: &str, ask: impl FnOnce(&Season<'_>) -> T) -> T {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", format!("{FARM}{pages}")).unwrap();
    let journal = compile_farm(&sources, Farm { files: &[file], missing: &[] });
    assert!(journal.troubles.is_empty(), "{:?}", journal.troubles);
    ask(&Season::new(&journal, &sources, None))
}

const KELP: MaterialId = MaterialId(0);
const SALT: MaterialId = MaterialId(1);
const WHEY: MaterialId = MaterialId(2);

/// What there is of a material on a day, in gallons or pounds.
fn on_hand(season: &Season<'_>, material: MaterialId, day: &str) -> Option<String> {
    season.stock().on_hand(material, day.parse().unwrap()).map(|amount| amount.to_string())
}

/// What is left of each lot, by its name, and of no known lot.
fn by_lot(season: &Season<'_>, material: MaterialId, day: &str) -> Vec<(String, Option<String>)> {
    let stock = season.stock().of(material);
    let shelf = stock.by_lot(day.parse().unwrap()).unwrap();
    let name = |at: usize| stock.lots[at].words.map_or("?", |words| season.words(words)).to_string();
    let said = |value: Option<Exact>| value.map(|value| value.to_string());
    let mut lots: Vec<_> = shelf.lots.iter().enumerate().map(|(at, lot)| (name(at), said(lot.left))).collect();
    lots.push(("loose".to_string(), said(shelf.loose)));
    lots
}

fn lots(said: &[(&str, Option<&str>)]) -> Vec<(String, Option<String>)> {
    said.iter().map(|(name, left)| (name.to_string(), left.map(str::to_string))).collect()
}

fn spray(day: &str, volume: u32, more: &str) -> String {
    format!("{day}\n\nspray creek-pear\n    mix tonic, {volume} gal\n    time 06:00 to 07:15\n{more}\n")
}

const TWO_LOTS: &str = "2026-03-02\n\nreceive kelp\n    amount 5 gal\n    lot A\n\n2026-03-09\n\nreceive kelp\n    amount 10 qt\n    lot B\n\n";

#[test]
fn a_use_that_names_no_lot_is_of_the_oldest_that_still_has_some() {
    let pages = [TWO_LOTS, &spray("2026-05-14", 60, "")].concat();
    with(&pages, |season| {
        assert_eq!(on_hand(season, KELP, "2026-03-01"), None, "nothing is known before the first entry");
        assert_eq!(on_hand(season, KELP, "2026-03-02").as_deref(), Some("5 gal"));
        assert_eq!(on_hand(season, KELP, "2026-05-13").as_deref(), Some("7.5 gal"));
        // 60 gal take 6 gal: all of A and 1 gal of B.
        assert_eq!(on_hand(season, KELP, "2026-05-14").as_deref(), Some("1.5 gal"));
        assert_eq!(
            by_lot(season, KELP, "2026-05-14"),
            lots(&[("A", Some("0")), ("B", Some("1.5")), ("loose", Some("0"))])
        );
    });
}

#[test]
fn a_use_is_of_the_lots_that_it_names_and_the_rest_of_the_oldest() {
    let named = "    measured kelp 2 gal, lot b\n    measured kelp 1 gal, lot A\n    measured kelp 3 gal\n";
    let pages = [TWO_LOTS, &spray("2026-05-14", 60, named)].concat();
    with(&pages, |season| {
        let dose = &season.sprays[0].doses;
        assert_eq!(dose.len(), 1, "three lines of one material are one dose");
        assert_eq!(dose[0].amount().unwrap(), Amount::of(6, Unit::GALLON));
        assert_eq!(
            by_lot(season, KELP, "2026-05-14"),
            lots(&[("A", Some("1")), ("B", Some("0.5")), ("loose", Some("0"))])
        );
    });
    assert!(codes(&format!("{FARM}{pages}")).is_empty());
}

#[test]
fn lines_that_are_fewer_than_the_doses_are_shared_out_as_the_recipe_has_them() {
    let pages = spray("2026-05-14", 60, "    put kelp 2 gal\n    measured kelp 12 gal\n");
    with(&pages, |season| {
        let amounts: Vec<String> =
            season.sprays[0].doses.iter().map(|dose| dose.amount().unwrap().to_string()).collect();
        // 6 gal by the mix and 2 gal besides: three quarters and one quarter of what was measured.
        assert_eq!(amounts, ["9 gal", "3 gal"]);
    });
}

#[test]
fn a_batch_gives_what_it_yielded_and_the_next_one_the_rest() {
    let brew = |name: &str, day: &str, more: &str| {
        format!("{day}\n\nbrew {name} of whey\n{more}    amount 4 gal\n    ready 2026-04-10\n    use-by 2026-08-01\n\n")
    };
    let pages = [
        "2026-03-02\n\nreceive kelp\n    amount 5 gal\n    lot A\n\n".to_string(),
        brew("w-2", "2026-04-03", ""),
        brew("w-1", "2026-04-02", "    put kelp 1 qt, lot A\n"),
        brew("w-3", "2026-04-04", ""),
        "2026-05-14\n\nspray creek-pear\n    volume 50 gal\n    put whey 5 gal\n    batch w-2, w-1\n    time 06:00 to 07:15\n".to_string(),
    ]
    .concat();
    with(&pages, |season| {
        let batches: Vec<(String, Option<String>)> = by_lot(season, WHEY, "2026-05-14");
        assert_eq!(batches, lots(&[("w-1", Some("0")), ("w-2", Some("3")), ("w-3", Some("4")), ("loose", Some("0"))]));
        assert_eq!(by_lot(season, KELP, "2026-05-14")[0].1.as_deref(), Some("4.75"));
        assert_eq!(season.stock().batch(BrewId(0)), Some((WHEY, 1)));
    });
}

#[test]
fn more_than_there_is_stays_below_nothing_until_a_count() {
    let pages = [
        TWO_LOTS,
        &spray("2026-05-14", 80, ""),
        &spray("2026-05-20", 10, "    measured kelp 1 gal, lot B\n"),
        "2026-06-01\n\nreceive kelp\n    amount 3 gal\n    lot C\n\n2026-06-02\n\ncount kelp\n    amount 2 gal\n",
    ]
    .concat();
    with(&pages, |season| {
        assert_eq!(on_hand(season, KELP, "2026-05-14").as_deref(), Some("-0.5 gal"));
        let short = lots(&[("A", Some("0")), ("B", Some("-1")), ("C", Some("0")), ("loose", Some("-0.5"))]);
        assert_eq!(by_lot(season, KELP, "2026-05-20"), short);
        assert_eq!(on_hand(season, KELP, "2026-06-01").as_deref(), Some("1.5 gal"));
        // Counted, nothing is below nothing: C has 3 gal by the book, and 2 gal are there.
        let counted = lots(&[("A", Some("0")), ("B", Some("0")), ("C", Some("2")), ("loose", Some("0"))]);
        assert_eq!(by_lot(season, KELP, "2026-06-02"), counted);
        let count = &season.stock().of(KELP).counts[0];
        assert_eq!((count.expected, count.counted), (Exact::new(3, 2), Exact::new(2, 1)));
    });
}

#[test]
fn a_count_that_finds_more_finds_it_of_no_known_lot() {
    let pages = [TWO_LOTS, "2026-04-01\n\ncount kelp\n    amount 9 gal\n\n", &spray("2026-05-14", 20, "")].concat();
    with(&pages, |season| {
        let found = lots(&[("A", Some("5")), ("B", Some("2.5")), ("loose", Some("1.5"))]);
        assert_eq!(by_lot(season, KELP, "2026-04-01"), found);
        // 2 gal are taken of that first.
        let after = lots(&[("A", Some("4.5")), ("B", Some("2.5")), ("loose", Some("0"))]);
        assert_eq!(by_lot(season, KELP, "2026-05-14"), after);
    });
}

#[test]
fn a_count_of_a_lot_says_how_much_of_it_there_is_and_may_be_the_first_of_it() {
    let pages = [
        TWO_LOTS,
        "2026-04-01\n\ncount kelp\n    amount 4 gal\n    lot A\n\ncount kelp\n    amount 1 gal\n    lot of last year\n\n",
        "2026-04-02\n\ndiscard kelp\n    amount 1 gal\n    lot Of  Last Year\n    reason lumps\n\n",
    ]
    .concat();
    with(&pages, |season| {
        let left = lots(&[("A", Some("4")), ("B", Some("2.5")), ("of last year", Some("0")), ("loose", Some("0"))]);
        assert_eq!(by_lot(season, KELP, "2026-04-02"), left);
        assert_eq!(on_hand(season, KELP, "2026-04-01").as_deref(), Some("7.5 gal"));
    });
    assert_eq!(codes(&format!("{FARM}{pages}")), ["count-disagrees"], "5 gal of A came, and 4 gal are there");
}

#[test]
fn what_has_no_amount_or_no_way_across_is_not_known_from_then_on() {
    let unknown = "2026-04-01\n\nreceive kelp\n    lot X\n\n";
    let pages = [TWO_LOTS, unknown, &spray("2026-05-14", 10, "    measured kelp 1 gal, lot B\n")].concat();
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", format!("{FARM}{pages}")).unwrap();
    let journal = compile_farm(&sources, Farm { files: &[file], missing: &[] });
    let season = Season::new(&journal, &sources, None);
    assert_eq!(on_hand(&season, KELP, "2026-03-31").as_deref(), Some("7.5 gal"));
    assert_eq!(on_hand(&season, KELP, "2026-04-01"), None);
    let left = lots(&[("A", Some("5")), ("B", Some("1.5")), ("X", None), ("loose", Some("0"))]);
    assert_eq!(by_lot(&season, KELP, "2026-05-14"), left, "what names its lot is known");
    // A use that may be of the lot that nothing is known of makes all of them unknown, and a count puts an end to it.
    let pages = [pages, spray("2026-05-20", 10, ""), "2026-06-01\n\ncount kelp\n    amount 3 gal\n".into()].concat();
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", format!("{FARM}{pages}")).unwrap();
    let journal = compile_farm(&sources, Farm { files: &[file], missing: &[] });
    let season = Season::new(&journal, &sources, None);
    let left = lots(&[("A", None), ("B", None), ("X", None), ("loose", None)]);
    assert_eq!(by_lot(&season, KELP, "2026-05-20"), left);
    assert_eq!(on_hand(&season, KELP, "2026-06-01").as_deref(), Some("3 gal"));
    assert_eq!(by_lot(&season, KELP, "2026-06-01").last().unwrap().1.as_deref(), Some("3"));
    assert!(season.stock().of(KELP).by_lot("2026-06-01".parse().unwrap()).unwrap().lots[1].together);
}

#[test]
fn what_was_used_before_anything_came_is_known_after_a_count() {
    let pages =
        [spray("2026-02-01", 10, ""), TWO_LOTS.into(), "2026-04-01\n\ncount kelp\n    amount 8 gal\n".into()].concat();
    with(&pages, |season| {
        assert_eq!(on_hand(season, KELP, "2026-03-31"), None);
        assert!(season.stock().by_lot(KELP, "2026-03-31".parse().unwrap()).is_none());
        assert_eq!(on_hand(season, KELP, "2026-04-01").as_deref(), Some("8 gal"));
        let count = &season.stock().of(KELP).counts[0];
        assert!(count.from_nothing);
    });
    assert!(codes(&format!("{FARM}{pages}")).is_empty(), "what stood there before the journal is not known");
}

#[test]
fn weight_and_volume_go_over_the_spoon_weight() {
    let farm = FARM.replace("material salt\n    form dry\n", "material salt\n    form dry\n    weighs 15 g per tbsp\n");
    let pages = "2026-03-02\n\nreceive salt\n    amount 300 g\n\n2026-05-14\n\nspray creek-pear\n    volume 10 gal\n    put salt 4 tbsp\n    time 06:00 to 07:00\n";
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", format!("{farm}{pages}")).unwrap();
    let journal = compile_farm(&sources, Farm { files: &[file], missing: &[] });
    let season = Season::new(&journal, &sources, None);
    assert_eq!(on_hand(&season, SALT, "2026-05-14").as_deref(), Some("240 g"));
}

#[test]
fn a_price_is_the_written_one_of_the_day_or_the_latest_bill() {
    let pages = "2026-03-02\n\nreceive kelp\n    amount 5 gal\n    paid 100\n\n2026-04-02\n\nreceive kelp\n    amount 2 gal\n    paid 50\n\n";
    let spray = spray("2026-05-14", 20, "    put salt 8 oz wt\n");
    with(&[pages, &spray].concat(), |season| {
        let on = |day: &str| price(season, KELP, day.parse().unwrap()).map(|one| one.money.div(one.per.value).unwrap());
        assert_eq!(on("2026-03-01"), None);
        assert_eq!((on("2026-03-31"), on("2026-05-14")), (Some(Exact::int(20)), Some(Exact::int(25))));
        let cost = cost_of(season, &season.sprays[0]);
        assert_eq!((cost.money, cost.without), (Exact::int(50), vec![SALT]));
    });
    let written = FARM.replace(
        "material salt\n    form dry\n",
        "material salt\n    form dry\n    price 38 per 50 lb\n    price 40 per 50 lb from 2026-06-01\n",
    );
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", format!("{written}{pages}{spray}")).unwrap();
    let journal = compile_farm(&sources, Farm { files: &[file], missing: &[] });
    let season = Season::new(&journal, &sources, None);
    // Half a pound at 0.76.
    assert_eq!(cost_of(&season, &season.sprays[0]).money, Exact::new(5_038, 100).unwrap());
}
