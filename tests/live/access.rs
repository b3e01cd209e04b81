//! Every page by an accessibility checker: axe-core, as its makers give it out (npm, axe-core 4; its rules are listed in
//! its documentation, "Rule Descriptions").

use std::path::Path;

use super::chromium::window;
use super::{FARM, Live, NEXT, SLIP, links, write};

/// The checker's script, where `tests/run` has put it.
fn checker() -> Option<String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/axe/node_modules/axe-core/axe.min.js");
    let script = std::fs::read_to_string(&path).ok();
    if script.is_none() {
        eprintln!("SKIPPED: axe-core is not in target/axe (tests/run puts it there with npm); no page was looked at");
    }
    script
}

/// What it says: a line for each rule that is broken, and where.
const RUN: &str = "axe.run(document, { resultTypes: ['violations'] }).then(found => found.violations.flatMap(v =>
    v.nodes.map(n => v.id + ' at ' + n.target.join(' ') + ': ' + n.html.slice(0, 160) + ' ' + n.failureSummary.replace(/\\s+/g, ' ').slice(0, 300))).join('\\n'))";

#[test]
fn no_page_breaks_a_rule_in_light_or_dark() {
    let (Some(script), Some(window)) = (checker(), window()) else { return };
    let live = Live::on_example("spring-week", "2026-05-20");
    write(&live.path("slip.spray"), SLIP);
    live.until("/", |page| page.contains("error"));
    let start = links(&live.get("/"));
    let farm = start.iter().find(|link| link.ends_with("/pages")).unwrap();
    let mut pages = links(&live.get(farm));
    for more in ["/journal", "/law-records", "/findings"] {
        pages.extend(links(&live.get(&farm.replace("/pages", more))));
    }
    pages.extend(["/".to_string(), "/nothing".to_string(), "/meaning/unknown-name".to_string()]);
    pages.retain(|link| !link.starts_with("/live/") && !link.contains('.'));
    pages.sort();
    pages.dedup();
    assert!(pages.len() > 20, "{pages:?}");
    let mixing = Live::on(&[("farm.spray", FARM), ("next.spray", NEXT)]);
    let mixed = ["/farm/larkspur-bend/mix-sheets", "/farm/larkspur-bend/mix-sheets/2026-05-20-1"].map(str::to_string);
    let mixed = mixed.iter().map(|page| (&mixing, page));
    let mut wrong = Vec::new();
    for (live, page) in pages.iter().map(|page| (&live, page)).chain(mixed) {
        window.open(live, page);
        window.tab.evaluate(&script, false).unwrap();
        for scheme in ["light", "dark"] {
            window.shown_as("screen", scheme);
            let said = window.say(RUN);
            wrong.extend(said.lines().map(|line| format!("{page} in {scheme}: {line}")));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
