//! The area of an outline on the WGS 84 ellipsoid, its edges being geodesics.
//!
//! Method: C. F. F. Karney, Algorithms for geodesics, Journal of Geodesy 87 (2013), section 6, by its author's library.

use geographiclib_rs::{Geodesic, PolygonArea, Winding};

use super::{Polygon, Ring};

/// The longest ring that is looked through for edges that cross: the look takes the square of it.
const LONGEST_LOOKED_AT: usize = 2000;

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
fn open(ring: &Ring) -> &[(f64, f64)] {
    match &ring[..] {
        [first, between @ .., last] if first == last && !between.is_empty() => &ring[..ring.len() - 1],
        ring => ring,
    }
}

/// Whether edges of a ring cross each other, so that its area means nothing.
pub fn crosses_itself(ring: &Ring) -> bool {
    let points = open(ring);
    let count = points.len();
    if !(4..=LONGEST_LOOKED_AT).contains(&count) {
        return false;
    }
    let edge = |at: usize| (points[at], points[(at + 1) % count]);
    (0..count).any(|one| {
        // Neighbours meet at a corner.
        (one + 2..count).filter(|other| (other + 1) % count != one).any(|other| cross(edge(one), edge(other)))
    })
}

type Edge = ((f64, f64), (f64, f64));

fn cross((a, b): Edge, (c, d): Edge) -> bool {
    let side = |p: (f64, f64), q: (f64, f64), r: (f64, f64)| (q.0 - p.0) * (r.1 - p.1) - (q.1 - p.1) * (r.0 - p.0);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}
