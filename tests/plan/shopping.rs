//! What rounds take, what is on the shelf and what is to be bought, worked by hand.

use foliary::quantity::{Amount, Exact, Unit};

use super::{day, journal, line, spray, with_plan};

const ROUNDS: &str = "    start 2026-05-14\n    rounds 3 to 4, every 7 to 10 days\n";

#[test]
fn what_is_needed_less_what_is_there_is_to_be_bought_in_time() {
    // 60 gal at 1 fl oz per gal is 60 fl oz a round; 192 fl oz came, 60 are sprayed.
    let more = format!("\n2026-05-01\n\nreceive kelp\n    amount 1.5 gal\n    paid 33\n{}", spray("2026-05-15"));
    with_plan(&journal(ROUNDS, &more), "2026-05-18", |_, plan| {
        let need = &plan.shopping.needs[0];
        let ounces = |amount: Option<Amount>| amount.unwrap().in_unit(Unit::FL_OZ).unwrap().value;
        assert_eq!(ounces(need.fewest), Exact::int(120));
        assert_eq!(ounces(need.most), Exact::int(180));
        assert_eq!(ounces(need.on_hand), Exact::int(132));
        assert_eq!(need.buy_fewest, None);
        assert_eq!(ounces(need.buy_most), Exact::int(48));
        // The shelf is enough for the rounds of 22 and 29 May.
        assert_eq!(need.by, Some(day("2026-06-05")));
        // 33 for 192 fl oz: 48 of them are 8.25.
        assert_eq!(plan.shopping.most.money, Exact::new(33, 4));
        assert_eq!(plan.shopping.fewest.money, None);
    });
}

#[test]
fn a_price_that_is_not_known_is_listed_and_not_guessed() {
    with_plan(&journal(ROUNDS, ""), "2026-05-01", |season, plan| {
        let need = &plan.shopping.needs[0];
        assert_eq!((need.on_hand, need.price, need.cost_most), (None, None, None));
        assert_eq!(plan.shopping.most.money, None);
        let names: Vec<&str> =
            plan.shopping.most.without_price.iter().map(|&id| &*season.journal.material(id).named.name).collect();
        assert_eq!(names, ["kelp"]);
    });
}

#[test]
fn a_shelf_that_holds_too_little_bars_the_next_round() {
    let more = format!("\n2026-05-01\n\nreceive kelp\n    amount 100 fl oz\n{}", spray("2026-05-15"));
    with_plan(&journal(ROUNDS, &more), "2026-05-22", |_, plan| {
        let round = &line(plan).rounds[0];
        assert_eq!(round.conflicts[0].by.word(), "stock");
        assert!(round.conflicts[0].headline.contains("40 fl oz"), "{}", round.conflicts[0].headline);
        assert!(!plan.has_errors(), "what can be bought is no error");
    });
    // As much as it takes is enough.
    let more = format!("\n2026-05-01\n\nreceive kelp\n    amount 120 fl oz\n{}", spray("2026-05-15"));
    with_plan(&journal(ROUNDS, &more), "2026-05-22", |_, plan| assert!(line(plan).rounds[0].conflicts.is_empty()));
}

#[test]
fn rounds_without_a_day_are_counted_as_often_as_the_program_has_them() {
    let program = "    start stage petal fall\n    rounds 3 to 4, every 7 to 10 days\n";
    with_plan(&journal(program, ""), "2026-01-20", |_, plan| {
        let need = &plan.shopping.needs[0];
        let ounces = |amount: Option<Amount>| amount.unwrap().in_unit(Unit::FL_OZ).unwrap().value;
        assert_eq!((ounces(need.fewest), ounces(need.most)), (Exact::int(180), Exact::int(240)));
        assert_eq!(need.by, None);
    });
}

#[test]
fn a_volume_comes_from_the_program_or_the_last_round_or_a_measured_sprayer() {
    let volume = |text: &str| {
        with_plan(text, "2026-05-16", |_, plan| {
            line(plan).rounds[0]
                .volume
                .map(|planned| (planned.volume.in_unit(Unit::GALLON).unwrap().value, planned.from))
        })
    };
    use foliary::plan::VolumeFrom;
    let written = journal(ROUNDS, &spray("2026-05-15"));
    assert_eq!(volume(&written), Some((Exact::int(60), VolumeFrom::Program)));
    let per_area = written.replace("volume 60 gal\n", "volume 75 gal per acre\n");
    assert_eq!(volume(&per_area), Some((Exact::int(90), VolumeFrom::Program)));
    // 40 gal on 0.8 acre is 60 gal on 1.2.
    let none = written.replace("    volume 60 gal\n", "");
    let last = none.replace("leaf-tonic, 60 gal\n", "leaf-tonic, 40 gal\n    over 0.8 acre\n");
    assert_eq!(volume(&last), Some((Exact::int(60), VolumeFrom::LastRound(day("2026-05-15")))));
    let rig = "\nrig airblast\n    tank 100 gal\n\n2026-03-01\n\ncalibrate airblast\n    output 50 gal per acre\n";
    let measured = journal(&format!("{ROUNDS}    rig airblast\n"), rig).replace("    volume 60 gal\n", "");
    assert_eq!(volume(&measured), Some((Exact::int(60), VolumeFrom::Calibration(day("2026-03-01")))));
    let dilute = journal(ROUNDS, "")
        .replace("    volume 60 gal\n", "")
        .replace("    area 1.2 acre\n", "    area 1.2 acre\n    dilute 200 gal per acre\n");
    assert_eq!(volume(&dilute), Some((Exact::int(240), VolumeFrom::Dilute)));
    assert_eq!(volume(&journal(ROUNDS, "").replace("    volume 60 gal\n", "")), None);
}

#[test]
fn a_later_round_sees_what_earlier_ones_take_from_the_shelf() {
    // 160 fl oz came and 60 are sprayed; 60 more go on 22 May.
    let more = format!("\n2026-05-01\n\nreceive kelp\n    amount 160 fl oz\n{}", spray("2026-05-15"));
    with_plan(&journal(ROUNDS, &more), "2026-05-18", |_, plan| {
        let short: Vec<Vec<&str>> = line(plan)
            .rounds
            .iter()
            .map(|round| round.conflicts.iter().map(|conflict| conflict.headline.as_str()).collect())
            .collect();
        assert_eq!(short[0], [""; 0]);
        assert_eq!(
            short[1],
            ["the shelf holds 100 fl oz of kelp; this round and those planned before it take 120 fl oz"]
        );
        assert_eq!(short[2].len(), 1);
    });
}

#[test]
fn a_volume_comes_from_what_was_measured_or_from_the_trees() {
    use foliary::plan::VolumeFrom;
    let volume = |text: &str| {
        with_plan(text, "2026-05-16", |_, plan| {
            let planned = line(plan).rounds[0].volume?;
            Some((planned.volume.in_unit(Unit::GALLON)?.value, planned.from))
        })
    };
    // 8 nozzles x 40 fl oz are 2.5 gal a minute; 100 ft a minute x 32 ft are 3200 of the 43560 sq ft of an acre.
    let course = "    course 100 ft in 60 s\n    width 32 ft\n    driving both-sides\n    open 8 nozzles\n    \
                  caught 40 fl oz, 40 fl oz, 40 fl oz, 40 fl oz, 40 fl oz, 40 fl oz, 40 fl oz, 40 fl oz in 60 s\n";
    let rig = format!("\nrig airblast\n    tank 100 gal\n\n2026-03-01\n\ncalibrate airblast\n    setup one\n{course}");
    let text = journal(&format!("{ROUNDS}    rig airblast\n"), &rig).replace("    volume 60 gal\n", "");
    let by_course = Exact::new(25, 10).unwrap().mul(Exact::new(43560, 3200).unwrap()).unwrap();
    let on_block = by_course.mul(Exact::new(12, 10).unwrap());
    assert_eq!(volume(&text), on_block.map(|volume| (volume, VolumeFrom::Calibration(day("2026-03-01")))));
    // Another setup puts out twice as much: which is meant, nobody says.
    let twice = course.replace("100 ft in 60 s", "50 ft in 60 s");
    assert_eq!(volume(&format!("{text}\ncalibrate airblast\n    setup two\n{twice}")), None);
    // 10 ft x 9 ft x 43560 / 18 ft are 217800 cu ft an acre; at 0.7 gal per 1000 cu ft 152.46 gal.
    let trees = "    area 1.2 acre\n    rows 1 to 10, 18 ft apart\n    canopy 10 ft high, 9 ft wide\n    dilute 0.7 gal per 1000 cu ft\n";
    let text = journal(ROUNDS, "").replace("    volume 60 gal\n", "").replace("    area 1.2 acre\n", trees);
    assert_eq!(volume(&text), Exact::new(182_952, 1000).map(|volume| (volume, VolumeFrom::Dilute)));
}
