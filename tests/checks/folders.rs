//! A shared folder that is not there, from real folders.

use std::fs;

use foliary::files::load;
use foliary::{Farm, check_farm};

/// Codes and headlines of a farm that uses `pantry` while `there` is the folder beside it.
fn found(there: &str) -> Vec<(String, String)> {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir_all(folder.path().join("farm")).unwrap();
    fs::create_dir_all(folder.path().join(there)).unwrap();
    fs::write(folder.path().join(there).join("shared.spray"), "material kelp\n  form dry\n").unwrap();
    let journal =
        "farm larkspur-bend\n  timezone America/Boise\n  uses ../pantry\n\nmix tonic\n  in 1 gal\n  put kelp 1 oz wt\n";
    fs::write(folder.path().join("farm/journal.spray"), journal).unwrap();
    let loaded = load(&[folder.path().join("farm")]).unwrap();
    let farm = &loaded.farms[0];
    check_farm(&loaded.sources, Farm { files: &farm.files, missing: &farm.missing }, None)
        .into_iter()
        .map(|finding| (finding.code.to_string(), finding.headline))
        .collect()
}

#[test]
fn a_shared_folder_that_is_there_declares_its_names() {
    assert_eq!(found("pantry"), []);
}

#[test]
fn a_missing_folder_is_one_finding_and_what_it_declares_none() {
    let headline = "there is no folder `../pantry` to take shared entries from";
    assert_eq!(found("pantri"), [("missing-folder".to_string(), headline.to_string())]);
}
