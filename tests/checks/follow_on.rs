//! One slip raises one finding: what rests on it stays quiet.

use proptest::prelude::*;

use super::{Example, findings, shown};

const FARM: &str = "farm larkspur-bend\n  timezone America/Boise\n\n";

fn codes(text: &str) -> Vec<&'static str> {
    let example = Example { wrong: true, as_of: None, commits: Vec::new(), text: format!("{FARM}{text}") };
    findings(&example).1.iter().map(|finding| finding.code).collect()
}

#[test]
fn a_block_whose_first_line_is_lost_is_not_unknown_as_well() {
    let page = "\n2026-05-14\nobserve creek-pear\n  stage petal fall\n";
    assert_eq!(codes(&format!("block creek pear\n  area 1 acre\n{page}")), ["unreadable-line"]);
    assert_eq!(codes(&format!("blok creek-pear\n  area 1 acre\n{page}")), ["unknown-word"]);
    assert_eq!(codes(&format!("zzz creek-pear\n  area 1 acre\n{page}")), ["unknown-word"]);
}

#[test]
fn a_page_whose_date_is_lost_keeps_its_entries_quiet() {
    let page = "block creek-pear\n  area 1 acre\n\nMay 14\nobserve hill-apple\n  incidence x 3 of 2\n";
    assert_eq!(codes(page), ["unreadable-date"]);
    assert_eq!(
        codes(
            &page.replace("May 14", "day 2026-05-14").replace("hill-apple", "creek-pear").replace("3 of 2", "1 of 2")
        ),
        ["unreadable-line"]
    );
}

#[test]
fn hidden_characters_say_nothing_else() {
    assert_eq!(
        codes("block creek\u{200b}-pear\n  area 1 acre\n\n2026-05-14\nobserve creek-pear\n"),
        ["hidden-character", "unknown-name"]
    );
    assert_eq!(codes("bl\u{200b}ock creek-pear\n  ar\u{0}ea 1 acre\n  crop pe\u{202e}ar x\n"), ["hidden-character"]);
}

#[test]
fn a_file_that_is_no_text_makes_few_findings() {
    let noise: String = (0..20_000).map(|at| if at % 40 == 0 { '\n' } else { '\u{fffd}' }).collect();
    assert_eq!(codes(&noise), ["hidden-character"]);
}

#[test]
fn many_uses_of_one_undeclared_name_are_one_finding() {
    let uses: String = (0..3000).map(|_| "observe hill-apple\n".to_string()).collect();
    assert_eq!(codes(&format!("block creek-pear\n  area 1 acre\n\n2026-05-14\n{uses}")), ["unknown-name"]);
}

/// A recipe, and sprays of it on days of May: volume, what was measured, and more lines.
fn sprays(recipe: &str, sprays: &[&str]) -> String {
    let head = "block creek-pear\n  area 1.2 acre\n\nmaterial sulfur\n  form dry\n  rate 2 to 5 lb per 100 gal\n\n";
    let mut text = format!("{head}mix wash\n  in 100 gal\n  put sulfur {recipe}\n");
    for (at, spray) in sprays.iter().enumerate() {
        text.push_str(&format!("\n2026-05-{:02}\nspray creek-pear\n  time 05:50 to 07:20\n  {spray}\n", 10 + at));
    }
    text
}

#[test]
fn an_amount_that_is_off_and_forbidden_is_one_finding_until_it_is_accepted() {
    let spray = "mix wash, 100 gal\n  measured sulfur 48 lb";
    assert_eq!(codes(&sprays("3 lb", &[spray])), ["amount-disagrees"]);
    let accepted = format!("{spray}\n  accept amount-disagrees On purpose.");
    assert_eq!(codes(&sprays("3 lb", &[&accepted])), ["amount-disagrees", "rate-outside-range"]);
}

#[test]
fn an_amount_that_is_off_and_over_the_limit_of_its_mix_is_one_finding_until_it_is_accepted() {
    let recipe = "4 lb\n  total at most 1 oz per gal";
    let spray = "mix wash, 100 gal\n  measured sulfur 40 lb";
    assert_eq!(codes(&sprays(recipe, &[spray])), ["amount-disagrees"]);
    let accepted = format!("{spray}\n  accept amount-disagrees On purpose.");
    assert_eq!(codes(&sprays(recipe, &[&accepted])), ["amount-disagrees", "mix-over-limit", "rate-outside-range"]);
}

#[test]
fn a_recipe_that_is_forbidden_is_the_slip_and_not_what_was_measured() {
    let spray = "mix wash, 100 gal\n  measured sulfur 3 lb";
    assert_eq!(codes(&sprays("30 lb", &[spray, spray])), ["rate-outside-range"]);
    // What was measured and is forbidden itself is still said.
    let worse = "mix wash, 100 gal\n  measured sulfur 300 lb";
    assert_eq!(codes(&sprays("30 lb", &[worse])), ["rate-outside-range", "rate-outside-range"]);
    let accepted = sprays("30 lb\n  accept rate-outside-range On purpose.", &[spray]);
    assert_eq!(codes(&accepted), ["rate-outside-range", "amount-disagrees"]);
}

#[test]
fn a_recipe_that_no_spray_was_measured_by_is_the_slip_and_not_each_spray() {
    let spray = "mix wash, 100 gal\n  measured sulfur 4.5 lb";
    assert_eq!(codes(&sprays("3 lb", &[spray; 2])), ["amount-disagrees"; 2]);
    assert_eq!(codes(&sprays("3 lb", &[spray; 3])), ["amount-disagrees"]);
    let right = "mix wash, 100 gal\n  measured sulfur 3 lb";
    assert_eq!(codes(&sprays("3 lb", &[spray, spray, spray, right])), ["amount-disagrees"; 3]);
    let other = "mix wash, 100 gal\n  measured sulfur 2 lb";
    assert_eq!(codes(&sprays("3 lb", &[spray, spray, spray, other])), ["amount-disagrees"; 4]);
    // A spray that accepts it has its own reason.
    let accepted = format!("{spray}\n  accept amount-disagrees On purpose.");
    assert_eq!(codes(&sprays("3 lb", &[spray, spray, &accepted])), ["amount-disagrees"; 3]);
}

#[test]
fn a_block_whose_area_no_spray_fits_is_the_slip_and_not_each_spray() {
    let text = |area: &str, first: &str, second: &str| {
        format!(
            "block creek-pear\n  area {area}\n\nblock dry-fork\n  area 1 acre\n\nrig cart\n\nmaterial kelp\n  form \
             liquid\n\nmix feed\n  in 1 gal\n  put kelp 1 fl oz\n\n2026-05-01\ncalibrate cart\n  output 50 gal per \
             acre\nspray dry-fork\n  mix feed, 50 gal\n  rig cart\n  time 05:50 to 07:20\n\n2026-05-14\nspray \
             creek-pear\n  mix feed, {first}\n  rig cart\n  time 05:50 to 07:20\n\n2026-05-24\nspray creek-pear\n  mix \
             feed, {second}\n  rig cart\n  time 05:50 to 07:20\n"
        )
    };
    assert_eq!(codes(&text("1 ha", "50 gal", "50 gal")), ["volume-disagrees"]);
    assert_eq!(codes(&text("1 ha", "50 gal", "20 gal")), ["volume-disagrees"; 2]);
    assert_eq!(codes(&text("1 acre", "20 gal", "50 gal")), ["volume-disagrees"]);
    assert_eq!(codes(&text("1 ha\n  accept volume-disagrees On purpose.", "50 gal", "50 gal")), ["volume-disagrees"]);
}

#[test]
fn a_spray_entered_twice_uses_nothing_up_twice() {
    let day = "\n2026-05-14\nspray creek-pear\n  mix wash, 100 gal\n  time 05:50 to 07:20\n";
    let text = sprays("3 lb", &[]) + "\n2026-05-01\nreceive sulfur\n  amount 4 lb\n";
    assert_eq!(codes(&format!("{text}{day}{day}")), ["same-spray-twice"]);
    let accepted = format!("{text}{day}{day}  accept same-spray-twice On purpose.\n");
    assert_eq!(codes(&accepted), ["same-spray-twice", "stock-disagrees"]);
}

/// Two rounds of a program with a page between them, and today far behind.
fn rounds(page: &str) -> Vec<&'static str> {
    let spray = "spray creek-pear\n  mix feed, 60 gal\n  time 05:50 to 07:20\n";
    codes(&format!(
        "block creek-pear\n  area 1 acre\n\nmaterial kelp\n  form liquid\n\nmix feed\n  in 1 gal\n  put kelp 1 fl \
         oz\n\nprogram leaf-feed\n  mix feed\n  blocks creek-pear\n  rounds 3 to 4, every 4 days\n  start \
         2026-05-12\n\n2026-05-12\n{spray}\n{page}\n2026-05-20\n{spray}"
    ))
}

#[test]
fn where_a_spray_is_lost_no_round_is_missed() {
    let spray = "spray creek-pear\n  mix feed, 60 gal\n  time 05:50 to 07:20\n";
    assert_eq!(rounds(&format!("2026-05-16\n{spray}")), [""; 0]);
    assert_eq!(rounds(""), ["rounds-missed", "round-late"]);
    assert_eq!(rounds(&format!("5/16\n{spray}")), ["unreadable-date"]);
    assert_eq!(rounds(&format!("2026-05-32\n{spray}")), ["unreadable-date"]);
    let page = |spray: String| rounds(&format!("2026-05-16\n{spray}"));
    assert_eq!(page(spray.replace("creek-pear", "creek-paer")), ["unknown-name"]);
    assert_eq!(page(spray.replace("feed", "fede")), ["unknown-name"]);
    assert_eq!(page(spray.replace("creek-pear", "creek pear")), ["unreadable-line"]);
    assert_eq!(page(spray.replace("mix feed, 60 gal", "mix feed 60 gal gal")), ["unreadable-line"]);
    // A slip that loses no record hides nothing.
    assert_eq!(
        page("observe creek-pear\n  note 5/16 was fine\n  brix 99999999999999999999999999999999999999999999\n".into())
            .len(),
        3
    );
}

#[test]
fn weather_that_cannot_have_been_breaks_no_limit_besides() {
    let text = |accept: &str| {
        sprays("3 lb", &[&format!("mix wash, 100 gal\n  weather 65 C{accept}")])
            .replace("form dry", "form dry\n  within temperature at most 85 F")
    };
    assert_eq!(codes(&text("")), ["impossible-weather"]);
    let both = ["impossible-weather", "weather-outside-limits"];
    assert_eq!(codes(&text("\n  accept impossible-weather On purpose.")), both);
}

/// Words that journals are made of, and some that they are not.
const WORDS: &[&str] = &[
    "\n",
    "\n",
    "\n  ",
    "\n  ",
    "\n\t",
    "\r\n",
    " ",
    " ",
    " ",
    ",",
    ", ",
    "#",
    "\"",
    ":",
    "-",
    "–",
    "½",
    "µ",
    "é",
    "\u{200b}",
    "\u{a0}",
    "\u{fffd}",
    "“",
    "’",
    "~",
    "/",
    ".",
    "%",
    "spray",
    "block",
    "material",
    "mix",
    "amend",
    "brew",
    "limits",
    "program",
    "farm",
    "observe",
    "weather",
    "day",
    "May",
    "Thu",
    "2026-05-14",
    "2026-02-30",
    "5/6",
    "14.5.2026",
    "99999999999999999999",
    "1/0",
    "1,250",
    "0,5",
    "05:50",
    "25:99",
    "6am",
    "0550",
    "over",
    "time",
    "put",
    "measured",
    "in",
    "into",
    "make",
    "up to",
    "to",
    "of",
    "on",
    "per",
    "from",
    "at most",
    "rows",
    "alternate rows",
    "form",
    "dry",
    "liquid",
    "class",
    "oli",
    "rate",
    "season",
    "apart",
    "never",
    "with",
    "within",
    "wind",
    "contains",
    "accept",
    "note",
    "entered",
    "by",
    "start",
    "rounds",
    "every",
    "leftover",
    "load",
    "2 of",
    "gal",
    "oz",
    "tbsp",
    "acre",
    "days",
    "pear",
    "creek-pear",
    "creek",
    "sulfur",
    "about",
    "and",
    "until",
    "-3",
    "12",
    "1 1/2",
];

proptest! {
    /// No journal, however broken, makes the checks stop; and no finding is without a sentence or a place.
    #[test]
    fn nothing_written_makes_it_stop(words in prop::collection::vec(prop::sample::select(WORDS), 0..60)) {
        let example = Example { wrong: true, as_of: None, commits: Vec::new(), text: words.concat() };
        let (sources, findings) = findings(&example);
        for finding in &findings {
            prop_assert!(!finding.headline.is_empty() && !finding.headline.ends_with('.'), "{}", finding.headline);
            prop_assert!(finding.labels.iter().all(|label| sources.place(label.span.end).line > 0));
        }
        shown(&sources, &findings);
    }
}
