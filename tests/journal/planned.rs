//! Plans, sprayers measured, lots and prices, as they are understood.

use foliary::journal::{Driving, Journal, Known, ProgramStart};
use foliary::text::Sources;

use super::{in_words, told, understood};

const JOURNAL: &str = "\
farm larkspur-bend
    pantry yes
    currency USD
    measures 1 cup, 1/4 tsp, 1 oz wt
block creek-pear
    crop pear
    area 1.2 acre
    rows 1 to 14
    picking 2026-09-10 to 2026-10-01
    picking 2026-10-12
    canopy 10 ft high, 8 ft wide from 2026-06-01
    canopy 2 m wide, 3 m high
    dilute 0.7 gal per 1000 cu ft
    dilute 250 gal per acre from 2026-06-01
person r-vale
rig airblast
    tank 100 gal
    recalibrate every 90 days
water well
material soap
    form liquid
    density 8.6 lb/gal
    published 2 kg per 100 L on apple, pears
    price 0.62 per lb from 2026-01-01
    price 38.50 per 5 gal
    price 4 per each
    tank-ph at least 6.5
    measures 1 tbsp, 5 mL
    source label of lot 7, read 2026-02-11   # in the shed
    source density: Handbook of the county press; table 4; READ
    source Contains : own reckoning; from memory   # ask
    source price: feed store
material ash
    form dry
    tank-ph 5.5 to 6.5
material rust
    form dry
    tank-ph at most 6
mix leaf-tonic
    in 1 gal
    put ash 1 oz
    order Dry, soap, sulphur
program by-stage
    mix leaf-tonic
    blocks creek-pear
    start BBCH 67
    rounds 3, every 7 days
    window BBCH 59 to 75
    until 2026-08-15
    halve after 1 in of rain
    renew after 50 mm rain
    volume 60 gal
    rig airblast
    water well
    reason nutrition
    target pear scab   # the old foe
    concentrate 4 times
    source own plan
program by-sight
    mix leaf-tonic
    blocks creek-pear
    start incidence Leaf-Curl over 10 %
    rounds 3, every 7 days
    volume 75 gal per acre
program by-area
    mix leaf-tonic
    blocks creek-pear
    start severity leaf-curl over 4.5 %
    rounds 3, every 7 days
    volume 700 L/ha
limits house-rules
    order dry, liquid
    stop If the wind passes 10 mph, stop and write down the row.
    stop Bees: stop.   # always
    halve after 1 in of rain
    renew after 2 in of rain
2026-05-14
spray creek-pear
    mix leaf-tonic, 60 gal
    put soap 1 fl oz per gal, lot of last year, opened
    measured ash 60 oz, lot 7   # the torn bag
    concentrate 2.5 times
    setup second gear
    ph 5.9
    load 60 gal, ash 60 oz
skip creek-pear rows 1 to 3
    program by-stage
    reason dry for three weeks
    by r-vale
    note Looked at **twice**.
clean airblast
    time 10:00 to 10:30
    rinse 10 gal on creek-pear rows 1 to 3, gate open
receive soap
    amount 5 gal
    paid 38.50
    use-by 2027-03-01
count soap
    amount 4 gal
    lot 7
discard soap
    amount 1 gal
    lot 8 and 9
calibrate airblast
    driving one-side
    course 340 ft in 58 s
    plot 18.5 ft by 18.5 ft in 75 s
    width 20 in
    caught 22 fl oz, 0 fl oz in 58 s
    caught 23 fl oz
    rated 0.4 gal in 1 min at 40 psi
    used 12 gal
    open 24 nozzles
calibrate airblast
    course 660 ft
    plot 0.0078 acre
    rated 1.5 L in 1 min
    open 2
2026-05-15
forecast creek-pear
    reading 06:00 50 F, wind 5 mph NW, humidity 80 %
    high 74 F
    low 41 F
    rain 0.4 in
    source valley weather office, 18:00
    note Front from the west.
";

fn clean() -> (Sources, Journal) {
    let (sources, journal) = understood(&[JOURNAL]);
    assert_eq!(journal.troubles, [], "{}", told(&sources, &journal.troubles));
    (sources, journal)
}

#[test]
fn everything_that_plans_measuring_and_stock_ask_for() {
    let (sources, journal) = clean();
    let parts = [
        format!("{:#?}", journal.farm),
        format!("{:#?}", journal.blocks),
        format!("{:#?}", journal.rigs),
        format!("{:#?}", journal.materials),
        format!("{:#?}", journal.mixes),
        format!("{:#?}", journal.programs),
        format!("{:#?}", journal.limits),
        format!("{:#?}", journal.sprays),
        format!("{:#?}", journal.skips),
        format!("{:#?}", journal.cleanings),
        format!("{:#?}", journal.receipts),
        format!("{:#?}", journal.counts),
        format!("{:#?}", journal.discards),
        format!("{:#?}", journal.calibrations),
        format!("{:#?}", journal.forecasts),
    ];
    insta::assert_snapshot!(in_words(&sources, &parts.join("\n")));
}

#[test]
fn what_a_fact_rests_on_is_read_to_the_letter() {
    let (sources, journal) = clean();
    let soap = &journal.materials[0];
    assert_eq!(soap.source.map(|span| sources.slice(span)), Some("label of lot 7, read 2026-02-11"));
    let facts: Vec<(&str, &str, Option<Known>)> =
        soap.fact_sources.iter().map(|fact| (fact.field.word(), sources.slice(fact.words), fact.known)).collect();
    assert_eq!(
        facts,
        [
            ("density", "Handbook of the county press; table 4", Some(Known::Read)),
            ("contains", "own reckoning", Some(Known::Memory)),
            ("price", "feed store", None),
        ]
    );
}

#[test]
fn a_lot_goes_to_the_end_of_its_line_or_a_remark() {
    let (sources, journal) = clean();
    let spray = &journal.sprays[0];
    let words = |lot: Option<foliary::text::Span>| lot.map(|span| sources.slice(span));
    assert_eq!(words(spray.puts[0].lot), Some("of last year, opened"));
    assert_eq!(words(spray.measured[0].lot), Some("7"));
    assert_eq!(words(spray.loads[0].portions[0].lot), None);
    assert_eq!(words(journal.discards[0].lot), Some("8 and 9"));
}

#[test]
fn a_program_begins_by_any_of_its_starts() {
    let (_, journal) = clean();
    let starts: Vec<String> =
        journal.programs.iter().filter_map(|it| Some(format!("{:?}", it.start.as_ref()?.value))).collect();
    assert_eq!(starts[0], format!("{:?}", ProgramStart::Bbch(67)));
    assert!(starts[1].contains("severity: false, what: \"leaf-curl\""), "{}", starts[1]);
    assert!(starts[2].contains("severity: true, what: \"leaf-curl\""), "{}", starts[2]);
}

#[test]
fn every_way_of_driving_is_read_by_its_own_word() {
    for driving in Driving::ALL {
        let text = JOURNAL.replace("driving one-side", &format!("driving {}", driving.word()));
        let (_, journal) = understood(&[&text]);
        assert_eq!(journal.calibrations[0].driving.map(|written| written.value), Some(*driving));
    }
}

#[test]
fn one_slip_raises_one_trouble() {
    for (right, wrong, kind) in [
        ("pantry yes", "pantry perhaps", "UnknownChoice"),
        ("measures 1 cup, 1/4 tsp", "measures 1 oz, 1/4 tsp", "WrongDimension"),
        ("measures 1 cup, 1/4 tsp", "measures 0 cup, 1/4 tsp", "Impossible"),
        ("measures 1 cup, 1/4 tsp", "measures 1 cup, 2 ft", "WrongDimension"),
        ("to 2026-10-01", "to 2026-09-01", "Impossible"),
        ("to 2026-10-01", "to 2026-02-30", "UnreadableDate"),
        ("canopy 10 ft high, 8 ft wide", "canopy 10 gal high, 8 ft wide", "WrongDimension"),
        ("canopy 10 ft high, 8 ft wide", "canopy 10 ft high, 0 ft wide", "Impossible"),
        ("canopy 10 ft high, 8 ft wide", "canopy 10 ft high, 8 ft high", "UnreadableLine"),
        ("dilute 250 gal per acre", "dilute 250 gal", "WrongShape"),
        ("dilute 250 gal per acre", "dilute 250 gal per 100 ft", "WrongDimension"),
        ("dilute 250 gal per acre", "dilute 250 lb per acre", "WrongDimension"),
        ("dilute 250 gal per acre", "dilute 0 gal per acre", "Impossible"),
        ("dilute 250 gal per acre", "dilute 200 to 250 gal per acre", "WrongShape"),
        ("recalibrate every 90 days", "recalibrate every 0 days", "Impossible"),
        ("recalibrate every 90 days", "recalibrate every 90 ft", "WrongDimension"),
        ("recalibrate every 90 days", "recalibrate 90 days", "UnreadableLine"),
        ("published 2 kg per 100 L", "published 2 kg", "WrongShape"),
        ("price 0.62 per lb", "price 0.62", "WrongShape"),
        ("price 0.62 per lb", "price 0.62 gal per lb", "WrongShape"),
        ("price 0.62 per lb", "price -0.62 per lb", "WrongShape"),
        ("price 0.62 per lb", "price 0.62 per 0 lb", "WrongShape"),
        ("price 0.62 per lb", "price 0.62 per acre", "WrongDimension"),
        ("price 0.62 per lb", "price 0.62 per tree", "WrongShape"),
        ("price 0.62 per lb", "price 0.62 per oz", "WrongDimension"),
        ("tank-ph at least 6.5", "tank-ph 6.5", "WrongShape"),
        ("tank-ph at least 6.5", "tank-ph at least 6.5 gal", "WrongShape"),
        ("tank-ph at most 6", "tank-ph at most 14.5", "Impossible"),
        ("tank-ph 5.5 to 6.5", "tank-ph 6.5 to 5.5", "Impossible"),
        ("source price: feed store", "source price: ; read", "WrongShape"),
        ("source price: feed store", "source the feed store", "RepeatedField"),
        ("put ash 1 oz\n", "put ash 1 oz, lot 7\n", "WrongShape"),
        ("order Dry, soap", "order soap, soap", "NamedTwice"),
        ("start BBCH 67", "start BBCH 100", "Impossible"),
        ("start BBCH 67", "start BBCH 670", "Impossible"),
        ("over 10 %", "over 101 %", "Impossible"),
        ("over 10 %", "over 10", "UnreadableLine"),
        ("window BBCH 59 to 75", "window BBCH 75 to 59", "Impossible"),
        ("window BBCH 59 to 75", "window BBCH 59 to 175", "Impossible"),
        ("until 2026-08-15", "until 2026-08-35", "UnreadableDate"),
        ("halve after 1 in of rain\n    renew after 50", "halve after 0 in of rain\n    renew after 50", "Impossible"),
        ("renew after 50 mm rain", "renew after 50 mL rain", "WrongDimension"),
        ("volume 75 gal per acre", "volume 75 gal per 100 gal", "WrongDimension"),
        ("volume 75 gal per acre", "volume 0 gal per acre", "Impossible"),
        ("volume 60 gal", "volume 60 lb", "WrongDimension"),
        ("    rig airblast\n    water", "    rig airblast, boom\n    water", "WrongShape"),
        ("water well\n    reason", "water wall\n    reason", "UnknownName"),
        ("concentrate 4 times", "concentrate 0 times", "Impossible"),
        ("concentrate 2.5 times", "concentrate 2.5", "UnreadableLine"),
        ("ph 5.9", "ph 5.9 gal", "WrongShape"),
        ("    program by-stage\n", "    program by-stages\n", "UnknownName"),
        ("    program by-stage\n", "    program by-stage, by-sight\n", "WrongShape"),
        ("    program by-stage\n", "", "MissingFields"),
        ("    reason dry for three weeks\n", "", "MissingFields"),
        ("skip creek-pear rows", "skip creek-peer rows", "UnknownName"),
        ("skip creek-pear rows 1 to 3", "skip", "NamelessEntry"),
        ("rinse 10 gal", "rinse 10 lb", "WrongDimension"),
        ("rinse 10 gal on creek-pear", "rinse 10 gal on creek-peer", "UnknownName"),
        ("paid 38.50", "paid 38.50 gal", "WrongShape"),
        ("paid 38.50", "paid at most 38.50", "WrongShape"),
        ("driving one-side", "driving two-side", "UnknownChoice"),
        ("course 340 ft in 58 s", "course 340 gal in 58 s", "WrongDimension"),
        ("course 340 ft in 58 s", "course 340 ft in 0 s", "Impossible"),
        ("course 340 ft in 58 s", "course worker", "WrongShape"),
        ("plot 18.5 ft by 18.5 ft", "plot 18.5 ft by 18.5 gal", "WrongDimension"),
        ("plot 0.0078 acre", "plot 18.5 ft", "WrongDimension"),
        ("width 20 in", "width 0 in", "Impossible"),
        ("caught 22 fl oz, 0 fl oz", "caught 22 fl oz, 0 oz", "WrongDimension"),
        ("caught 22 fl oz, 0 fl oz in 58 s", "caught 22 fl oz, 0 fl oz in 58 ft", "WrongDimension"),
        ("rated 0.4 gal in 1 min at 40 psi", "rated 0.4 gal in 1 min at 40 mph", "WrongDimension"),
        ("rated 0.4 gal in 1 min at 40 psi", "rated 0.4 gal", "UnreadableLine"),
        ("used 12 gal", "used 0 gal", "Impossible"),
        ("open 24 nozzles", "open 0 nozzles", "Impossible"),
        ("open 24 nozzles", "open all nozzles", "UnreadableLine"),
        ("forecast creek-pear", "forecast creek-peer", "UnknownName"),
    ] {
        assert!(JOURNAL.contains(right), "{right}");
        let (sources, journal) = understood(&[&JOURNAL.replacen(right, wrong, 1)]);
        let told = told(&sources, &journal.troubles);
        assert_eq!(journal.troubles.len(), 1, "{wrong}: {told}");
        assert!(told.starts_with(kind), "{wrong}: {told}");
    }
}

#[test]
fn a_course_of_training_is_no_distance() {
    let text = "person r-vale\n2026-05-14\ntrain r-vale\n    course 340 ft in 58 s\n";
    let (sources, journal) = understood(&[text]);
    let told = told(&sources, &journal.troubles);
    assert!(journal.troubles.len() == 1 && told.starts_with("UnknownChoice"), "{told}");
}

#[test]
fn programs_that_look_alike_are_told_apart_aloud() {
    let text = JOURNAL.replace("program by-sight\n", "program by.stage\n");
    let (sources, journal) = understood(&[&text]);
    let told = told(&sources, &journal.troubles);
    assert!(journal.troubles.len() == 1 && told.starts_with("LookAlikeName"), "{told}");
}
