//! Paper and text match: digests, and the same bytes from the same journal.

use std::fs;

use foliary::documents::{Scope, records, summary};
use foliary::files::load;
use foliary::render::{Format, Templates};
use sha2::{Digest, Sha256};

use super::{Found, example, loaded, with_book};

fn hex(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

#[test]
fn the_journals_digest_is_that_of_its_files_end_to_end() {
    let loaded = loaded("home-orchard");
    with_book(&loaded.sources, &loaded.farms[0].files, &Scope::default(), &Found::Nothing, |book| {
        let head = records(book).head;
        assert_eq!(head.digest.files, ["2026.spray", "orchard.spray"]);
        let text: Vec<u8> =
            head.digest.files.iter().flat_map(|file| fs::read(example("home-orchard").join(file)).unwrap()).collect();
        assert_eq!(head.digest.long, hex(&text));
        assert_eq!(head.digest.short, &hex(&text)[..16]);
    });
}

#[test]
fn a_records_digest_is_that_of_the_lines_it_names() {
    for name in ["home-orchard", "twenty-acres"] {
        let loaded = loaded(name);
        with_book(&loaded.sources, &loaded.farms[0].files, &Scope::default(), &Found::Nothing, |book| {
            for record in records(book).records {
                let (file, lines) = record.lines.split_once(", lines ").unwrap();
                let (first, last) = lines.split_once(" to ").unwrap();
                let (first, last): (usize, usize) = (first.parse().unwrap(), last.parse().unwrap());
                let text = fs::read_to_string(example(name).join(file)).unwrap();
                let entry: String = text.split_inclusive('\n').skip(first - 1).take(last - first + 1).collect();
                assert!(entry.starts_with("spray "), "{}: {entry}", record.lines);
                assert_eq!(record.digest.long, hex(entry.as_bytes()), "{}", record.lines);
            }
        });
    }
}

/// The documents of a folder, all in one.
fn everything(folder: &std::path::Path) -> String {
    let loaded = load(&[folder.to_path_buf()]).unwrap();
    let templates = Templates::new(Vec::new()).unwrap();
    let mut all = String::new();
    for farm in &loaded.farms {
        with_book(&loaded.sources, &farm.files, &Scope::default(), &Found::Checked, |book| {
            for format in [Format::Html, Format::Markdown] {
                all.push_str(&templates.fill("season", &summary(book), format).unwrap());
                all.push_str(&templates.fill("records", &records(book), format).unwrap());
            }
        });
    }
    all
}

#[test]
fn the_same_journal_gives_the_same_bytes_wherever_it_is_kept() {
    let elsewhere = tempfile::tempdir().unwrap();
    for name in ["adviser", "twenty-acres"] {
        let copy = elsewhere.path().join("deep").join(name);
        copy_folder(&example(name), &copy);
        let (here, there) = (everything(&example(name)), everything(&copy));
        assert!(here == there, "{name} differs when it is kept elsewhere");
        assert!(here == everything(&example(name)), "{name} differs from run to run");
    }
}

fn copy_folder(from: &std::path::Path, to: &std::path::Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let target = to.join(path.file_name().unwrap());
        if path.is_dir() { copy_folder(&path, &target) } else { fs::copy(&path, &target).map(|_| ()).unwrap() }
    }
}
