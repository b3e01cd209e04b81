//! Trees understood: which troubles a page raises, and that the order of entries and files changes nothing.

mod order;
mod troubles;

#[test]
fn a_crop_in_the_plural_is_the_same_crop() {
    use foliary::journal::same_crop;
    for (one, many) in [("apple", "apples"), ("peach", "peaches"), ("cherry", "cherries"), ("tomato", "tomatoes")] {
        assert!(same_crop(one, many) && same_crop(many, one) && same_crop(one, one), "{one}");
    }
    for (one, other) in [("pear", "peach"), ("plum", "plumcot"), ("apple", "pineapple"), ("", "s-crop")] {
        assert!(!same_crop(one, other), "{one} {other}");
    }
}
