//! What went into a tank where a material stands in the mix and is put in besides.

use foliary::quantity::{Amount, Exact, Unit};
use foliary::season::Season;
use foliary::text::Sources;
use foliary::{Farm, compile_farm};

const FARM: &str = "farm larkspur-bend\n    timezone America/Boise\n\nblock creek-pear\n    crop pear\n    area 1 acre\n\n\
                    material kelp\n    form liquid\n\nmix tonic\n    in 1 gal\n    put kelp 1 fl oz\n    total at most 1.6 oz per gal\n\n\
                    2026-05-14\n\nspray creek-pear\n    mix tonic, 20 gal\n    put kelp 0.5 fl oz per gal\n    time 06:00 to 07:15\n";

/// The amounts of the doses, with a line more in the spray.
fn doses(line: &str) -> Vec<Amount> {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", format!("{FARM}{line}")).unwrap();
    let journal = compile_farm(&sources, Farm { files: &[file], missing: &[] });
    assert!(journal.troubles.is_empty(), "{:?}", journal.troubles);
    let season = Season::new(&journal, &sources, None);
    season.sprays[0].doses.iter().map(|dose| dose.amount().unwrap()).collect()
}

#[test]
fn what_was_weighed_out_is_for_all_doses_of_a_material() {
    // 20 gal take 20 fl oz by the mix and 10 fl oz besides it.
    let each = [Amount::of(20, Unit::FL_OZ), Amount::of(10, Unit::FL_OZ)];
    assert_eq!(doses(""), each);
    // 33 fl oz are a tenth more of both.
    let more = [Amount::of(22, Unit::FL_OZ), Amount::of(11, Unit::FL_OZ)];
    for (line, expected) in [
        ("    load 20 gal, kelp 30 fl oz\n", each),
        ("    load 2 of 10 gal, kelp 15 fl oz\n", each),
        ("    measured kelp 30 fl oz\n", each),
        ("    load 20 gal, kelp 33 fl oz\n", more),
    ] {
        let found = doses(line);
        assert_eq!(found.len(), 2, "{line}");
        for (found, expected) in found.iter().zip(expected) {
            assert_eq!(found.ratio(expected), Some(Exact::ONE), "{line}");
        }
    }
}
