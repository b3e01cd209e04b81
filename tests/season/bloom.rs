//! Which words of a growth stage mean open bloom.

use foliary::season::stage_is_bloom;

#[test]
fn open_bloom_is_bloom() {
    for stage in [
        "bloom",
        "full bloom",
        "King bloom",
        "first bloom, a third of the trees",
        "early-bloom",
        "Flowering",
        "blossom",
    ] {
        assert!(stage_is_bloom(stage), "{stage}");
    }
}

#[test]
fn before_and_after_bloom_are_not_bloom() {
    for stage in [
        "pink",
        "pre-bloom",
        "prebloom",
        "before bloom",
        "post bloom",
        "two weeks after bloom",
        "end of bloom",
        "bloom over",
        "petal fall",
        "petal-fall, some late bloom",
        "fruit set",
        "dormant",
        "",
        "bloomery",
    ] {
        assert!(!stage_is_bloom(stage), "{stage}");
    }
}

/// BBCH scales for pome and stone fruit: 60 first flowers open, 65 full bloom, 69 all petals fallen.
#[test]
fn codes_from_60_to_68_are_bloom() {
    for code in 0..=99 {
        assert_eq!(stage_is_bloom(&format!("BBCH {code}")), (60..=68).contains(&code), "{code}");
    }
    // Words come before the code: most petals are down at 67.
    assert!(!stage_is_bloom("petal fall, BBCH 67"));
}
