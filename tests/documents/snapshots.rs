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
        // The documents for auditors and for emergencies have a journal of their own.
        for document in written.into_iter().filter(|document| ["season", "records", "index"].contains(&document.name)) {
            insta::assert_snapshot!(format!("{farm}-{}", document.name), document.markdown);
        }
    }
}
