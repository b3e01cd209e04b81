//! Outlines of blocks (GeoJSON, KML): their areas on the ellipsoid, held against what the journal says.

mod area;
mod compare;
mod crossing;
mod geojson;
mod kml;

pub use area::square_metres;
pub use compare::{Compared, Outcome, compare};
pub use crossing::{LONGEST_LOOKED_AT, crosses_itself};

/// The outline of one block.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    /// What it is called; empty where the file does not say.
    pub name: String,
    /// Its parts; none where it is a point or a line.
    pub parts: Vec<Polygon>,
    /// What it is instead of an area: `Point`.
    pub other: Option<String>,
}

/// One part, with its holes.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Polygon {
    /// The ring around it.
    pub outer: Ring,
    /// The rings around what is left out.
    pub holes: Vec<Ring>,
}

/// Longitudes and latitudes in degrees, in their order around. The first may be there again at the end.
pub type Ring = Vec<(f64, f64)>;

/// Whether a file's name is that of outlines.
pub fn is_outline(name: &str) -> bool {
    let ending = name.rsplit('.').next().unwrap_or_default().to_lowercase();
    ["geojson", "json", "kml", "kmz"].contains(&ending.as_str())
}

/// Reads a file of outlines.
///
/// # Errors
/// A sentence where it is neither GeoJSON nor KML, or is damaged, or is not in degrees.
pub fn read(bytes: &[u8]) -> Result<Vec<Outline>, String> {
    let unpacked;
    let bytes = if bytes.starts_with(b"PK") {
        unpacked = kml::unpacked(bytes)?;
        unpacked.as_slice()
    } else {
        bytes
    };
    let text = std::str::from_utf8(bytes).map_err(|_| "it is not text in UTF-8".to_string())?;
    let text = text.trim_start_matches('\u{feff}').trim_start();
    let outlines = if text.starts_with('<') { kml::read(text)? } else { geojson::read(text)? };
    for outline in &outlines {
        for ring in outline.parts.iter().flat_map(|part| part.holes.iter().chain([&part.outer])) {
            let outside = ring.iter().find(|(lon, lat)| !(lat.abs() <= 90.0 && lon.abs() <= 360.0));
            if let Some((lon, lat)) = outside {
                return Err(format!(
                    "the outline `{}` has a point at {lon}, {lat}: that is no longitude and latitude in degrees; save it \
                     in WGS 84",
                    outline.name
                ));
            }
        }
    }
    Ok(outlines)
}
