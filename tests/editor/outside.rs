//! What happens outside the editor: files that come, change and go, folders, files without a folder, odd addresses.

use std::fs;

use serde_json::{Value, json};
use tempfile::TempDir;

use super::bench::{FARM, PAGE};
use super::client::{Server, uri};

fn watched(server: &mut Server, changes: &[(&std::path::Path, u32)]) {
    let changes: Vec<Value> = changes.iter().map(|(path, typ)| json!({ "uri": uri(path), "type": typ })).collect();
    server.tell("workspace/didChangeWatchedFiles", json!({ "changes": changes }));
}

#[test]
fn files_come_change_and_go() {
    let folder = TempDir::new().unwrap();
    let (farm, page) = (folder.path().join("farm.spray"), folder.path().join("may/page.spray"));
    fs::create_dir(folder.path().join("may")).unwrap();
    fs::write(&page, PAGE).unwrap();
    let mut server = Server::of(folder.path());
    server.settle();
    let asked = server.unasked.iter().find(|message| message["method"] == "client/registerCapability").unwrap();
    assert_eq!(asked["params"]["registrations"][0]["method"], "workspace/didChangeWatchedFiles");
    let answer = json!({ "jsonrpc": "2.0", "id": asked["id"], "result": null });
    server.send(&answer);
    assert!(server.codes(&page).contains(&"unknown-name".to_string()));
    fs::write(&farm, FARM).unwrap();
    watched(&mut server, &[(&farm, 1)]);
    assert!(server.codes(&page).is_empty());
    fs::write(&farm, FARM.replace("mix leaf-tonic", "mix other")).unwrap();
    watched(&mut server, &[(&farm, 2)]);
    assert_eq!(server.codes(&page), ["unknown-name"]);
    // Moved: the findings of the old place go.
    let moved = folder.path().join("may/moved.spray");
    fs::rename(&page, &moved).unwrap();
    watched(&mut server, &[(&page, 3), (&moved, 1)]);
    assert_eq!(server.codes(&moved), ["unknown-name"]);
    assert!(server.codes(&page).is_empty());
    fs::remove_file(&moved).unwrap();
    fs::remove_file(&farm).unwrap();
    watched(&mut server, &[(&moved, 3), (&farm, 3)]);
    assert!(server.codes(&moved).is_empty());
    assert_eq!(server.leave(), Some(0));
}

#[test]
fn an_open_file_whose_folder_is_deleted_stays_what_the_editor_has() {
    let folder = TempDir::new().unwrap();
    let inner = folder.path().join("inner");
    fs::create_dir(&inner).unwrap();
    let farm = inner.join("farm.spray");
    fs::write(&farm, FARM).unwrap();
    let mut server = Server::of(folder.path());
    server.open(&farm, &format!("{FARM}{PAGE}").replace("mix leaf-tonic, 30", "mix nothing, 30"));
    assert!(server.codes(&farm).contains(&"unknown-name".to_string()));
    fs::remove_dir_all(&inner).unwrap();
    watched(&mut server, &[(&farm, 3)]);
    assert!(server.codes(&farm).contains(&"unknown-name".to_string()));
    server.change(&farm, 2, json!([{ "text": format!("{FARM}{PAGE}") }]));
    assert!(server.codes(&farm).is_empty());
    server.tell("textDocument/didClose", json!({ "textDocument": { "uri": uri(&farm) } }));
    assert!(server.codes(&farm).is_empty());
    assert_eq!(server.leave(), Some(0));
}

#[test]
fn a_file_that_is_not_on_the_disk_yet_belongs_to_the_farm() {
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("farm.spray"), FARM).unwrap();
    let page = folder.path().join("page.spray");
    let mut server = Server::of(folder.path());
    server.open(&page, PAGE);
    assert!(server.codes(&page).is_empty());
    let found = server.ask(
        "textDocument/definition",
        json!({ "textDocument": { "uri": uri(&page) }, "position": { "line": 4, "character": 10 } }),
    );
    assert_eq!(found["uri"], uri(&folder.path().join("farm.spray")));
}

#[test]
fn a_file_without_a_folder_knows_what_lies_beside_it() {
    let folder = TempDir::new().unwrap();
    let (farm, page) = (folder.path().join("farm.spray"), folder.path().join("page.spray"));
    fs::write(&farm, FARM).unwrap();
    fs::write(&page, PAGE).unwrap();
    let elsewhere = TempDir::new().unwrap();
    let mut server = Server::with(elsewhere.path(), json!({ "capabilities": {} }));
    server.settle();
    assert!(server.told.is_empty());
    server.open(&page, PAGE);
    assert!(server.codes(&page).is_empty());
    server.change(&page, 2, json!([{ "text": PAGE.replace("leaf-tonic", "tonic") }]));
    assert_eq!(server.codes(&page), ["unknown-name"]);
    server.tell("textDocument/didClose", json!({ "textDocument": { "uri": uri(&page) } }));
    assert!(server.codes(&page).is_empty());
    // One that lies nowhere yet.
    server.open_uri("untitled:Untitled-1", &format!("{FARM}{PAGE}").replace("mix leaf-tonic, 30", "mix nothing, 30"));
    assert_eq!(server.codes_at("untitled:Untitled-1"), ["unknown-name"]);
    assert_eq!(server.leave(), Some(0));
}

#[test]
fn folders_come_and_go() {
    let (one, two) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let (first, second) = (one.path().join("farm.spray"), two.path().join("farm.spray"));
    let wrong = FARM.replace("form liquid", "form liquidd");
    fs::write(&first, &wrong).unwrap();
    fs::write(&second, &wrong).unwrap();
    let empty = TempDir::new().unwrap();
    let folders = json!([{ "uri": uri(one.path()), "name": "one" }, { "uri": uri(empty.path()), "name": "empty" }]);
    let mut server = Server::with(one.path(), json!({ "workspaceFolders": folders, "capabilities": {} }));
    assert!(!server.codes(&first).is_empty(), "a folder without a journal hides none of another's");
    let change = |added: Value, removed: Value| json!({ "event": { "added": added, "removed": removed } });
    server.tell(
        "workspace/didChangeWorkspaceFolders",
        change(json!([{ "uri": uri(two.path()), "name": "two" }]), json!([])),
    );
    assert!(!server.codes(&second).is_empty());
    server.tell(
        "workspace/didChangeWorkspaceFolders",
        change(json!([]), json!([{ "uri": uri(one.path()), "name": "one" }])),
    );
    assert!(server.codes(&first).is_empty());
    assert!(!server.codes(&second).is_empty());
    assert_eq!(server.leave(), Some(0));
}

#[test]
fn addresses_are_read_as_clients_write_them_and_written_back_so() {
    let folder = TempDir::new().unwrap();
    let inner = folder.path().join("north field é");
    fs::create_dir(&inner).unwrap();
    let farm = inner.join("farm 100%.spray");
    fs::write(&farm, FARM).unwrap();
    let root = uri(folder.path());
    let mut server = Server::with(folder.path(), json!({ "rootUri": format!("{root}/"), "capabilities": {} }));
    // As one client writes it, lower case and all.
    let odd = format!("{root}/north%20field%20%c3%a9/farm%20100%25.spray");
    server.open_uri(&odd, &FARM.replace("form dry", "form dryy"));
    assert_eq!(server.codes_at(&odd), ["unknown-choice"]);
    // Addresses of other computers and of other kinds are no reason to fail.
    for address in [
        "file:///c%3A/farm/page.spray",
        "file:///C:/farm/page.spray",
        "file://shed/farm/page.spray",
        "git:/farm/page.spray?HEAD",
    ] {
        server.open_uri(address, PAGE);
        server.settle();
        server.tell("textDocument/didClose", json!({ "textDocument": { "uri": address } }));
    }
    assert_eq!(server.codes_at(&odd), ["unknown-choice"]);
    assert_eq!(server.leave(), Some(0));
}

#[test]
fn a_rulebook_that_cannot_be_read_is_said_and_costs_no_findings() {
    let folder = TempDir::new().unwrap();
    let farm = folder.path().join("farm.spray");
    fs::write(&farm, FARM.replace("form dry", "form dryy")).unwrap();
    let mut server = Server::of(folder.path());
    assert_eq!(server.codes(&farm), ["unknown-choice"]);
    fs::create_dir(folder.path().join("rulebooks")).unwrap();
    let book = folder.path().join("rulebooks/own.toml");
    fs::write(&book, "this is no rulebook").unwrap();
    watched(&mut server, &[(&book, 1)]);
    assert_eq!(server.codes(&farm), ["unknown-choice"]);
    assert!(server.unasked.iter().any(|message| message["method"] == "window/logMessage"));
    fs::remove_file(&book).unwrap();
    watched(&mut server, &[(&book, 3)]);
    assert_eq!(server.codes(&farm), ["unknown-choice"]);
    assert_eq!(server.leave(), Some(0));
}
