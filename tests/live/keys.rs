//! By keyboard alone: everything can be reached, what is reached is seen, and Enter does what a click does.

use super::chromium::{Window, window};
use super::{FARM, Live, SLIP};

/// What has the focus, so that two of the same words differ.
const HERE: &str =
    "(() => { const all = [...document.querySelectorAll('*')]; return all.indexOf(document.activeElement) })()";

/// Everything that the Tab key should reach: links, what opens, and what scrolls.
const REACHABLE: &str = "JSON.stringify((() => { const all = [...document.querySelectorAll('*')];
    return all.filter(e => e.matches('a[href], summary, button, [tabindex=\"0\"]') && e.checkVisibility()).map(e => all.indexOf(e)) })())";

fn walk(window: &Window) -> Vec<String> {
    let wanted = window.say(REACHABLE).matches(',').count() + 1;
    let mut met = Vec::new();
    for _ in 0..wanted + 2 {
        window.press("Tab");
        if window.is("document.activeElement === document.body") {
            break;
        }
        // What has the focus is in view, and has a frame.
        let seen = "(() => { const e = document.activeElement, r = e.getClientRects()[0], s = getComputedStyle(e);
            return !!r && r.bottom > 0 && r.top < innerHeight && r.right > 0 && s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) >= 2 })()";
        assert!(window.is(seen), "{}", window.say("document.activeElement.outerHTML"));
        met.push(window.say(HERE));
    }
    met
}

#[test]
fn tab_reaches_every_link_and_shows_where_it_is() {
    let Some(window) = window() else { return };
    let live = Live::on(&[("farm.spray", &format!("{FARM}{SLIP}"))]);
    for page in [
        "/",
        "/farm/larkspur-bend/findings",
        "/farm/larkspur-bend/journal/farm",
        "/farm/larkspur-bend/pages",
        "/farm/larkspur-bend/season",
    ] {
        window.open(&live, page);
        let met = walk(&window);
        let wanted: Vec<String> =
            serde_json::from_str::<Vec<u32>>(&window.say(REACHABLE)).unwrap().iter().map(u32::to_string).collect();
        let missed: Vec<&String> = wanted.iter().filter(|element| !met.contains(element)).collect();
        assert!(wanted.len() > 8 && missed.is_empty(), "{page}: {missed:?} of {wanted:?} in {met:?}");
    }
    window.kept_to(&live);
}

#[test]
fn the_first_tab_offers_the_way_past_the_links_and_enter_opens_what_is_closed() {
    let Some(window) = window() else { return };
    let live = Live::on(&[("farm.spray", &format!("{FARM}{SLIP}"))]);
    window.open(&live, "/farm/larkspur-bend/findings");
    window.press("Tab");
    assert_eq!(window.say("document.activeElement.textContent"), "To the page");
    window.press("Enter");
    window.until("document.activeElement.id === 'page'");
    // Onwards to what a finding means, which opens and closes.
    for _ in 0..20 {
        window.press("Tab");
        if window.is("document.activeElement.matches('summary')") {
            break;
        }
    }
    window.press("Enter");
    window.until("document.activeElement.parentElement.open === true");
    window.press("Tab");
    assert!(window.say("document.activeElement.textContent").starts_with("With examples: "));
    window.press("Enter");
    window.until("location.pathname === '/meaning/unknown-name'");
    // A whole way: back to the start page, and into the journal's text by its links.
    window.open(&live, "/farm/larkspur-bend/findings");
    window.until("document.readyState === 'complete'");
    for _ in 0..30 {
        window.press("Tab");
        if window.say("document.activeElement.textContent").contains("farm.spray, line ") {
            break;
        }
    }
    window.press("Enter");
    window.until("location.pathname.includes('/journal/farm/1') && location.hash.startsWith('#line-')");
    window.kept_to(&live);
}
