//! Files of every kind: workbooks made here, encodings, marks between cells, hostile ones.

use std::io::{Cursor, Read as _, Write as _};

use foliary::import::{Fate, Value, read};
use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook};

use super::{book, doubts, fate, imported, imported_into};

const HEAD: [&str; 6] = ["Date", "Block", "Material", "Amount (lb)", "Gallons", "Start"];

/// A workbook with two sheets, the first without records; a title, merged cells, real dates and times, a formula.
fn workbook() -> Vec<u8> {
    let mut book = Workbook::new();
    book.add_worksheet().set_name("Cover").unwrap().write(0, 0, "Wren Croft").unwrap();
    let sheet = book.add_worksheet();
    sheet.set_name("Sprays 2024").unwrap();
    sheet.merge_range(0, 0, 0, 5, "Wren Croft spray log", &Format::new()).unwrap();
    for (column, heading) in HEAD.iter().enumerate() {
        sheet.write(2, column as u16, *heading).unwrap();
    }
    let (day, clock) = (Format::new().set_num_format("m/d/yyyy"), Format::new().set_num_format("h:mm"));
    sheet.merge_range(3, 0, 4, 0, "", &day).unwrap();
    sheet.write_with_format(3, 0, ExcelDateTime::from_ymd(2024, 5, 14).unwrap(), &day).unwrap();
    sheet.merge_range(3, 1, 4, 1, "North", &Format::new()).unwrap();
    sheet.write(3, 2, "Epsom salt").unwrap().write(4, 2, "Kelp extract").unwrap();
    sheet.write(3, 3, 0.5).unwrap();
    sheet.write_formula(4, 3, Formula::new("=0.1+0.2").set_result("0.30000000000000004")).unwrap();
    sheet.merge_range(3, 4, 4, 4, "", &Format::new()).unwrap();
    sheet.write(3, 4, 60).unwrap();
    sheet.write_with_format(3, 5, ExcelDateTime::from_hms(5, 50, 0).unwrap(), &clock).unwrap();
    sheet.write_with_format(4, 5, ExcelDateTime::from_hms(5, 50, 0).unwrap(), &clock).unwrap();
    sheet.write(5, 0, "Total").unwrap().write(5, 3, 0.8).unwrap();
    book.add_worksheet().set_name("Store").unwrap().write(0, 0, "soap").unwrap();
    book.save_to_buffer().unwrap()
}

#[test]
fn a_workbook_with_merged_cells_is_one_tank() {
    let bytes = workbook();
    assert_eq!(book(&bytes).sheet(None).unwrap().name, "Sprays 2024");
    // 60 gal is that of the tank, however many rows its cell covers: nothing to settle.
    is_one_tank(&bytes);
}

/// What the sheet of `workbook` is in each kind of file.
fn is_one_tank(bytes: &[u8]) {
    let imported = imported(bytes);
    assert!(
        matches!(fate(&imported, 1), Fate::Above(words) if words == "Wren Croft spray log"),
        "{:?}",
        imported.report
    );
    assert_eq!((fate(&imported, 2), fate(&imported, 3)), (&Fate::Empty, &Fate::Heading));
    assert!(matches!(fate(&imported, 4), Fate::Entry(_)), "{:?}", imported.report);
    assert!(matches!(fate(&imported, 5), Fate::Joined(4, _)), "{:?}", imported.report);
    assert!(matches!(fate(&imported, 6), Fate::Total(_)));
    for line in [
        "2024-05-14 Tue",
        "spray north",
        "    volume 60 gal",
        "    measured epsom-salt 0.5 lb",
        "    measured kelp-extract 0.3 lb",
        "    time 05:50",
    ] {
        assert!(imported.text.lines().any(|own| own == line), "{line}\n{}", imported.text);
    }
    assert_eq!(doubts(&imported, 4), Vec::<String>::new());
    assert_eq!(imported.mapping.sheet.as_deref(), Some("Sprays 2024"));
}

#[test]
fn an_old_office_file_with_merged_cells_and_dates_is_read() {
    // Written once by a library, from the same invented records.
    is_one_tank(include_bytes!("sprays.xls"));
}

/// An ODS workbook of one sheet, as spreadsheets write it.
fn open_document(rows: &str) -> Vec<u8> {
    let mut out = zip::ZipWriter::new(Cursor::new(Vec::new()));
    let options = zip::write::SimpleFileOptions::default();
    let kind = "application/vnd.oasis.opendocument.spreadsheet";
    let spaces = "xmlns:office=\"urn:oasis:names:tc:opendocument:xmlns:office:1.0\" \
                  xmlns:table=\"urn:oasis:names:tc:opendocument:xmlns:table:1.0\" \
                  xmlns:text=\"urn:oasis:names:tc:opendocument:xmlns:text:1.0\"";
    let manifest = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?><manifest:manifest \
         xmlns:manifest=\"urn:oasis:names:tc:opendocument:xmlns:manifest:1.0\" manifest:version=\"1.3\">\
         <manifest:file-entry manifest:full-path=\"/\" manifest:media-type=\"{kind}\"/>\
         <manifest:file-entry manifest:full-path=\"content.xml\" manifest:media-type=\"text/xml\"/></manifest:manifest>"
    );
    let content = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?><office:document-content {spaces} office:version=\"1.3\"><office:body>\
         <office:spreadsheet><table:table table:name=\"Sprays 2024\">{rows}\
         <table:table-row table:number-rows-repeated=\"1048570\"><table:table-cell \
         table:number-columns-repeated=\"16384\"/></table:table-row></table:table></office:spreadsheet></office:body>\
         </office:document-content>"
    );
    for (name, text) in [("mimetype", kind), ("META-INF/manifest.xml", &manifest), ("content.xml", &content)] {
        out.start_file(name, options).unwrap();
        out.write_all(text.as_bytes()).unwrap();
    }
    out.finish().unwrap().into_inner()
}

#[test]
fn an_open_document_with_merged_cells_and_dates_is_read() {
    let words = |words: &str| {
        format!("<table:table-cell office:value-type=\"string\"><text:p>{words}</text:p></table:table-cell>")
    };
    let number = |number: &str| {
        format!(
            "<table:table-cell office:value-type=\"float\" office:value=\"{number}\"><text:p>{number}</text:p></table:table-cell>"
        )
    };
    let merged = |rest: &str| {
        format!(
            "<table:table-cell table:number-columns-spanned=\"1\" table:number-rows-spanned=\"2\" {rest}</table:table-cell>"
        )
    };
    let covered = |count: usize| format!("<table:covered-table-cell table:number-columns-repeated=\"{count}\"/>");
    let clock = "<table:table-cell office:value-type=\"time\" office:time-value=\"PT05H50M00S\"><text:p>5:50</text:p></table:table-cell>";
    let row = |cells: &[String]| format!("<table:table-row>{}</table:table-row>", cells.concat());
    let title = "<table:table-cell table:number-columns-spanned=\"6\" table:number-rows-spanned=\"1\" office:value-type=\"string\">\
                 <text:p>Wren Croft spray log</text:p></table:table-cell>";
    let rows = [
        row(&[title.to_string(), covered(5)]),
        "<table:table-row table:number-rows-repeated=\"1\"><table:table-cell table:number-columns-repeated=\"6\"/></table:table-row>".to_string(),
        format!("<table:table-header-rows>{}</table:table-header-rows>", row(&HEAD.map(words))),
        row(&[
            merged("office:value-type=\"date\" office:date-value=\"2024-05-14\"><text:p>5/14/24</text:p>"),
            merged("office:value-type=\"string\"><text:p>North</text:p>"),
            words("Epsom salt"),
            number("0.5"),
            merged("office:value-type=\"float\" office:value=\"60\"><text:p>60</text:p>"),
            clock.to_string(),
        ]),
        row(&[covered(2), words("Kelp extract"), number("0.3"), covered(1), clock.to_string()]),
        row(&[words("Total"), "<table:table-cell table:number-columns-repeated=\"2\"/>".to_string(), number("0.8")]),
    ];
    is_one_tank(&open_document(&rows.concat()));
    // Spans that no sheet has do no harm.
    let far = "<table:table-cell table:number-rows-spanned=\"4294967295\" table:number-columns-spanned=\"0\" \
               office:value-type=\"string\"><text:p>x</text:p></table:table-cell>";
    assert_eq!(read(&open_document(&row(&[far.to_string()]))).unwrap().sheets[0].rows.len(), 1);
}

#[test]
fn an_amount_merged_over_rows_is_asked_about() {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    for (column, heading) in HEAD.iter().enumerate() {
        sheet.write(0, column as u16, *heading).unwrap();
    }
    for (row, material) in [(1, "Epsom salt"), (2, "Kelp extract")] {
        sheet.write(row, 0, "2024-05-14").unwrap().write(row, 1, "North").unwrap().write(row, 2, material).unwrap();
    }
    sheet.merge_range(1, 3, 2, 3, "", &Format::new()).unwrap();
    sheet.write(1, 3, 4).unwrap();
    let imported = imported(&book.save_to_buffer().unwrap());
    assert!(doubts(&imported, 2)[0].contains("merged over rows 2 to 3"), "{:?}", doubts(&imported, 2));
}

/// A workbook with one of its parts changed.
fn with_part(bytes: &[u8], name: &str, change: impl Fn(String) -> String) -> Vec<u8> {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    let mut out = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for at in 0..archive.len() {
        let mut part = archive.by_index(at).unwrap();
        let own = part.name().to_string();
        let mut text = String::new();
        part.read_to_string(&mut text).unwrap();
        out.start_file(&own, zip::write::SimpleFileOptions::default()).unwrap();
        let text = if own == name { change(text) } else { text };
        out.write_all(text.as_bytes()).unwrap();
    }
    out.finish().unwrap().into_inner()
}

#[test]
fn both_date_systems_are_read() {
    let mut book_of = Workbook::new();
    let sheet = book_of.add_worksheet();
    sheet.write(0, 0, "Date").unwrap().write(0, 1, "Block").unwrap();
    let day = Format::new().set_num_format("yyyy-mm-dd");
    sheet.write_with_format(1, 0, 45426, &day).unwrap();
    let bytes = book_of.save_to_buffer().unwrap();
    let date = |bytes: &[u8]| book(bytes).sheet(None).unwrap().rows[1][0].value.clone();
    // Days 1 of the two systems: ECMA-376 part 1, section 18.17.4.1 (1900 and 1904 date systems, 1462 days apart).
    assert_eq!(date(&bytes), Value::Day("2024-05-14".parse().unwrap()));
    let old =
        with_part(&bytes, "xl/workbook.xml", |text| text.replacen("<workbookPr", "<workbookPr date1904=\"1\"", 1));
    assert_eq!(date(&old), Value::Day("2028-05-15".parse().unwrap()));
}

#[test]
fn plain_text_is_read_in_its_encoding_and_with_its_mark() {
    let text = "Date;Block;Material;Amount;Notes\n14.05.2024;North;Epsom salt;4 lb;Blüte vorüber, café\n";
    let (latin, ..) = encoding_rs::WINDOWS_1252.encode(text);
    let wide: Vec<u8> = [0xff, 0xfe].into_iter().chain(text.encode_utf16().flat_map(u16::to_le_bytes)).collect();
    let marked = [b"\xef\xbb\xbf".as_slice(), text.as_bytes()].concat();
    let tabs = text.replace(';', "\t");
    for bytes in [text.as_bytes(), &latin, &wide, &marked, tabs.as_bytes()] {
        let imported = imported(bytes);
        assert!(imported.text.contains("note Blüte vorüber, café\n"), "{}", imported.text);
    }
    assert_eq!(read(&latin).unwrap().encoding, Some("windows-1252"));
}

#[test]
fn marks_inside_cells_are_not_the_mark_between_cells() {
    let text = "Date,Block,Material,Amount,Notes\n2024-05-14,Hill; dale,Epsom salt,4 lb\n,\"low; high\"\n,\"a; b\",x\n";
    let imported = imported(text.as_bytes());
    assert!(imported.text.contains("spray hill, dale\n"), "{}", imported.text);
}

#[test]
fn rows_are_numbered_as_a_spreadsheet_numbers_them() {
    for end in ["\n", "\r\n"] {
        let text = [
            "",
            "Date,Block,Material,Amount,Notes",
            "",
            "",
            "2024-05-14,North,Epsom salt,4 lb,\"one\ntwo\"",
            "",
            "Total,,,4,",
        ]
        .join(end);
        let imported = imported(text.as_bytes());
        assert_eq!((fate(&imported, 1), fate(&imported, 2)), (&Fate::Empty, &Fate::Heading));
        assert!(matches!(fate(&imported, 5), Fate::Entry(_)), "{:?}", imported.report.rows);
        assert!(matches!(fate(&imported, 7), Fate::Total(_)));
        assert!(imported.text.contains("note one\n        two\n"));
    }
}

#[test]
fn damaged_and_hostile_files_are_refused_in_words() {
    let whole = workbook();
    for length in [4, 30, whole.len() / 2, whole.len() - 30] {
        assert!(read(&whole[..length]).is_err(), "{length}");
    }
    assert!(read(b"PK\x03\x04 no archive").is_err());
    assert!(read(&[0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1, 0, 0]).is_err());
    assert!(read(&[0, 1, 2, 0, 0, 7]).unwrap_err().contains("neither a workbook nor plain text"));
    // A small archive that unpacks to more than a machine should hold.
    let mut out = zip::ZipWriter::new(Cursor::new(Vec::new()));
    out.start_file("xl/workbook.xml", zip::write::SimpleFileOptions::default()).unwrap();
    let noughts = vec![b' '; 1 << 20];
    for _ in 0..600 {
        out.write_all(&noughts).unwrap();
    }
    let bomb = out.finish().unwrap().into_inner();
    assert!(bomb.len() < 2 << 20);
    assert!(read(&bomb).unwrap_err().contains("512 MiB"));
}

#[test]
fn a_cell_in_the_last_corner_is_no_trouble() {
    let mut book_of = Workbook::new();
    let sheet = book_of.add_worksheet();
    sheet.write(0, 0, "Date").unwrap().write(0, 1, "Block").unwrap();
    sheet.write(1_048_575, 1, "x").unwrap();
    let imported = imported(&book_of.save_to_buffer().unwrap());
    assert_eq!(imported.report.rows.len(), 1_048_576);
    assert!(matches!(fate(&imported, 1_048_576), Fate::Held(..)));
    assert!(imported.report.all_rows().lines().count() < 10);
    let mut book_of = Workbook::new();
    book_of.add_worksheet().write(0, 16_383, "x").unwrap();
    assert!(read(&book_of.save_to_buffer().unwrap()).unwrap_err().contains("beyond column"));
}

#[test]
fn many_rows_are_read_and_found_again() {
    let mut text = "Date,Block,Material,Amount\n".to_string();
    for row in 0..20_000 {
        text.push_str(&format!("2024-05-{:02},North,Epsom salt,{} oz\n", row % 28 + 1, row % 7));
    }
    let first = imported(text.as_bytes());
    assert_eq!(first.report.counts().held, 0);
    let again = imported_into(super::FARM, text.as_bytes(), None, &super::left(&first));
    assert_eq!((again.text.as_str(), again.report.counts().had), ("", 20_000));
}
