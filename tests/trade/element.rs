//! Oxides and elements, against atomic weights of IUPAC (as in the `periodictable` package, 2.1) and printed factors.

use foliary::quantity::Exact;
use foliary::trade::{element_named, element_of};

fn factor(symbol: &str) -> f64 {
    element_of(symbol).unwrap().1.to_f64()
}

#[test]
fn oxides_hold_as_much_of_their_element_as_published() {
    // Conversion factors recomputed from atomic weights; 43.641 % and 83.014 % are printed for P2O5 and K2O by garden
    // and extension pages.
    for (oxide, element, published) in [
        ("P2O5", "P", 0.43643),
        ("K2O", "K", 0.83015),
        ("MgO", "Mg", 0.60304),
        ("CaO", "Ca", 0.71469),
        ("SO3", "S", 0.40045),
    ] {
        assert_eq!(element_of(oxide).unwrap().0, element);
        assert!((factor(oxide) - published).abs() < 0.0001, "{oxide}: {}", factor(oxide));
    }
    for (oxide, published) in [("P2O5", 2.29133), ("K2O", 1.20460), ("MgO", 1.65826)] {
        assert!((1.0 / factor(oxide) - published).abs() < 0.0001, "{oxide}");
    }
}

#[test]
fn a_20_20_20_label_is_20_9_17_of_the_elements() {
    // A printed conversion of a 20-20-20 label: 20, 8.72 and 16.6.
    let of = |symbol: &str| 20.0 * factor(symbol);
    assert!((of("N") - 20.0).abs() < 1e-12);
    assert!((of("P2O5") - 8.73).abs() < 0.02);
    assert!((of("K2O") - 16.60).abs() < 0.02);
}

#[test]
fn an_element_is_all_itself_and_case_is_forgiven() {
    assert_eq!(element_of("Mg"), Some(("Mg", Exact::ONE)));
    assert_eq!(element_of("cu"), Some(("Cu", Exact::ONE)));
    assert_eq!(element_of("p2o5").map(|(element, _)| element), Some("P"));
    assert_eq!(element_of("co"), Some(("Co", Exact::ONE)));
    for unknown in ["", "P2O6", "copper", "X", "P2O5 "] {
        assert_eq!(element_of(unknown), None, "{unknown}");
    }
}

#[test]
fn elements_go_by_their_names_too() {
    assert_eq!(element_named("Copper"), Some("Cu"));
    assert_eq!(element_named("sulphur"), Some("S"));
    assert_eq!(element_named("kelp"), None);
}
