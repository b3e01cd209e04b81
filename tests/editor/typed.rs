//! Whatever is typed, over the real wire: the findings are those of `foliary check` on the saved text.

use std::fs;
use std::process::Command;

use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};
use serde_json::{Value, json};
use tempfile::TempDir;

use super::bench::{FARM, PAGE, applied};
use super::client::{Server, uri};

const TYPED: [&str; 14] = [
    "x",
    " ",
    "\n",
    "\n    ",
    "🍐",
    "é",
    "\r\n",
    "# ",
    "spray creek-pear\n",
    "    mix leaf-tonic, 9 gal\n",
    "2026-05-16\n",
    "    note x\n",
    "1",
    "-",
];

/// Findings of the saved files as `foliary check` says them: code, line and column in UTF-16 units, headline.
fn checked(folder: &std::path::Path) -> Vec<String> {
    let output = Command::new(env!("CARGO_BIN_EXE_foliary"))
        .args(["check", "--no-git", "--format", "json", "."])
        .current_dir(folder)
        .output()
        .unwrap();
    let report: Value = serde_json::from_slice(&output.stdout).unwrap();
    let mut told: Vec<String> = report["findings"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|finding| finding["accepted"].is_null())
        .map(|finding| format!("{} {}", finding["code"].as_str().unwrap(), finding["headline"].as_str().unwrap()))
        .collect();
    told.sort();
    told
}

fn told(server: &mut Server) -> Vec<String> {
    server.settle();
    let mut told: Vec<String> = server
        .told
        .values()
        .flatten()
        .map(|one| {
            let headline = one["message"].as_str().unwrap().lines().next().unwrap();
            format!("{} {headline}", one["code"].as_str().unwrap())
        })
        .collect();
    told.sort();
    told
}

/// Where a byte of a text lies, as the protocol counts.
fn place(text: &str, at: usize) -> Value {
    let before = &text[..at];
    let line = before.matches('\n').count();
    json!({ "line": line, "character": before.rsplit('\n').next().unwrap().encode_utf16().count() })
}

#[test]
fn whatever_is_typed_the_findings_are_those_of_the_saved_text() {
    let folder = TempDir::new().unwrap();
    let (farm, page) = (folder.path().join("farm.spray"), folder.path().join("page.spray"));
    fs::write(&farm, FARM).unwrap();
    fs::write(&page, PAGE).unwrap();
    let edits =
        prop::collection::vec((0.0..1.0f64, 0usize..12, prop::sample::select(TYPED.to_vec()), any::<bool>()), 1..8);
    let mut server = Server::of(folder.path());
    server.open(&page, PAGE);
    server.open(&farm, FARM);
    let (mut page_text, mut farm_text, mut version) = (PAGE.to_string(), FARM.to_string(), 1);
    let server = std::cell::RefCell::new(server);
    let texts = std::cell::RefCell::new((&mut page_text, &mut farm_text, &mut version));
    let mut runner =
        TestRunner::new(Config { cases: 12, failure_persistence: None, max_shrink_iters: 0, ..Config::default() });
    let done = runner.run(&edits, |edits| {
        let (mut server, mut texts) = (server.borrow_mut(), texts.borrow_mut());
        let (page_text, farm_text, version) = &mut *texts;
        for (at, gone, typed, in_page) in edits {
            let (path, text) = if in_page { (&page, &mut **page_text) } else { (&farm, &mut **farm_text) };
            let boundary = |mut at: usize| {
                at = at.min(text.len());
                while !text.is_char_boundary(at) {
                    at -= 1;
                }
                // A place between the two bytes of a Windows line end is none.
                if at > 0 && text[at..].starts_with('\n') && text[..at].ends_with('\r') { at - 1 } else { at }
            };
            let start = boundary((at * text.len() as f64) as usize);
            let end = boundary(start + gone).max(start);
            let range = json!({ "start": place(text, start), "end": place(text, end) });
            **version += 1;
            server.change(path, **version, json!([{ "range": range, "text": typed }]));
            let after = format!("{}{typed}{}", &text[..start], &text[end..]);
            let edit = json!({ "range": range, "newText": typed });
            prop_assert_eq!(&applied(text, &[edit]), &after);
            *text = after;
        }
        fs::write(&page, &**page_text).unwrap();
        fs::write(&farm, &**farm_text).unwrap();
        let told = told(&mut server);
        prop_assert_eq!(told, checked(folder.path()), "page: {:?}\nfarm: {:?}", page_text, farm_text);
        prop_assert!(server.told.keys().all(|address| *address == uri(&page) || *address == uri(&farm)));
        Ok(())
    });
    done.unwrap();
}
