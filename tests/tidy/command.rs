//! `foliary tidy` on real files.

use std::fs;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

use crate::robust::{Done, folder, run};

const UGLY: &[u8] = b"block a\n  crop pear  \n\tarea 1 Acre\nblock b\n";
const TIDY: &str = "block a\n    crop pear\n    area 1 acre\n\nblock b\n";

fn tidy(folder: &Path, arguments: &[&str]) -> Done {
    run(folder, &[&["tidy"], arguments].concat())
}

fn read(folder: &Path, name: &str) -> String {
    fs::read_to_string(folder.join(name)).unwrap()
}

/// Runs `foliary tidy` on words given to its standard input.
fn given(arguments: &[&str], text: &[u8]) -> (i32, String, String) {
    let mut child = Command::new(env!("CARGO_BIN_EXE_foliary"))
        .arg("tidy")
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all(text).unwrap();
    let done = child.wait_with_output().unwrap();
    let words = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (done.status.code().unwrap(), words(done.stdout), words(done.stderr))
}

#[test]
fn only_files_that_change_are_written_and_told() {
    let farm = folder(&[("a.spray", UGLY), ("sub/b.spray", TIDY.as_bytes()), ("c.txt", UGLY)]);
    let before = fs::metadata(farm.path().join("sub/b.spray")).unwrap().modified().unwrap();
    let done = tidy(farm.path(), &[]);
    assert_eq!((done.code, done.out().as_str()), (0, "laid out a.spray\n1 of 2 files laid out\n"));
    assert_eq!(read(farm.path(), "a.spray"), TIDY);
    assert_eq!(read(farm.path(), "c.txt").as_bytes(), UGLY);
    assert_eq!(fs::metadata(farm.path().join("sub/b.spray")).unwrap().modified().unwrap(), before);
    assert_eq!(fs::read_dir(farm.path()).unwrap().count(), 3, "nothing else is left behind");
    let again = tidy(farm.path(), &["."]);
    assert_eq!((again.code, again.out().as_str()), (0, "2 files looked at, none to change\n"));
}

#[test]
fn a_check_writes_nothing_and_shows_the_difference() {
    let farm = folder(&[("a.spray", UGLY), ("b.spray", TIDY.as_bytes())]);
    let done = tidy(farm.path(), &["--check"]);
    assert_eq!(done.code, 1);
    assert_eq!(read(farm.path(), "a.spray").as_bytes(), UGLY);
    insta::assert_snapshot!(done.out());
    assert_eq!(tidy(farm.path(), &["--check", "b.spray"]).code, 0);
}

#[test]
fn a_file_that_cannot_be_seen_whole_is_left_alone_and_the_others_are_laid_out() {
    let hidden = "block a\n  crop pe\u{202e}ar\n".as_bytes();
    let farm = folder(&[
        ("a.spray", hidden),
        ("b.spray", b"block b\n  note caf\xe9\n"),
        ("c.spray", UGLY),
        ("d.spray", b"block d\r  crop pear\n"),
    ]);
    let done = tidy(farm.path(), &[]);
    assert_eq!(done.code, 2);
    insta::assert_snapshot!(done.err());
    assert_eq!(read(farm.path(), "c.spray"), TIDY);
    assert_eq!(fs::read(farm.path().join("a.spray")).unwrap(), hidden);
    assert_eq!(tidy(farm.path(), &["--check"]).code, 2);
}

#[test]
fn standard_input_goes_to_standard_output() {
    assert_eq!(given(&["-"], UGLY), (0, TIDY.to_string(), String::new()));
    assert_eq!(given(&["-"], b""), (0, String::new(), String::new()));
    let (code, out, _) = given(&["-", "--check"], UGLY);
    assert!(code == 1 && out.contains("block b"), "{out}");
    assert_eq!(given(&["-", "--check"], TIDY.as_bytes()), (0, String::new(), String::new()));
    let (code, out, err) = given(&["-"], b"\xff");
    assert!(code == 2 && out.is_empty() && err.contains("not UTF-8"), "{err}");
    assert_eq!(given(&["-", "a.spray"], UGLY).0, 2);
}

#[test]
fn what_is_no_journal_is_never_written() {
    let farm = folder(&[("notes.md", UGLY), ("a.spray", UGLY)]);
    let done = tidy(farm.path(), &["notes.md", "a.spray"]);
    assert_eq!(done.code, 2);
    assert!(done.err().contains(".spray"), "{}", done.err());
    assert_eq!(read(farm.path(), "notes.md").as_bytes(), UGLY);
    assert_eq!(read(farm.path(), "a.spray"), TIDY);
    assert_eq!(tidy(farm.path(), &["nothing"]).code, 2);
}

#[test]
fn a_shared_folder_that_a_farm_uses_is_left_alone() {
    let farms = folder(&[("one/farm.spray", b"farm one\n  uses ../pantry\n"), ("pantry/a.spray", UGLY)]);
    assert_eq!(tidy(farms.path(), &["one"]).code, 0);
    assert_eq!(read(farms.path(), "one/farm.spray"), "farm one\n    uses ../pantry\n");
    assert_eq!(read(farms.path(), "pantry/a.spray").as_bytes(), UGLY);
}

#[cfg(unix)]
#[test]
fn a_link_stays_a_link_and_who_may_read_a_file_stays_so() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let farm = folder(&[("farm/a.spray", UGLY), ("elsewhere/b.spray", UGLY)]);
    let path = farm.path().join("farm/a.spray");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
    symlink("../elsewhere/b.spray", farm.path().join("farm/b.spray")).unwrap();
    assert_eq!(tidy(farm.path(), &["farm"]).code, 0);
    assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o640);
    assert!(fs::symlink_metadata(farm.path().join("farm/b.spray")).unwrap().is_symlink());
    assert_eq!(read(farm.path(), "elsewhere/b.spray"), TIDY);
    // A file that may not be written to is left, and said so.
    fs::write(&path, UGLY).unwrap();
    fs::set_permissions(&path, fs::Permissions::from_mode(0o440)).unwrap();
    assert_eq!(tidy(farm.path(), &["farm"]).code, 2);
    assert_eq!(read(farm.path(), "farm/a.spray").as_bytes(), UGLY);
}

#[test]
fn the_examples_pass_the_check() {
    let top = crate::syntax::examples::folder("journal-examples");
    let farms = tidy(&top, &["--check", "home-orchard", "spring-week", "twenty-acres", "adviser"]);
    assert_eq!(farms.code, 0, "{}", farms.out());
    // The mistakes are laid out, too; of one the mistake is that not all of it can be seen.
    let mistakes = tidy(&top, &["--check"]);
    assert!(mistakes.out().ends_with("none to change\n"), "{}", mistakes.out());

    assert!(mistakes.err().lines().count() == 1 && mistakes.err().contains("hidden-character"), "{}", mistakes.err());
}
