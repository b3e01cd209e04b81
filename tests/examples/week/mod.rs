//! A whole week on an invented farm, run by the sheets alone: each morning the plan says what is due, the mix sheet what
//! goes into the tank; what was done comes back as the sheet's own entry with its blanks filled in; and the board, the
//! shelf and the next morning's plan say what followed.

mod farm;

use serde_json::{Value, json};

use self::farm::{Farm, Part, part};

/// What people may do in rows of a block at a moment: clear, or closed until then.
const CLEAR: Part = ("clear", None);

#[test]
fn a_week_run_by_the_sheets_alone() {
    let farm = Farm::new();
    monday(&farm);
    tuesday(&farm);
    wednesday(&farm);
    thursday(&farm);
    friday_and_saturday(&farm);
    sunday(&farm);
}

/// Two tonic rounds are due; one is sprayed.
fn monday(farm: &Farm) {
    let plan = farm.plan("2026-06-01");
    assert_eq!(
        states(&plan),
        [
            ("Creek pears", "Tonic rounds", 1, "due"),
            ("Hill pears", "Tonic rounds", 1, "due"),
            ("Hill pears", "Sulfur rounds", 1, "to come"),
        ]
    );
    let sheet = farm.sheet("creek-pear", "tonic-rounds", "2026-06-01");
    // 40 gal per acre on 1.2 acre; 0.4 oz wt and 1.5 fl oz in each of 48 gal.
    assert_eq!(sheet.json["last"]["volume"]["number"], "48");
    assert_eq!(sheet.put("Epsom crystals"), json!({ "number": "19.2", "text": "19.2 oz wt (544 g)", "unit": "oz wt" }));
    assert_eq!(sheet.put("Cultured whey")["number"], "72");
    assert_eq!(sheet.json["totals"][0]["total"], "1.9 oz per gal");
    farm.enter(&sheet.filled(&[
        ("batch", "whey-1"),
        ("time", "05:50 to 07:20"),
        ("by", "t-ruddock"),
        ("weather", "52 F, wind 3 mph NW, humidity 74 %"),
    ]));
    farm.is_silent("2026-06-01");
    let board = |at: &str| farm.board(at, "creek-pear");
    assert_eq!(board("2026-06-01 05:49"), [part("", CLEAR, CLEAR)]);
    let busy = ("closed", Some("2026-06-01T07:20:00-06:00"));
    assert_eq!(board("2026-06-01 06:30"), [part("", busy, busy)]);
    // Neither label states an interval.
    assert_eq!(board("2026-06-01 07:20"), [part("", CLEAR, CLEAR)]);
    // 3 gal are 384 fl oz, 72 of which went into the tank; 50 lb less 19.2 oz.
    assert_eq!(farm.on_hand("2026-06-01", "whey"), ("2.4375".to_string(), "gal"));
    assert_eq!(farm.on_hand("2026-06-01", "epsom"), ("48.8".to_string(), "lb"));
}

/// Sulfur on the hill, what was left of it on two rows by the creek, the rinse water on two others; a round left out.
fn tuesday(farm: &Farm) {
    let plan = farm.plan("2026-06-02");
    assert_eq!(
        states(&plan),
        [
            ("Hill pears", "Tonic rounds", 1, "due"),
            ("Hill pears", "Sulfur rounds", 1, "due"),
            ("Creek pears", "Tonic rounds", 2, "to come"),
        ]
    );
    // Seven to nine days after the first.
    assert_eq!(
        (&plan["to_come"][0]["first"], &plan["to_come"][0]["last"]),
        (&json!("2026-06-08"), &json!("2026-06-10"))
    );
    let sheet = farm.sheet("hill-pear", "sulfur-rounds", "2026-06-02");
    // 4 lb in 100 gal are 20.48 oz in 32 gal; the scale shows tenths.
    assert_eq!(sheet.put("Wettable sulfur")["number"], "20.5");
    farm.enter(&sheet.filled(&[
        ("time", "06:00 to 07:30"),
        ("by", "j-sedge"),
        ("weather", "55 F, wind 4 mph W, humidity 70 %"),
        ("leftover", "2 gal on creek-pear rows 13 to 14"),
    ]));
    farm.enter(
        "clean airblast\n    method triple rinse\n    time 08:00 to 08:20\n    rinse 5 gal on creek-pear rows 1 to 2\n    by j-sedge\n\n\
         skip hill-pear\n    program tonic-rounds\n    reason Sulfur went on the same day.\n    by t-ruddock\n",
    );
    farm.is_silent("2026-06-02");
    let plan = farm.plan("2026-06-02");
    assert_eq!(
        states(&plan),
        [
            ("Creek pears", "Tonic rounds", 2, "to come"),
            ("Hill pears", "Tonic rounds", 2, "to come"),
            ("Hill pears", "Sulfur rounds", 2, "to come"),
        ]
    );
    // The round that was left out counts as that round on its day.
    assert_eq!(plan["to_come"][1]["first"], "2026-06-09");
    assert_eq!(plan["blocks"][1]["rounds"][0]["state"], "skipped");
    assert_eq!(plan["to_come"][1]["count"], "0 of 3");

    // 24 h from the end of the spray, of the leftover and of the cleaning; 3 days on the calendar before a pick.
    let (tank, rinse) = ("2026-06-03T07:30:00-06:00", "2026-06-03T08:20:00-06:00");
    let picked = ("closed", Some("2026-06-05T00:00:00-06:00"));
    let noon = "2026-06-02 12:00";
    assert_eq!(farm.board(noon, "hill-pear"), [part("", ("closed", Some(tank)), picked)]);
    assert_eq!(
        farm.board(noon, "creek-pear"),
        [
            part("rows 1-2", ("closed", Some(rinse)), picked),
            part("rows 3-12", CLEAR, CLEAR),
            part("rows 13-14", ("closed", Some(tank)), picked),
        ]
    );
    // Before it began nobody knew of it.
    assert_eq!(farm.board("2026-06-02 05:59", "hill-pear"), [part("", CLEAR, CLEAR)]);
}

/// What the board says of people in the blocks is what is found of them in the journal.
fn wednesday(farm: &Farm) {
    let work = |block: &str, from: &str| {
        format!("2026-06-03 Wed\n\nwork {block}\n    time {from} to 10:00\n    task thinning\n    by j-sedge\n")
    };
    for (block, from, state) in [
        ("hill-pear", "07:29", "closed"),
        ("hill-pear", "07:30", "clear"),
        ("creek-pear rows 1 to 2", "08:19", "closed"),
        ("creek-pear rows 1 to 2", "08:20", "clear"),
        ("creek-pear rows 3 to 12", "06:00", "clear"),
        ("creek-pear rows 13 to 14", "07:29", "closed"),
    ] {
        let board = farm.board(&format!("2026-06-03 {from}"), block.split(' ').next().unwrap());
        let rows = block.split_once(" rows ").map(|(_, rows)| rows.replace(" to ", "-"));
        let here = board.iter().find(|(part, ..)| rows.as_ref().is_none_or(|rows| part.contains(rows.as_str())));
        // Rows that turned clear are told with their neighbours.
        let enter = here.map_or("clear", |(_, (enter, _), _)| enter.as_str());
        assert_eq!(enter, state, "{block} at {from}");
        let found = farm.would_find("2026-06-03", &work(block, from));
        let wanted: &[&str] = if state == "closed" { &["entry-before-reentry"] } else { &[] };
        assert_eq!(found, wanted, "{block} at {from}");
    }
    farm.enter(&work("hill-pear", "07:30"));
    farm.enter("brew whey-2 of whey\n    amount 2 gal\n    ready 2026-06-10\n    use-by 2026-07-05\n    by j-sedge\n");
    farm.is_silent("2026-06-03");
}

/// A delivery, a count, a sprayer measured.
fn thursday(farm: &Farm) {
    let found = farm.would_find(
        "2026-06-04",
        "2026-06-04 Thu\n\nharvest creek-pear rows 1 to 2\n    time 07:00 to 09:00\n    amount 200 lb\n    by t-ruddock\n",
    );
    assert_eq!(found, ["harvest-in-interval"]);
    // 25 lb less 20.5 oz.
    assert_eq!(farm.on_hand("2026-06-04", "curd-sulfur"), ("23.71875".to_string(), "lb"));
    farm.enter(
        "2026-06-04 Thu\n\n\
         receive epsom\n    amount 25 lb\n    lot E-2\n    paid 17.50\n\n\
         count curd-sulfur\n    amount 23.7 lb\n    by j-sedge\n\n\
         calibrate airblast\n    output 41 gal per acre\n    by j-sedge\n",
    );
    farm.is_silent("2026-06-04");
    assert_eq!(farm.on_hand("2026-06-04", "curd-sulfur"), ("23.7".to_string(), "lb"));
    assert_eq!(farm.on_hand("2026-06-04", "epsom"), ("73.8".to_string(), "lb"));
    assert_eq!(farm.lots("2026-06-04", "epsom"), ["lot E-1: 48.8", "lot E-2: 25"]);
    // The next sheet says what the sprayer put out this time.
    let sheet = farm.sheet("creek-pear", "tonic-rounds", "2026-06-08");
    assert!(sheet.json["sprayer"].to_string().contains("41 gal per acre"), "{}", sheet.json["sprayer"]);
}

/// The harvest interval is over with Thursday; picking is on Saturday.
fn friday_and_saturday(farm: &Farm) {
    let picking =
        |at: &str| -> Vec<String> { farm.board(at, "creek-pear").into_iter().map(|(_, _, (pick, _))| pick).collect() };
    assert!(picking("2026-06-04 23:59").contains(&"closed".to_string()));
    assert_eq!(picking("2026-06-05 00:00"), ["clear"]);
    farm.enter(
        "2026-06-06 Sat\n\nharvest creek-pear\n    time 07:00 to 11:00\n    amount 1400 lb\n    lot C-0606\n    by t-ruddock\n",
    );
    farm.is_silent("2026-06-06");
}

/// What lies ahead, and the season's documents.
fn sunday(farm: &Farm) {
    let plan = farm.plan("2026-06-07");
    assert_eq!(plan["now"], json!([]));
    assert_eq!(states(&plan)[0], ("Creek pears", "Tonic rounds", 2, "to come"));
    let calendar = farm.json(&["calendar", "--as-of", "2026-06-07", "--as", "json"]);
    let events: Vec<&Value> =
        calendar["weeks"].as_array().unwrap().iter().flat_map(|week| week["events"].as_array().unwrap()).collect();
    let event = |title: &str| {
        let found = events.iter().find(|event| event["title"].as_str().unwrap().starts_with(title));
        found.unwrap_or_else(|| panic!("no {title}"))
    };
    for (title, start, state) in [
        ("Creek pears: round 1 of Tonic rounds", "2026-06-01", "done"),
        ("Hill pears: round 1 of Tonic rounds", "2026-06-02", "skipped"),
        ("Hill pears: round 1 of Sulfur rounds", "2026-06-02", "done"),
        ("Hill pears: re-entry interval over", "2026-06-03T07:30:00-06:00", "past"),
        ("Creek pears, rows 13 to 14: clear to pick", "2026-06-05", "past"),
        ("Creek pears: round 2 of Tonic rounds", "2026-06-08", "to come"),
        ("whey-2: batch ready", "2026-06-10", "to come"),
        // 90 days from the day it was measured last.
        ("Airblast sprayer: last day", "2026-09-02", "to come"),
    ] {
        let event = event(title);
        assert_eq!((&event["start"], &event["state"]), (&json!(start), &json!(state)), "{title}");
    }
    farm.report("2026-06-07");
    let season = farm.written("season.md");
    for words in ["Creek pears", "Sulfur rounds", "1400 lb", "C-0606"] {
        assert!(season.contains(words), "the season summary has no {words}");
    }
    let records = farm.written("records.md");
    // Both tanks, as they were measured out.
    assert!(records.contains("19.2 oz wt") && records.contains("20.5 oz wt"));
    assert!(farm.written("calendar.ics").contains("SUMMARY:Skipped: Hill pears: round 1 of Tonic rounds"));
}

/// Each line of a plan: the block, the program, the next round and how it stands.
fn states(plan: &Value) -> Vec<(&str, &str, u64, &str)> {
    let lines = ["now", "to_come"].iter().flat_map(|part| plan[*part].as_array().unwrap());
    lines
        .map(|line| {
            let of = |key: &str| line[key].as_str().unwrap();
            (of("block"), of("program"), line["round"].as_u64().unwrap(), of("state"))
        })
        .collect()
}
