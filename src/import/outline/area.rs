//! The area of an outline on the WGS 84 ellipsoid, its edges being geodesics.
//!
//! Method: C. F. F. Karney, Algorithms for geodesics, Journal of Geodesy 87 (2013), section 6, by its author's library.

use geographiclib_rs::{Geodesic, PolygonArea, Winding};

use super::{Polygon, Ring};

/// The area of some parts, holes taken off. Which way a ring runs makes no difference: RFC 7946 (section 3.1.6) asks
/// readers to take either.
pub fn square_metres(parts: &[Polygon]) -> f64 {
    let earth = Geodesic::wgs84();
    let ring = |ring: &Ring| {
        let mut polygon = PolygonArea::new(&earth, Winding::CounterClockwise);
        for &(lon, lat) in open(ring) {
            polygon.add_point(lat, lon);
        }
        if open(ring).len() < 3 { 0.0 } else { polygon.compute(true).1.abs() }
    };
    parts.iter().map(|part| ring(&part.outer) - part.holes.iter().map(ring).sum::<f64>()).sum()
}

/// The ring without its first point at the end again.
pub(super) fn open(ring: &Ring) -> &[(f64, f64)] {
    match &ring[..] {
        [first, between @ .., last] if first == last && !between.is_empty() => &ring[..ring.len() - 1],
        ring => ring,
    }
}
