//! How long an editor waits: the real program over pipes, typed at by a script, in a generated journal of 100,000 lines.
//!
//! `cargo bench --bench editing` prints the cold start (from the start of the process until the findings of the opened
//! journal are there) and, for each kind of typing, the median, the 99th percentile and the longest time from a keystroke
//! until its findings are there. A keystroke is one change of one character; behind each, a question that the server
//! answers in turn tells when it is done. All of it twice: without a rulebook, and under three.

#[expect(dead_code, reason = "the other benchmark reads the same records as JSON")]
mod generate;

use std::error::Error;
use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::path::Path;
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::{Value, json};

type Failed = Box<dyn Error>;

/// The server, and the text as the editor has it.
struct Editor {
    server: Child,
    to: ChildStdin,
    from: BufReader<ChildStdout>,
    uri: String,
    text: String,
    version: i64,
    asked: i64,
    findings: usize,
}

impl Editor {
    fn send(&mut self, message: &Value) -> Result<(), Failed> {
        let body = message.to_string();
        write!(self.to, "Content-Length: {}\r\n\r\n{body}", body.len())?;
        Ok(self.to.flush()?)
    }

    fn receive(&mut self) -> Result<Value, Failed> {
        let mut length = 0;
        loop {
            let mut line = String::new();
            if self.from.read_line(&mut line)? == 0 {
                return Err("the server went away".into());
            }
            match line.trim_end().split_once(": ") {
                Some(("Content-Length", value)) => length = value.parse()?,
                Some(_) => {}
                None => break,
            }
        }
        let mut body = vec![0; length];
        self.from.read_exact(&mut body)?;
        Ok(serde_json::from_slice(&body)?)
    }

    /// Asks something that costs nothing, and waits for the answer: all before it is done then.
    fn settled(&mut self) -> Result<(), Failed> {
        self.asked += 1;
        let id = self.asked;
        let position = json!({ "line": 0, "character": 0 });
        let params = json!({ "textDocument": { "uri": self.uri }, "position": position });
        self.send(&json!({ "jsonrpc": "2.0", "id": id, "method": "textDocument/prepareRename", "params": params }))?;
        loop {
            let message = self.receive()?;
            if message["method"] == "textDocument/publishDiagnostics" && message["params"]["uri"] == *self.uri {
                self.findings = message["params"]["diagnostics"].as_array().map_or(0, Vec::len);
            }
            if let (Some(asked), true) = (message.get("id"), message.get("method").is_some()) {
                self.send(&json!({ "jsonrpc": "2.0", "id": asked, "result": null }))?;
            } else if message["id"] == id {
                return Ok(());
            }
        }
    }

    /// Starts the server on a folder and opens a file; gives back how long it took until its findings were there.
    fn start(folder: &Path, file: &Path) -> Result<(Self, Duration), Failed> {
        let text = fs::read_to_string(file)?;
        let begun = Instant::now();
        let mut server = Command::new(env!("CARGO_BIN_EXE_foliary"))
            .arg("editor")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()?;
        let to = server.stdin.take().ok_or("no input")?;
        let from = BufReader::with_capacity(1 << 16, server.stdout.take().ok_or("no output")?);
        let uri = |path: &Path| format!("file://{}", path.display());
        let (root, uri) = (uri(folder), uri(file));
        let mut editor = Self { server, to, from, uri, text, version: 1, asked: 1, findings: 0 };
        let capabilities = json!({ "general": { "positionEncodings": ["utf-16"] } });
        let params = json!({
            "processId": null, "rootUri": root, "capabilities": capabilities,
            "workspaceFolders": [{ "uri": root, "name": "farm" }],
        });
        editor.send(&json!({ "jsonrpc": "2.0", "id": 1, "method": "initialize", "params": params }))?;
        while editor.receive()?["id"] != 1 {}
        editor.send(&json!({ "jsonrpc": "2.0", "method": "initialized", "params": {} }))?;
        let document = json!({ "uri": editor.uri, "languageId": "foliary", "version": 1, "text": editor.text });
        editor.send(&json!({
            "jsonrpc": "2.0", "method": "textDocument/didOpen", "params": { "textDocument": document },
        }))?;
        editor.settled()?;
        Ok((editor, begun.elapsed()))
    }

    /// Puts words in the place of a range of bytes, which are all ASCII; gives back how long the findings took.
    fn change(&mut self, start: usize, end: usize, with: &str) -> Result<Duration, Failed> {
        let place = |text: &str, at: usize| {
            let line = text[..at].bytes().filter(|&byte| byte == b'\n').count();
            let start = text[..at].rfind('\n').map_or(0, |newline| newline + 1);
            json!({ "line": line, "character": at - start })
        };
        let range = json!({ "start": place(&self.text, start), "end": place(&self.text, end) });
        self.text.replace_range(start..end, with);
        self.version += 1;
        let params = json!({
            "textDocument": { "uri": self.uri, "version": self.version },
            "contentChanges": [{ "range": range, "text": with }],
        });
        let begun = Instant::now();
        self.send(&json!({ "jsonrpc": "2.0", "method": "textDocument/didChange", "params": params }))?;
        self.settled()?;
        Ok(begun.elapsed())
    }

    /// Types words at a place, a character at a time.
    fn type_at(&mut self, at: usize, words: &str, times: &mut Vec<Duration>) -> Result<(), Failed> {
        for (offset, character) in words.char_indices() {
            times.push(self.change(at + offset, at + offset, &character.to_string())?);
        }
        Ok(())
    }

    /// Takes the last character of some words away and types it again, at so many places all over the text.
    fn retype(&mut self, words: &str, places: usize, times: &mut Vec<Duration>) -> Result<(), Failed> {
        let all: Vec<usize> = self.text.match_indices(words).map(|(at, _)| at + words.len()).collect();
        for place in 0..places {
            let at = all[(place * 7919) % all.len()];
            let last = self.text[at - 1..at].to_string();
            times.push(self.change(at - 1, at, "")?);
            times.push(self.change(at - 1, at - 1, &last)?);
        }
        Ok(())
    }
}

impl Drop for Editor {
    fn drop(&mut self) {
        let _ = self.server.kill();
        let _ = self.server.wait();
    }
}

const NEW_SPRAY: &str = "\nspray block-0001\n    mix        leaf-tonic, 60 gal\n    measured   magnesium-sulfate 24 oz wt\n    \
                         over       1.2 acre\n    time       05:50 to 07:20\n    by         t-marsh\n    rig        airblast\n    \
                         weather    52 F, wind 3 mph NW, humidity 74 %\n    reason     nutrition\n    note       Dry leaves.\n";
const RULEBOOKS: &str =
    "    rulebook   us-worker-protection, us-pesticide-use\n    rulebook   us-organic from 2023-01-01\n";
const NEW_PAGE: &str =
    "\n2015-11-02 Mon\n\nobserve block-0002\n    stage      ripening\n    incidence  leaf-spot 7 of 100 leaves\n";

#[expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]
fn report(name: &str, times: &mut [Duration]) {
    times.sort_unstable();
    let at = |share: f64| {
        times[((times.len() as f64 * share).ceil() as usize).clamp(1, times.len()) - 1].as_secs_f64() * 1e3
    };
    println!("| {name} | {} | {:.1} | {:.1} | {:.1} |", times.len(), at(0.5), at(0.99), at(1.0));
}

#[expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]
fn typed_in(journal: &str) -> Result<(), Failed> {
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("journal.spray");
    fs::write(&file, journal)?;
    let mut starts = Vec::new();
    for _ in 0..5 {
        starts.push(Editor::start(folder.path(), &file)?.1);
    }
    println!("| | times | median ms | 99th percentile ms | longest ms |\n| --- | --: | --: | --: | --: |");
    report("cold start", &mut starts);
    let (mut editor, _) = Editor::start(folder.path(), &file)?;
    let mut all = Vec::new();
    let mut part = |name: &str, times: &mut Vec<Duration>| {
        report(name, times);
        all.append(times);
    };
    let mut times = Vec::new();
    let end = editor.text.len();
    editor.type_at(end, NEW_SPRAY, &mut times)?;
    part("a new spray at the end, typed", &mut times);
    let end = editor.text.len();
    editor.type_at(end, NEW_PAGE, &mut times)?;
    part("a new page, typed", &mut times);
    let middle = editor.text.len() / 2;
    let middle = middle + editor.text[middle..].find("\nspray ").ok_or("no spray")?;
    editor.type_at(middle, NEW_SPRAY, &mut times)?;
    part("a new spray in the middle, typed", &mut times);
    editor.retype("over       1.2", 200, &mut times)?;
    part("an amount of a spray", &mut times);
    editor.retype("leaf-spot 7", 100, &mut times)?;
    part("a count of an observation", &mut times);
    editor.retype("humidity 74", 100, &mut times)?;
    part("the weather of a spray", &mut times);
    editor.retype("    area       1.2", 10, &mut times)?;
    part("the area of a block", &mut times);
    editor.retype("source     ground wate", 10, &mut times)?;
    part("the source of the water", &mut times);
    editor.retype("wettable-sulfur\n    form       dry\n    class      sulfur\n    contains   S 8", 10, &mut times)?;
    part("what a material contains", &mut times);
    editor.retype("put        magnesium-sulfate 0.4", 10, &mut times)?;
    part("an amount of a mix", &mut times);
    editor.retype("wind at most 12", 10, &mut times)?;
    part("a limit of the farm", &mut times);
    editor.retype("output     50", 10, &mut times)?;
    part("a calibration", &mut times);
    report("**all keystrokes**", &mut all);
    println!("\nfindings at the end: {}\n", editor.findings);
    Ok(())
}

#[expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]
fn main() -> Result<(), Failed> {
    let made = generate::generate(100_000);
    println!("{} lines, no rulebook taken on\n", made.lines);
    typed_in(&made.journal)?;
    let ruled = made.journal.replacen("    timezone ", &format!("{RULEBOOKS}    timezone "), 1);
    println!("{} lines, three rulebooks taken on\n", ruled.lines().count());
    typed_in(&ruled)
}
