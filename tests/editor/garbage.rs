//! Whatever comes over the wire: the server answers what can be answered and is there afterwards.

use std::fs;

use serde_json::{Value, json};
use tempfile::TempDir;

use super::bench::{FARM, PAGE};
use super::client::{Server, uri};

fn farm() -> TempDir {
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("farm.spray"), format!("{FARM}{PAGE}")).unwrap();
    folder
}

/// The server still answers about the farm.
fn lives(server: &mut Server) {
    let found = server.ask("workspace/symbol", json!({ "query": "leaf-tonic" }));
    assert_eq!(found[0]["name"], "mix leaf-tonic");
}

#[test]
fn what_is_no_message_is_answered_and_passed_over() {
    let folder = farm();
    let mut server = Server::of(folder.path());
    let frame = |body: &str| format!("Content-Length: {}\r\n\r\n{body}", body.len()).into_bytes();
    let answered: [(Vec<u8>, i64, Value); 9] = [
        (frame("{ not json"), -32700, Value::Null),
        (frame(""), -32700, Value::Null),
        (frame("[]"), -32600, Value::Null),
        (frame("7"), -32600, Value::Null),
        (
            frame(r#"{"jsonrpc":"2.0","id":99999999999,"method":"textDocument/hover"}"#),
            -32600,
            json!(99_999_999_999_i64),
        ),
        (frame(r#"{"jsonrpc":"2.0","id":1.5,"method":"textDocument/hover"}"#), -32600, json!(1.5)),
        (frame(&"[".repeat(100_000)), -32700, Value::Null),
        (b"Content-Length: many\r\n\r\n".to_vec(), -32700, Value::Null),
        (b"Content-Length: 99999999999999999999\r\n\r\n".to_vec(), -32700, Value::Null),
    ];
    for (bytes, code, id) in answered {
        server.bytes(&bytes);
        let answer = server.answer(&id);
        assert_eq!(answer["error"]["code"], code, "{answer}");
        lives(&mut server);
    }
    // Bytes that are no text.
    server.bytes(b"Content-Length: 4\r\n\r\n\xff\xfe\x00\x80");
    assert_eq!(server.answer(&Value::Null)["error"]["code"], -32700);
    lives(&mut server);
    // Nothing to answer: lines between messages, other headers, a header in other letters, one without a blank.
    server.bytes(b"\r\n\r\n");
    server.bytes(b"content-length:2\r\nContent-Type: application/vscode-jsonrpc; charset=utf-8\r\n\r\n{}");
    assert_eq!(server.answer(&Value::Null)["error"]["code"], -32600);
    lives(&mut server);
    assert_eq!(server.leave(), Some(0));
}

#[test]
fn half_a_message_at_the_end_ends_the_server() {
    let folder = farm();
    let mut server = Server::of(folder.path());
    server.bytes(b"Content-Length: 1000\r\n\r\n{\"jsonrpc\"");
    assert_eq!(server.hang_up(), Some(1));
}

#[test]
fn what_is_not_known_is_refused_by_its_code() {
    let folder = farm();
    let path = folder.path().join("farm.spray");
    let mut server = Server::of(folder.path());
    assert_eq!(server.error("textDocument/somethingNew", json!({})), -32601);
    assert_eq!(server.error("$/somethingNew", json!({})), -32601);
    for method in [
        "textDocument/hover",
        "textDocument/completion",
        "textDocument/rename",
        "textDocument/codeAction",
        "workspace/symbol",
    ] {
        assert_eq!(server.error(method, json!({ "textDocument": 7 })), -32602, "{method}");
        assert_eq!(server.error(method, Value::Null), -32602, "{method}");
    }
    // What is told wrongly is said in the log.
    for method in
        ["textDocument/didOpen", "textDocument/didChange", "textDocument/didClose", "workspace/didChangeWatchedFiles"]
    {
        server.tell(method, json!({ "textDocument": [] }));
    }
    server.tell("$/somethingNew", json!({}));
    lives(&mut server);
    assert_eq!(server.unasked.iter().filter(|message| message["method"] == "window/logMessage").count(), 4);
    // Answers to questions that nobody asked.
    server.send(&json!({ "jsonrpc": "2.0", "id": 77, "result": { "x": 1 } }));
    server.send(&json!({ "jsonrpc": "2.0", "id": "foliary-1", "error": { "code": 1, "message": "no" } }));
    lives(&mut server);
    // A file that nobody opened, changed and closed.
    server.change(&folder.path().join("none.spray"), 2, json!([{ "text": "x" }]));
    server.tell("textDocument/didClose", json!({ "textDocument": { "uri": uri(&folder.path().join("none.spray")) } }));
    lives(&mut server);
    // Places outside of everything.
    for (line, character) in [(0_u32, 4_000_000_000_u32), (4_000_000_000, 0), (4_000_000_000, 4_000_000_000)] {
        let place = json!({ "line": line, "character": character });
        for method in
            ["textDocument/hover", "textDocument/completion", "textDocument/definition", "textDocument/prepareRename"]
        {
            server.ask(method, json!({ "textDocument": { "uri": uri(&path) }, "position": place }));
        }
        let range = json!({ "start": place, "end": { "line": 0, "character": 0 } });
        server.ask("textDocument/inlayHint", json!({ "textDocument": { "uri": uri(&path) }, "range": range }));
    }
    assert_eq!(server.leave(), Some(0));
}

#[test]
fn broken_journals_are_served_like_any_other() {
    let folder = farm();
    let path = folder.path().join("broken.spray");
    let texts = [
        "\0\0\0".to_string(),
        "spray\n    mix\n  put\n\tover 1\n   \n    \u{202e}x\n".to_string(),
        "2026-02-30\n\nspray x rows 9 to 1\n    time 25:61 to 1\n".to_string(),
        "\r\r\n\n\r".to_string(),
        "x".repeat(300_000),
        "    note\n".repeat(2_000),
        "2026-05-14 Thu\n\nspray 🍐🍐🍐 of é rows 1 to 2 \"t\n    mix 🍐, 1 gal   # 🍐\n".to_string(),
        format!("{FARM}{PAGE}").replace('\n', "\r"),
        String::new(),
    ];
    let mut server = Server::of(folder.path());
    server.open(&path, "");
    for (version, text) in texts.iter().enumerate() {
        server.change(&path, version as i32 + 2, json!([{ "text": text }]));
        let file = json!({ "uri": uri(&path) });
        for method in ["textDocument/documentSymbol", "textDocument/foldingRange", "textDocument/semanticTokens/full"] {
            server.ask(method, json!({ "textDocument": file }));
        }
        let options = json!({ "tabSize": 4, "insertSpaces": true });
        server.ask("textDocument/formatting", json!({ "textDocument": file, "options": options }));
        let whole = json!({ "start": { "line": 0, "character": 0 }, "end": { "line": 99999, "character": 0 } });
        server.ask("textDocument/inlayHint", json!({ "textDocument": file, "range": whole }));
        server.ask(
            "textDocument/codeAction",
            json!({ "textDocument": file, "range": whole, "context": { "diagnostics": [] } }),
        );
        for (line, character) in [(0, 0), (0, 3), (1, 5), (2, 7), (3, 2)] {
            let place = json!({ "line": line, "character": character });
            for method in ["textDocument/hover", "textDocument/completion", "textDocument/definition"] {
                server.ask(method, json!({ "textDocument": file, "position": place }));
            }
        }
        lives(&mut server);
    }
    assert_eq!(server.leave(), Some(0));
}
