//! Areas on the ellipsoid against published ones; outlines against journals.

use foliary::import::outline::{
    Compared, LONGEST_LOOKED_AT, Outcome, Polygon, compare, crosses_itself, read, square_metres,
};
use foliary::import::remarks;

use super::{farm, reads};

fn area(points: &[(f64, f64)]) -> f64 {
    let outer = points.iter().map(|&(lat, lon)| (lon, lat)).collect();
    square_metres(&[Polygon { outer, holes: Vec::new() }])
}

/// The documentation of GeographicLib for Python, Examples, Computing the area: 13662703680020.1 m².
#[test]
fn antarctica_is_as_large_as_published() {
    let antarctica = [
        (-63.1, -58.0),
        (-72.9, -74.0),
        (-71.9, -102.0),
        (-74.9, -102.0),
        (-74.3, -131.0),
        (-77.5, -163.0),
        (-77.4, 163.0),
        (-71.7, 172.0),
        (-65.9, 140.0),
        (-65.7, 113.0),
        (-66.6, 88.0),
        (-66.9, 59.0),
        (-69.8, 25.0),
        (-70.0, -4.0),
        (-71.0, -14.0),
        (-77.3, -33.0),
        (-77.9, -46.0),
        (-74.7, -61.0),
    ];
    assert!((area(&antarctica) - 13_662_703_680_020.1).abs() < 1.0, "{}", area(&antarctica));
}

/// GeographicLib's own test cases Planimeter0: around the pole, across the equator, an eighth of the earth.
#[test]
fn other_published_areas_hold() {
    let cases: [(&[(f64, f64)], f64); 3] = [
        (&[(89.0, 0.0), (89.0, 90.0), (89.0, 180.0), (89.0, 270.0)], 24_952_305_678.0),
        (&[(0.0, -1.0), (-1.0, 0.0), (0.0, 1.0), (1.0, 0.0)], 24_619_419_146.0),
        (&[(90.0, 0.0), (0.0, 0.0), (0.0, 90.0)], 63_758_202_715_511.0),
    ];
    for (points, published) in cases {
        assert!((area(points) - published).abs() < 1.0, "{} for {published}", area(points));
        let back: Vec<_> = points.iter().rev().copied().collect();
        assert!((area(&back) - published).abs() < 1.0, "either way round");
    }
}

/// A square of a thousandth of a degree at the equator.
fn square(name: &str, lon: f64, hole: bool) -> String {
    let ring =
        |from: f64, to: f64| format!("[[{0},0.0],[{1},0.0],[{1},0.001],[{0},0.001],[{0},0.0]]", lon + from, lon + to);
    let hole = if hole { format!(",{}", ring(0.0, 0.0005)) } else { String::new() };
    format!(
        "{{\"type\":\"Feature\",\"properties\":{{\"Name\":\"{name}\"}},\"geometry\":{{\"type\":\"Polygon\",\"coordinates\":[{}{hole}]}}}}",
        ring(0.0, 0.001)
    )
}

fn collection(features: &[String]) -> String {
    format!("{{\"type\":\"FeatureCollection\",\"features\":[{}]}}", features.join(","))
}

const FARM: &str = "farm a\nblock north \"North orchard\"\n    area 3.04 acre\nblock low\n    area 2 acre\nblock bare\n    crop pear\n";

fn compared(text: &str) -> (Vec<Compared>, String) {
    let (_, _, journal) = farm(FARM);
    let (compared, text) = compare(&read(text.as_bytes()).unwrap(), &journal, &[], "o.geojson", "");
    reads(&text);
    (compared, text)
}

#[test]
fn written_areas_are_held_against_outlines_and_never_changed() {
    // 0.001 degree squared at the equator: 111.319 m by 110.574 m, 12309 m², 3.0417 acre.
    let features = [
        square("North orchard", 10.0, false),
        square("LOW", 10.1, false),
        square("bare", 10.2, false),
        square("Nort orchard", 10.3, true),
    ];
    let (compared, text) = compared(&collection(&features));
    assert!(matches!(compared[0].outcome, Outcome::Written(_, percent) if percent.abs() < 0.1), "{compared:?}");
    assert_eq!(compared[0].doubts, Vec::<String>::new());
    assert!(compared[1].doubts[0].contains("the journal says 2 acre, 34.2 % less than the outline"), "{compared:?}");
    assert_eq!(compared[2].outcome, Outcome::Unwritten);
    assert!(compared[3].doubts[0].contains("is it north?"), "{compared:?}");
    // Half of it is a hole.
    assert!(text.contains("\nblock nort-orchard \"Nort orchard\"\n"), "{text}");
    assert!(text.contains("    area 1.52 acre   # settle: computed from outline\n"), "{text}");
    assert!(!text.contains("block north ") && !text.contains("block low"));
}

#[test]
fn an_outline_comes_once() {
    let text = collection(&[square("West", 10.0, false), square("West", 11.0, false), square("", 12.0, false)]);
    let (_, _, journal) = farm(FARM);
    let outlines = read(text.as_bytes()).unwrap();
    let (first, written) = compare(&outlines, &journal, &[], "o.geojson", "");
    assert!(first.iter().all(|one| matches!(one.outcome, Outcome::Proposed(_))));
    assert!(written.contains("\nblock west \"West\"\n") && written.contains("\nblock west-2 \"West\"\n"), "{written}");
    // The grower gave it another name.
    let (sources, files, journal) = farm(&written.replace("block west ", "block sunset "));
    let (again, nothing) = compare(&outlines, &journal, &remarks(&sources, &files), "o.geojson", &written);
    assert_eq!(nothing, "");
    assert!(again.iter().all(|one| !matches!(one.outcome, Outcome::Proposed(_))), "{again:?}");
}

#[test]
fn kml_with_a_hole_is_read() {
    let ring = |from: f64, to: f64| {
        format!(
            "<LinearRing><coordinates>{from},0,0 {to},0,0 {to},0.001,0 {from},0.001,0 {from},0,0</coordinates></LinearRing>"
        )
    };
    let kml = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?><kml xmlns=\"http://www.opengis.net/kml/2.2\"><Document><Folder>\
         <Placemark><name>North orchard</name><Polygon><outerBoundaryIs>{}</outerBoundaryIs><innerBoundaryIs>{}</innerBoundaryIs></Polygon></Placemark>\
         <Placemark><name>Gate</name><Point><coordinates>10,0</coordinates></Point></Placemark>\
         </Folder></Document></kml>",
        ring(10.0, 10.001),
        ring(10.0, 10.00075)
    );
    let (compared, _) = compared(&kml);
    assert!(
        matches!(compared[0].outcome, Outcome::Written(_, percent) if (percent - 300.0).abs() < 1.0),
        "{compared:?}"
    );
    assert_eq!(compared[1].outcome, Outcome::NoArea("it is Point".to_string()));
}

#[test]
fn what_cannot_be_measured_is_said() {
    for text in ["", "{}", "[1]", "<kml", "<a><b></a>", "{\"type\":\"FeatureCollection\"}"] {
        if let Ok(outlines) = read(text.as_bytes()) {
            assert!(outlines.is_empty(), "{text}");
        }
    }
    let metres = "{\"type\":\"Polygon\",\"coordinates\":[[[500000,4400000],[500100,4400000],[500100,4400100],[500000,4400000]]]}";
    assert!(read(metres.as_bytes()).unwrap_err().contains("WGS 84"));
    let other = "{\"type\":\"FeatureCollection\",\"crs\":{\"type\":\"name\",\"properties\":{\"name\":\"EPSG:3857\"}},\"features\":[]}";
    assert!(read(other.as_bytes()).unwrap_err().contains("EPSG:3857"));
    let deep = format!("<kml>{}{}</kml>", "<Folder>".repeat(100_000), "</Folder>".repeat(100_000));
    assert!(read(deep.as_bytes()).is_err());
}

/// A feature of one ring.
fn feature(name: &str, ring: &[(f64, f64)]) -> String {
    let points: Vec<String> = ring.iter().map(|(lon, lat)| format!("[{lon},{lat}]")).collect();
    format!(
        "{{\"type\":\"Feature\",\"properties\":{{\"name\":\"{name}\"}},\"geometry\":{{\"type\":\"Polygon\",\"coordinates\":[[{}]]}}}}",
        points.join(",")
    )
}

const BOW: [(f64, f64); 5] = [(0.0, 0.0), (0.001, 0.001), (0.001, 0.0), (0.0, 0.001), (0.0, 0.0)];

#[test]
fn a_ring_that_crosses_itself_has_no_area_and_the_others_have() {
    let flat = [(0.0, 0.0), (0.001, 0.0), (0.002, 0.0), (0.0, 0.0)];
    let features =
        [feature("Kite", &BOW), feature("North orchard", &BOW), square("West", 10.0, false), feature("Flat", &flat)];
    let (compared, text) = compared(&collection(&features));
    assert_eq!(compared[0].area, None);
    assert!(matches!(compared[0].outcome, Outcome::Proposed(_)));
    assert!(compared[0].doubts[0].contains("crosses itself"), "{compared:?}");
    assert!(matches!(&compared[1].outcome, Outcome::NoArea(why) if why.contains("draw it again")), "{compared:?}");
    assert!(matches!(&compared[3].doubts[..], [why] if why == "no area: it encloses nothing"), "{compared:?}");
    assert!(text.contains("block kite \"Kite\"\n") && text.contains("    # settle: area, and crop\n"), "{text}");
    assert_eq!(text.matches("\n    area ").count(), 1, "{text}");
    assert!(text.contains("area 3.04 acre"), "{text}");
}

#[test]
fn crossing_is_told_from_touching() {
    let crosses = |ring: &[(f64, f64)]| crosses_itself(&ring.to_vec());
    assert_eq!(crosses(&BOW), Some(true));
    // The same bow with a point where it crosses, and with a corner on the edge that it goes through.
    let middle = (0.0005, 0.0005);
    assert_eq!(crosses(&[(0.0, 0.0), middle, (0.001, 0.001), (0.001, 0.0), middle, (0.0, 0.001)]), Some(true));
    assert_eq!(crosses(&[(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (2.0, 4.0), (2.0, 0.0), (1.0, -1.0)]), Some(true));
    // Two squares that meet in a corner, run one after the other.
    let corner = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (2.0, 1.0), (2.0, 2.0), (1.0, 2.0), (1.0, 1.0), (0.0, 1.0)];
    assert_eq!(crosses(&corner), Some(false));
    // A corner that touches an edge from inside.
    assert_eq!(crosses(&[(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (2.0, 0.0), (0.0, 4.0)]), Some(false));
    // A way in to a hole and back.
    let hole = [
        (0.0, 0.0),
        (4.0, 0.0),
        (4.0, 4.0),
        (0.0, 4.0),
        (0.0, 0.0),
        (1.0, 1.0),
        (1.0, 2.0),
        (2.0, 2.0),
        (2.0, 1.0),
        (1.0, 1.0),
    ];
    assert_eq!(crosses(&hole), Some(false));
    // A notch on either side of the 180th meridian.
    let far = [(179.9, 0.0), (-179.9, 0.0), (-179.9, 0.2), (179.99, 0.2), (-179.99, 0.1), (179.9, 0.1)];
    assert_eq!(crosses(&far), Some(false));
    for few in [&[][..], &BOW[..1], &BOW[..2], &BOW[..3]] {
        assert_eq!(crosses(few), Some(false), "{few:?}");
    }
    // So many points are not looked through, and that is said.
    let count = LONGEST_LOOKED_AT + 1;
    let round: Vec<(f64, f64)> = (0..count)
        .map(|at| (at as f64 / count as f64 * std::f64::consts::TAU).sin_cos())
        .map(|(sine, cosine)| (10.0 + sine / 1000.0, cosine / 1000.0))
        .collect();
    let (compared, text) = compared(&collection(&[feature("Round", &round)]));
    assert!(compared[0].doubts[0].contains("was not looked at"), "{compared:?}");
    assert!(text.contains("area "), "{text}");
}
