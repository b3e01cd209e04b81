//! Facts of documents against small journals worked by hand.

use foliary::documents::wilson;
use foliary::finding::{Accepted, Finding, Level};
use foliary::journal::Journal;
use foliary::text::Sources;

use super::{Found, at, documents, views};

const FARM: &str = "\
farm willow-end \"Willow End\"
    timezone America/Boise
    owner Ada Quill

block old-peach \"Old peaches\"
    crop peach
    area 2 acre
    rows 1 to 10, 16 ft apart

block young-pear
    crop pear
    area 1 acre

person t-marsh \"Tansy Marsh\"
    licence PA-1 until 2027-12-31

material copper-salt
    form dry
    contains Cu 25 %, P2O5 10 %
    registration 99999-1
    reentry 48 h
    preharvest 21 days on peach
    season at most 2 sprays
    season at most 4 lb of Cu per acre

material kelp
    form liquid

mix dormant
    in 100 gal
    put copper-salt 4 lb
    total at most 1 oz per gal

";

fn journal(pages: &str) -> String {
    format!("{FARM}{pages}")
}

const TWO_BLOCKS: &str = "\
2026-03-02 Mon

spray old-peach, young-pear
    mix dormant, 300 gal
    time 08:00 to 09:30
    by t-marsh
    entered 2026-03-05 by t-marsh

2026-03-20 Fri

spray old-peach
    mix dormant, 200 gal
    time 08:00 to 09:00
    by t-marsh
";

#[test]
fn materials_are_shared_out_by_area() {
    let (summary, _) = views(&journal(TWO_BLOCKS), &Found::Nothing);
    let copper = &summary.totals[0];
    // 4 lb in 100 gal: 12 lb over three acres, then 8 lb over two.
    assert_eq!(copper.total.as_deref(), Some("20 lb (9.07 kg)"));
    let blocks: Vec<_> =
        copper.blocks.iter().map(|block| (block.block.as_str(), block.sprays, block.total.as_deref())).collect();
    assert_eq!(blocks, [("Old peaches", 2, Some("16 lb (7.26 kg)")), ("young-pear", 1, Some("4 lb (1.81 kg)"))]);
    assert_eq!(copper.blocks[0].per_area.as_deref(), Some("8 lb per acre (8.967 kg per ha)"));
}

#[test]
fn elements_are_counted_and_oxides_converted() {
    let (summary, _) = views(&journal(TWO_BLOCKS), &Found::Nothing);
    assert_eq!(summary.elements.symbols, ["P", "Cu"]);
    let figures: Vec<&str> =
        summary.elements.rows[0].figures.iter().map(|figure| figure.as_ref().unwrap().home.as_str()).collect();
    // 8 lb per acre with a quarter copper; a tenth P2O5, of which 0.43642 is phosphorus (IUPAC atomic weights).
    assert_eq!(figures, ["0.349", "2"]);
}

#[test]
fn limits_say_how_much_is_used() {
    let (summary, _) = views(&journal(TWO_BLOCKS), &Found::Nothing);
    let used: Vec<_> = summary
        .season_caps
        .iter()
        .map(|used| (used.block.as_str(), used.used.as_str(), used.percent, used.over))
        .collect();
    assert_eq!(
        used,
        [
            ("Old peaches", "2 of 2 sprays", 100, false),
            ("young-pear", "1 of 2 sprays", 50, false),
            ("Old peaches", "2 lb of 4 lb per acre", 50, false),
            ("young-pear", "1 lb of 4 lb per acre", 25, false),
        ]
    );
    // 4 lb in 100 gal is 0.64 oz of weight in a gallon.
    assert_eq!(summary.tank_limits[0].used, "0.64 oz per gal");
    assert_eq!(summary.tank_limits[0].percent, 64);
}

/// A dry material by the spoon, once by the recipe and once measured out.
const BY_THE_SPOON: &str = "\
material epsom
    form dry
    weighs 15 g per tbsp
    contains Mg 10 %
    season at most 6 lb of Mg per acre

mix drink
    in 1 gal
    put epsom 1 tbsp

2026-05-01 Fri

spray young-pear
    mix drink, 33 gal
    time 06:00 to 07:00

2026-05-09 Sat

spray young-pear
    mix drink, 32 gal
    measured epsom 32 tbsp
    time 06:00 to 07:00
";

#[test]
fn dry_materials_are_weighed_even_where_a_spoon_measured_them() {
    let (summary, records) = views(&journal(BY_THE_SPOON), &Found::Nothing);
    // 33 spoons of 15 g are 495 g, 32 are 480 g: 1.0913 lb and 1.0582 lb of 453.59237 g.
    let said: Vec<_> = records
        .records
        .iter()
        .map(|record| &record.products[0])
        .map(|product| (product.total.as_deref(), product.basis.as_deref(), product.per_area.as_deref()))
        .collect();
    assert_eq!(
        said,
        [
            (Some("1.091 lb (495 g)"), Some("by the recipe, 33 tbsp"), Some("1.091 lb per acre (1.223 kg per ha)")),
            (Some("1.058 lb (480 g)"), Some("as measured, 32 tbsp"), Some("1.058 lb per acre (1.186 kg per ha)")),
        ]
    );
    let epsom = summary.totals.iter().find(|total| total.material == "epsom").unwrap();
    assert_eq!(epsom.total.as_deref(), Some("2.15 lb (975 g)"));
    assert_eq!(epsom.blocks[0].per_area.as_deref(), Some("2.15 lb per acre (2.409 kg per ha)"));
    assert_eq!(
        summary.season_caps.iter().find(|used| used.set_by == "epsom").unwrap().used,
        "0.215 lb of 6 lb per acre"
    );
}

#[test]
fn a_material_has_one_unit_in_records_and_summary() {
    let page = "2026-05-01 Fri\n\nspray young-pear\n    put kelp 2 fl oz per gal\n    volume 42.24 gal\n    time 06:00 to 07:00\n\n\
                2026-05-09 Sat\n\nspray young-pear\n    put kelp 20 fl oz\n    volume 40 gal\n    time 06:00 to 07:00\n\n\
                2026-05-19 Tue\n\nspray young-pear\n    measured kelp 2 L\n    volume 40 gal\n    time 06:00 to 07:00\n";
    let (summary, records) = views(&journal(page), &Found::Nothing);
    let of_records: Vec<&str> =
        records.records.iter().map(|record| record.products[0].total.as_deref().unwrap()).collect();
    // The middle one of the three, 2 L, is more than half a gallon; 84.48 fl oz are 0.66 gal.
    assert_eq!(of_records, ["0.66 gal (2.5 L)", "0.1563 gal (591 mL)", "0.5283 gal (2 L)"]);
    assert_eq!(records.records[2].products[0].basis.as_deref(), Some("as measured, 2 L"));
    assert_eq!(summary.totals[0].total.as_deref(), Some("1.345 gal (5.09 L)"));
}

#[test]
fn a_tank_not_wholly_known_counts_for_what_is_known_of_it() {
    let spray = |day: &str, second: &str| {
        format!(
            "{day}\n\nspray oak\n    volume 100 gal\n    put oil {second}\n    put soap 1 gal per tree\n    time 06:00 to 07:00\n\n"
        )
    };
    let text = format!(
        "farm f\n    units US\n    timezone America/Boise\n\nblock oak\n    crop pear\n    area 1 acre\n\nmaterial oil\n    form liquid\n\n\
         material soap\n    form liquid\n\nlimits house\n    total at most 2.5 % v/v\n\n{}{}",
        spray("2026-03-02", "3 gal"),
        spray("2026-03-09", "2 gal").replace("    put soap 1 gal per tree\n", "")
    );
    let (summary, _) = views(&text, &Found::Nothing);
    let limit = &summary.tank_limits[0];
    assert_eq!((limit.used.as_str(), limit.percent, limit.over, limit.missing), ("at least 3 % v/v", 120, true, 0));
}

#[test]
fn a_leftover_counts_where_it_went() {
    let page = "2026-03-02 Mon\n\nspray old-peach\n    mix dormant, 200 gal\n    time 08:00 to 09:30\n    leftover 50 gal on young-pear\n";
    let (summary, _) = views(&journal(page), &Found::Nothing);
    let blocks: Vec<_> = summary.totals[0].blocks.iter().map(|block| block.total.as_deref().unwrap()).collect();
    assert_eq!(blocks, ["6 lb (2.72 kg)", "2 lb (907 g)"]);
}

#[test]
fn a_record_says_when_people_and_pickers_may_go_in() {
    let (_, records) = views(&journal(TWO_BLOCKS), &Found::Nothing);
    let record = &records.records[0];
    // 48 hours from 09:30 on 2 March, across the change to summer time on 8 March for neither.
    assert_eq!(record.reentry.as_deref(), Some("4 March 2026 09:30 (48 h, copper-salt)"));
    let clear: Vec<_> = record.clear.iter().map(|clear| (clear.blocks.as_deref(), clear.day.as_deref())).collect();
    assert_eq!(
        clear,
        [
            (Some("Old peaches"), Some("23 March 2026 (copper-salt)")),
            // No harvest interval is written for pears: only the re-entry interval is known, and the gap is said.
            (Some("young-pear"), Some("4 March 2026 09:30 (copper-salt)")),
        ]
    );
    assert_eq!(record.preharvest_missing.as_deref(), Some("copper-salt"));
    assert_eq!(record.entered.as_ref().unwrap().after, "3 days after");
    assert!(record.area_worked_out);
}

#[test]
fn a_missing_end_is_assumed_and_said() {
    let page = "2026-03-02 Mon\n\nspray old-peach\n    mix dormant, 200 gal\n    time 08:00\n";
    let (summary, records) = views(&journal(page), &Found::Nothing);
    let record = &records.records[0];
    assert_eq!(record.end, None);
    assert_eq!(record.reentry.as_deref(), Some("4 March 2026 23:59 (48 h, copper-salt, from an end taken as 23:59)"));
    assert!(summary.assumed[0].starts_with("1 spray has no end time that can be believed"), "{:?}", summary.assumed);
}

#[test]
fn what_is_not_written_is_not_made_up() {
    let page = "2026-03-02 Mon\n\nspray young-pear\n    put kelp 1 fl oz per gal\n";
    let written = documents(&journal(page), &Found::Nothing);
    let records = written.iter().find(|document| document.name == "records").unwrap();
    for line in [
        "- Start: not recorded",
        "- End: not recorded",
        "- Re-entry ends: not recorded **No re-entry interval is recorded for kelp.**",
        "- **No harvest interval for the crop is recorded for kelp.**",
        "- Finished volume: not recorded",
        "- Sprayer: not recorded",
        "- Weather: not recorded",
        "- Applicator: not recorded",
        "- Entered: not recorded",
    ] {
        assert!(records.markdown.lines().any(|written| written == line), "{line} is not in\n{}", records.markdown);
    }
}

#[test]
fn amendments_show_both_wordings_with_the_changed_words_marked() {
    let page = "\
2026-03-02 Mon

spray old-peach
    mix dormant, 200 gal
    measured copper-salt 80 lb
    time 08:00 to 09:30

2026-03-06 Fri

amend spray of old-peach 2026-03-02
    was measured copper-salt 80 lb
    now measured copper-salt 8 lb
    reason a nought too many
    by t-marsh
";
    let (_, records) = views(&journal(page), &Found::Nothing);
    let amended = &records.records[0].amendments[0];
    let changed = |pieces: &[_]| {
        let pieces: &[foliary::documents::Piece] = pieces;
        pieces.iter().filter(|piece| piece.changed).map(|piece| piece.text.clone()).collect::<Vec<_>>()
    };
    assert_eq!(changed(&amended.was), ["80"]);
    assert_eq!(changed(&amended.now), ["8"]);
    assert_eq!(amended.by.as_deref(), Some("Tansy Marsh"));
    let written = &documents(&journal(page), &Found::Nothing)[1];
    assert!(written.markdown.contains(
        "was “measured copper-salt **80** lb”, now “measured copper-salt **8** lb”. Reason: a nought too many"
    ));
    let html = &written.html;
    assert!(html.contains(
        "was “measured copper-salt <del>80</del> lb”, now “measured copper-salt <ins>8</ins> lb”. a nought too many"
    ));
}

/// The words of a line of Markdown, as a reader sees them.
fn read_as_text(markdown: &str) -> String {
    let events = pulldown_cmark::Parser::new(markdown);
    events
        .filter_map(|event| match event {
            pulldown_cmark::Event::Text(text) => Some(text.to_string()),
            _ => None,
        })
        .collect()
}

#[test]
fn amended_words_read_as_they_stand_in_the_journal() {
    for (was, now) in [
        ("measured epsom 42 oz", "measured epsom 24 oz wt"),
        ("measured epsom 42 oz", "measured kelp 1 qt, as I now read it"),
        ("measured epsom 42 oz", "over 1 acre"),
        ("over 1.1 acre", "over 1.2 acre (new plan), *not* the _old_ one"),
        ("note (a) | **b**", "note (b) | **a**, a b"),
        ("reason rain, wind", "reason  wind,  rain"),
    ] {
        let page = format!(
            "2026-03-02 Mon\n\nspray old-peach\n    mix dormant, 200 gal\n    time 08:00 to 09:30\n\n\
             2026-03-06 Fri\n\namend spray of old-peach 2026-03-02\n    was {was}\n    now {now}\n    reason misread\n    by t-marsh\n"
        );
        let written = &documents(&journal(&page), &Found::Nothing)[1];
        let line = written.markdown.lines().find(|line| line.starts_with("- Amended ")).unwrap();
        let text = read_as_text(line);
        assert!(text.contains(&format!("was “{was}”, now “{now}”.")), "{line}\nreads\n{text}");
        let page = scraper::Html::parse_document(&written.html);
        let text: String = page.root_element().text().collect();
        assert!(text.contains(&format!("was “{was}”, now “{now}”.")), "{line}");
    }
}

#[test]
fn an_amendment_goes_to_the_spray_whose_words_it_quotes() {
    let page = "\
2026-03-02 Mon

spray old-peach
    mix dormant, 200 gal
    time 08:00 to 09:30

spray old-peach
    mix dormant, 150 gal
    time 10:00 to 11:00

2026-03-06 Fri

amend spray of old-peach 2026-03-02
    was mix dormant, 150 gal
    now mix dormant, 50 gal
    reason misread
";
    let (_, records) = views(&journal(page), &Found::Nothing);
    let amendments: Vec<usize> = records.records.iter().map(|record| record.amendments.len()).collect();
    assert_eq!(amendments, [0, 1]);
}

const COUNTED: &str = "\
2026-03-01 Sun

observe old-peach
    incidence leaf-curl 30 of 100 leaves

2026-03-02 Mon

spray old-peach rows 1 to 8
    mix dormant, 160 gal
    time 08:00 to 09:30

2026-04-10 Fri

observe old-peach
    incidence leaf-curl 6 of 100 leaves
";

#[test]
fn the_first_line_says_what_followed_and_not_why() {
    let (summary, _) = views(&journal(COUNTED), &Found::Nothing);
    assert_eq!(summary.opening.done, "1 spray on Old peaches on 2 March 2026");
    assert_eq!(
        summary.opening.followed_by.as_deref(),
        Some(
            "This was followed by: Leaf curl on leaves (Old peaches) went down from 30 of 100 (1 Mar) to 6 of 100 (10 Apr)."
        )
    );
    assert!(summary.opening.cannot_say.unwrap().contains("cannot show why"));
}

#[test]
fn counts_too_small_to_tell_are_said_to_be() {
    let page = COUNTED.replace("30 of 100 leaves", "3 of 50").replace("6 of 100 leaves", "1 of 50");
    let (summary, _) = views(&journal(&page), &Found::Nothing);
    // 2 to 16 % and 0 to 10 % by Wilson.
    assert_eq!(
        summary.opening.followed_by.as_deref(),
        Some(
            "This was followed by: Leaf curl (Old peaches), 3 of 50 (1 Mar) and then 1 of 50 (10 Apr): \
             the counts are too small, or too alike, to tell whether it changed."
        )
    );
}

#[test]
fn the_clock_is_shown_where_it_was_read_and_nowhere_else() {
    let pages = format!(
        "{}2026-05-01 Fri\n\nobserve young-pear\n    time 09:30\n    brix 11.5 of 10 leaves at 10:00\n    brix 12\n",
        TWO_BLOCKS
    );
    let (summary, _) = views(&journal(&pages), &Found::Nothing);
    assert_eq!(summary.seen[0].time.as_deref(), Some("09:30"));
    assert_eq!(summary.seen[0].readings, ["Brix 11.5 of 10 leaves at 10:00", "Brix 12"]);
    // A harvest interval of whole days ends with a day, not at a time of day.
    let words = summary.pictures[0].strips[0].text.join(". ");
    assert!(words.contains("harvest intervals, clear from 23 March 2026 and 10 April 2026"), "{words}");
    assert!(!words.contains("00:00"), "{words}");
}

#[test]
fn a_stage_that_rounds_began_without_is_not_said_to_be_ahead() {
    let program = "program petals\n    mix dormant\n    blocks young-pear\n    start stage petal fall\n    rounds 3, every 7 days\n\n";
    let (summary, _) = views(&format!("{FARM}{program}{TWO_BLOCKS}"), &Found::Nothing);
    assert_eq!(
        (summary.runs[0].start.as_str(), summary.runs[0].count.as_str()),
        ("petal fall, stage not recorded", "not counted")
    );
}

#[test]
fn counts_without_a_spray_between_are_not_told_as_if_there_were_one() {
    let page = COUNTED.replace("2026-03-02 Mon", "2026-05-02 Sat").replace("2026-04-10 Fri", "2026-03-20 Fri");
    let (summary, _) = views(&journal(&page), &Found::Nothing);
    assert_eq!(summary.opening.followed_by, None);
}

#[test]
fn rows_that_a_spray_did_not_reach_are_shown_beside_those_it_did() {
    let page = COUNTED.replace(
        "observe old-peach\n    incidence leaf-curl 6 of 100 leaves",
        "observe old-peach rows 1 to 8\n    incidence leaf-curl 6 of 100 leaves\n\nobserve old-peach rows 9 to 10\n    incidence leaf-curl 17 of 100 leaves",
    );
    let (summary, _) = views(&journal(&page), &Found::Nothing);
    // Other rows are another row of counts: nothing is compared across them in time.
    assert_eq!(summary.opening.followed_by, None);
    assert_eq!(
        summary.opening.side_by_side,
        ["Leaf curl on leaves, 10 April 2026. Old peaches, rows 1 to 8 after 1 spray: 6 of 100 (3 to 12 %); \
          Old peaches, rows 9 to 10 after 0 sprays: 17 of 100 (11 to 26 %). \
          The counts are too small, or too alike, to tell them apart."]
    );
}

/// An open error at the spray, and a late round that is accepted.
fn two_findings(_: &Journal, sources: &Sources) -> Vec<Finding> {
    let mut late =
        Finding::new("round-late", Level::Warning, at(sources, "spray old-peach"), "The round came 4 days late");
    late.accepted = Some(Accepted { reason: "rain all week".to_string(), span: at(sources, "spray old-peach") });
    vec![
        Finding::new(
            "area-over-block",
            Level::Error,
            at(sources, "mix dormant, 200 gal"),
            "More area than the block has",
        ),
        late,
    ]
}

#[test]
fn findings_stand_on_the_record_and_errors_on_a_banner() {
    let page = "2026-03-02 Mon\n\nspray old-peach\n    mix dormant, 200 gal\n    time 08:00 to 09:30\n";
    let (summary, records) = views(&journal(page), &Found::These(two_findings));
    assert!(records.head.banner.as_ref().unwrap().starts_with("1 finding at error level in this journal is open"));
    let shown: Vec<_> =
        records.records[0].findings.iter().map(|found| (found.code, found.accepted.as_deref())).collect();
    assert_eq!(shown, [("area-over-block", None), ("round-late", Some("rain all week"))]);
    assert_eq!(summary.off_plan.len(), 1);
    assert_eq!((summary.open.len(), summary.accepted.len()), (1, 1));
    for document in documents(&journal(page), &Found::These(two_findings)) {
        assert!(document.html.contains("role=\"alert\""), "{} has no banner", document.name);
        assert!(document.markdown.contains("**Open errors.**"), "{} has no banner", document.name);
    }
}

/// R. G. Newcombe, "Two-sided confidence intervals for the single proportion", Statistics in Medicine 17 (1998) 857-872,
/// table I, method 3 (score without continuity correction); figures from memory.
#[test]
fn wilson_intervals_are_those_published() {
    for (found, of, low, high) in
        [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)]
    {
        let (is_low, is_high) = wilson(found, of).unwrap();
        assert!((is_low - low).abs() < 5e-5 && (is_high - high).abs() < 5e-5, "{found} of {of}: {is_low} to {is_high}");
    }
    assert_eq!(wilson(0, 0), None);
    assert_eq!(wilson(5, 4), None);
    assert_eq!(wilson(7, 7).map(|(_, high)| high), Some(1.0));
}

#[test]
fn sprays_of_june_and_july_stand_beside_the_bloom_of_the_next_year() {
    // Flower buds of apple and cherry are set in June and July of the year before: common practice, no source.
    let pages = "\
farm willow-end \"Willow End\"
    timezone America/Boise

block cherries \"Cherries\"
    crop cherry
    area 1 acre

material kelp \"Kelp extract\"
    form liquid

2025-05-31

spray cherries
    put kelp 1 fl oz per gal
    volume 10 gal
    time 06:00 to 07:00

2025-06-01

spray cherries
    put kelp 1 fl oz per gal
    volume 10 gal
    time 06:00 to 07:00

2025-07-31

spray cherries
    put kelp 1 fl oz per gal
    volume 10 gal
    time 06:00 to 07:00

2026-04-20

observe cherries
    bloom 80 %
    fruit-set 30 of 90 flowers
";
    let (summary, _) = views(pages, &Found::Nothing);
    let [buds] = summary.bud_sets.as_slice() else { panic!("{:?}", summary.bud_sets) };
    assert_eq!((buds.block.as_str(), buds.bloom_year), ("Cherries", 2026));
    assert_eq!(buds.sprays, ["1 Jun: Kelp extract", "31 Jul: Kelp extract"]);
    assert_eq!(buds.seen.as_deref(), Some("80 % open at the widest and 30 fruits of 90 flowers"));
}
