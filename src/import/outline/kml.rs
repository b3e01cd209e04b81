//! KML: OGC KML 2.3 (12-007r2), sections 9.14 and 10.8.

use std::io::{Cursor, Read as _};

use kml::types::{Geometry, LinearRing, Placemark};
use kml::{Kml, KmlReader};

use super::{Outline, Polygon, Ring};

/// Deeper than any file that a person drew.
const DEEPEST: usize = 64;
/// What an archive may unpack to, in bytes.
const MOST_UNPACKED: u64 = 128 << 20;

/// The first KML file of an archive (KMZ).
pub(super) fn unpacked(bytes: &[u8]) -> Result<Vec<u8>, String> {
    let damaged = |error: &dyn std::fmt::Display| format!("it cannot be unpacked: {error}");
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).map_err(|error| damaged(&error))?;
    for at in 0..archive.len() {
        let part = archive.by_index(at).map_err(|error| damaged(&error))?;
        if !part.name().to_lowercase().ends_with(".kml") {
            continue;
        }
        let mut text = Vec::new();
        part.take(MOST_UNPACKED).read_to_end(&mut text).map_err(|error| damaged(&error))?;
        if text.len() as u64 == MOST_UNPACKED {
            return Err("it unpacks to more than 128 MiB".to_string());
        }
        return Ok(text);
    }
    Err("there is no KML in it".to_string())
}

/// The outlines of a file.
pub(super) fn read(text: &str) -> Result<Vec<Outline>, String> {
    if depth(text) > DEEPEST {
        return Err(format!("its folders lie more than {DEEPEST} deep"));
    }
    let whole = KmlReader::<_, f64>::from_string(text).read().map_err(|error| format!("it is no KML: {error}"))?;
    let mut outlines = Vec::new();
    collect(&whole, &mut outlines);
    Ok(outlines)
}

/// How deep elements lie in one another; the reader goes down as deep.
fn depth(text: &str) -> usize {
    let (mut depth, mut deepest) = (0usize, 0);
    let mut opens = false;
    let mut before = ' ';
    for letter in text.chars() {
        match (before, letter) {
            ('<', '/') => depth = depth.saturating_sub(1),
            ('<', '!' | '?') => {}
            ('<', _) => {
                depth += 1;
                opens = true;
            }
            ('/', '>') if opens => depth = depth.saturating_sub(1),
            _ => {}
        }
        opens &= letter != '>';
        deepest = deepest.max(depth);
        before = letter;
    }
    deepest
}

fn collect(kml: &Kml, outlines: &mut Vec<Outline>) {
    match kml {
        Kml::KmlDocument(document) => document.elements.iter().for_each(|inner| collect(inner, outlines)),
        Kml::Document { elements, .. } => elements.iter().for_each(|inner| collect(inner, outlines)),
        Kml::Folder(folder) => folder.elements.iter().for_each(|inner| collect(inner, outlines)),
        Kml::Placemark(placemark) => outlines.push(outline(placemark)),
        Kml::Polygon(polygon) => {
            outlines.push(Outline { name: String::new(), parts: vec![part(polygon)], other: None });
        }
        _ => {}
    }
}

fn outline(placemark: &Placemark) -> Outline {
    let mut parts = Vec::new();
    if let Some(geometry) = &placemark.geometry {
        polygons(geometry, &mut parts);
    }
    let other = parts.is_empty().then(|| match &placemark.geometry {
        Some(Geometry::Point(_)) => "Point".to_string(),
        Some(Geometry::LineString(_) | Geometry::LinearRing(_)) => "LineString".to_string(),
        _ => "nothing".to_string(),
    });
    Outline { name: placemark.name.clone().unwrap_or_default().trim().to_string(), parts, other }
}

fn polygons(geometry: &Geometry, parts: &mut Vec<Polygon>) {
    match geometry {
        Geometry::Polygon(polygon) => parts.push(part(polygon)),
        Geometry::MultiGeometry(several) => several.geometries.iter().for_each(|inner| polygons(inner, parts)),
        _ => {}
    }
}

fn part(polygon: &kml::types::Polygon) -> Polygon {
    Polygon { outer: ring(&polygon.outer), holes: polygon.inner.iter().map(ring).collect() }
}

fn ring(ring: &LinearRing) -> Ring {
    ring.coords.iter().map(|point| (point.x, point.y)).collect()
}
