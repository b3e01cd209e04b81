//! The example journals as Markdown. Findings are left out: they are the checks' own tests.

use super::{Found, example_documents};

#[test]
fn home_orchard() {
    snapshot("home-orchard");
}

#[test]
fn adviser() {
    snapshot("adviser");
}

fn snapshot(example: &str) {
    for (farm, written) in example_documents(example, &Found::Nothing) {
        for document in written {
            insta::assert_snapshot!(format!("{farm}-{}", document.name), document.markdown);
        }
    }
}
