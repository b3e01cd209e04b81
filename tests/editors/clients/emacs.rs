//! Emacs, without a screen, with eglot.

use std::process::Command;

use super::{came, farm, held};
use crate::editors::found;
use crate::syntax::examples::folder;

/// Emacs, if it has eglot.
fn with_eglot() -> Option<Command> {
    let emacs = found("emacs")?;
    // Debian starts what its packages bring by its own start file, which `-Q` would leave out.
    let ask = Command::new(&emacs).args(["-q", "--batch", "--eval", "(require 'eglot)"]).output().ok()?;
    if !ask.status.success() {
        eprintln!("SKIPPED: this Emacs has no eglot; nothing was tried in it");
        return None;
    }
    let mut command = Command::new(emacs);
    command.args(["-q", "--batch", "-L"]).arg(folder("editors/emacs"));
    Some(command)
}

#[test]
fn emacs_works_on_a_journal() {
    let Some(mut emacs) = with_eglot() else { return };
    let farm = farm();
    let came = came(emacs.arg("-l").arg(folder("tests/editors/clients/emacs.el")), farm.path());
    assert_eq!(came["mode"], "foliary-mode");
    held(&came, farm.path());
}

#[test]
fn the_mode_compiles_without_a_warning_and_indents() {
    let Some(emacs) = found("emacs") else { return };
    let place = tempfile::tempdir().unwrap();
    for file in ["foliary-mode.el", "foliary-words.el"] {
        std::fs::copy(folder("editors/emacs").join(file), place.path().join(file)).unwrap();
    }
    let output = Command::new(&emacs)
        .args(["-Q", "--batch", "-L", ".", "--eval", "(setq byte-compile-error-on-warn t)"])
        .args(["-f", "batch-byte-compile", "foliary-words.el", "foliary-mode.el"])
        .current_dir(place.path())
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));

    let typed = "spray creek-pear\nput sulfur 3 lb\nover 1 acre\nnote one\n      put two\n\nmix leaf-tonic\nin 1 gal\n";
    let script = format!(
        "(progn (require 'foliary-mode) (with-temp-buffer (foliary-mode) (insert {typed:?}) (goto-char (point-min)) \
         (while (not (eobp)) (unless (eolp) (foliary-indent-line)) (forward-line 1)) \
         (goto-char (point-min)) (search-forward \"over\") (comment-line 1) (princ (buffer-string))))"
    );
    let output =
        Command::new(&emacs).args(["-Q", "--batch", "-L", ".", "--eval", &script]).current_dir(place.path()).output();
    let output = output.unwrap();
    assert_eq!(
        String::from_utf8_lossy(&output.stdout),
        "spray creek-pear\n    put sulfur 3 lb\n    # over 1 acre\n    note one\n      put two\n\nmix leaf-tonic\n    in 1 gal\n",
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
}
