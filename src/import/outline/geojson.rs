//! GeoJSON: RFC 7946, The GeoJSON Format, sections 3 and 4.

use geojson::{Feature, GeoJson, Geometry, GeometryValue, JsonObject, JsonValue, Position};

use super::{Outline, Polygon, Ring};

/// The outlines of a file.
pub(super) fn read(text: &str) -> Result<Vec<Outline>, String> {
    let whole: GeoJson = text.parse().map_err(|error| format!("it is no GeoJSON: {error}"))?;
    let foreign = match &whole {
        GeoJson::FeatureCollection(collection) => &collection.foreign_members,
        GeoJson::Feature(feature) => &feature.foreign_members,
        GeoJson::Geometry(geometry) => &geometry.foreign_members,
    };
    in_degrees(foreign.as_ref())?;
    Ok(match whole {
        GeoJson::FeatureCollection(collection) => collection.features.iter().map(outline).collect(),
        GeoJson::Feature(feature) => vec![outline(&feature)],
        GeoJson::Geometry(geometry) => vec![of_geometry(String::new(), Some(&geometry))],
    })
}

/// Older files may name another reference system; RFC 7946 (section 4) knows only WGS 84.
fn in_degrees(foreign: Option<&JsonObject>) -> Result<(), String> {
    let Some(name) = foreign.and_then(|members| members.get("crs")?.get("properties")?.get("name")?.as_str()) else {
        return Ok(());
    };
    match name.ends_with("CRS84") || name.ends_with("4326") {
        true => Ok(()),
        false => Err(format!("its coordinates are in {name}; save it in WGS 84 (EPSG:4326)")),
    }
}

fn outline(feature: &Feature) -> Outline {
    of_geometry(name(feature), feature.geometry.as_ref())
}

/// The property that names a feature, whatever its capitals.
fn name(feature: &Feature) -> String {
    let words = |value: &JsonValue| match value {
        JsonValue::String(words) => Some(words.trim().to_string()),
        JsonValue::Number(number) => Some(number.to_string()),
        _ => None,
    };
    let properties = feature.properties.iter().flatten();
    let named = ["name", "block", "field", "label", "title", "id"].into_iter().find_map(|key| {
        properties
            .clone()
            .find(|(own, _)| own.eq_ignore_ascii_case(key))
            .and_then(|(_, value)| words(value))
            .filter(|words| !words.is_empty())
    });
    let by_id = || match feature.id.as_ref()? {
        geojson::feature::Id::String(id) => Some(id.clone()),
        geojson::feature::Id::Number(id) => Some(id.to_string()),
    };
    named.or_else(by_id).unwrap_or_default()
}

fn of_geometry(name: String, geometry: Option<&Geometry>) -> Outline {
    let mut parts = Vec::new();
    if let Some(geometry) = geometry {
        polygons(geometry, &mut parts);
    }
    let other = geometry.map_or("nothing", |geometry| geometry.value.type_name());
    let other = parts.is_empty().then(|| other.to_string());
    Outline { name, parts, other }
}

fn polygons(geometry: &Geometry, parts: &mut Vec<Polygon>) {
    match &geometry.value {
        GeometryValue::Polygon { coordinates } => parts.extend(polygon(coordinates)),
        GeometryValue::MultiPolygon { coordinates } => {
            parts.extend(coordinates.iter().filter_map(|rings| polygon(rings)));
        }
        GeometryValue::GeometryCollection { geometries } => {
            for inner in geometries {
                polygons(inner, parts);
            }
        }
        _ => {}
    }
}

/// The first ring goes around, the others are holes (section 3.1.6).
fn polygon(rings: &[Vec<Position>]) -> Option<Polygon> {
    let mut rings = rings.iter().map(|ring| points(ring));
    Some(Polygon { outer: rings.next()?, holes: rings.collect() })
}

fn points(ring: &[Position]) -> Ring {
    ring.iter().filter_map(|point| Some((*point.as_slice().first()?, *point.as_slice().get(1)?))).collect()
}
