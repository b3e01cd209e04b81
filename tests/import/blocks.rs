//! One block in a cell, or several.

use foliary::import::Mapping;

use super::{FARM, doubts, imported, imported_into};

/// The first lines of the entries that some cells of blocks become, and what is to be settled about the first.
fn heads_of(cells: &[&str], mapping: Option<Mapping>) -> (Vec<String>, Vec<String>) {
    let row = |(at, cell): (usize, &&str)| format!("2024-05-{:02},\"{cell}\",Epsom salt,4 lb\n", at + 1);
    let text: String = cells.iter().enumerate().map(row).collect();
    let imported = imported_into(FARM, format!("Date,Block,Material,Amount\n{text}").as_bytes(), mapping, &[]);
    let heads = imported.text.lines().filter_map(|line| line.strip_prefix("spray ")).map(str::to_string);
    (heads.collect(), doubts(&imported, 2).to_vec())
}

#[test]
fn blocks_that_are_known_are_several_whatever_divides_them() {
    for cell in [
        "North / Creek pears",
        "North/creek pears",
        "North & Creek pears",
        "North orchard and Creek pears",
        "North, Creek pears",
        "North; Creek pears",
        "North + Creek pears",
        "North\nCreek pears",
        "North orchard\r\nCreek pears\r\n",
    ] {
        assert_eq!(heads_of(&[cell], None), (vec!["north, creek-pears".to_string()], Vec::new()), "{cell:?}");
    }
}

#[test]
fn a_line_of_its_own_is_a_block_of_its_own_known_or_not() {
    for cell in ["Hill\nLow field", "Hill; Low field"] {
        assert_eq!(heads_of(&[cell], None), (vec!["hill, low-field".to_string()], Vec::new()), "{cell:?}");
    }
    // Where it says rows, it belongs to the block above.
    assert_eq!(heads_of(&["North\nrows 1-4"], None), (vec!["north rows 1 to 4".to_string()], Vec::new()));
    let (heads, doubts) = heads_of(&["North rows 1-4\nCreek pears"], None);
    assert_eq!(heads, ["north, creek-pears"]);
    assert_eq!(doubts, ["`North rows 1-4 Creek pears`: which rows of which block?"]);
}

#[test]
fn what_may_be_one_block_is_asked_about() {
    for (cell, head) in [
        ("Hill and dale", "hill-and-dale"),
        ("Barn / shed", "barn-shed"),
        ("Hill, west side", "hill-west-side"),
        // One of them is known, so it is a list.
        ("North & South", "north, south"),
    ] {
        let (heads, doubts) = heads_of(&[cell], None);
        assert_eq!((heads, doubts), (vec![head.to_string()], vec![format!("`{cell}`: one block or several?")]));
    }
    // Each stands alone elsewhere in the sheet.
    let (heads, doubts) = heads_of(&["Hill and dale", "Hill", "dale rows 1-3"], None);
    assert_eq!((heads, doubts), (["hill, dale", "hill", "dale rows 1 to 3"].map(String::from).to_vec(), Vec::new()));
}

#[test]
fn the_mapping_settles_it() {
    let mapped = |to: &str| {
        let mut mapping = imported(b"Date,Block,Material,Amount\n2024-05-01,Hill and dale,Epsom salt,4 lb\n").mapping;
        assert_eq!(mapping.blocks["Hill and dale"], "hill-and-dale");
        mapping.blocks.insert("Hill and dale".to_string(), to.to_string());
        heads_of(&["Hill and dale"], Some(mapping))
    };
    assert_eq!(mapped("hill, dale"), (vec!["hill, dale".to_string()], Vec::new()));
    assert_eq!(mapped("hillside"), (vec!["hillside".to_string()], Vec::new()));
    assert_eq!(mapped("north"), (vec!["north".to_string()], Vec::new()));
    // The proposal as it was settles nothing.
    assert_eq!(mapped("hill-and-dale").1.len(), 1);
}
