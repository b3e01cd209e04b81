//! Time grows with the journal, not with its square.

use std::fmt::Write as _;
use std::time::{Duration, Instant};

use super::{folder, run};

/// How long a check of a folder takes.
fn time(folder: &std::path::Path) -> Duration {
    let start = Instant::now();
    run(folder, &["check", "--as-of", "2026-12-31", "--format", "line"]);
    start.elapsed()
}

/// Four times the journal may take eight times as long, which leaves room for a busy machine, but not sixteen. What
/// is disturbed is tried again; what grows with the square fails every time.
fn assert_linear(what: &str, some: impl Fn(usize) -> tempfile::TempDir, size: usize) {
    let (one, four) = (some(size), some(size * 4));
    let mut tried = Vec::new();
    for _ in 0..4 {
        // A twentieth of a second is lost in the noise.
        let times = (time(one.path()).max(Duration::from_millis(50)), time(four.path()));
        if times.1 < times.0 * 8 {
            return;
        }
        tried.push(times);
    }
    panic!("{what}: {size}, and four times as many, take {tried:?}");
}

#[test]
fn columns_far_out_on_a_line_are_counted_right() {
    let line = "a, ö 🍐\u{202e}".repeat(3_000);
    let text = format!("# \n{line}\n{line}");
    let mut sources = foliary::text::Sources::new();
    let file = sources.add("a.spray", text.clone()).unwrap();
    let base = sources.get(file).base() as usize;
    for (offset, _) in text.char_indices().step_by(97) {
        let start = text[..offset].rfind('\n').map_or(0, |newline| newline + 1);
        let before = &text[start..offset];
        let place = sources.place((base + offset) as u32);
        assert_eq!(place.line as usize, text[..offset].matches('\n').count() + 1);
        assert_eq!(place.column as usize, before.chars().count() + 1);
        assert_eq!(place.column_utf16 as usize, before.encode_utf16().count() + 1);
    }
}

#[test]
fn many_farms_with_many_files_and_a_shared_folder() {
    assert_linear(
        "files",
        |files| {
            let shared = folder(&[("pantry/m.spray", b"material kelp\n    form liquid\n")]);
            for at in 0..files / 2 {
                let place = shared.path().join(format!("client-{at}"));
                std::fs::create_dir(&place).unwrap();
                std::fs::write(place.join("farm.spray"), format!("farm f{at}\n    uses ../pantry\n")).unwrap();
                std::fs::write(place.join("2026.spray"), "block b\n    area 1 acre\n2026-05-14\nwork b\n").unwrap();
            }
            shared
        },
        500,
    );
}

#[test]
fn one_farm_with_many_files() {
    assert_linear(
        "files of one farm",
        |files| {
            let farm = folder(&[("farm.spray", b"farm f\n")]);
            for at in 0..files {
                std::fs::write(farm.path().join(format!("{at:05}.spray")), format!("2026-05-14\nwork b{at}\n"))
                    .unwrap();
            }
            farm
        },
        500,
    );
}

/// A folder with one journal of `count` pieces.
fn journal(count: usize, start: &str, piece: impl Fn(usize) -> String) -> tempfile::TempDir {
    let mut text = start.to_owned();
    for at in 0..count {
        let _ = write!(text, "{}", piece(at));
    }
    folder(&[("a.spray", text.as_bytes())])
}

#[test]
fn a_hundred_thousand_tiny_entries() {
    let folder = journal(100_000, "block b\n    area 1 acre\n2026-05-14\n", |_| "work b\n".into());
    run(folder.path(), &["check", "--as-of", "2026-12-31"]);
}

#[test]
fn many_tiny_entries_that_are_wrong() {
    for (what, start, piece) in [
        ("unknown words", "", "nonsense {}\n"),
        ("undated entries", "", "spray b{}\n"),
        ("unknown names", "2026-05-14\n", "work b{}\n"),
        ("declared twice", "", "block b\n"),
        ("bad dates", "", "2026-02-31\n"),
        ("lost lines", "block b\n", "    nonsense {}\n"),
        ("fields again", "block b\n    area 1 acre\n    crop pear\n    eppo X\n", "    crop pear\n    eppo X{}\n"),
        ("notes", "block b\n    area 1 acre\n", "    note {}\n\n\n\n\n"),
        ("accepts", "block b\n    area 1 acre\n", "    accept round-late because {}\n"),
    ] {
        let many = |count: usize| journal(count, start, |at| piece.replace("{}", &at.to_string()));
        assert_linear(what, many, 2500);
    }
}

#[test]
fn many_names() {
    let many = |count: usize| {
        let blocks = journal(count, "", |at| format!("block name{at}x\n    area 1 acre\n"));
        let pages: String = (0..count).map(|at| format!("2026-05-14\nwork name{at}x\n")).collect();
        std::fs::write(blocks.path().join("b.spray"), pages).unwrap();
        blocks
    };
    assert_linear("names", many, 2500);
}

#[test]
fn one_entry_with_very_much_in_it() {
    let start = "block b\n    area 1 acre\nmaterial m\n    form dry\nmix x\n    in 1 gal\n    put m 1 oz\n2026-05-14\nspray b\n";
    for (what, piece) in [
        ("measured", "    measured m 1 oz\n"),
        ("puts", "    put m 1 oz per gal\n"),
        ("loads", "    load 3 gal, m 1 oz\n"),
        ("sessions", "    time 05:00 to 06:00\n"),
    ] {
        assert_linear(what, |count| journal(count, start, |_| piece.into()), 2500);
    }
    let long_head = |count: usize| {
        let names = (0..count).map(|at| format!("b{at}")).collect::<Vec<_>>().join(", ");
        folder(&[("a.spray", format!("2026-05-14\nspray {names}\n").as_bytes())])
    };
    assert_linear("names on a line", long_head, 2500);
}
