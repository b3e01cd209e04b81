//! Rows in common, against sets of rows.

use std::collections::BTreeSet;

use foliary::journal::PickedRows;
use foliary::season::disjoint;
use proptest::prelude::*;

fn rows_of(picked: &PickedRows) -> BTreeSet<u32> {
    match picked {
        PickedRows::Listed(runs) => runs.iter().flat_map(|&(first, last)| first..=last).collect(),
        PickedRows::Alternate => (1..=60).collect(),
        PickedRows::Odd => (1..=60).step_by(2).collect(),
        PickedRows::Even => (2..=60).step_by(2).collect(),
    }
}

fn any_rows() -> impl Strategy<Value = PickedRows> {
    let run = (1u32..50, 0u32..6).prop_map(|(first, length)| (first, first + length));
    prop_oneof![
        4 => prop::collection::vec(run, 1..9).prop_map(PickedRows::Listed),
        1 => Just(PickedRows::Alternate),
        1 => Just(PickedRows::Odd),
        1 => Just(PickedRows::Even),
    ]
}

proptest! {
    #[test]
    fn rows_are_disjoint_where_no_row_is_in_both(one in any_rows(), other in any_rows()) {
        let wanted = rows_of(&one).is_disjoint(&rows_of(&other));
        prop_assert_eq!(disjoint(Some(&one), Some(&other)), wanted);
        prop_assert_eq!(disjoint(Some(&other), Some(&one)), wanted);
        // The whole block has rows in common with any pick.
        prop_assert!(!disjoint(None, Some(&one)) && !disjoint(Some(&one), None));
    }
}

#[test]
fn rows_that_could_not_be_read_are_not_taken_for_others() {
    let (none, some) = (PickedRows::Listed(vec![]), PickedRows::Listed(vec![(1, 7)]));
    assert!(!disjoint(Some(&none), Some(&some)));
    assert!(!disjoint(None, None));
}
