//! The extension for Visual Studio Code: its own tests, and that it can be packed into one file.

use std::fs;
use std::path::Path;
use std::process::Command;

use super::{found, node_modules};
use crate::syntax::examples::folder;

fn run(program: &Path, arguments: &[&str], place: &Path) {
    let output = Command::new(program).args(arguments).current_dir(place).output().unwrap();
    let said = String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{said}");
}

#[test]
fn the_extension_passes_its_own_tests() {
    let (Some(_), Some(npm)) = (node_modules(), found("npm")) else { return };
    run(&npm, &["test"], &folder("editors/vscode"));
}

#[test]
fn the_extension_is_packed_with_all_that_it_needs_and_nothing_else() {
    let (Some(modules), Some(npm)) = (node_modules(), found("npm")) else { return };
    let place = tempfile::tempdir().unwrap();
    let extension = place.path().join("editors/vscode");
    for part in ["", "src", "syntaxes"] {
        fs::create_dir_all(extension.join(part)).unwrap();
        for file in fs::read_dir(folder("editors/vscode").join(part)).unwrap() {
            let file = file.unwrap();
            if file.path().is_file() {
                fs::copy(file.path(), extension.join(part).join(file.file_name())).unwrap();
            }
        }
    }
    fs::copy(folder("LICENSE"), place.path().join("LICENSE")).unwrap();
    #[cfg(unix)]
    std::os::unix::fs::symlink(&modules, extension.join("node_modules")).unwrap();
    run(&npm, &["run", "package"], &extension);
    let packed = fs::read(extension.join("dist/foliary-journal.vsix")).unwrap();
    // Names stand in a zip file as they are.
    let holds = |name: &str| packed.windows(name.len()).any(|bytes| bytes == name.as_bytes());
    for name in ["extension/package.json", "extension/dist/extension.js", "extension/language-configuration.json"] {
        assert!(holds(name), "{name}");
    }
    assert!(holds("extension/syntaxes/foliary.tmLanguage.json"));
    assert!(!holds("extension/src/") && !holds("extension/node_modules/") && !holds("extension/test/"));
}
