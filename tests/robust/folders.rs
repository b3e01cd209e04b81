//! Folders of every shape: which files are read, as whose, and how the program ends.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Stdio;

use foliary::files::{LoadError, load};

use super::{Done, folder, foliary, run, wait};

const FARM: &[u8] = b"farm a \"A\"\n    timezone America/Boise\n";
const BLOCK: &[u8] = b"block b\n    area 1 acre\n";

fn check(folder: &Path, arguments: &[&str]) -> Done {
    run(folder, &[&["check", "--as-of", "2026-12-31", "--format", "line"], arguments].concat())
}

/// The farms found at some paths of a folder: for each, the files it holds, named from that folder.
fn farms(folder: &Path, paths: &[&str]) -> Result<Vec<Vec<String>>, LoadError> {
    let paths: Vec<PathBuf> = paths.iter().map(|path| folder.join(path)).collect();
    let loaded = load(&paths)?;
    let top = fs::canonicalize(folder).unwrap();
    let name = |path: &Path| {
        let real = fs::canonicalize(path.parent().unwrap()).unwrap().join(path.file_name().unwrap());
        real.strip_prefix(&top).unwrap_or(&real).to_string_lossy().into_owned()
    };
    let mut farms: Vec<Vec<String>> = loaded
        .farms
        .iter()
        .map(|farm| {
            let mut files: Vec<String> = farm.files.iter().map(|&file| name(loaded.sources.get(file).path())).collect();
            files.sort();
            files
        })
        .collect();
    farms.sort();
    Ok(farms)
}

fn one_farm(folder: &Path, files: &[&str]) {
    assert_eq!(farms(folder, &["."]).unwrap(), [files], "in {}", folder.display());
    assert_ne!(check(folder, &[]).code, 2);
}

#[test]
fn paths_that_lead_nowhere() {
    let empty = folder(&[]);
    for arguments in [vec![], vec!["."], vec!["nothing"], vec!["nothing.spray"], vec![""], vec!["a\u{1b}[31mb\u{202e}"]]
    {
        let done = check(empty.path(), &arguments);
        assert_eq!(done.code, 2, "{arguments:?}");
        assert!(done.stdout.is_empty());
        assert!(done.err().starts_with("foliary: ") || done.err().starts_with("error: "), "{}", done.err());
        assert!(!done.err().contains(['\u{1b}', '\u{202e}']), "{:?}", done.err());
    }
    let texts = folder(&[("notes.txt", BLOCK), ("sub/.spray", BLOCK)]);
    assert_eq!(check(texts.path(), &[]).code, 2);
}

#[test]
fn wrong_arguments_are_a_failure_and_help_is_not() {
    let empty = folder(&[]);
    for arguments in [vec!["chekc"], vec!["check", "--format", "poem"], vec!["check", "--as-of", "yesterday"]] {
        assert_eq!(run(empty.path(), &arguments).code, 2);
    }
    for arguments in [vec!["--help"], vec!["--version"], vec!["check", "--help"], vec!["explain"], vec!["language"]] {
        let done = run(empty.path(), &arguments);
        assert_eq!(done.code, 0);
        assert!(!done.stdout.is_empty());
    }
    let language = run(empty.path(), &["language"]).out();
    assert_eq!(language, foliary::syntax::reference());
}

#[test]
fn hidden_and_ignored_files_are_left_out() {
    let farm = folder(&[
        ("a.spray", FARM),
        (".hidden.spray", BLOCK),
        (".hidden/b.spray", BLOCK),
        ("drafts/b.spray", BLOCK),
        ("drafts/.gitignore", b"*.spray\n"),
        ("old.spray", BLOCK),
        (".gitignore", b"old.spray\n"),
    ]);
    one_farm(farm.path(), &["a.spray"]);
    // A file that is named is read, ignored or not.
    assert_eq!(farms(farm.path(), &["old.spray"]).unwrap(), [["old.spray"]]);
}

#[test]
fn endings_in_capitals_are_journals_too() {
    let farm = folder(&[("A.SPRAY", FARM), ("b.Spray", BLOCK), ("c.sprayed", BLOCK)]);
    one_farm(farm.path(), &["A.SPRAY", "b.Spray"]);
}

#[test]
fn a_folder_two_hundred_levels_deep() {
    let deep = format!("{}journal.spray", "d/".repeat(200));
    let farm = folder(&[("a.spray", FARM), (&deep, BLOCK)]);
    one_farm(farm.path(), &["a.spray", &deep]);
}

#[cfg(unix)]
#[test]
fn links_that_loop() {
    use std::os::unix::fs::symlink;
    let farm = folder(&[("a.spray", FARM), ("sub/b.spray", BLOCK)]);
    symlink("..", farm.path().join("sub/up")).unwrap();
    symlink("loop.spray", farm.path().join("loop.spray")).unwrap();
    symlink("nowhere.spray", farm.path().join("dangling.spray")).unwrap();
    symlink("sub/b.spray", farm.path().join("same.spray")).unwrap();
    // A file reached by two paths is read once, by the first.
    one_farm(farm.path(), &["a.spray", "same.spray"]);
    assert_eq!(check(farm.path(), &["loop.spray"]).code, 2);
    assert_eq!(check(farm.path(), &["dangling.spray"]).code, 2);
}

#[cfg(unix)]
#[test]
fn a_file_that_may_not_be_read() {
    use std::os::unix::fs::PermissionsExt;
    let farm = folder(&[("a.spray", FARM), ("shut.spray", BLOCK)]);
    let shut = farm.path().join("shut.spray");
    fs::set_permissions(&shut, fs::Permissions::from_mode(0o000)).unwrap();
    if fs::read(&shut).is_ok() {
        eprintln!("only half tried: this user may read every file");
        one_farm(farm.path(), &["a.spray", "shut.spray"]);
    } else {
        let done = check(farm.path(), &[]);
        assert_eq!(done.code, 2);
        assert!(done.err().contains("shut.spray"), "{}", done.err());
    }
}

#[cfg(unix)]
#[test]
fn pipes_and_devices_are_no_journals() {
    let farm = folder(&[("a.spray", FARM)]);
    let made = std::process::Command::new("mkfifo").arg(farm.path().join("pipe.spray")).status();
    if !made.is_ok_and(|status| status.success()) {
        eprintln!("not tried: no mkfifo here");
        return;
    }
    one_farm(farm.path(), &["a.spray"]);
    assert_eq!(check(farm.path(), &["pipe.spray"]).code, 2);
    assert_eq!(check(farm.path(), &["/dev/null"]).code, 2);
}

#[test]
fn a_folder_that_uses_itself() {
    for uses in [".", "./", "sub", "sub/..", "../x/../x/.", "sub/../sub"] {
        let text = format!("farm a\n    timezone America/Boise\n    uses {uses}\n");
        let farm = folder(&[("x/a.spray", text.as_bytes()), ("x/sub/b.spray", BLOCK)]);
        one_farm(farm.path(), &["x/a.spray", "x/sub/b.spray"]);
        one_farm(&farm.path().join("x"), &["a.spray", "sub/b.spray"]);
    }
}

#[test]
fn a_folder_that_uses_what_is_not_there() {
    for uses in ["../nothing", "a.spray", "\0", "sub/nothing", "~", "..nothing"] {
        let text = format!("farm a\n    timezone America/Boise\n    uses {uses}\n");
        let farm = folder(&[("a.spray", text.as_bytes()), ("sub/b.txt", b"")]);
        one_farm(farm.path(), &["a.spray"]);
        assert_eq!(load(&[farm.path().to_path_buf()]).unwrap().farms[0].missing.len(), 1, "uses {uses}");
    }
    // A folder without journals is there.
    let farm = folder(&[("a.spray", b"farm a\n    uses sub   # nothing in it yet\n"), ("sub/b.txt", b"")]);
    assert!(load(&[farm.path().to_path_buf()]).unwrap().farms[0].missing.is_empty());
}

#[test]
fn two_farms_in_a_folder_are_one_journal() {
    let farms = folder(&[
        ("mine/a.spray", FARM),
        ("mine/b.spray", b"farm b\n    uses ../pantry\n"),
        ("pantry/c.spray", BLOCK),
        ("mine/d.spray", BLOCK),
    ]);
    let all = ["mine/a.spray", "mine/b.spray", "mine/d.spray", "pantry/c.spray"];
    one_farm(farms.path(), &all);
    assert_eq!(check(farms.path(), &["mine"]).code, check(farms.path(), &[]).code);
}

#[test]
fn each_file_belongs_to_the_nearest_farm_and_none_goes_unread() {
    let clients = folder(&[
        ("one/farm.spray", b"farm one\n    uses ../pantry\n"),
        ("one/blocks/north.spray", BLOCK),
        ("one/inner/farm.spray", b"farm inner\n"),
        ("one/inner/deep/2026.spray", BLOCK),
        ("two/farm.spray", b"# Two\n\nFarm two\n    uses ../pantry\n    uses ../pantry/../pantry\n"),
        ("pantry/materials.spray", BLOCK),
        ("attic/old.spray", BLOCK),
    ]);
    let wanted: [&[&str]; 4] = [
        &["attic/old.spray"],
        &["one/blocks/north.spray", "one/farm.spray", "pantry/materials.spray"],
        &["one/inner/deep/2026.spray", "one/inner/farm.spray"],
        &["pantry/materials.spray", "two/farm.spray"],
    ];
    assert_eq!(farms(clients.path(), &["."]).unwrap(), wanted);
    // The same by other paths, and twice over.
    assert_eq!(farms(clients.path(), &["two/..", "one", "."]).unwrap(), wanted);
}

#[test]
fn a_neighbouring_folder_is_not_part_of_the_farm_it_is_named_from() {
    let farm = folder(&[("mine/farm.spray", FARM), ("mine/b.spray", BLOCK), ("other/2026.spray", BLOCK)]);
    let wanted: [&[&str]; 2] = [&["mine/b.spray", "mine/farm.spray"], &["other/2026.spray"]];
    assert_eq!(farms(farm.path(), &["mine", "mine/../other"]).unwrap(), wanted);
    // The paths as typed in the farm's own folder.
    let done = check(&farm.path().join("mine"), &[".", "../other"]);
    assert_ne!(done.code, 2);
}

#[test]
fn a_closed_pipe_is_no_failure_and_keeps_the_exit_code() {
    let many: String = (0..3_000).map(|at| format!("block b{at}\n    nonsense {at}\n")).collect();
    let farm = folder(&[("a.spray", many.as_bytes())]);
    let arguments = ["check", "--as-of", "2026-12-31"];
    let whole = run(farm.path(), &arguments);
    let mut child = foliary(farm.path(), &arguments).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    drop(child.stdout.take());
    assert_eq!(wait(&mut child, "a closed pipe"), whole.code);
    let mut said = String::new();
    std::io::Read::read_to_string(&mut child.stderr.take().unwrap(), &mut said).unwrap();
    assert_eq!(said, "");
}
