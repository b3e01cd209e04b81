//! Offered changes are true: once made, the finding is gone and no other has come.

use foliary::checks::CHECKS;
use foliary::finding::Finding;

use super::{Example, examples, findings};

#[test]
fn an_offered_edit_removes_its_finding() {
    let mut edits = 0;
    for check in CHECKS {
        for example in examples(check).into_iter().filter(|example| example.wrong) {
            let (sources, before) = findings(&example);
            for finding in &before {
                let Some(edit) = &finding.edit else { continue };
                edits += 1;
                let mut text = example.text.clone();
                text.replace_range(sources.local(edit.span), &edit.with);
                let (_, after) = findings(&Example { wrong: false, text, ..example.clone() });
                let stands = |found: &Finding| found.headline == finding.headline;
                assert!(!after.iter().any(stands), "{}: {} still stands", check.code, finding.headline);
                // An accept whose name is put right may have nothing to accept.
                let known = |found: &Finding| {
                    found.code == check.code || before.iter().any(|old| old.headline == found.headline)
                };
                assert!(after.iter().all(known), "{}: the change brings {after:?}", check.code);
            }
        }
    }
    assert!(edits >= 6, "only {edits} edits were offered");
}
