//! The schedule of warning signs.

use foliary::documents::{Scope, SignRow, SignSchedule, sign_schedule};
use foliary::render::{Format, Templates};
use foliary::text::Sources;

use super::posted::{FARM, from, spray};
use super::{Found, with_book};

fn view(farm: &str, pages: &str) -> Option<SignSchedule> {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", format!("{farm}{pages}")).unwrap();
    with_book(&sources, &[file], &from("2026-01-01"), &Found::Nothing, sign_schedule)
}

fn rows(pages: &[String]) -> Vec<SignRow> {
    view(FARM, &pages.concat()).unwrap().rows
}

fn post(day: &str, block: &str, what: &str) -> String {
    format!("{day}\n\npost {block}\n    {what}\n    by ada\n\n")
}

#[test]
fn a_farms_schedule() {
    let pages = [
        post("2026-05-01", "pears", "up signs at 05:40"),
        spray("2026-05-01", "pears", "tarn brook", "06:00 to 07:12"),
        post("2026-05-04", "pears", "down signs at 08:00"),
        spray("2026-05-05", "tunnel", "tarn fell", "18:00"),
        spray("2026-05-06", "pears", "fell", "06:00 to 07:00"),
    ];
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", format!("{FARM}{}", pages.concat())).unwrap();
    let templates = Templates::new(Vec::new()).unwrap();
    with_book(&sources, &[file], &Scope::default(), &Found::Nothing, |book| {
        let view = sign_schedule(book).unwrap();
        insta::assert_snapshot!(templates.fill("signs", &view, Format::Markdown).unwrap());
        assert!(templates.fill("signs", &view, Format::Html).unwrap().contains("class=\"box\""));
    });
}

#[test]
fn signs_are_for_intervals_over_the_rules_limit() {
    let farm = |hours: u32| FARM.replace("reentry 72 h", &format!("reentry {hours} h"));
    let rows = |hours: u32, block: &str| {
        view(&farm(hours), &spray("2026-05-01", block, "brook", "06:00 to 07:00")).unwrap().rows.len()
    };
    assert_eq!((rows(48, "pears"), rows(49, "pears")), (0, 1));
    assert_eq!((rows(4, "tunnel"), rows(5, "tunnel")), (0, 1));
    // Nobody works there.
    assert_eq!(rows(72, "hill"), 0);
}

#[test]
fn signs_stand_from_the_day_before_until_three_days_after_reentry() {
    let rows = rows(&[spray("2026-05-01", "pears", "brook", "06:00 to 07:12")]);
    assert_eq!(rows[0].up_from.as_deref(), Some("30 April 2026 06:00"));
    assert_eq!(rows[0].up_by, "1 May 2026 06:00");
    assert_eq!(rows[0].down_from.as_deref(), Some("4 May 2026 07:12"));
    assert_eq!(rows[0].down_by.as_deref(), Some("7 May 2026 07:12"));
    assert!(rows[0].asked_by[0].starts_with("40 CFR 170.409"));
}

#[test]
fn gaps_are_what_is_surely_wrong() {
    let sprayed = || spray("2026-05-01", "pears", "brook", "06:00 to 07:12");
    let gaps = |before: &[String], after: &[String]| {
        let pages: Vec<String> = before.iter().cloned().chain([sprayed()]).chain(after.iter().cloned()).collect();
        rows(&pages)[0].gaps.clone()
    };
    let up = |at: &str| post("2026-05-01", "pears", &format!("up signs{at}"));
    let down = |day: &str, at: &str| post(day, "pears", &format!("down signs{at}"));
    assert_eq!(gaps(&[], &[]), ["not on record as put up"]);
    assert_eq!(gaps(&[up(" at 05:40")], &[down("2026-05-04", " at 07:12")]), Vec::<String>::new());
    assert_eq!(gaps(&[up(" at 05:40")], &[]), ["not on record as taken down"]);
    assert_eq!(gaps(&[up(" at 06:10")], &[down("2026-05-04", " at 08:00")]), ["put up after the start"]);
    // A day without a time may have been in time.
    assert_eq!(gaps(&[up("")], &[down("2026-05-04", "")]), Vec::<String>::new());
    assert_eq!(gaps(&[up(" at 05:40")], &[down("2026-05-04", " at 07:11")]), ["taken down before re-entry is allowed"]);
    assert_eq!(gaps(&[up(" at 05:40")], &[down("2026-05-08", "")]), ["taken down later than the rule says"]);
    let early = post("2026-04-29", "pears", "up signs at 12:00");
    assert_eq!(gaps(&[early], &[down("2026-05-04", " at 08:00")]), ["put up earlier than the rule lets them stand"]);
}

#[test]
fn signs_of_an_earlier_spray_may_still_stand() {
    let pages = [
        post("2026-05-01", "pears", "up signs at 05:40"),
        spray("2026-05-01", "pears", "brook", "06:00 to 07:00"),
        spray("2026-05-05", "pears", "brook", "06:00 to 07:00"),
        post("2026-05-08", "pears", "down signs at 08:00"),
    ];
    let rows = rows(&pages);
    assert!(rows[1].gaps.is_empty(), "{:?}", rows[1].gaps);
}

#[test]
fn signs_stay_while_another_spray_keeps_the_block_closed() {
    let pages = [
        spray("2026-05-01", "tunnel", "brook", "06:00 to 07:00"),
        spray("2026-05-02", "tunnel", "tarn", "06:00 to 07:00"),
    ];
    let rows = rows(&pages);
    assert_eq!(rows[1].down_from.as_deref(), Some("4 May 2026 07:00"));
    assert!(rows[1].other && !rows[0].other);
}

#[test]
fn an_interval_that_is_not_recorded_gives_no_last_moment_and_is_named() {
    let judged = rows(&[spray("2026-05-01", "pears", "brook fell", "06:00 to 07:00")]);
    assert_eq!(judged[0].ask.as_deref(), Some("Fell"));
    assert_eq!(judged[0].down_by, None);
    let unknown = view(FARM, &spray("2026-05-01", "pears", "fell", "06:00 to 07:00")).unwrap();
    assert!(unknown.rows.is_empty());
    assert_eq!(
        unknown.unknown,
        [
            "Whether 1 spray needs signs cannot be told, because no re-entry interval is recorded for Fell; the last of them is of Creek pears on 1 May 2026."
        ]
    );
}

#[test]
fn a_label_can_ask_for_signs_whatever_its_interval() {
    let farm = FARM.replace("    sds shed, folder 2\n", "    sds shed, folder 2\n    needs signs\n");
    let pages = spray("2026-05-01", "pears", "tarn", "06:00 to 07:00");
    let rows = view(&farm, &pages).unwrap().rows;
    assert_eq!(rows[0].asked_by, ["the label of Tarn Wettable, by the journal"]);
    // The times are those of the adopted rule; without one, none is made up.
    assert_eq!(rows[0].down_by.as_deref(), Some("5 May 2026 07:00"));
    let free = farm.replace("    rulebook us-worker-protection\n", "");
    let rows = view(&free, &pages).unwrap().rows;
    assert_eq!((rows[0].up_from.as_deref(), rows[0].down_by.as_deref()), (None, None));
    assert!(view(&FARM.replace("    rulebook us-worker-protection\n", ""), &pages).is_none());
}
