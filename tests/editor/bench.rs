//! A farm in a folder of its own, and what the server would answer about it, without a server.

use std::fs;
use std::path::PathBuf;

use chrono::NaiveDate;
use foliary::editor::{Client, Links, State, Workspace, answer, diagnostics};
use foliary::journal::Journal;
use lsp_server::{Request, RequestId};
use lsp_types::ClientCapabilities;
use serde_json::{Value, json};
use tempfile::TempDir;

/// Stands in a text where the cursor is.
pub const MARK: &str = "¦";

/// Wednesday, 20 May 2026.
pub fn today(_: &Journal) -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 5, 20).unwrap()
}

/// Six in the morning of that day where the test farms lie, in Idaho.
pub const NOW: i64 = 1_779_278_400;

/// What a client that can do everything says of itself.
pub fn able() -> Value {
    json!({
        "textDocument": {
            "hover": { "contentFormat": ["markdown", "plaintext"] },
            "completion": { "completionItem": {
                "snippetSupport": true,
                "documentationFormat": ["markdown"],
                "labelDetailsSupport": true,
            } },
            "publishDiagnostics": { "relatedInformation": true, "codeDescriptionSupport": true },
            "documentSymbol": { "hierarchicalDocumentSymbolSupport": true },
            "codeAction": { "codeActionLiteralSupport": { "codeActionKind": { "valueSet": [] } } },
        },
        "workspace": {
            "workspaceEdit": { "documentChanges": true },
            "didChangeWatchedFiles": { "dynamicRegistration": true },
        },
    })
}

/// A farm.
pub struct Bench {
    folder: TempDir,
    workspace: Workspace,
    client: Client,
    /// Where the mark stood, as file, line and character.
    mark: Option<(String, u32, u32)>,
}

impl Bench {
    /// Files by name and text; a mark in one of them is where the cursor is.
    pub fn new(files: &[(&str, &str)]) -> Self {
        Self::with(files, able())
    }

    /// The same for a client of its own.
    pub fn with(files: &[(&str, &str)], capabilities: Value) -> Self {
        let folder = TempDir::new().unwrap();
        let mut mark = None;
        for (name, text) in files {
            if let Some(at) = text.find(MARK) {
                let before = &text[..at];
                let line = before.matches('\n').count() as u32;
                let column = before.rsplit('\n').next().unwrap().encode_utf16().count() as u32;
                mark = Some((name.to_string(), line, column));
            }
            let path = folder.path().join(name);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, text.replace(MARK, "")).unwrap();
        }
        let mut workspace = Workspace::new(vec![folder.path().to_path_buf()], today);
        workspace.reload().unwrap();
        let capabilities: ClientCapabilities = serde_json::from_value(capabilities).unwrap();
        Self { folder, workspace, client: Client::new(&capabilities), mark }
    }

    /// One file with a mark.
    pub fn one(text: &str) -> Self {
        Self::new(&[("farm.spray", text)])
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn uri(&self, name: &str) -> String {
        format!("file://{}", self.path(name).display())
    }

    pub fn state(&self) -> State<'_> {
        State { workspace: &self.workspace, client: &self.client, now: NOW }
    }

    /// What the server answers.
    pub fn ask(&self, method: &str, params: Value) -> Result<Value, String> {
        let request = Request { id: RequestId::from(1), method: method.to_string(), params };
        answer(self.state(), request).response_result.map_err(|error| error.message)
    }

    /// What it answers about the place of the mark.
    pub fn at_mark(&self, method: &str) -> Value {
        self.ask(method, self.place()).unwrap()
    }

    /// The place of the mark, as parameters.
    pub fn place(&self) -> Value {
        let (name, line, character) = self.mark.clone().expect("a mark stands in the text");
        json!({
            "textDocument": { "uri": self.uri(&name) },
            "position": { "line": line, "character": character },
        })
    }

    /// The file, as parameters.
    pub fn file(&self, name: &str) -> Value {
        json!({ "textDocument": { "uri": self.uri(name) } })
    }

    /// The text of a file.
    pub fn text(&self, name: &str) -> String {
        self.workspace.document(&self.path(name)).unwrap().text().to_string()
    }

    /// All findings, as the client is told them.
    pub fn told(&self) -> String {
        let told = diagnostics(self.state(), &mut Links::default());
        let mut lines = String::new();
        for (path, list) in told {
            let name = path.strip_prefix(self.folder.path()).unwrap().display().to_string();
            for one in list {
                lines.push_str(&format!(
                    "{name} {} {}\n",
                    range(&serde_json::to_value(one.range).unwrap()),
                    one.message
                ));
                for place in one.related_information.unwrap_or_default() {
                    let at = range(&serde_json::to_value(place.location.range).unwrap());
                    lines.push_str(&format!("    {at} {}\n", place.message));
                }
            }
        }
        lines
    }

    /// The codes of all findings.
    pub fn codes(&self) -> Vec<String> {
        let findings = self.workspace.farms().iter().flat_map(|farm| farm.findings());
        findings.filter(|finding| finding.accepted.is_none()).map(|finding| finding.code.to_string()).collect()
    }

    /// The farm with an edit of the protocol made in it.
    pub fn edited(&self, edit: &Value) -> Bench {
        let mut files = Vec::new();
        for document in self.workspace.documents() {
            let Ok(name) = document.path().strip_prefix(self.folder.path()) else { continue };
            let uri = self.uri(&name.display().to_string());
            let mut text = document.text().to_string();
            for edits in edits_of(edit, &uri) {
                text = applied(&text, &edits);
            }
            files.push((name.display().to_string(), text));
        }
        let files: Vec<(&str, &str)> = files.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
        Bench::new(&files)
    }

    /// Words with the folder of the test left out of them.
    pub fn plain(&self, words: &str) -> String {
        words.replace(&self.folder.path().display().to_string(), "FARM")
    }
}

/// The edits of one file in a workspace edit, or a plain list of edits.
fn edits_of(edit: &Value, uri: &str) -> Vec<Vec<Value>> {
    if let Some(list) = edit.as_array() {
        return vec![list.clone()];
    }
    let versioned = edit["documentChanges"].as_array().cloned().unwrap_or_default();
    let versioned = versioned.into_iter().filter(|change| change["textDocument"]["uri"] == uri);
    let plain = edit["changes"].get(uri).and_then(Value::as_array).cloned();
    versioned.map(|change| change["edits"].as_array().unwrap().clone()).chain(plain).collect()
}

/// A text with edits made in it, by the protocol's own counting: written anew here, so that it can disagree.
pub fn applied(text: &str, edits: &[Value]) -> String {
    let offset = |place: &Value| -> usize {
        let (line, character) = (place["line"].as_u64().unwrap(), place["character"].as_u64().unwrap());
        let start: usize = text.split_inclusive('\n').take(line as usize).map(str::len).sum();
        let mut units = 0;
        for (at, letter) in text[start..].char_indices() {
            if units >= character || letter == '\n' {
                return start + at;
            }
            units += letter.len_utf16() as u64;
        }
        text.len()
    };
    let mut spans: Vec<(usize, usize, String)> = edits
        .iter()
        .map(|edit| {
            let (start, end) = (offset(&edit["range"]["start"]), offset(&edit["range"]["end"]));
            (start, end, edit["newText"].as_str().unwrap().to_string())
        })
        .collect();
    spans.sort();
    assert!(spans.windows(2).all(|pair| pair[0].1 <= pair[1].0), "no two edits overlap: {spans:?}");
    let mut text = text.to_string();
    for (start, end, with) in spans.into_iter().rev() {
        text.replace_range(start..end, &with);
    }
    text
}

/// A range in short: `3:4-3:9`.
pub fn range(range: &Value) -> String {
    let place = |place: &Value| format!("{}:{}", place["line"], place["character"]);
    format!("{}-{}", place(&range["start"]), place(&range["end"]))
}

/// The farm that most tests are about.
pub const FARM: &str = "\
farm larkspur-bend \"Larkspur Bend\"
    timezone America/Boise

block creek-pear \"Creek pears\"
    crop pear
    area 1.2 acre from 2024-03-01
    rows 1 to 14

block hill-pear
    crop pear
    area 2 acre

person t-marsh \"Tansy Marsh\"

rig airblast
    tank 100 gal

material magnesium-sulfate \"Magnesium sulfate crystals\"
    form dry
    rate 0.25 to 1 oz wt per gal
    reentry 4 h
    preharvest none stated

material whey-culture \"Whey culture\"
    form liquid
    rate 1 to 4 fl oz per gal
    reentry none stated
    preharvest none stated

mix leaf-tonic
    in 1 gal
    put magnesium-sulfate 0.4 oz wt
    put whey-culture 1.5 fl oz
    total at most 6 oz per gal
";

/// A page of it.
pub const PAGE: &str = "
2026-05-14 Thu

spray creek-pear rows 1 to 7
    mix leaf-tonic, 30 gal
    measured magnesium-sulfate 12 oz wt
    over 0.6 acre
    time 05:50 to 07:20
    by t-marsh
    rig airblast
    weather 52 F, wind 3 mph NW, humidity 74 %
    reason nutrition
";
