//! Every check either judges what is planned, or is about how what was done is recorded.

use foliary::checks::CHECKS;
use foliary::plan::JUDGED;

/// Checks that say nothing about a spray that is not done yet: how a journal is read, what was measured and when, who did
/// it, what was posted, kept and changed. A new check belongs here or in the list of those that judge what is planned.
const ABOUT_RECORDS: &[&str] = &[
    "unreadable-line",
    "unknown-word",
    "misplaced-field",
    "repeated-field",
    "missing-field",
    "undated-entry",
    "nameless-entry",
    "unknown-name",
    "look-alike-name",
    "duplicate-name",
    "unknown-choice",
    "unknown-unit",
    "wrong-dimension",
    "unreadable-number",
    "unreadable-date",
    "unsettled-ounce",
    "wrong-form",
    "wrong-shape",
    "wrong-weekday",
    "unknown-timezone",
    "missing-folder",
    "hidden-character",
    "amendment-of-nothing",
    "amendment-disagrees",
    "change-without-reason",
    "changed-after-signing",
    "record-removed",
    "history-cut-off",
    "accept-of-nothing",
    "empty-spray",
    "amount-disagrees",
    "last-load-full",
    "loads-disagree",
    "area-over-block",
    "rows-outside-block",
    "row-area-disagrees",
    "stock-disagrees",
    "count-disagrees",
    "lot-overdrawn",
    "lot-unknown",
    "same-spray-twice",
    "end-before-start",
    "missing-end",
    "session-too-long",
    "clock-change",
    "future-date",
    "stage-unknown",
    "round-early",
    "round-late",
    "rounds-missed",
    "rounds-extra",
    "posting-missing",
    "posting-late",
    "posting-down-early",
    "signs-out-of-time",
    "exclusion-zone-unknown",
    "training-lapsed",
    "licence-lapsed",
    "fit-test-lapsed",
    "impossible-weather",
    "batch-unnamed",
    "batch-out-of-date",
    "rulebook-unknown",
    "rulebook-ended",
    "status-unwritten",
    "workers-unwritten",
    "record-incomplete",
    "record-late",
    "kept-too-short",
    "registration-malformed",
    "plan-reason-missing",
    "nozzles-worn",
    "output-disagrees",
];

#[test]
fn each_check_is_in_one_of_the_lists() {
    for check in CHECKS {
        let judged = JUDGED.iter().filter(|judged| judged.code == check.code).count();
        let about_records = ABOUT_RECORDS.iter().filter(|code| **code == check.code).count();
        assert_eq!(judged + about_records, 1, "{} judges what is planned, or is about records", check.code);
    }
    assert_eq!(JUDGED.len() + ABOUT_RECORDS.len(), CHECKS.len(), "a list names a check that is no more");
}
