//! Which cells of an ODS workbook are merged: Open Document Format for Office Applications 1.3, part 3, section 19.679
//! (`table:number-rows-spanned`). The library that reads the cells does not say it.

use std::collections::BTreeMap;
use std::io::{Cursor, Read as _};

use calamine::Dimensions;
use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};

/// The merged cells of each sheet that go over several rows; none where the file cannot be read so: whoever reads the
/// cells says what is wrong with it.
pub(super) fn merged(bytes: &[u8]) -> BTreeMap<String, Vec<Dimensions>> {
    let mut text = String::new();
    let part = zip::ZipArchive::new(Cursor::new(bytes)).ok().and_then(|mut archive| {
        archive.by_name("content.xml").ok().and_then(|mut part| part.read_to_string(&mut text).ok())
    });
    if part.is_none() {
        return BTreeMap::new();
    }
    let mut reader = Reader::from_str(&text);
    reader.config_mut().expand_empty_elements = true;
    let mut sheets: BTreeMap<String, Vec<Dimensions>> = BTreeMap::new();
    let mut sheet = String::new();
    // Where the next row and the next cell begin.
    let (mut row, mut column) = (0u32, 0u32);
    let mut rows = 0;
    while let Ok(event) = reader.read_event() {
        match event {
            Event::Eof => break,
            Event::Start(element) => match element.name().as_ref() {
                b"table:table" => {
                    sheet = attribute(&element, "table:name").unwrap_or_default();
                    (row, column) = (0, 0);
                }
                b"table:table-row" => {
                    rows = count(&element, "table:number-rows-repeated");
                    column = 0;
                }
                b"table:table-cell" | b"table:covered-table-cell" => {
                    let down = count(&element, "table:number-rows-spanned");
                    if down > 1 {
                        let across = count(&element, "table:number-columns-spanned");
                        let last = (row.saturating_add(down - 1), column.saturating_add(across.max(1) - 1));
                        sheets.entry(sheet.clone()).or_default().push(Dimensions::new((row, column), last));
                    }
                    column = column.saturating_add(count(&element, "table:number-columns-repeated"));
                }
                _ => {}
            },
            Event::End(element) if element.name().as_ref() == b"table:table-row" => row = row.saturating_add(rows),
            _ => {}
        }
    }
    sheets
}

fn attribute(element: &BytesStart<'_>, name: &str) -> Option<String> {
    let attribute = element.try_get_attribute(name).ok()??;
    attribute.decode_and_unescape_value(element.decoder()).ok().map(|value| value.into_owned())
}

/// A number that is one where it is not written.
fn count(element: &BytesStart<'_>, name: &str) -> u32 {
    attribute(element, name).and_then(|value| value.parse().ok()).unwrap_or(1)
}
