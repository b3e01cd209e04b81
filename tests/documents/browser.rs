//! The pages in a real browser, where one is installed: nothing wider than a phone, and a sheet of paper for each record.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use foliary::documents::{Scope, clearance_board};
use foliary::render::{Format, Templates};

use super::posted::{FARM, spray};
use super::{Found, documents, example_documents, loaded, with_book};

/// The narrowest phone that must show the pages without scrolling sideways, in pixels.
const PHONE: u32 = 360;

fn browser() -> Option<PathBuf> {
    let named = std::env::var_os("CHROMIUM").map(PathBuf::from);
    let usual = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"].map(PathBuf::from);
    let found = named.into_iter().chain(usual).find(|path| path.is_file());
    if found.is_none() {
        eprintln!("SKIPPED: no Chromium is installed (set CHROMIUM to its path); nothing was looked at");
    }
    found
}

fn run(browser: &Path, arguments: &[&str]) -> String {
    let profile = tempfile::tempdir().unwrap();
    let output = Command::new(browser)
        .args(["--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking"])
        .arg(format!("--user-data-dir={}", profile.path().display()))
        .args(arguments)
        .output()
        .unwrap();
    String::from_utf8_lossy(&output.stdout).into_owned()
}

/// How wide a page is when its window is as wide as a phone.
fn width_on_a_phone(browser: &Path, html: &str) -> u32 {
    let folder = tempfile::tempdir().unwrap();
    let page = html.replace('&', "&amp;").replace('"', "&quot;");
    let frame = format!(
        "<!doctype html><title>?</title><iframe id=\"f\" width=\"{PHONE}\" height=\"900\" style=\"border:0\" srcdoc=\"{page}\"></iframe>\
         <script>onload=()=>{{document.title='w'+document.getElementById('f').contentDocument.documentElement.scrollWidth}}</script>"
    );
    let path = folder.path().join("frame.html");
    fs::write(&path, frame).unwrap();
    let dom = run(browser, &["--dump-dom", &format!("file://{}", path.display())]);
    let title = dom.split("<title>w").nth(1).and_then(|rest| rest.split('<').next());
    title.and_then(|width| width.parse().ok()).unwrap_or_else(|| panic!("the browser did not measure the page"))
}

#[test]
fn pages_are_no_wider_than_a_phone() {
    let Some(browser) = browser() else { return };
    for example in ["home-orchard", "twenty-acres"] {
        for (farm, written) in example_documents(example, &Found::Checked) {
            for document in written {
                let width = width_on_a_phone(&browser, &document.html);
                assert!(width <= PHONE, "{farm} {}: {width} pixels wide", document.name);
            }
        }
    }
}

#[test]
fn every_record_begins_a_sheet_of_its_own() {
    let Some(browser) = browser() else { return };
    let folder = tempfile::tempdir().unwrap();
    for (farm, written) in example_documents("adviser", &Found::Checked) {
        let records = written.iter().find(|document| document.name == "records").unwrap();
        let count = records.html.matches("<article class=\"sheet\"").count();
        let (page, paper) = (folder.path().join("records.html"), folder.path().join("records.pdf"));
        fs::write(&page, &records.html).unwrap();
        run(
            &browser,
            &[
                "--no-pdf-header-footer",
                &format!("--print-to-pdf={}", paper.display()),
                &format!("file://{}", page.display()),
            ],
        );
        let pdf = fs::read(&paper).unwrap();
        let pdf = String::from_utf8_lossy(&pdf);
        let sheets = pdf.matches("/Type /Page").count() - pdf.matches("/Type /Pages").count();
        assert!(count > 0 && sheets > count, "{farm}: {sheets} sheets for a front page and {count} records");
    }
}

/// How many sheets of paper a page prints on, on a paper of a size.
fn sheets_of_paper(browser: &Path, html: &str, paper: &str) -> usize {
    let folder = tempfile::tempdir().unwrap();
    let (page, pdf) = (folder.path().join("page.html"), folder.path().join("page.pdf"));
    let sized = html.replacen("</style>", &format!("@media print {{ @page {{ size: {paper}; }} }}</style>"), 1);
    assert_ne!(sized, html);
    fs::write(&page, sized).unwrap();
    let target = format!("--print-to-pdf={}", pdf.display());
    run(browser, &["--no-pdf-header-footer", &target, &format!("file://{}", page.display())]);
    let pdf = fs::read(&pdf).unwrap();
    let pdf = String::from_utf8_lossy(&pdf);
    pdf.matches("/Type /Page").count() - pdf.matches("/Type /Pages").count()
}

#[test]
fn every_posting_sheet_is_one_sheet_of_either_paper() {
    let Some(browser) = browser() else { return };
    let pages = [
        spray("2026-12-26", "pears", "tarn", "06:00 to 07:00"),
        spray("2026-12-27", "tunnel, pears", "rill", "22:00 to 2026-12-28 01:00"),
        spray("2026-12-29", "pears", "tarn brook kelp", "06:00 to 07:12"),
        spray("2026-12-30", "tunnel, plums", "tarn fell mystery", "18:00"),
    ];
    let written = documents(&format!("{FARM}{}", pages.concat()), &Found::Checked);
    let postings = written.iter().find(|document| document.name == "postings").unwrap();
    let sheets = postings.html.matches("<article class=\"posting").count();
    assert_eq!(sheets, 4);
    for paper in ["Letter", "A4"] {
        // One more for the office.
        assert_eq!(sheets_of_paper(&browser, &postings.html, paper), sheets + 1, "{paper}");
    }
    assert!(width_on_a_phone(&browser, &postings.html) <= PHONE);
    let signs = written.iter().find(|document| document.name == "signs").unwrap();
    assert!(signs.html.matches("class=\"box\"").count() >= 4);
    assert!(width_on_a_phone(&browser, &signs.html) <= PHONE);
}

#[test]
fn a_clearance_board_of_sixteen_blocks_is_one_sheet_of_either_paper() {
    let Some(browser) = browser() else { return };
    let loaded = loaded("twenty-acres");
    let templates = Templates::new(Vec::new()).unwrap();
    with_book(&loaded.sources, &loaded.farms[0].files, &Scope::default(), &Found::Checked, |book| {
        for at in ["2026-03-14T12:00:00", "2026-05-11T06:00:00", "2026-07-02T06:00:00"] {
            let moment = book.season.zone.moment(at.parse().unwrap(), None, false).0;
            let html = templates.fill("clearance", &clearance_board(book, moment), Format::Html).unwrap();
            let rows = html.matches("class=\"turns\"").count();
            assert!(rows >= 16, "{at}: {rows} rows");
            // What the office reads is on a sheet behind the board.
            let (board, rest) = html.split_once("<div class=\"office\">").unwrap();
            let board = format!("{board}{}", &rest[rest.find("</body>").unwrap()..]);
            for paper in ["Letter", "A4"] {
                assert_eq!(sheets_of_paper(&browser, &board, paper), 1, "{at} on {paper}");
                assert_eq!(sheets_of_paper(&browser, &html, paper), 2, "{at} on {paper}, with the office's");
            }
        }
    });
}
