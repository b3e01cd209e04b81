//! The pages follow the files.

use std::fs;

use super::{FARM, Live, SLIP, write};

const FINDINGS: &str = "/farm/larkspur-bend/findings";

#[test]
fn what_is_written_shows_and_what_is_put_right_goes() {
    let live = Live::on(&[("farm.spray", FARM)]);
    assert!(live.get(FINDINGS).contains("No findings."));
    write(&live.path("farm.spray"), &format!("{FARM}{SLIP}"));
    let page = live.until(FINDINGS, |page| page.contains("unknown-name"));
    assert!(page.contains("farm.spray, line ") && page.contains("<mark class=\"error\">wheyy</mark>"), "{page}");
    write(&live.path("farm.spray"), FARM);
    live.until(FINDINGS, |page| page.contains("No findings."));
}

#[test]
fn files_and_folders_come_and_go() {
    let live = Live::on(&[("farm.spray", FARM)]);
    write(&live.path("2026/may/late.spray"), SLIP);
    live.until("/farm/larkspur-bend/journal", |page| page.contains("2026/may/late.spray"));
    live.until("/farm/larkspur-bend/journal/2026-may-late", |page| page.contains("wheyy"));
    fs::rename(live.path("2026"), live.path("2027")).unwrap();
    live.until("/farm/larkspur-bend/journal", |page| page.contains("2027/may/late.spray"));
    fs::remove_dir_all(live.path("2027")).unwrap();
    live.until(FINDINGS, |page| page.contains("No findings."));
    let gone = live.ask("/farm/larkspur-bend/journal/2026-may-late", "");
    assert!(gone.starts_with("HTTP/1.1 404"));
}

#[test]
fn a_file_that_takes_the_place_of_another_is_read() {
    // As editors save: a new file is written beside the old one and put in its place.
    let live = Live::on(&[("farm.spray", FARM)]);
    for number in 0..3 {
        write(&live.path(".farm.swp"), &format!("{FARM}{SLIP}# {number}\n"));
        fs::rename(live.path(".farm.swp"), live.path("farm.spray")).unwrap();
        live.until("/farm/larkspur-bend/journal/farm", |page| page.contains(&format!("# {number}</code>")));
    }
}

#[test]
fn the_last_good_reading_stays_while_files_cannot_be_read() {
    let live = Live::on(&[("farm.spray", FARM)]);
    write(&live.path("rulebooks/own.toml"), "this is no rulebook");
    let page = live.until("/farm/larkspur-bend/season", |page| page.contains("Not up to date."));
    assert!(page.contains("own.toml") && page.contains("Season summary"), "{page}");
    fs::remove_file(live.path("rulebooks/own.toml")).unwrap();
    live.until("/farm/larkspur-bend/season", |page| !page.contains("Not up to date."));
    // All gone, and back again.
    fs::remove_file(live.path("farm.spray")).unwrap();
    let page = live.until("/farm/larkspur-bend/records", |page| page.contains("Not up to date."));
    assert!(page.contains("there is no .spray file") && page.contains("Creek pears"), "{page}");
    write(&live.path("farm.spray"), FARM);
    live.until("/farm/larkspur-bend/records", |page| !page.contains("Not up to date."));
}

#[test]
fn a_journal_that_is_all_wrong_shows_its_findings_and_keeps_its_pages() {
    let live = Live::on(&[("farm.spray", FARM)]);
    write(
        &live.path("broken.spray"),
        "\u{202e}\0 spray ((((\n    put\n2026-99-99\n\nspray <script>alert(1)</script>\n",
    );
    live.until(FINDINGS, |page| page.contains("unreadable-"));
    let page = live.get("/farm/larkspur-bend/journal/broken");
    assert!(page.contains("\\u{202e}\\u{0}") && !page.contains('\u{202e}'), "{page}");
    for page in ["findings", "journal/broken", "season", "records", "clearance"] {
        assert!(!live.get(&format!("/farm/larkspur-bend/{page}")).contains("<script>alert"), "{page}");
    }
    assert!(live.get("/farm/larkspur-bend/season").contains("Open errors."));
}

#[test]
fn shared_folders_outside_are_followed_too() {
    let farm = FARM.replace("    timezone America/Boise\n", "    timezone America/Boise\n    uses ../shelf\n");
    let folder = tempfile::tempdir().unwrap();
    write(&folder.path().join("farm/farm.spray"), &farm);
    write(&folder.path().join("shelf/more.spray"), "# Nothing yet.\n");
    let outside = folder.path().join("shelf/more.spray");
    let live = Live::start_in(folder, "farm");
    live.until("/farm/larkspur-bend/findings", |page| page.contains("No findings."));
    write(&outside, "material sorrel\n    form dry\n    form wet\n");
    live.until("/farm/larkspur-bend/findings", |page| page.contains("more.spray, line "));
}

#[test]
fn a_journal_of_a_hundred_thousand_lines_is_shown_in_parts() {
    let long: String = (0..100_000).map(|number| format!("# Line {number} of a long remark\n")).collect();
    let live = Live::on(&[("farm.spray", FARM), ("long.spray", &format!("{long}{SLIP}"))]);
    let page = live.get("/farm/larkspur-bend/journal/long");
    assert!(page.len() < 200_000, "{}", page.len());
    assert!(page.contains("Lines 1 to 300 of 100007"), "{page}");
    let at = "/farm/larkspur-bend/journal/long/99901";
    assert!(page.contains(&format!("{at}#line-100005")), "the slip is linked");
    let page = live.get(at);
    assert!(page.contains("id=\"line-100005\"") && page.contains("<mark class=\"error\">wheyy</mark>"), "{page}");
}
