//! Growth stages as codes. BBCH Monograph (U. Meier, editor), scales for pome fruit and for stone fruit: 53 bud burst, 57
//! pink bud or petal tips, 59 balloon, 60 first flowers open, 65 full flowering, 67 most petals down, 69 all petals down, 71
//! fruit set. That shuck split is 72 (the sepals begin to fall) is common practice, no source.

use foliary::trade::code_of;

#[test]
fn growers_words_have_their_codes() {
    for (crop, stage, code) in [
        ("pear", "green tip", 53),
        ("apple", "Pink", 57),
        ("quince", "balloon", 59),
        ("apples", "full-bloom", 65),
        ("pear", "petal fall, half of the clusters", 67),
        ("pears", "end of petal fall", 69),
        ("sweet-cherry", "white bud", 57),
        ("cherries", "full bloom on the early cultivar", 65),
        ("peaches", "shuck split, first leaves", 72),
        ("plum", "fruit set", 71),
    ] {
        assert_eq!(code_of(Some(crop), stage), Some(code), "{crop}: {stage}");
    }
}

#[test]
fn a_written_code_counts_before_the_words_and_for_any_crop() {
    assert_eq!(code_of(Some("pear"), "petal fall, BBCH 69"), Some(69));
    assert_eq!(code_of(Some("grape"), "six leaves out, bbch16"), Some(16));
    assert_eq!(code_of(None, "BBCH: 07"), Some(7));
    assert_eq!(code_of(Some("pear"), "BBCH 100"), None);
    assert_eq!(code_of(Some("pear"), "BBCH"), None);
}

#[test]
fn what_is_not_in_the_scales_has_no_code() {
    for (crop, stage) in [
        ("grape", "full bloom"),
        ("pineapple", "full bloom"),
        ("pear", "shuck split"),
        ("peach", "silver tip"),
        ("pear", "petal"),
        ("pear", "pinkish"),
        ("pear", ""),
        ("", "pink"),
    ] {
        assert_eq!(code_of(Some(crop), stage), None, "{crop}: {stage}");
    }
    assert_eq!(code_of(None, "full bloom"), None);
}
