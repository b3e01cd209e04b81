//! Whether a ring crosses itself: then it encloses no definite area.

use super::Ring;
use super::area::open;

/// The longest ring that is looked through: the look takes the square of it.
pub const LONGEST_LOOKED_AT: usize = 5000;

type Point = (f64, f64);

/// Whether a ring crosses itself; nothing where it has more points than are looked through. A ring that touches itself,
/// as one does that leads to a hole and back, has a definite area and crosses nothing.
pub fn crosses_itself(ring: &Ring) -> Option<bool> {
    let points = plane(ring);
    let count = points.len();
    if count > LONGEST_LOOKED_AT {
        return None;
    }
    let at = |place: usize| points[place % count.max(1)];
    let edges_cross = |one: usize, other: usize| {
        let (a, b, c, d) = (at(one), at(one + 1), at(other), at(other + 1));
        side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
    };
    // The ring may also cross itself in one of its points.
    let crosses_at = |corner: usize, edge: usize| {
        let (point, from, to) = (at(corner), at(edge), at(edge + 1));
        let from = if point == from { at(edge + count - 1) } else { from };
        point != to
            && is_between(point, at(edge), to)
            && passes_through(point, (at(corner + count - 1), at(corner + 1)), (from, to))
    };
    Some((0..count).any(|one| {
        (0..count)
            // Neighbours meet at a corner.
            .filter(|&other| other != one && (other + 1) % count != one && (one + 1) % count != other)
            .any(|other| (one < other && edges_cross(one, other)) || crosses_at(one, other))
    }))
}

/// The points as on a map around the first, no point twice in a row: a ring may lie across the 180th meridian.
fn plane(ring: &Ring) -> Vec<Point> {
    let points = open(ring);
    let first = points.first().map_or(0.0, |(lon, _)| *lon);
    let mut points: Vec<Point> =
        points.iter().map(|&(lon, lat)| ((lon - first + 180.0).rem_euclid(360.0) - 180.0, lat)).collect();
    points.dedup();
    points
}

/// Above nothing where a point lies to the left of a line, below where to the right.
fn side(from: Point, to: Point, point: Point) -> f64 {
    (to.0 - from.0) * (point.1 - from.1) - (to.1 - from.1) * (point.0 - from.0)
}

/// Whether a point lies on an edge.
fn is_between(point: Point, from: Point, to: Point) -> bool {
    let within = |own: f64, one: f64, other: f64| one.min(other) <= own && own <= one.max(other);
    within(point.0, from.0, to.0) && within(point.1, from.1, to.1) && side(from, to, point) == 0.0
}

/// Whether two ways through a point cross there, rather than touch.
fn passes_through(point: Point, (one, other): (Point, Point), (from, to): (Point, Point)) -> bool {
    let ahead = |a: Point, b: Point| (a.0 - point.0) * (b.0 - point.0) + (a.1 - point.1) * (b.1 - point.1) > 0.0;
    let along = |a: Point, b: Point| side(point, a, b) == 0.0 && ahead(a, b);
    // A way that runs along the other does not cross it here.
    if [from, to].into_iter().any(|end| along(one, end) || along(other, end)) {
        return false;
    }
    let wide = side(point, one, other) <= 0.0;
    let inside = |end: Point| {
        let (behind, before) = (side(point, one, end) > 0.0, side(point, end, other) > 0.0);
        if wide { behind || before } else { behind && before }
    };
    inside(from) != inside(to)
}
