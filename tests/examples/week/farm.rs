//! A farm that lives in a folder of its own, and what its people do with the program.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;
use tempfile::TempDir;

use crate::robust::run;

/// The journal that the week begins with: the farm, and what came into the shed before.
const BEFORE: &[(&str, &str)] =
    &[("farm.spray", include_str!("farm.spray")), ("before.spray", include_str!("before.spray"))];

/// A word, and until when it holds.
pub(super) type Part = (&'static str, Option<&'static str>);
/// Rows of a block, whether people may enter them, and whether they may be picked.
pub(super) type Stands = (String, (String, Option<String>), (String, Option<String>));

/// Rows as a test says them.
pub(super) fn part(rows: &str, enter: Part, pick: Part) -> Stands {
    let own = |(word, until): Part| (word.to_string(), until.map(str::to_string));
    (rows.to_string(), own(enter), own(pick))
}

/// A farm.
pub(super) struct Farm {
    folder: TempDir,
}

/// A mix sheet.
pub(super) struct Sheet {
    pub json: Value,
    record: String,
}

impl Farm {
    pub(super) fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        for (name, text) in BEFORE {
            fs::write(folder.path().join(name), text).unwrap();
        }
        Self { folder }
    }

    fn week(&self) -> PathBuf {
        self.folder.path().join("week.spray")
    }

    /// Writes an entry at the end of the week's file.
    pub(super) fn enter(&self, text: &str) {
        let before = fs::read_to_string(self.week()).unwrap_or_default();
        fs::write(self.week(), format!("{before}{text}\n")).unwrap();
    }

    /// What a command says as JSON.
    pub(super) fn json(&self, arguments: &[&str]) -> Value {
        let done = run(self.folder.path(), arguments);
        assert_eq!(done.code, 0, "{arguments:?}: {}{}", done.out(), done.err());
        serde_json::from_str(&done.out()).unwrap()
    }

    pub(super) fn plan(&self, day: &str) -> Value {
        self.json(&["plan", "--as-of", day, "--as", "json"])
    }

    /// The sheet of a program's round, which writes nothing.
    pub(super) fn sheet(&self, block: &str, program: &str, day: &str) -> Sheet {
        let asked = ["mix-sheet", "--block", block, "--program", program, "--as-of", day];
        let before = texts(self.folder.path());
        let json = self.json(&[&asked[..], &["--as", "json"]].concat());
        let done = run(self.folder.path(), &[&asked[..], &["--record"]].concat());
        assert_eq!(done.code, 0, "{}", done.out());
        assert_eq!(before, texts(self.folder.path()), "the journal is as it was");
        let record = done.out();
        let lines: Vec<&str> = json["record"].as_array().unwrap().iter().map(|line| line.as_str().unwrap()).collect();
        assert_eq!(record.trim_end(), lines.join("\n").trim_end(), "the sheet and --record say the same");
        Sheet { json, record }
    }

    /// That nothing is found in the journal.
    pub(super) fn is_silent(&self, day: &str) {
        let done = run(self.folder.path(), &["check", "--as-of", day]);
        assert_eq!((done.code, done.out().trim()), (0, "no findings"), "{day}");
    }

    /// What would be found, were this written, too.
    pub(super) fn would_find(&self, day: &str, text: &str) -> Vec<String> {
        let copy = tempfile::tempdir().unwrap();
        for (name, text) in texts(self.folder.path()) {
            fs::write(copy.path().join(name), text).unwrap();
        }
        fs::write(copy.path().join("also.spray"), text).unwrap();
        let done = run(copy.path(), &["check", "--as-of", day, "--format", "json"]);
        let found: Value = serde_json::from_str(&done.out()).unwrap();
        let codes = found["findings"].as_array().unwrap().iter().map(|found| found["code"].as_str().unwrap());
        codes.map(str::to_string).collect()
    }

    /// How the rows of a block stand at a moment.
    pub(super) fn board(&self, at: &str, block: &str) -> Vec<Stands> {
        let day = at.split(' ').next().unwrap();
        let board = self.json(&["clearance", "--at", at, "--as-of", day, "--block", block, "--as", "json"]);
        let stands = |row: &Value| {
            let said = |side: &Value| {
                let until = side["until"]["iso"].as_str().map(str::to_string);
                (side["state"].as_str().unwrap().to_string(), until)
            };
            let rows = row["rows"]["en"].as_str().unwrap_or_default().to_string();
            (rows, said(&row["enter"]), said(&row["pick"]))
        };
        board["rows"].as_array().unwrap().iter().map(stands).collect()
    }

    fn material(&self, day: &str, name: &str) -> Value {
        let stock = self.json(&["stock", "--as-of", day, "--as", "json"]);
        let found = stock["materials"].as_array().unwrap().iter().find(|material| material["name"] == name);
        found.unwrap().clone()
    }

    /// How much of a material is on the shelf, and the unit.
    pub(super) fn on_hand(&self, day: &str, name: &str) -> (String, &'static str) {
        let material = self.material(day, name);
        let of = |key: &str| material["on_hand"][key].as_str().unwrap().to_string();
        let unit = ["gal", "lb", "fl oz", "oz wt"].into_iter().find(|unit| *unit == of("unit"));
        (of("number"), unit.unwrap())
    }

    /// What is left of each lot.
    pub(super) fn lots(&self, day: &str, name: &str) -> Vec<String> {
        let material = self.material(day, name);
        let lots = material["lots"].as_array().unwrap().iter();
        lots.map(|lot| format!("{}: {}", lot["name"].as_str().unwrap(), lot["left"]["number"].as_str().unwrap()))
            .collect()
    }

    /// Writes the documents.
    pub(super) fn report(&self, day: &str) {
        let done = run(self.folder.path(), &["report", "--out", "out", "--as-of", day]);
        assert_eq!(done.code, 0, "{}", done.out());
    }

    /// A document that was written.
    pub(super) fn written(&self, name: &str) -> String {
        // Long lines of a calendar go on in the next.
        fs::read_to_string(self.folder.path().join("out/plover-lane").join(name)).unwrap().replace("\r\n ", "")
    }
}

impl Sheet {
    /// How much of something goes into the only load.
    pub(super) fn put(&self, name: &str) -> Value {
        let steps = self.json["steps"].as_array().unwrap().iter();
        let mut all = steps.flat_map(|step| step["ingredients"].as_array().unwrap());
        all.find(|ingredient| ingredient["name"] == name).unwrap()["last"]["quantity"].clone()
    }

    /// The sheet's entry with its blanks filled in; those that stay empty are left out.
    pub(super) fn filled(&self, blanks: &[(&str, &str)]) -> String {
        let line = |line: &str| {
            let Some(blank) = line.trim_start().strip_prefix("# ") else { return Some(line.to_string()) };
            let word = blank.split(' ').next()?;
            let (_, value) = blanks.iter().find(|(known, _)| *known == word)?;
            Some(format!("    {word} {value}"))
        };
        let text: Vec<String> = self.record.lines().filter_map(line).collect();
        for (word, value) in blanks {
            assert!(text.contains(&format!("    {word} {value}")), "the sheet has no blank for {word}");
        }
        text.join("\n") + "\n"
    }
}

/// Every journal of a folder, by name.
fn texts(folder: &Path) -> Vec<(String, String)> {
    let files = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let mut texts: Vec<(String, String)> = files
        .filter(|path| path.extension().is_some_and(|ending| ending == "spray"))
        .map(|path| (path.file_name().unwrap().to_string_lossy().into_owned(), fs::read_to_string(&path).unwrap()))
        .collect();
    texts.sort();
    texts
}
