//! In a real browser: the page follows the file, and the reader's place stays.

use super::chromium::window;
use super::{FARM, Live, SLIP, links, write};
use crate::documents::browser::PHONE;

const FINDINGS: &str = "/farm/larkspur-bend/findings";

#[test]
fn an_edit_shows_without_loading_the_page_again_and_is_said() {
    let Some(window) = window() else { return };
    let live = Live::on(&[("farm.spray", FARM)]);
    window.open(&live, FINDINGS);
    window.until("document.body.innerText.includes('Nothing disagrees here')");
    window.say("window.same = 'yes'");
    write(&live.path("farm.spray"), &format!("{FARM}{SLIP}"));
    window.until("document.body.innerText.includes('wheyy')");
    assert_eq!(window.say("window.same"), "yes");
    let said = "document.getElementById('live-said')";
    window.until(&format!("{said}.textContent === 'The journal changed. Now 1 error; before, no findings.'"));
    assert_eq!(window.say(&format!("{said}.getAttribute('role')")), "status");
    // Severity is a word and a shape.
    assert!(window.is("document.querySelector('.live-found .live-level').textContent.includes('error')"));
    assert!(window.is("document.querySelector('.live-found .live-level svg rect') !== null"));
    window.kept_to(&live);
}

/// A journal with a slip far down, and where.
fn long() -> String {
    let remark = |number| format!("# Remark {number} on the spring of that year\n");
    let (above, below): (String, String) = ((0..150).map(remark).collect(), (200..260).map(remark).collect());
    format!("{above}{SLIP}{below}")
}

#[test]
fn place_focus_selection_and_what_is_open_stay_while_lines_above_come_and_go() {
    let Some(window) = window() else { return };
    let live = Live::on(&[("farm.spray", FARM), ("long.spray", &long())]);
    window.open(&live, "/farm/larkspur-bend/journal/long");
    window.until("document.querySelector('.live-notes a') !== null");
    window.say(
        "(document.querySelector('details').open = true, document.querySelector('.live-notes a').focus(),
          document.querySelector('.live-notes a').scrollIntoView({ block: 'center' }),
          getSelection().selectAllChildren([...document.querySelectorAll('code')].find(code => code.textContent.includes('Remark 149 '))),
          window.held = document.activeElement)",
    );
    // The browser keeps its place by what it has painted.
    window.say("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))");
    let top = "Math.round(document.activeElement.getBoundingClientRect().top)";
    let before: i32 = window.say(top).parse().unwrap();
    assert!(window.is("scrollY > 500"));
    write(&live.path("long.spray"), &format!("# New one\n# New two\n# New three\n{}", long()));
    window.until("document.body.innerText.includes('New three')");
    window.say("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))");
    assert!(window.is("document.activeElement === window.held && window.held.isConnected"));
    assert!(window.is("document.querySelector('details').open"));
    assert!(window.is("String(getSelection()).includes('Remark 149 ')"), "{}", window.say("String(getSelection())"));
    let after: i32 = window.say(top).parse().unwrap();
    assert!((after - before).abs() <= 2, "{before} became {after}");
    // And away again.
    write(&live.path("long.spray"), &long());
    window.until("!document.body.innerText.includes('New three')");
    window.say("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))");
    let after: i32 = window.say(top).parse().unwrap();
    assert!((after - before).abs() <= 2, "{before} became {after}");
    assert!(window.is("document.activeElement === window.held"));
    window.kept_to(&live);
}

#[test]
fn a_document_keeps_its_place_too() {
    let Some(window) = window() else { return };
    let live = Live::on_example("twenty-acres", "2026-11-20");
    let farm = links(&live.get("/")).into_iter().find(|link| link.ends_with("/records")).unwrap();
    window.open(&live, &farm);
    window.say("(window.same = 'yes', document.querySelectorAll('article')[30].scrollIntoView(), 0)");
    window.say("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))");
    let before = window.say("Math.round(document.querySelectorAll('article')[30].getBoundingClientRect().top)");
    let text = std::fs::read_to_string(live.path("farm.spray")).unwrap();
    let title = text.lines().find(|line| line.starts_with("farm ")).unwrap().split('"').nth(1).unwrap().to_string();
    // In its quotes: a remark above may say it, too.
    write(&live.path("farm.spray"), &text.replacen(&format!("\"{title}\""), "\"Sorrel Reach\"", 1));
    window.until("document.body.textContent.includes('Sorrel Reach')");
    assert_eq!(window.say("Math.round(document.querySelectorAll('article')[30].getBoundingClientRect().top)"), before);
    assert_eq!(window.say("window.same"), "yes");
    window.kept_to(&live);
}

#[test]
fn what_is_gone_from_the_journal_stays_in_view_with_a_word_about_it() {
    let Some(window) = window() else { return };
    let live = Live::on(&[("farm.spray", FARM)]);
    window.open(&live, "/farm/larkspur-bend/records");
    window.until("document.body.innerText.includes('Creek pears')");
    // The farm's line is on its way out or in: the address means nothing for now.
    write(&live.path("farm.spray"), &FARM.replace("farm larkspur-bend", "farm lark"));
    window.until("!document.getElementById('live-gone').hidden");
    assert!(window.is("document.body.innerText.includes('Creek pears')"));
    write(&live.path("farm.spray"), FARM);
    window.until("document.getElementById('live-gone').hidden");
    drop(live);
    window.until("document.getElementById('live-gone').textContent.includes('Foliary has stopped')");
    assert!(window.is("document.body.innerText.includes('Creek pears')"));
}

#[test]
fn pages_work_without_scripts() {
    use headless_chrome::protocol::cdp::Emulation;
    let Some(window) = window() else { return };
    let live = Live::on(&[("farm.spray", &format!("{FARM}{SLIP}"))]);
    window.tab.call_method(Emulation::SetScriptExecutionDisabled { value: true }).unwrap();
    window.open(&live, FINDINGS);
    assert!(window.is("document.body.innerText.includes('Scripts are off')"));
    assert!(window.is("document.body.innerText.includes('wheyy')"));
    window.kept_to(&live);
}

#[test]
fn no_page_is_wider_than_a_phone_and_the_links_stay_off_paper() {
    let Some(window) = window() else { return };
    let live = Live::on_example("spring-week", "2026-05-20");
    write(&live.path("slip.spray"), SLIP);
    live.until("/", |page| page.contains("error"));
    let start = links(&live.get("/"));
    let farm = start.iter().find(|link| link.ends_with("/pages")).unwrap();
    let mut pages = links(&live.get(farm));
    pages.extend(links(&live.get(&farm.replace("/pages", "/journal"))));
    pages.retain(|link| !link.contains("/live/") && !link.contains('.') && !link.starts_with("/meaning/"));
    pages.sort();
    pages.dedup();
    assert!(pages.len() > 20, "{pages:?}");
    window.wide(PHONE);
    for page in &pages {
        window.open(&live, page);
        let width: u32 = window.say("document.documentElement.scrollWidth").parse().unwrap();
        assert!(width <= PHONE, "{page}: {width} pixels wide");
    }
    window.shown_as("print", "light");
    assert!(window.is("getComputedStyle(document.getElementById('live-bar')).display === 'none'"));
    window.kept_to(&live);
}
