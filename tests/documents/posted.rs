//! Sheets to hang up: that no time on them is invented or too early, that both languages say it, and which sprays have one.

use foliary::documents::{PostingSheet, PostingSheets, Scope, posting_sheets};
use foliary::render::{Format, Templates};
use foliary::text::Sources;
use scraper::{Html, Selector};

use super::{Found, with_book};

/// An invented farm that hires people, under the federal rule.
pub(super) const FARM: &str = r#"farm willow-end "Willow End"
    timezone America/Boise
    rulebook us-worker-protection
    owner Ada Quill
    address 4 Ford Lane, Willow End
    contact 555 0100

person ada "Ada Quill"

block pears "Creek pears"
    crop pear
    area 1 acre
    workers yes
    location north of the creek, second gate
    rows 1 to 14
    map 3

block tunnel "Long tunnel"
    crop tomato
    area 0.2 acre
    workers yes
    enclosed yes

block hill "Hill apples"
    crop apple
    area 2 acre
    workers no

block plums
    crop plum
    area 1 acre

rig cart "Cart"
    tank 20 gal
    method airblast

material tarn "Tarn Wettable"
    form dry
    registration 9999-12
    active sulfur 80 %
    reentry 24 h
    sds shed, folder 2

material brook "Brook Oil"
    form liquid
    registration 9999-13
    active mineral-oil 98 %
    reentry 72 h

material fell "Fell"
    form liquid
    registration 9999-14

material rill "Rill"
    form liquid
    registration 9999-15
    reentry none stated

material kelp
    form liquid

"#;

/// A page with one spray.
pub(super) fn spray(day: &str, block: &str, products: &str, time: &str) -> String {
    let puts: String = products.split(' ').map(|name| format!("    put {name} 1 oz per gal\n")).collect();
    let time = if time.is_empty() { String::new() } else { format!("    time {time}\n") };
    format!("{day}\n\nspray {block}\n{puts}    volume 10 gal\n{time}    by ada\n    rig cart\n\n")
}

pub(super) fn from(day: &str) -> Scope {
    Scope { from: Some(day.parse().unwrap()), ..Scope::default() }
}

fn view(farm: &str, pages: &str, scope: &Scope) -> Option<PostingSheets> {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", format!("{farm}{pages}")).unwrap();
    with_book(&sources, &[file], scope, &Found::Nothing, posting_sheets)
}

/// The only sheet of a page.
fn sheet(pages: &str) -> PostingSheet {
    let mut sheets = view(FARM, pages, &from("2026-01-01")).unwrap().sheets;
    assert_eq!(sheets.len(), 1, "{pages}");
    sheets.remove(0)
}

#[test]
fn a_farms_sheets() {
    let pages = [
        spray("2026-10-30", "pears", "tarn", "06:00 to 07:00"),
        "2026-12-29\n\npost pears\n    up sheet at 05:50\n    by ada\n\n".to_string(),
        spray("2026-12-29", "pears rows 1 to 6, 9", "tarn brook kelp", "06:00 to 07:12"),
        spray("2026-12-30", "tunnel, plums", "tarn fell mystery", "18:00"),
        "2026-12-31\n\namend spray of pears 2026-12-29\n    was 07:02\n    now 07:12\n    reason misread\n    by ada\n"
            .to_string(),
    ];
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", format!("{FARM}{}", pages.concat())).unwrap();
    let templates = Templates::new(Vec::new()).unwrap();
    with_book(&sources, &[file], &Scope::default(), &Found::Nothing, |book| {
        let view = posting_sheets(book).unwrap();
        insta::assert_snapshot!(templates.fill("postings", &view, Format::Markdown).unwrap());
        let page = Html::parse_document(&templates.fill("postings", &view, Format::Html).unwrap());
        let count = |selector: &str| page.select(&Selector::parse(selector).unwrap()).count();
        assert_eq!(count("article.posting"), 2);
        // Everything that is said in English is said in Spanish, and the other way round.
        assert!(count("article [lang=es]") >= 40);
        assert_eq!(count(".pair [lang=en]"), count(".pair [lang=es]"));
        assert_eq!(count(".line[lang=en]"), count(".line[lang=es]"));
    });
}

#[test]
fn the_longest_interval_counts_from_the_end_and_is_named() {
    let sheet = sheet(&spray("2026-05-01", "pears", "tarn brook rill", "06:00 to 07:12"));
    let until = sheet.entry.until.unwrap();
    assert_eq!(until.en, "Monday 4 May 2026, 07:12 (7:12 am)");
    assert_eq!(until.es, "lunes 4 de mayo de 2026, 07:12 (7:12 a. m.)");
    assert!(!sheet.entry.ask);
    assert_eq!(sheet.entry.why[0].en, "72 hours from the end, the longest in the tank: Brook Oil");
    let stays = sheet.stays.until.unwrap();
    assert_eq!(stays.en, "Wednesday 3 June 2026, 07:12 (7:12 am)");
    assert_eq!(sheet.stays.why.es, "30 días después de permitirse la entrada");
    assert!(!sheet.stays.at_least);
    assert_eq!(
        sheet.tell.es,
        "Creek pears: aplicación el viernes 1 de mayo de 2026, de 06:00 (6:00 a. m.) a 07:12 (7:12 a. m.) con Tarn Wettable + Brook Oil + Rill. Nadie entra antes del lunes 4 de mayo de 2026, 07:12 (7:12 a. m.)."
    );
    let intervals: Vec<String> =
        sheet.products.iter().map(|product| product.interval.as_ref().unwrap().es.clone()).collect();
    assert_eq!(intervals, ["24 horas", "72 horas", "la etiqueta no indica ninguno"]);
}

#[test]
fn hours_are_counted_across_a_change_of_the_clocks() {
    // In 2026 the clocks of Boise go forward on 8 March.
    let sheet = sheet(&spray("2026-03-07", "pears", "tarn", "19:00 to 20:00"));
    assert_eq!(sheet.entry.until.unwrap().en, "Sunday 8 March 2026, 21:00 (9:00 pm)");
}

#[test]
fn an_interval_that_is_not_recorded_is_asked_for_and_never_stood_in_for() {
    for (products, names) in
        [("tarn fell", "Fell"), ("tarn mystery", "mystery"), ("tarn fell mystery", "Fell + mystery")]
    {
        let sheet = sheet(&spray("2026-05-01", "pears", products, "06:00 to 07:00"));
        assert!(sheet.entry.ask, "{products}");
        assert_eq!(sheet.entry.why[0].en, format!("No re-entry interval is recorded for {names}"));
        assert_eq!(sheet.entry.not_before.unwrap().en, "In no case before Saturday 2 May 2026, 07:00 (7:00 am)");
        assert!(sheet.stays.at_least);
        assert!(
            sheet.tell.en.ends_with("A re-entry interval is not recorded: ask before you go in."),
            "{}",
            sheet.tell.en
        );
        assert!(!sheet.tell.en.contains("Nobody goes in before"));
        assert!(sheet.products.last().unwrap().interval.is_none());
    }
    let alone = sheet(&spray("2026-05-01", "pears", "fell", "06:00 to 07:00"));
    assert!(alone.entry.ask && alone.entry.until.is_none() && alone.entry.not_before.is_none());
}

#[test]
fn labels_that_state_no_interval_give_no_time() {
    let sheet = sheet(&spray("2026-05-01", "pears", "rill", "06:00 to 07:00"));
    assert!(sheet.entry.until.is_none() && !sheet.entry.ask);
    assert_eq!(sheet.stays.until.unwrap().en, "Sunday 31 May 2026, 07:00 (7:00 am)");
    assert_eq!(sheet.stays.why.en, "30 days after the end");
    assert!(sheet.tell.es.ends_with("pregunte si tiene duda."));
}

#[test]
fn an_end_that_is_not_written_is_said_to_be_taken() {
    let sheet = sheet(&spray("2026-05-01", "pears", "tarn", ""));
    assert_eq!(sheet.entry.until.unwrap().en, "Saturday 2 May 2026, 23:59 (11:59 pm)");
    assert_eq!(sheet.entry.why[1].es, "No consta el fin; se toma como viernes 1 de mayo de 2026, 23:59 (11:59 p. m.)");
    assert!(sheet.sessions.is_empty() && sheet.tell.en.contains("times not recorded"));
}

#[test]
fn no_sheet_lets_people_in_while_another_sprays_interval_runs() {
    let pages = [
        spray("2026-05-01", "pears", "brook", "06:00 to 07:00"),
        spray("2026-05-02", "pears", "tarn", "06:00 to 07:00"),
        spray("2026-05-02", "tunnel", "rill", "06:00 to 07:00"),
    ];
    let sheets = view(FARM, &pages.concat(), &from("2026-01-01")).unwrap().sheets;
    let of = |ground: &str, product: &str| {
        sheets.iter().find(|sheet| sheet.ground.es == ground && sheet.products[0].name == product).unwrap()
    };
    let short = of("Creek pears", "Tarn Wettable");
    assert_eq!(short.entry.longer.len(), 1);
    assert_eq!(
        short.entry.longer[0].en,
        "Another spray keeps Creek pears closed until Monday 4 May 2026, 07:00 (7:00 am)"
    );
    assert!(short.tell.en.ends_with("Nobody goes in before Monday 4 May 2026, 07:00 (7:00 am)."), "{}", short.tell.en);
    assert!(of("Creek pears", "Brook Oil").entry.longer.is_empty());
    assert!(of("Long tunnel", "Rill").entry.longer.is_empty());
    // The newest comes first.
    assert_eq!(sheets.last().unwrap().products[0].name, "Brook Oil");
}

#[test]
fn a_sheet_that_may_come_down_is_left_out_unless_its_days_are_asked_for() {
    // The tests' today is 31 December 2026; 30 days after 1 December 07:00 is that day, 07:00.
    let hangs = spray("2026-11-30", "pears", "tarn", "06:00 to 07:00");
    let over = spray("2026-11-29", "pears", "tarn", "06:00 to 07:00");
    let pages = [over, hangs].concat();
    let shown = view(FARM, &pages, &Scope::default()).unwrap();
    assert_eq!(shown.sheets.len(), 1);
    assert_eq!(shown.sheets[0].day.en, "Monday 30 November 2026");
    assert!(
        shown.left_out[0].starts_with("1 spray is left out, because its sheet may come down by 31 December 2026; the last is of Sunday 29 November"),
        "{:?}",
        shown.left_out
    );
    assert_eq!(view(FARM, &pages, &from("2026-01-01")).unwrap().sheets.len(), 2);
    let unknown = view(FARM, &spray("2026-05-01", "pears", "tarn fell", "06:00 to 07:00"), &Scope::default()).unwrap();
    assert!(unknown.sheets.is_empty());
    assert!(
        unknown.left_out[1].starts_with("For 1 of these a re-entry interval is not recorded"),
        "{:?}",
        unknown.left_out
    );
}

#[test]
fn sheets_are_for_blocks_with_workers_and_silence_is_named() {
    let pages = [
        spray("2026-12-30", "hill", "tarn", "06:00 to 07:00"),
        spray("2026-12-30", "plums", "tarn", "06:00 to 07:00"),
        spray("2026-12-30", "pears", "kelp", "06:00 to 07:00"),
    ];
    let view = view(FARM, &pages.concat(), &Scope::default()).unwrap();
    assert!(view.sheets.is_empty());
    assert_eq!(view.left_out.len(), 2, "{:?}", view.left_out);
    assert!(view.left_out[0].starts_with("Nothing is asked for in plums"));
    assert!(view.left_out[1].starts_with("Nothing is asked for because of kelp"));
}

#[test]
fn a_farm_can_ask_for_sheets_itself_and_no_rule_says_how_long_they_stay() {
    let farm = FARM.replace("    rulebook us-worker-protection\n", "    needs sheet\n");
    let pages = spray("2026-12-30", "pears", "kelp tarn", "06:00 to 07:00");
    let view = view(&farm, &pages, &Scope::default()).unwrap();
    let sheet = &view.sheets[0];
    assert!(sheet.stays.until.is_none());
    assert_eq!(sheet.stays.why.en, "No rule that the farm has adopted says how long this sheet stays up");
    assert_eq!(sheet.asked_by[0].es, "la propia finca");
}

#[test]
fn where_nothing_asks_there_is_no_document() {
    let farm = FARM.replace("    rulebook us-worker-protection\n", "");
    assert!(view(&farm, &spray("2026-12-30", "pears", "tarn", "06:00 to 07:00"), &Scope::default()).is_none());
}

#[test]
fn rules_that_are_not_adopted_on_the_day_ask_for_nothing() {
    let farm = FARM.replace("us-worker-protection", "us-worker-protection from 2026-06-01");
    let pages = |day: &str| spray(day, "pears", "tarn", "06:00 to 07:00");
    let sheets = |day: &str| view(&farm, &pages(day), &from("2026-01-01")).unwrap().sheets.len();
    assert_eq!((sheets("2026-05-31"), sheets("2026-06-01")), (0, 1));
}

#[test]
fn what_was_hung_up_is_said_and_the_rule_is_cited() {
    let post = "2026-05-01\n\npost pears\n    up sheet at 07:30\n    by ada\n\n";
    let pages = [spray("2026-05-01", "pears", "tarn", "06:00 to 07:00"), post.to_string()];
    let sheet = sheet(&pages.concat());
    assert_eq!(sheet.hung[0].es, "viernes 1 de mayo de 2026, 07:30 (7:30 a. m.), Ada Quill");
    assert!(sheet.taken.is_empty());
    assert!(sheet.asked_by[0].en.starts_with("40 CFR 170.311(b)(5) (us-worker-protection; "));
    // The method asks for a zone of 100 ft by a rule that is in force since 3 December 2024.
    assert_eq!(sheet.zone.unwrap().en, "While spraying, nobody but those who spray within 100 ft (30.5 m)");
}

#[test]
fn the_zone_is_the_widest_where_the_sprayer_is_not_written() {
    let sheet = sheet(&spray("2026-05-01", "pears", "tarn", "06:00 to 07:00").replace("    rig cart\n", ""));
    assert!(sheet.zone.unwrap().en.starts_with("How it was sprayed is not fully recorded"));
}

#[test]
fn rows_are_said_in_both_languages() {
    for (rows, en, es) in [
        ("odd rows", "Creek pears, odd rows", "Creek pears, hileras impares"),
        ("alternate rows", "Creek pears, every other alley", "Creek pears, una calle sí y otra no"),
        ("rows 1 to 6, 9", "Creek pears, rows 1-6, 9", "Creek pears, hileras 1-6, 9"),
    ] {
        let sheet = sheet(&spray("2026-05-01", &format!("pears {rows}"), "tarn", "06:00 to 07:00"));
        assert_eq!((sheet.ground.en.as_str(), sheet.ground.es.as_str()), (en, es));
        assert!(sheet.tell.es.starts_with(es));
    }
}

#[test]
fn a_spray_that_could_not_be_read_is_said_to_be_missing() {
    // No block is called so: nobody can tell whether people work there.
    let pages = spray("2026-12-30", "quinces", "tarn", "06:00 to 07:00");
    let view = view(FARM, &pages, &Scope::default()).unwrap();
    assert!(view.sheets.is_empty());
    assert!(view.left_out[0].starts_with("A spray may be missing here"), "{:?}", view.left_out);
}
