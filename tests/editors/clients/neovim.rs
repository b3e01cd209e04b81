//! Neovim, without a screen.

use std::fs;
use std::process::Command;

use super::{came, farm, held};
use crate::editors::found;
use crate::syntax::examples::folder;

#[test]
fn neovim_works_on_a_journal() {
    let Some(neovim) = found("nvim") else { return };
    let farm = farm();
    let start = farm.path().join("init.vim");
    fs::write(
        &start,
        format!(
            "set runtimepath^={}\nfiletype plugin indent on\nsyntax on\nset noswapfile hidden\n\
             lua require('foliary').setup({{ cmd = {{ vim.env.FOLIARY, 'editor' }} }})\n",
            folder("editors/neovim").display()
        ),
    )
    .unwrap();
    let script = folder("tests/editors/clients/neovim.lua");
    let came = came(
        Command::new(neovim)
            .args(["--headless", "-i", "NONE", "-u"])
            .arg(&start)
            .arg("-c")
            .arg(format!("luafile {}", script.display())),
        farm.path(),
    );
    assert_eq!(came["filetype"], "foliary");
    held(&came, farm.path());
}

#[test]
fn neovim_indents_a_journal_and_makes_remarks_of_lines() {
    let Some(neovim) = found("nvim") else { return };
    let farm = farm();
    let file = farm.path().join("typed.spray");
    let typed = "ispray creek-pear\rput sulfur 3 lb\rover 1 acre\r\rmix leaf-tonic\rin 1 gal\u{1b}";
    let output = Command::new(neovim)
        .args(["--headless", "-n", "-i", "NONE", "-u", "NONE", "--cmd"])
        .arg(format!("set runtimepath^={}", folder("editors/neovim").display()))
        .args(["-c", "filetype plugin indent on", "-c"])
        .arg(format!("edit {}", file.display()))
        .args(["-c", &format!("execute \"normal {}\"", typed.replace('\r', "\\r").replace('\u{1b}', "\\<Esc>"))])
        .args(["-c", "write", "-c", "call writefile([&commentstring, &foldmethod], 'said') | qall!"])
        .current_dir(farm.path())
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let text = fs::read_to_string(&file).unwrap();
    assert_eq!(
        text,
        "spray creek-pear\n    put sulfur 3 lb\n    over 1 acre\n\nmix leaf-tonic\n    in 1 gal\n",
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    assert_eq!(fs::read_to_string(farm.path().join("said")).unwrap(), "# %s\nexpr\n");
}
