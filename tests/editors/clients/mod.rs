//! Real editors with the very files of `editors/`, and the built program behind them.

mod emacs;
mod neovim;

use std::fs;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::Value;

/// The program that editors start.
const FOLIARY: &str = env!("CARGO_BIN_EXE_foliary");

/// How long an editor may take on a busy machine.
const LONGEST: Duration = Duration::from_secs(300);

/// What stands in one file.
const FARM: &str = "\
farm larkspur-bend \"Larkspur Bend\"
    timezone America/Boise

block creek-pear \"Creek pears\"
    crop pear
    area 1.2 acre

person t-marsh \"Tansy Marsh\"

material 🌳-ash \"Wood ash\"
    form dry
";

/// And in another: an emoji, which is two units of UTF-16 and four bytes, before the word that is wrong.
const MAY: &str = "\
2026-05-14 Thu

spray creek-pear
    measured 🌳-ash 12 blorps
    over 1.2 acre
    time 05:50 to 07:20
    by t-marsh

mix leaf-tonic
    in 1 gal
    put   🌳-ash 0.4 oz
";

/// A farm to work on, in a folder of its own.
fn farm() -> tempfile::TempDir {
    let place = tempfile::tempdir().unwrap();
    fs::write(place.path().join("farm.spray"), FARM).unwrap();
    fs::write(place.path().join("may.spray"), MAY).unwrap();
    place
}

/// Runs an editor on the farm, and gives what its script wrote down.
fn came(editor: &mut Command, farm: &Path) -> Value {
    let log = fs::File::create(farm.join("said.txt")).unwrap();
    let mut child = editor
        .env("FOLIARY_FARM", farm)
        .env("FOLIARY", FOLIARY)
        // Nothing of whoever runs the tests.
        .env("HOME", farm)
        .env("XDG_CONFIG_HOME", farm.join("config"))
        .env("XDG_DATA_HOME", farm.join("data"))
        .env("XDG_CACHE_HOME", farm.join("cache"))
        .env("XDG_STATE_HOME", farm.join("state"))
        .stdin(Stdio::null())
        .stdout(log.try_clone().unwrap())
        .stderr(log)
        .current_dir(farm)
        .spawn()
        .unwrap();
    ended(&mut child);
    let said = fs::read_to_string(farm.join("said.txt")).unwrap_or_default();
    let came = fs::read_to_string(farm.join("came.json")).unwrap_or_else(|_| panic!("nothing came of it: {said}"));
    let came: Value = serde_json::from_str(&came).unwrap_or_else(|why| panic!("{why}: {came}"));
    assert!(came.get("why").is_none(), "{came:#}\n{said}");
    came
}

fn ended(child: &mut Child) {
    let start = Instant::now();
    while child.try_wait().unwrap().is_none() {
        if start.elapsed() > LONGEST {
            child.kill().unwrap();
            child.wait().unwrap();
            return;
        }
        std::thread::sleep(Duration::from_millis(50));
    }
}

/// What must have come of it, in whichever editor.
fn held(came: &Value, farm: &Path) {
    let finding = came["findings"].as_array().unwrap().iter().find(|one| one["code"] == "unknown-unit").unwrap();
    assert_eq!(finding["words"], "blorps", "the finding stands on its word, behind an emoji: {finding}");
    assert!(came["hover"].as_str().unwrap().contains("Creek pears"), "{}", came["hover"]);
    assert_eq!(came["definition"], "block creek-pear \"Creek pears\"");
    assert!(came["completion"].as_array().unwrap().iter().any(|one| one == "creek-pear"), "{}", came["completion"]);
    let offered = came["offered"][0].as_str().unwrap_or_default();
    assert!(offered.contains("measured"), "{}", came["offered"]);

    let read = |name: &str| fs::read_to_string(farm.join(name)).unwrap();
    assert_eq!(read("farm.spray"), FARM.replace("🌳-ash", "tree-ash"), "a new name, in the other file too");
    let may = read("may.spray");
    assert_eq!(may.matches("tree-ash").count(), 2, "{may}");
    assert!(!may.contains("🌳") && may.contains("12 lb") && !may.contains("measurd"), "{may}");
    // The layout is the one that the program itself gives.
    let tidy = Command::new(FOLIARY).arg("tidy").arg("--check").arg(farm.join("may.spray")).output().unwrap();
    assert!(tidy.status.success(), "{may}\n{}", String::from_utf8_lossy(&tidy.stdout));
}
