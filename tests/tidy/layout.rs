//! What a text looks like when it is laid out.

use foliary::syntax::{laid_out, laid_out_entry, same_entries, split_entries};

use super::tidied;

const UGLY: &str = "\u{feff}
#  The Larkspur barn
Farm   larkspur-bend \"Larkspur   Bend\"
	timezone	America/Boise
block creek-pear   \"Creek pears\"   # five rows are old


  Crop pear,quince ,  apple # winter
      area 1.2 acres   from 2024-03-01	# by the new map
    rows 1 to 14,16feet apart

    # a remark of its own
	wrong line   here  # and why
person t-marsh \"Tansy Marsh\"
# The mixes.
mix leaf-tonic
 in 1 Gallon
 put magnesium-sulfate 1/2 ounce   per 100 gallons
  put soap 1 1/2  Fluid Ounces
2026-05-14   Thu # late
spray creek-pear   rows 1 to 9 ,12
    MIX leaf-tonic,60gal
    measured magnesium-sulfate 24 OZ. wt, lot  7   b
    weather 22:30 52 deg F,wind 3 miles per hour NW , leaves   dry
    leftover 8 gallons on creek-pear rows 10 to 11,  the  rest on   the grass
    Note Two things:

       - the corner
         1. the low end
 	      - the grafts


           code   block # kept
    over three acres
  accept round-late because   of rain


";

#[test]
fn an_ugly_page() {
    insta::assert_snapshot!(tidied(UGLY));
}

#[test]
fn every_file_of_windows_keeps_its_line_ends() {
    let plain = "block a\n  crop pear\nblock b\n";
    let laid = tidied(plain);
    assert_eq!(laid, "block a\n    crop pear\n\nblock b\n");
    assert_eq!(tidied(&plain.replace('\n', "\r\n")), laid.replace('\n', "\r\n"));
    // Where only some lines end so, all end alike.
    assert_eq!(tidied("block a\r\n  crop pear\nblock b\n"), laid);
}

#[test]
fn what_cannot_be_seen_stays_to_be_reported() {
    for text in ["\u{feff}\u{feff}block b\n", "\n\u{feff}block b\n", "block b\r  crop pear\n", "block b\r\r\n"] {
        assert_eq!(laid_out(text), text);
    }
    assert_eq!(tidied("\u{feff}block b"), "block b\n");
    assert_eq!(tidied(""), "");
    assert_eq!(tidied(" \n\t\n"), "");
}

#[test]
fn an_ounce_stays_an_ounce_and_names_and_numbers_stay_as_typed() {
    let line = |line: &str| tidied(&format!("mix m\n    {line}\n")).lines().nth(1).unwrap().trim_start().to_string();
    assert_eq!(line("put Kelp-Meal 01.50 Ounces"), "put Kelp-Meal 01.50 oz");
    assert_eq!(line("PUT kelp 2 ounces by weight per Acre"), "put kelp 2 ounces by weight per acre");
    assert_eq!(line("put kelp .5Cups"), "put kelp .5 cup");
    assert_eq!(line("put kelp 3 cup"), "put kelp 3 cups");
    assert_eq!(line("put kelp 3 fl oz/gal"), "put kelp 3 fl oz/gal");
    assert_eq!(line("reason  two   blanks"), "reason two   blanks");
}

#[test]
fn a_remark_above_an_entry_stays_with_it_and_one_below_an_empty_line_does_not() {
    let text = "block a\n    crop pear\n# of b\nblock b\n    crop pear\n# of b too\n\n\n# alone\n\nblock c\n";
    let laid = "block a\n    crop pear\n\n# of b\nblock b\n    crop pear\n# of b too\n\n# alone\n\nblock c\n";
    assert_eq!(tidied(text), laid);
}

#[test]
fn one_entry_alone_is_laid_out_as_in_its_file() {
    let file = "block a\n  crop pear\n\n\n\nblock b\n  crop quince\n";
    let laid = tidied(file);
    let parts: String = split_entries(file).into_iter().map(|range| laid_out_entry(&file[range])).collect();
    assert_eq!(parts, laid);
}

#[test]
fn what_is_read_is_told_apart() {
    let page = "spray b\n    mix m, 60 gal   # why\n    by t-marsh\n    note A\n        - b\n          - c\n";
    let say = |from: &str, to: &str| same_entries(page, &page.replacen(from, to, 1));
    for (from, to) in [("60 gal", "60   Gallons"), ("mix m,", "Mix  m ,"), ("spray", "SPRAY"), ("    by", "\n\tby")] {
        assert!(say(from, to), "{from} {to}");
    }
    for (from, to) in [
        ("60 gal", "61 gal"),
        ("60 gal", "60 qt"),
        ("60 gal", "60.0 gal"),
        ("# why", "# Why"),
        ("   # why", ""),
        ("t-marsh", "T-Marsh"),
        ("by t-marsh", "by t-marsh, r-vale"),
        ("by t-marsh", "rig t-marsh"),
        ("by t-marsh", "by t-marsh x"),
        ("          - c", "        - c"),
        ("note A", "note a"),
        ("spray b", "spray c"),
        ("spray b", "observe b"),
        ("spray b", "spray b\nspray b"),
    ] {
        assert!(!say(from, to), "{from} {to}");
    }
    assert!(!same_entries(page, ""));
}
