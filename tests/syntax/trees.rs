//! What pages read as.

use foliary::syntax::{Entry, EntryWord, FieldWord, Value};

use super::examples::journals;
use super::{dump, read, words_of};

/// A page as somebody would type it on a telephone: capitals at line starts, tabs and spaces mixed, a note over several lines, remarks, a slip in one line.
const PAGE: &str = "\
# Sunday, from the barn sheet

Block creek-pear \"Creek pears\"
    Crop pear   # winter kinds
\tarea 1 1/2 acre from 2024-03-01

2026-05-14 Thu   # late start

Spray creek-pear rows 1 to 9, 12
    Mix leaf-tonic, 60 gal
  \tmeasured magnesium-sulfate 24 oz wt
    over zero point eight acre
    Time 05:50 to 1:15 am next day second
    weather 06:10 52 F, wind 3 mph NW, sky clear, humidity 74 %
    Note Canopy dry at the start.

        - **Round 2** of 4  # not a remark

        - the low corner
    by t-marsh, r-vale
    accept round-late rain all week # twice

spray öst-3 alternate rows
    put sulfur 1:500
    leftover 8 gal on creek-pear rows 10 to 11, the rest on the grass
";

fn only(text: &str) -> Entry {
    let mut entries = read(text, 0);
    assert_eq!(entries.len(), 1, "{text:?} is one entry");
    entries.remove(0)
}

fn slice(text: &str, span: foliary::text::Span) -> &str {
    &text[span.start as usize..span.end as usize]
}

#[test]
fn a_page_as_a_person_types_it() {
    insta::assert_snapshot!(dump(PAGE, 0, &read(PAGE, 0)));
}

#[test]
fn every_kind_of_value() {
    let page = "\
material m \"M\"
    density 7.1 lb/gal
    weighs 14 g per tbsp
    contains Mg 9.86 %, N 12 g/L
    rate 0.25 to 1 oz wt per 100 gal on pear, quince
    rate at most 6 fl oz per 100 ft row
    reentry none stated
    preharvest none stated on pear
    apart 14 days from oil, soap
    never with acid
    within temperature 50 to 85 F, wind at most 10 mph
    season at most 5 lb of Cu per acre
limits l
    total oil at most 0.5 % v/v on pear
    never sulfur with oil
    apart sulfur 14 days from oil
program p
    start stage petal fall
    start 2026-04-20
    rounds every 4 days, 3 or 4 rounds
block b
    rows 1 to 14, 16 ft apart, trees 12 ft apart, 300 ft long
farm f
    rulebook us-worker-protection, us-organic from 2024-01-01 until 2026-12-31
    rulebook eu-records
    keep 5 years
    history from 2026-03-01
    history none   # invented
person t-marsh
    licence PA-2207 until 2027-12-31   # renewed
    licence no 7 until further notice
spray b odd rows
    load 2 of 500 gal, sulfur 20 lb, oil 5 gal
    entered 2026-05-15 07:30 by r-vale
    signed by r-vale, t-marsh on 2026-05-15 8:00 am
observe b
    fruit-set 40 of 120 flowers
    severity leaf-spot 4 % of leaf area
    growth 11 in of 10 shoots at 10:00
post b
    up sheet, signs at 2026-05-15 07:30
brew whey-3 of whey-culture
    ready 2026-05-04
amend spray of creek-pear 2026-05-14
    was over 0.6 acre
";
    let entries = read(page, 0);
    assert!(entries.iter().all(|entry| entry.strays.is_empty()), "{entries:#?}");
    insta::assert_snapshot!(words_of(page, &entries));
}

#[test]
fn nothing_and_next_to_nothing() {
    assert!(read("", 0).is_empty());
    assert!(read("\u{feff}", 0).is_empty());
    let blank = only("\n \t\n\r\n");
    assert_eq!((blank.kind, blank.fields.len(), blank.strays.len()), (None, 0, 0));
    let remarks = "# one\n   # two\n\n#three";
    let entry = only(remarks);
    let comments: Vec<&str> = entry.comments.iter().map(|&at| slice(remarks, at)).collect();
    assert_eq!(comments, ["# one", "# two", "#three"]);
    assert!(entry.fields.is_empty() && entry.strays.is_empty());
}

#[test]
fn fields_before_any_entry_are_kept() {
    let text = "    crop pear\n    crop\n\nblock a\n    crop quince\n";
    let entries = read(text, 0);
    assert_eq!(entries.len(), 2);
    assert_eq!(entries[0].kind, None);
    assert_eq!(entries[0].fields[0].word, FieldWord::Crop);
    assert_eq!(slice(text, entries[0].strays[0].line), "crop");
    assert_eq!(slice(text, entries[1].fields[0].span), "quince");
}

#[test]
fn a_byte_order_mark_and_a_missing_last_line_end_change_nothing() {
    let plain = "spray creek-pear\n    mix leaf-tonic, 60 gal";
    let wanted = words_of(plain, &read(plain, 0));
    for text in [format!("\u{feff}{plain}"), format!("{plain}\n"), format!("{plain}\r\n"), format!("{plain}\r")] {
        let found = words_of(&text, &read(&text, 0));
        assert_eq!(found, wanted, "{text:?}");
    }
}

#[test]
fn line_ends_of_other_computers_change_nothing() {
    let texts: Vec<String> = ["home-orchard", "adviser", "twenty-acres"].into_iter().flat_map(journals).collect();
    for text in texts.iter().map(String::as_str).chain([PAGE]) {
        let other = text.replace('\n', "\r\n");
        assert_eq!(words_of(&other, &read(&other, 0)), words_of(text, &read(text, 0)));
    }
}

#[test]
fn the_depth_of_indentation_changes_nothing() {
    for text in ["home-orchard", "adviser", "twenty-acres"].into_iter().flat_map(journals) {
        // Notes that go on over several lines measure their depth, so all indentation deepens alike.
        for indentation in ["\t", " ", " \t  ", "                "] {
            let other: String = text
                .split_inclusive('\n')
                .map(|line| if line.starts_with(' ') { format!("{indentation}{line}") } else { line.to_owned() })
                .collect();
            assert_eq!(words_of_notes_apart(&other), words_of_notes_apart(&text));
        }
    }
}

/// The words of the tree; the span of a note holds the indentation of its further lines, so only its lines are compared.
fn words_of_notes_apart(text: &str) -> String {
    let mut entries = read(text, 0);
    for entry in &mut entries {
        entry.span = Default::default();
        for field in entry.fields.iter_mut().filter(|field| field.word == FieldWord::Note) {
            field.span = field.at;
        }
    }
    words_of(text, &entries)
}

#[test]
fn capitals_are_forgiven() {
    let upper = "SPRAY Creek-Pear ROWS 1 TO 9\n    MIX leaf-tonic, INTO 60 GAL\n    Time 05:50 To 07:20 Next Day\n";
    let lower = "spray Creek-Pear rows 1 to 9\n    mix leaf-tonic, into 60 GAL\n    time 05:50 to 07:20 next day\n";
    let (one, other) = (read(upper, 0), read(lower, 0));
    assert_eq!(one, other);
    assert!(one[0].strays.is_empty());
}

#[test]
fn a_note_goes_on_over_deeper_lines_and_blank_ones() {
    let text = "spray a\n  note one\n\n     two\n\n\n   three # not a remark\n\n  by x\n  note\n    four\n  note   \n";
    let entry = only(text);
    let notes: Vec<Vec<&str>> = entry
        .fields
        .iter()
        .filter_map(|field| match &field.value {
            Value::Note(lines) => Some(lines.iter().map(|&line| slice(text, line)).collect()),
            _ => None,
        })
        .collect();
    assert_eq!(notes, [vec!["one", "two", "three # not a remark"], vec!["four"], vec![]]);
    assert!(entry.strays.is_empty(), "{:?}", entry.strays);
}

#[test]
fn a_title_stands_in_double_quotes() {
    for (head, title) in [("block a \"The ä\"", "The ä"), ("block a \"\"", "")] {
        let entry = only(head);
        assert_eq!(entry.head.title.map(|at| slice(head, at)), Some(title), "{head}");
    }
    assert!(only("block a \"never closed").strays[0].head);
}

#[test]
fn units_of_several_words_are_read_whole() {
    for unit in ["fluid ounces", "square feet", "imperial gallons", "% by volume", "miles per hour", "US fl oz", "m3"] {
        let text = format!("spray a\n    over 2 {unit}\n");
        let entry = only(&text);
        let Some(Value::Measure(measure)) = entry.fields.first().map(|field| &field.value) else {
            panic!("{text} is not read")
        };
        assert_eq!(measure.unit.map(|at| slice(&text, at)), Some(unit));
        assert!(measure.per.is_none(), "{text}");
    }
}

#[test]
fn a_very_long_line_is_read() {
    let words = "wet and cold ".repeat(80_000);
    let text = format!("spray a\n    reason {words}\n    by x\n");
    let entry = only(&text);
    assert_eq!(slice(&text, entry.fields[0].span), words.trim_end());
    assert_eq!(entry.fields[1].word, FieldWord::By);
}

#[test]
fn a_lost_first_line_keeps_its_word_and_its_fields() {
    let text = "spray creek-pear rows nine\n    by x\n";
    let entry = only(text);
    assert_eq!(entry.kind, Some(EntryWord::Spray));
    assert!(entry.strays[0].head);
    assert_eq!(entry.fields.len(), 1);
}

#[test]
fn an_entry_alone_reads_as_in_its_file() {
    for text in ["home-orchard", "adviser", "twenty-acres"].into_iter().flat_map(journals) {
        for range in foliary::syntax::split_entries(&text) {
            let alone = &text[range.clone()];
            let inside = foliary::syntax::read_entry(alone, 7_000_000 + range.start as u32);
            let base = 7_000_000 + range.start as u32;
            assert_eq!(dump(alone, base, &[inside]), dump(alone, 0, &read(alone, 0)));
        }
    }
}
