//! What inspectors, certifiers and worker protection rules ask about, as it is understood.

use foliary::journal::{Adopted, Course, HistoryFrom, Journal, Status, Trouble};
use foliary::text::Sources;

use super::{in_words, told, understood};

const JOURNAL: &str = "\
farm larkspur-bend
    permit 27-13-2700456
    rulebook us-worker-protection, us-organic from 2024-01-01 until 2026-12-31
    rulebook House-Rules
    keep 5 years
    history from 2026-03-01
block creek-pear
    area 1 acre
    site 14-B
    survey Tulare, S12 T18S R24E
    map sheet 4
    enclosed no
    soil-contact yes
person t-marsh
    licence PA-2207 until 2027-12-31   # renewed
    family no
person r-vale
    licence number 7 until further notice   # until 2027-12-31
    family yes
rig boom
    height 20 in
water well
    kind ground
material fish-feed
    form liquid
    status fertiliser
    origin natural
    purpose nutrition, growth
    label-limits weather, time
material sulfur
    form dry
    registration 99999-1
material whey
    form liquid
    status none
material salt
    form dry
2026-05-14
spray creek-pear
    put fish-feed 1 qt per 100 gal
    volume 10 gal
    signed by t-marsh on 2026-05-14
    signed by r-vale, t-marsh on 2026-05-15 8:00 pm
observe creek-pear
    signed by t-marsh on 2026-05-14 09:00
harvest creek-pear
    signed by t-marsh on 2026-05-14 10:00
work creek-pear
    signed by t-marsh on 2026-05-14 11:00
brew whey-3 of whey
    put fish-feed 1 oz
    amount 1 gal
    water well
approve fish-feed, whey
    authority Valley Certifiers
    evidence letter of 2026-02-20
    restriction only with a leaf test
    until 2027-03-01
    note Two more are asked for.
train t-marsh, r-vale
    course fit-test
    trainer Rowan Vale
    evidence certificate 26-31
    signed by t-marsh, r-vale on 2026-05-14
sample creek-pear rows 1 to 4
    kind tissue
    found Mg 0.18 %, low
    found N 2.1 %
    lab Tarrow Soil and Leaf
    evidence report 26-0417
    by t-marsh
    signed by r-vale on 2026-05-20
count sulfur
    amount 12 oz
    by t-marsh
discard sulfur
    amount 4 oz
    method county collection day
    reason got wet
    by r-vale
";

fn clean() -> (Sources, Journal) {
    let (sources, journal) = understood(&[JOURNAL]);
    assert_eq!(journal.troubles, [], "{}", told(&sources, &journal.troubles));
    (sources, journal)
}

#[test]
fn everything_that_law_and_paper_ask_for() {
    let (sources, journal) = clean();
    let parts = [
        format!("{:#?}", journal.farm),
        format!("{:#?}", journal.blocks),
        format!("{:#?}", journal.people),
        format!("{:#?}", journal.rigs),
        format!("{:#?}", journal.waters),
        format!("{:#?}", journal.materials),
        format!("{:#?}", journal.sprays[0].signed),
        format!("{:#?}", journal.observations[0].signed),
        format!("{:#?}", journal.harvests[0].signed),
        format!("{:#?}", journal.works[0].signed),
        format!("{:#?}", journal.brews[0].water),
        format!("{:#?}", journal.approvals),
        format!("{:#?}", journal.trainings),
        format!("{:#?}", journal.samples),
        format!("{:#?}", journal.counts),
        format!("{:#?}", journal.discards),
    ];
    insta::assert_snapshot!(in_words(&sources, &parts.join("\n")));
}

#[test]
fn rules_hold_from_their_first_day_to_their_last() {
    let (_, journal) = clean();
    let farm = journal.farm.unwrap();
    let day = |words: &str| words.parse().unwrap();
    let names: Vec<&str> = farm.rulebooks.iter().map(|adopted| &*adopted.name.value).collect();
    assert_eq!(names, ["us-worker-protection", "us-organic", "house-rules"]);
    let on = |adopted: &Adopted, days: [&str; 4]| days.map(|words| adopted.on(day(words)));
    let days = ["2023-12-31", "2024-01-01", "2026-12-31", "2027-01-01"];
    assert_eq!(on(&farm.rulebooks[1], days), [false, true, true, false]);
    assert_eq!(on(&farm.rulebooks[2], days), [true; 4]);
    assert_eq!(farm.history.map(|history| history.value), Some(HistoryFrom::From(day("2026-03-01"))));
}

#[test]
fn a_registration_number_speaks_where_no_status_is_written() {
    let (_, journal) = clean();
    let status: Vec<Option<Status>> = journal.materials.iter().map(|material| material.status()).collect();
    assert_eq!(status, [Some(Status::Fertiliser), Some(Status::Registered), Some(Status::None), None]);
}

#[test]
fn every_choice_is_read_by_its_own_word() {
    for course in Course::ALL {
        let (_, journal) = understood(&[&JOURNAL.replace("course fit-test", &format!("course {}", course.word()))]);
        assert_eq!(journal.trainings[0].course.map(|written| written.value), Some(*course));
    }
}

#[test]
fn one_slip_raises_one_trouble() {
    for (right, wrong, kind) in [
        ("until 2026-12-31", "until 2023-12-31", "Impossible"),
        ("from 2024-01-01", "from 2024-13-01", "UnreadableDate"),
        ("us-organic from", "US-Worker-Protection from", "NamedTwice"),
        ("keep 5 years", "keep 0 years", "Impossible"),
        ("keep 5 years", "keep five years", "UnreadableLine"),
        ("history from 2026-03-01", "history maybe", "UnreadableLine"),
        ("until 2027-12-31", "until 2027-02-30", "UnreadableDate"),
        ("kind ground", "kind soil", "UnknownChoice"),
        ("kind tissue", "kind ground", "UnknownChoice"),
        ("    kind tissue\n", "", "MissingFields"),
        ("status fertiliser", "status fertilizer-ish", "UnknownChoice"),
        ("purpose nutrition, growth", "purpose nutrition, nutrition", "NamedTwice"),
        ("label-limits weather, time", "label-limits weather, tide", "UnknownChoice"),
        ("course fit-test", "course worker, handler", "UnknownChoice"),
        ("on 2026-05-15 8:00 pm", "on 2026-05-15 18:00 pm", "UnreadableDate"),
        ("by r-vale, t-marsh on", "by r-vail, t-marsh on", "UnknownName"),
        ("approve fish-feed, whey", "approve fish-feed, fish-feed", "NamedTwice"),
        ("train t-marsh, r-vale", "train", "NamelessEntry"),
        ("count sulfur", "count sulfer", "UnknownName"),
        ("discard sulfur\n", "discard sulfur rows 1\n", "StrayHead"),
        ("amount 4 oz", "amount 4 acre", "WrongDimension"),
        ("height 20 in", "height 20 gal", "WrongDimension"),
    ] {
        assert!(JOURNAL.contains(right), "{right}");
        let (sources, journal) = understood(&[&JOURNAL.replacen(right, wrong, 1)]);
        let told = told(&sources, &journal.troubles);
        assert_eq!(journal.troubles.len(), 1, "{wrong}: {told}");
        assert!(told.starts_with(kind), "{wrong}: {told}");
    }
}

#[test]
fn a_licence_whose_last_day_is_none_keeps_its_words() {
    let (sources, journal) =
        understood(&[&JOURNAL.replace("until 2027-12-31   # renewed", "until 2027-02-30 # renewed")]);
    assert!(matches!(journal.troubles.as_slice(), [Trouble::UnreadableDate { .. }]));
    let licence = journal.people[0].licence.unwrap();
    assert_eq!((sources.slice(licence.span), licence.until), ("PA-2207 until 2027-02-30", None));
}
