//! The clearance board: what it says for a moment, in every form, and what it refuses to be asked.

use std::fs;
use std::process::{Command, Output};

use foliary::documents::{ClearanceBoard, Scope, clearance_board};
use foliary::render::{Format, Templates};
use foliary::text::Sources;
use scraper::{Html, Selector};

use super::{Found, with_book};

/// An invented farm in May: pears in two halves, a tank's rest and rinse water on other ground, a label that is not
/// written down, signs that stand and a sheet that does not hang.
pub(super) const JOURNAL: &str = r#"farm willow-end "Willow End"
    timezone America/Boise
    rulebook us-worker-protection
    owner Ada Quill
    contact 555 0100

person ada "Ada Quill"

block pears "Creek pears"
    crop pear
    area 1 acre
    rows 1 to 14
    workers yes

block field-10 "Field 10"
    crop squash
    area 1 acre
    workers no

block field-9 "Field 9"
    crop tomato
    area 1 acre
    rows 1 to 20
    workers no

block hill "Hill apples"
    crop apple
    area 2 acre
    workers no

block plums
    crop plum
    area 1 acre
    workers no

rig cart "Cart"
    tank 20 gal

material tarn "Tarn Wettable"
    form dry
    registration 9999-12
    active sulfur 80 %
    reentry 24 h
    preharvest 0 days
    needs signs

material brook "Brook Oil"
    form liquid
    registration 9999-13
    reentry 12 h
    preharvest 7 days

material kelp "Kelp"
    form liquid
    reentry none stated
    preharvest none stated

material fell "Fell"
    form liquid
    reentry none stated
    preharvest 3 days on apple

2026-05-11 Mon

spray field-10
    put fell 1 fl oz per gal
    volume 20 gal
    time 06:00 to 06:40
    by ada
    rig cart

2026-05-12 Tue

spray hill
    put brook 1 fl oz per gal
    volume 20 gal
    time 18:00 to 19:20
    by ada
    rig cart
    leftover 2 gal on plums

clean cart
    time 19:40 to 20:00
    rinse 4 gal on field-9 rows 19 to 20
    by ada

2026-05-13 Wed

post pears
    up signs at 05:40
    by ada

spray pears odd rows
    put tarn 1 oz wt per gal
    put kelp 1 fl oz per gal
    volume 12 gal
    time 06:10
    by ada

2026-05-20 Wed

spray pears
    put kelp 1 fl oz per gal
    volume 12 gal
    time 06:10 to 07:00
    by ada
"#;

fn board_of(text: &str, at: &str, scope: &Scope) -> ClearanceBoard {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", text.to_string()).unwrap();
    with_book(&sources, &[file], scope, &Found::Nothing, |book| {
        let local = chrono::NaiveDateTime::parse_from_str(at, "%Y-%m-%d %H:%M").unwrap();
        clearance_board(book, book.season.zone.moment(local, None, false).0)
    })
}

fn board(at: &str) -> ClearanceBoard {
    board_of(JOURNAL, at, &Scope::default())
}

/// Every row: where, whether people may enter, whether it may be picked.
fn told(board: &ClearanceBoard) -> Vec<(String, &'static str, &'static str)> {
    let place = |row: &foliary::documents::BoardRow| match &row.rows {
        Some(rows) => format!("{}, {}", row.block, rows.en),
        None => row.block.clone(),
    };
    board.rows.iter().map(|row| (place(row), row.enter.state, row.pick.state)).collect()
}

#[test]
fn a_board_in_the_morning() {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", JOURNAL.to_string()).unwrap();
    let templates = Templates::new(Vec::new()).unwrap();
    with_book(&sources, &[file], &Scope::default(), &Found::Nothing, |book| {
        let local = "2026-05-13T06:30:00".parse().unwrap();
        let view = clearance_board(book, book.season.zone.moment(local, None, false).0);
        insta::assert_snapshot!(templates.fill("clearance", &view, Format::Markdown).unwrap());
        let page = Html::parse_document(&templates.fill("clearance", &view, Format::Html).unwrap());
        let count = |selector: &str| page.select(&Selector::parse(selector).unwrap()).count();
        assert_eq!(count("article.board tbody tr"), 7);
        // Every state is a shape and a word, in both languages.
        assert_eq!((count(".state svg"), count(".state b[lang=en]"), count(".state span[lang=es]")), (14, 14, 14));
        assert_eq!(count(".turn [lang=en]"), count(".turn [lang=es]"));
        assert_eq!(
            (count(".state.closed .full"), count(".state.clear circle")),
            (view_count(&view, "closed"), view_count(&view, "clear"))
        );
    });
}

fn view_count(view: &ClearanceBoard, state: &str) -> usize {
    view.rows.iter().flat_map(|row| [row.enter.state, row.pick.state]).filter(|known| *known == state).count()
}

#[test]
fn what_is_told_turns_with_the_moment() {
    let closed = |place: &str| (place.to_string(), "closed", "closed");
    assert_eq!(
        told(&board("2026-05-13 06:30")),
        [
            ("Creek pears, rows 1, 3 … 13".into(), "closed", "closed"),
            ("Creek pears, rows 2, 4 … 14".into(), "clear", "clear"),
            ("Field 9, rows 1-18".into(), "clear", "clear"),
            closed("Field 9, rows 19-20"),
            // No harvest interval for squash is written.
            ("Field 10".into(), "clear", "not-known"),
            closed("Hill apples"),
            closed("plums"),
        ]
    );
    // Twelve hours after the ends, the harvest intervals of seven days are left.
    let later = board("2026-05-13 08:00");
    assert_eq!(later.rows[3].enter.state, "clear");
    assert_eq!(later.rows[3].pick.until.as_ref().unwrap().iso, "2026-05-19T00:00:00-06:00");
    assert_eq!(later.rows[5].turns[0].es, "cosechar: mar 19 may, al empezar el día");
    // The rinse water ran from the end of the cleaning, twenty minutes after the spray.
    let ends = |at: usize| board("2026-05-13 07:30").rows[at].enter.until.as_ref().map(|until| until.iso.clone());
    assert_eq!(ends(3).unwrap(), "2026-05-13T08:00:00-06:00");
    assert_eq!(ends(5), None);
}

#[test]
fn a_missing_end_is_taken_said_and_asked_for() {
    let board = board("2026-05-14 12:00");
    let pears = &board.rows[0];
    assert_eq!(pears.enter.until.as_ref().unwrap().en, "Thu 14 May, 23:59 (11:59 pm)");
    assert!(
        pears.reasons[0].words.contains("which is not recorded and taken as the end of that day"),
        "{}",
        pears.reasons[0].words
    );
    assert!(
        board.due.iter().any(|line| line
            == "Write down when the spray of Creek pears, odd rows on 13 May 2026 ended: 13 May 2026 23:59 is taken until then"),
        "{:?}",
        board.due
    );
    assert!(board.assumed.iter().any(|line| line.contains("23:59")));
}

#[test]
fn what_hangs_and_what_should_is_told() {
    let at = |at: &str| board(at).due.into_iter().filter(|line| !line.starts_with("Write")).collect::<Vec<_>>();
    assert_eq!(board("2026-05-13 05:39").posted, Vec::<String>::new());
    assert_eq!(board("2026-05-13 06:30").posted, ["Creek pears: warning signs since 13 May 2026 05:40"]);
    // 24 h from the end of the day, and 30 days more: the times are those of the rulebook on the federal rule.
    assert_eq!(
        at("2026-05-13 06:30"),
        [
            "Hang the sheet about the spray of Creek pears, odd rows on 13 May 2026: it is not on record, and stays until 13 June 2026 23:59"
        ]
    );
    assert_eq!(at("2026-05-15 00:00").len(), 2);
    assert!(
        at("2026-05-15 00:00")[0].starts_with("Take down the warning signs at Creek pears: by what is recorded nothing keeps people out any more, by 17 May 2026 23:59"),
        "{:?}",
        at("2026-05-15 00:00")
    );
    let unposted = JOURNAL
        .replace("post pears\n    up signs at 05:40\n    by ada\n", "post pears\n    up sheet at 05:40\n    by ada\n");
    let board = board_of(&unposted, "2026-05-13 06:30", &Scope::default());
    assert_eq!(board.posted, ["Creek pears: sheet since 13 May 2026 05:40"]);
    assert_eq!(
        board.due[0],
        "Put up warning signs at Creek pears for the spray of 13 May 2026: none are on record, and re-entry is closed until 14 May 2026 23:59"
    );
    let over = board_of(&unposted, "2026-06-14 06:00", &Scope::default());
    assert!(
        over.due
            .iter()
            .any(|line| line == "1 sheet about Creek pears may come down, the last since 13 June 2026 23:59"),
        "{:?}",
        over.due
    );
}

#[test]
fn a_board_says_how_much_it_knows() {
    let said = |at: &str| {
        let board = board(at);
        (board.knows, board.mind)
    };
    assert_eq!(
        said("2026-05-10 08:00").0,
        "The journal has no page up to this moment. 4 sprays begin later and are not counted."
    );
    let (knows, mind) = said("2026-05-16 23:00");
    assert_eq!(
        knows,
        "The journal's last page up to this moment is of 13 May 2026. 1 spray begins later and is not counted."
    );
    assert!(mind.is_empty(), "three days are no warning: {mind:?}");
    let (_, mind) = said("2026-05-17 00:00");
    assert_eq!(
        mind,
        ["The journal's last page is 4 days older than this moment: what was sprayed since is not on this board."]
    );
    assert_eq!(
        said("2026-05-20 12:00"),
        ("The journal's last page up to this moment is of 20 May 2026.".into(), Vec::new())
    );
}

#[test]
fn a_spray_that_could_not_be_read_is_minded() {
    let text =
        format!("{JOURNAL}\nspray nowhere\n    put kelp 1 fl oz per gal\n    volume 1 gal\n    time 08:00 to 08:10\n");
    let board = board_of(&text, "2026-05-20 12:00", &Scope::default());
    assert!(board.mind.iter().any(|line| line.starts_with("A spray may be missing here")), "{:?}", board.mind);
}

fn clearance(arguments: &[&str], journal: &str) -> Output {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("journal.spray"), journal).unwrap();
    Command::new(env!("CARGO_BIN_EXE_foliary")).arg("clearance").arg(folder.path()).args(arguments).output().unwrap()
}

fn printed(arguments: &[&str]) -> String {
    let output = clearance(arguments, JOURNAL);
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn the_terminal_and_json_say_the_same() {
    let terminal = printed(&["--at", "2026-05-13 06:30", "--as-of", "2026-12-31"]);
    assert!(terminal.lines().all(|line| line.chars().count() <= 80), "{terminal}");
    insta::assert_snapshot!("terminal", terminal);
    let json = printed(&[
        "--at",
        "2026-05-13 06:30",
        "--as-of",
        "2026-12-31",
        "--as",
        "json",
        "--block",
        "PEARS",
        "--block",
        "plums",
    ]);
    insta::assert_snapshot!("json", json);
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(json["moment"]["iso"], "2026-05-13T06:30:00-06:00");
    assert_eq!(json["rows"].as_array().unwrap().len(), 3);
    assert_eq!(json["rows"][2]["enter"]["until"]["iso"], "2026-05-13T07:20:00-06:00");
}

#[test]
fn a_moment_is_by_the_farms_clock() {
    // In 2026 the clocks of Boise go back on 1 November at 02:00 and go forward on 8 March at 02:00.
    let failed = |at: &str| {
        let output = clearance(&["--at", at], JOURNAL);
        assert_eq!(output.status.code(), Some(2), "{at}");
        crate::robust::unfilled(&output.stderr).trim_end().replace("foliary: ", "")
    };
    assert_eq!(
        failed("2026-11-01 01:30"),
        "the clocks showed 2026-11-01 01:30 twice that day; write `first` or `second` behind it"
    );
    assert_eq!(failed("2026-03-08 02:30"), "the clocks never showed 2026-03-08 02:30: they jumped over it");
    for wrong in ["2026-05-14", "6 am", "2026-05-14 25:00", "2026-05-14 06:00 third"] {
        assert!(failed(wrong).contains("a moment is written year-month-day hour:minute"), "{wrong}");
    }
    let iso = |arguments: &[&str]| {
        let json: serde_json::Value = serde_json::from_str(&printed(&[arguments, &["--as", "json"]].concat())).unwrap();
        json["moment"]["iso"].as_str().unwrap().to_string()
    };
    assert_eq!(iso(&["--at", "2026-11-01 01:30 first"]), "2026-11-01T01:30:00-06:00");
    assert_eq!(iso(&["--at", "2026-11-01T01:30 second"]), "2026-11-01T01:30:00-07:00");
    let second = printed(&["--at", "2026-11-01 01:30 second", "--as", "json"]);
    assert!(second.contains("\"Sunday 1 November 2026, 01:30 (1:30 am), the second of two\""), "{second}");
    // Without a moment it is the start of the day that counts as today, or now.
    assert_eq!(iso(&["--as-of", "2026-05-13"]), "2026-05-13T00:00:00-06:00");
    assert!(iso(&[]).as_str() > "2026-05-13T00:00:00");
}

#[test]
fn a_block_that_is_not_there_is_named() {
    let output = clearance(&["--block", "plumbs"], JOURNAL);
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(
        String::from_utf8(output.stderr).unwrap().trim_end(),
        "foliary: no block is called plumbs; did you mean plums?"
    );
}
