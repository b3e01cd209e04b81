//! The canonical layout: nothing but blanks changes, twice is once, and the files are written as they should be.

mod layout;

use foliary::syntax::{laid_out, same_entries};

/// A text laid out, after the laws that hold for every text.
pub fn tidied(text: &str) -> String {
    let laid = laid_out(text);
    assert!(same_entries(text, &laid), "what is read changed:\n{text:?}\n{laid:?}");
    assert_eq!(laid_out(&laid), laid, "twice is once: {text:?}");
    laid
}
