//! The live pages: the real program on a free port, over HTTP and in a real browser.

mod access;
mod browser;
mod chromium;
mod follow;
mod http;
mod keys;

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Stdio};
use std::time::{Duration, Instant};

use crate::robust::foliary;

/// How long a change may take to show, on a busy machine.
const SOON: Duration = Duration::from_secs(15);

/// A farm whose journal raises nothing.
pub const FARM: &str = "farm larkspur-bend \"Larkspur Bend\"
    timezone America/Boise

block creek-pear \"Creek pears\"
    crop pear
    area 1.2 acre

material whey \"Whey culture\"
    form liquid
    rate 1 to 4 fl oz per gal
    reentry none stated

material mint \"Mint tea\"
    form liquid
    reentry 24 h

2026-05-14

spray creek-pear
    put whey 1.5 fl oz per gal
    volume 30 gal
    time 05:50 to 07:20
";

/// A page with a slip of the pen: an error.
pub const SLIP: &str = "
2026-05-15

spray creek-pear
    put wheyy 1.5 fl oz per gal
    volume 30 gal
    time 05:50 to 07:20
";

/// What is sprayed today.
pub const NEXT: &str = "
2026-05-20

spray creek-pear
    put whey 1.5 fl oz per gal
    volume 30 gal
";

/// The program at work on a folder.
pub struct Live {
    child: Child,
    pub port: u16,
    pub folder: tempfile::TempDir,
}

impl Live {
    /// Starts it on these files.
    pub fn on(files: &[(&str, &str)]) -> Self {
        let folder = tempfile::tempdir().unwrap();
        for (name, text) in files {
            write(&folder.path().join(name), text);
        }
        Self::start(folder, &["--as-of", "2026-05-20"])
    }

    /// Starts it on a copy of a bundled journal.
    pub fn on_example(name: &str, as_of: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("journal-examples").join(name);
        copy(&from, folder.path());
        Self::start(folder, &["--as-of", as_of])
    }

    fn start(folder: tempfile::TempDir, more: &[&str]) -> Self {
        let arguments = [&["live", "--no-git"], more].concat();
        let mut child = foliary(folder.path(), &arguments).stdout(Stdio::piped()).spawn().unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.take().unwrap()).read_line(&mut line).unwrap();
        let port = line.trim().strip_prefix("http://127.0.0.1:").and_then(|rest| rest.strip_suffix('/')).unwrap();
        Self { port: port.parse().unwrap(), child, folder }
    }

    /// Starts it in a folder of a folder.
    pub fn start_in(folder: tempfile::TempDir, name: &str) -> Self {
        Self::start(folder, &["--as-of", "2026-05-20", name])
    }

    pub fn url(&self, path: &str) -> String {
        format!("http://127.0.0.1:{}{path}", self.port)
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// What is sent back for some bytes.
    pub fn send(&self, bytes: &[u8]) -> String {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        stream.set_read_timeout(Some(SOON)).unwrap();
        stream.write_all(bytes).unwrap();
        let mut said = Vec::new();
        // What was reset has been answered as far as it will be.
        let _ = stream.read_to_end(&mut said);
        String::from_utf8_lossy(&said).into_owned()
    }

    /// The answer to a request for a path, with more lines in its head.
    pub fn ask(&self, path: &str, more: &str) -> String {
        let host = format!("127.0.0.1:{}", self.port);
        self.send(format!("GET {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n{more}\r\n").as_bytes())
    }

    pub fn get(&self, path: &str) -> String {
        let answer = self.ask(path, "");
        assert!(answer.starts_with("HTTP/1.1 200 "), "{path}: {}", answer.lines().next().unwrap_or_default());
        answer
    }

    /// Asks again until the page is as it should be.
    pub fn until(&self, path: &str, is: impl Fn(&str) -> bool) -> String {
        let start = Instant::now();
        loop {
            let answer = self.ask(path, "");
            if is(&answer) {
                return answer;
            }
            assert!(start.elapsed() < SOON, "{path} stays\n{answer}");
            std::thread::sleep(Duration::from_millis(30));
        }
    }

    /// Interrupts it, as Ctrl-C does, and gives back its exit code.
    #[cfg(unix)]
    pub fn interrupt(mut self) -> i32 {
        let id = self.child.id().to_string();
        assert!(std::process::Command::new("kill").args(["-INT", &id]).status().unwrap().success());
        crate::robust::wait(&mut self.child, "live")
    }
}

impl Drop for Live {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

pub fn write(path: &Path, text: &str) {
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(path, text).unwrap();
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let (path, target) = (entry.as_ref().unwrap().path(), to.join(entry.unwrap().file_name()));
        if path.is_dir() {
            copy(&path, &target);
        } else {
            fs::copy(&path, &target).unwrap();
        }
    }
}

/// The addresses that a page links to on this server, in their order.
pub fn links(page: &str) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for part in page.split("href=\"/").skip(1) {
        let address = format!("/{}", part.split('"').next().unwrap());
        let address = address.split('#').next().unwrap().to_string();
        if !found.contains(&address) {
            found.push(address);
        }
    }
    found
}
