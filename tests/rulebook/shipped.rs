//! The shipped files.

use std::fs;

use foliary::rulebook::Shelf;

use crate::syntax::examples::{files, folder};

#[test]
fn every_file_of_the_folder_is_shipped_and_can_be_read() {
    for path in files(&folder("rulebooks"), "toml") {
        let name = path.file_stem().unwrap().to_str().unwrap().to_string();
        let text = fs::read_to_string(&path).unwrap();
        Shelf::new(&[(name.clone(), text)]).unwrap_or_else(|trouble| panic!("{trouble}"));
        let book = Shelf::shipped().find(&name).unwrap_or_else(|| panic!("{name} is not shipped"));
        assert_eq!(book.name, name);
    }
}
