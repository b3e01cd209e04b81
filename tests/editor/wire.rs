//! The server on a real wire: its life, its answers, positions, buffers that are not saved.

use std::fs;

use serde_json::{Value, json};
use tempfile::TempDir;

use super::bench::{FARM, PAGE};
use super::client::{Server, uri};

fn farm() -> TempDir {
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("farm.spray"), FARM).unwrap();
    fs::write(folder.path().join("page.spray"), PAGE).unwrap();
    folder
}

fn at(path: &std::path::Path, line: u32, character: u32) -> Value {
    json!({ "textDocument": { "uri": uri(path) }, "position": { "line": line, "character": character } })
}

#[test]
fn a_server_lives_and_ends_as_the_protocol_says() {
    let folder = farm();
    assert_eq!(Server::of(folder.path()).leave(), Some(0));
    // Without a good-bye.
    let mut server = Server::of(folder.path());
    server.tell("exit", Value::Null);
    assert_eq!(server.ended(), Some(1));
    assert_eq!(Server::of(folder.path()).hang_up(), Some(1));
    // Before it is greeted, and after it is told to end.
    let mut server = Server::silent(folder.path());
    assert_eq!(server.error("textDocument/hover", json!({})), -32002);
    server.tell("textDocument/didOpen", json!({}));
    server.ask("initialize", json!({ "capabilities": {} }));
    server.tell("initialized", json!({}));
    assert_eq!(server.error("initialize", json!({ "capabilities": {} })), -32600);
    server.ask("shutdown", Value::Null);
    assert_eq!(server.error("textDocument/hover", json!({})), -32600);
    server.tell("exit", Value::Null);
    assert_eq!(server.ended(), Some(0));
    let mut server = Server::silent(folder.path());
    server.tell("exit", Value::Null);
    assert_eq!(server.ended(), Some(1));
}

#[test]
fn findings_follow_what_is_typed_and_not_saved() {
    let folder = farm();
    let page = folder.path().join("page.spray");
    let mut server = Server::of(folder.path());
    assert!(server.codes(&page).is_empty());
    server.open(&page, PAGE);
    // Line 4 is the mix: one letter too many behind its name.
    let range = json!({ "start": { "line": 4, "character": 18 }, "end": { "line": 4, "character": 18 } });
    server.change(&page, 2, json!([{ "range": range, "text": "x" }]));
    assert_eq!(server.codes(&page), ["unknown-name"]);
    let told = &server.told[&uri(&page)][0];
    assert_eq!(told["range"], json!({ "start": { "line": 4, "character": 8 }, "end": { "line": 4, "character": 19 } }));
    assert_eq!((&told["severity"], &told["source"]), (&json!(1), &json!("foliary")));
    let related = &told["relatedInformation"][0]["location"];
    assert_eq!(related["uri"], uri(&folder.path().join("farm.spray")));
    let page_of_code = told["codeDescription"]["href"].as_str().unwrap().strip_prefix("file://").unwrap().to_string();
    assert!(fs::read_to_string(&page_of_code).unwrap().starts_with("# unknown-name"));
    // Taken back.
    let range = json!({ "start": { "line": 4, "character": 18 }, "end": { "line": 4, "character": 19 } });
    server.change(&page, 3, json!([{ "range": range, "text": "" }]));
    assert!(server.codes(&page).is_empty());
    // Closed without saving: what is on the disk counts.
    server.change(&page, 4, json!([{ "text": "nonsense\n" }]));
    assert_eq!(server.codes(&page), ["unknown-word"]);
    server.tell("textDocument/didClose", json!({ "textDocument": { "uri": uri(&page) } }));
    assert!(server.codes(&page).is_empty());
    assert_eq!(fs::read_to_string(&page).unwrap(), PAGE, "the server writes no journal");
    assert_eq!(server.leave(), Some(0));
    assert!(!std::path::Path::new(&page_of_code).exists(), "its pages go with it");
}

#[test]
fn a_name_declared_in_one_buffer_is_known_in_the_other() {
    let folder = farm();
    let (farm, page) = (folder.path().join("farm.spray"), folder.path().join("page.spray"));
    let mut server = Server::of(folder.path());
    server.open(&farm, FARM);
    server.open(&page, PAGE);
    server.change(&farm, 2, json!([{ "text": FARM.replace("mix leaf-tonic", "mix other-tonic") }]));
    assert_eq!(server.codes(&page), ["unknown-name"]);
    server.change(&page, 2, json!([{ "text": PAGE.replace("leaf-tonic", "other-tonic") }]));
    assert!(server.codes(&page).is_empty());
    let found = server.ask("textDocument/definition", at(&page, 4, 10));
    assert_eq!(found["uri"], uri(&farm));
}

#[test]
fn changes_that_wait_are_made_in_their_order_and_told_once() {
    let folder = farm();
    let page = folder.path().join("page.spray");
    let mut server = Server::of(folder.path());
    server.open(&page, PAGE);
    server.settle();
    let before = server.tellings;
    // Letter by letter, at the end of the file.
    let lines = PAGE.matches('\n').count() as u32;
    let typed = "    target pear scab\n    put quicksand 1 oz wt\n";
    let (mut line, mut character) = (lines, 0);
    for (version, letter) in typed.chars().enumerate() {
        let place = json!({ "line": line, "character": character });
        server.change(
            &page,
            version as i32 + 2,
            json!([{ "range": { "start": place, "end": place }, "text": letter.to_string() }]),
        );
        (line, character) = if letter == '\n' { (line + 1, 0) } else { (line, character + 1) };
    }
    assert!(server.codes(&page).contains(&"unknown-name".to_string()));
    let tellings = server.tellings - before;
    assert!(tellings <= typed.len(), "{tellings} tellings for {} letters", typed.len());
    // As the same text in one go.
    let told = server.told[&uri(&page)].clone();
    server.change(&page, 999, json!([{ "text": PAGE }]));
    server.settle();
    server.change(&page, 1000, json!([{ "text": format!("{PAGE}{typed}") }]));
    server.settle();
    assert_eq!(server.told[&uri(&page)], told);
}

#[test]
fn places_count_in_utf_16() {
    let folder = farm();
    let page = folder.path().join("page.spray");
    let text = PAGE.replace("reason nutrition", "reason 🍐🍐 nutrition");
    let mut server = Server::of(folder.path());
    server.open(&page, &text);
    let line = text.lines().position(|line| line.contains("🍐")).unwrap() as u32;
    // Behind both pears: eleven for what stands before, two units each.
    let place = json!({ "line": line, "character": 15 });
    server.change(&page, 2, json!([{ "range": { "start": place, "end": place }, "text": "é" }]));
    // In the middle of the first pear: its beginning is meant.
    let place = json!({ "line": line, "character": 12 });
    server.change(&page, 3, json!([{ "range": { "start": place, "end": place }, "text": "ü" }]));
    // Past the end of the line: its end is meant.
    let place = json!({ "line": line, "character": 4000 });
    server.change(&page, 4, json!([{ "range": { "start": place, "end": place }, "text": "\n    put ß 1 oz wt" }]));
    assert!(server.codes(&page).contains(&"unknown-name".to_string()));
    let told = server.told[&uri(&page)].iter().find(|one| one["code"] == "unknown-name").unwrap().clone();
    assert_eq!(told["range"]["start"], json!({ "line": line + 1, "character": 8 }));
    assert_eq!(told["range"]["end"], json!({ "line": line + 1, "character": 9 }));
    let items = server.ask("textDocument/completion", at(&page, line, 11))["items"].clone();
    assert!(items.is_array());
}

#[test]
fn windows_line_ends_and_a_mark_in_front_change_nothing() {
    let folder = farm();
    let page = folder.path().join("page.spray");
    let mut server = Server::of(folder.path());
    let text = format!("\u{feff}{}", PAGE.trim_start().replace("leaf-tonic", "leaf-tonik").replace('\n', "\r\n"));
    server.open(&page, &text);
    assert_eq!(server.codes(&page), ["unknown-name"]);
    let told = server.told[&uri(&page)][0].clone();
    assert_eq!(told["range"], json!({ "start": { "line": 3, "character": 8 }, "end": { "line": 3, "character": 18 } }));
    let params =
        json!({ "textDocument": { "uri": uri(&page) }, "range": told["range"], "context": { "diagnostics": [] } });
    let actions = server.ask("textDocument/codeAction", params);
    assert_eq!(actions[0]["title"], "Write `leaf-tonic` for `leaf-tonik`");
    let accept =
        actions.as_array().unwrap().iter().find(|one| one["title"].as_str().unwrap().starts_with("Accept")).unwrap();
    let words = accept["edit"]["documentChanges"][0]["edits"][0]["newText"].as_str().unwrap();
    assert!(words.starts_with("\r\n    accept"), "{words:?}");
    assert_eq!(accept["edit"]["documentChanges"][0]["textDocument"]["version"], 1);
}

#[test]
fn a_request_that_is_taken_back_is_answered_so() {
    let folder = farm();
    let page = folder.path().join("page.spray");
    let mut server = Server::of(folder.path());
    server.open(&page, PAGE);
    // All in one piece, so that the request waits while its cancellation comes.
    let mut bytes = Vec::new();
    let mut put = |message: Value| {
        let body = message.to_string();
        bytes.extend(format!("Content-Length: {}\r\n\r\n{body}", body.len()).into_bytes());
    };
    for version in 2..40 {
        let document = json!({ "uri": uri(&page), "version": version });
        let changes = json!([{ "text": format!("{PAGE}\n# {version}\n") }]);
        put(
            json!({ "jsonrpc": "2.0", "method": "textDocument/didChange", "params": { "textDocument": document, "contentChanges": changes } }),
        );
        put(
            json!({ "jsonrpc": "2.0", "id": format!("asked-{version}"), "method": "textDocument/inlayHint", "params": {
            "textDocument": { "uri": uri(&page) },
            "range": { "start": { "line": 0, "character": 0 }, "end": { "line": 99, "character": 0 } },
        } }),
        );
    }
    for version in 2..40 {
        put(json!({ "jsonrpc": "2.0", "method": "$/cancelRequest", "params": { "id": format!("asked-{version}") } }));
    }
    server.bytes(&bytes);
    // Each is answered, once, one way or the other; the last one was still waiting.
    let answers: Vec<Value> = (2..40).map(|version| server.answer(&json!(format!("asked-{version}")))).collect();
    for answer in &answers {
        assert!(answer["result"].is_array() || answer["error"]["code"] == -32800, "{answer}");
    }
    assert_eq!(server.leave(), Some(0));
}

#[test]
fn no_page_is_asked_for_on_a_machine_without_a_farm() {
    let folder = TempDir::new().unwrap();
    let mut server = Server::of(folder.path());
    server.settle();
    assert!(server.told.is_empty());
    assert_eq!(server.leave(), Some(0));
}
