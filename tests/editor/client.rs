//! A small client of the real server: sends bytes, and gives up on none of them.

use std::collections::BTreeMap;
use std::io::{BufRead, BufReader, Read, Write};
use std::path::Path;
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::thread;
use std::time::{Duration, Instant};

use serde_json::{Value, json};

use super::bench::able;

/// Nothing takes longer, in a slow build on a busy machine.
const LONGEST: Duration = Duration::from_secs(60);

/// A server, and what it has said.
pub struct Server {
    child: Child,
    input: Option<ChildStdin>,
    said: Receiver<Value>,
    next: i32,
    /// The findings told last, by address.
    pub told: BTreeMap<String, Vec<Value>>,
    /// How many times findings were told.
    pub tellings: usize,
    /// Whatever else came unasked.
    pub unasked: Vec<Value>,
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Server {
    /// A server that nobody has greeted yet.
    pub fn silent(folder: &Path) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_foliary"))
            .arg("editor")
            .current_dir(folder)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let input = child.stdin.take();
        let mut output = BufReader::new(child.stdout.take().unwrap());
        let (sender, said) = channel();
        thread::spawn(move || {
            while let Some(message) = message(&mut output) {
                if sender.send(message).is_err() {
                    break;
                }
            }
        });
        Self { child, input, said, next: 0, told: BTreeMap::new(), tellings: 0, unasked: Vec::new() }
    }

    /// A server for a folder.
    pub fn of(folder: &Path) -> Self {
        Self::with(folder, json!({ "rootUri": uri(folder), "capabilities": able() }))
    }

    /// A server with its introduction.
    pub fn with(folder: &Path, params: Value) -> Self {
        let mut server = Self::silent(folder);
        let answer = server.ask("initialize", params);
        assert_eq!(answer["capabilities"]["positionEncoding"], "utf-16");
        server.tell("initialized", json!({}));
        server
    }

    /// Bytes as they are.
    pub fn bytes(&mut self, bytes: &[u8]) {
        let input = self.input.as_mut().unwrap();
        input.write_all(bytes).and_then(|()| input.flush()).unwrap();
    }

    pub fn send(&mut self, message: &Value) {
        let body = message.to_string();
        self.bytes(format!("Content-Length: {}\r\n\r\n{body}", body.len()).as_bytes());
    }

    pub fn tell(&mut self, method: &str, params: Value) {
        self.send(&json!({ "jsonrpc": "2.0", "method": method, "params": params }));
    }

    /// Sends a request and gives its number.
    pub fn request(&mut self, method: &str, params: Value) -> i32 {
        self.next += 1;
        let id = self.next;
        self.send(&json!({ "jsonrpc": "2.0", "id": id, "method": method, "params": params }));
        id
    }

    /// The next message, whatever it is.
    pub fn any(&mut self) -> Option<Value> {
        match self.said.recv_timeout(LONGEST) {
            Ok(message) => Some(message),
            Err(RecvTimeoutError::Disconnected) => None,
            Err(RecvTimeoutError::Timeout) => panic!("the server says nothing"),
        }
    }

    /// The whole answer to a request.
    pub fn answer(&mut self, id: &Value) -> Value {
        loop {
            let message = self.any().expect("the server is there");
            if message["id"] == *id && message.get("method").is_none() {
                return message;
            }
            self.hear(message);
        }
    }

    fn hear(&mut self, message: Value) {
        if message["method"] == "textDocument/publishDiagnostics" {
            let params = &message["params"];
            let list = params["diagnostics"].as_array().unwrap().clone();
            self.told.insert(params["uri"].as_str().unwrap().to_string(), list);
            self.tellings += 1;
        } else {
            self.unasked.push(message);
        }
    }

    pub fn ask(&mut self, method: &str, params: Value) -> Value {
        let id = self.request(method, params);
        let answer = self.answer(&json!(id));
        assert!(answer.get("error").is_none(), "{method}: {answer}");
        answer["result"].clone()
    }

    /// The error that a request meets.
    pub fn error(&mut self, method: &str, params: Value) -> i64 {
        let id = self.request(method, params);
        self.answer(&json!(id))["error"]["code"].as_i64().expect("an error is answered")
    }

    pub fn open(&mut self, path: &Path, text: &str) {
        self.open_uri(&uri(path), text);
    }

    pub fn open_uri(&mut self, uri: &str, text: &str) {
        let document = json!({ "uri": uri, "languageId": "spray", "version": 1, "text": text });
        self.tell("textDocument/didOpen", json!({ "textDocument": document }));
    }

    pub fn change(&mut self, path: &Path, version: i32, changes: Value) {
        let document = json!({ "uri": uri(path), "version": version });
        self.tell("textDocument/didChange", json!({ "textDocument": document, "contentChanges": changes }));
    }

    /// Findings of a file by code, once everything sent so far is done.
    pub fn codes(&mut self, path: &Path) -> Vec<String> {
        self.codes_at(&uri(path))
    }

    pub fn codes_at(&mut self, uri: &str) -> Vec<String> {
        self.settle();
        let list = self.told.get(uri).cloned().unwrap_or_default();
        list.iter().map(|one| one["code"].as_str().unwrap().to_string()).collect()
    }

    /// Waits until everything sent so far is done and told. Findings are told when nothing waits any more, so two
    /// questions are asked, one after the other.
    pub fn settle(&mut self) {
        for _ in 0..2 {
            self.ask("workspace/symbol", json!({ "query": "no such thing" }));
        }
    }

    /// Says good-bye as it should be said, and gives the exit code.
    pub fn leave(mut self) -> Option<i32> {
        assert_eq!(self.ask("shutdown", Value::Null), Value::Null);
        self.tell("exit", Value::Null);
        self.ended()
    }

    /// Closes the wire and gives the exit code.
    pub fn hang_up(mut self) -> Option<i32> {
        self.input = None;
        self.ended()
    }

    /// The exit code of a server that ends.
    pub fn ended(&mut self) -> Option<i32> {
        let begun = Instant::now();
        loop {
            if let Some(status) = self.child.try_wait().unwrap() {
                return status.code();
            }
            assert!(begun.elapsed() < LONGEST, "the server ends");
            thread::sleep(Duration::from_millis(5));
        }
    }
}

/// The address of a path without odd letters.
pub fn uri(path: &Path) -> String {
    format!("file://{}", path.display())
}

/// One message, strictly by the protocol: anything else on the wire is the server's fault.
fn message(output: &mut impl BufRead) -> Option<Value> {
    let mut length = None;
    loop {
        let mut line = String::new();
        if output.read_line(&mut line).unwrap() == 0 {
            return None;
        }
        let line = line.strip_suffix("\r\n").expect("a header line ends as it should");
        if line.is_empty() {
            break;
        }
        length =
            Some(line.strip_prefix("Content-Length: ").expect("nothing but lengths is in a header").parse().unwrap());
    }
    let mut body = vec![0; length.expect("a length is given")];
    output.read_exact(&mut body).unwrap();
    let message: Value = serde_json::from_slice(&body).unwrap();
    assert_eq!(message["jsonrpc"], "2.0");
    Some(message)
}
