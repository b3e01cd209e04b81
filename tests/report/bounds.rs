//! Journals that no grower writes: a line of a megabyte, spans that leave their file. The report still comes out.

use foliary::finding::{Finding, Level};
use foliary::report::{Format, Options, render, terminal};
use foliary::text::{Sources, Span};
use proptest::prelude::*;

fn page(text: String, spans: &[Span]) -> String {
    let mut sources = Sources::new();
    sources.add("long.spray", text).expect("it fits");
    let mut finding = Finding::new("x", Level::Error, spans[0], "Something is wrong").here("here");
    for &span in &spans[1..] {
        finding = finding.label(span, "there");
    }
    terminal::render(&[finding], &sources, false, false)
}

#[test]
fn a_line_of_a_megabyte_is_cut_to_the_neighbourhood_of_the_mark() {
    let text = format!("{}pear{}\n", "ab ".repeat(200_000), " cd".repeat(200_000));
    let page = page(text, &[Span::new(600_000, 600_004)]);
    assert!(page.len() < 1000, "{} bytes", page.len());
    assert!(page.contains("long.spray:1:600001\n"), "{page}");
    for line in page.lines() {
        assert!(line.chars().count() <= 81, "{line}");
    }
    insta::assert_snapshot!(page);
}

#[test]
fn marks_far_apart_on_one_long_line_are_all_shown() {
    let text = format!("plum{}pear{}fig\n", "-".repeat(500_000), "-".repeat(500_000));
    let spans = [Span::new(500_004, 500_008), Span::new(0, 4), Span::new(1_000_008, 1_000_011)];
    insta::assert_snapshot!(page(text, &spans));
}

#[test]
fn a_mark_as_long_as_its_endless_line_is_cut_too() {
    let page = page("x".repeat(1_000_000), &[Span::new(0, 1_000_000)]);
    assert!(page.len() < 1000, "{} bytes", page.len());
}

#[test]
fn marks_without_width_do_not_make_a_line_endless() {
    // A combining accent takes no column on a terminal, and a million of them none either.
    let page = page(format!("e{}", "\u{301}".repeat(500_000)), &[Span::new(0, 1)]);
    assert!(page.len() < 1000, "{} bytes", page.len());
}

#[test]
fn a_sentence_that_quotes_a_megabyte_is_cut() {
    let mut sources = Sources::new();
    sources.add("a.spray", "x".to_owned()).expect("it fits");
    let finding = Finding::new("x", Level::Error, Span::new(0, 1), "name ".repeat(200_000)).help("y".repeat(1_000_000));
    for format in [Format::Page, Format::Line] {
        let out = render(format, std::slice::from_ref(&finding), &sources, Options::default());
        assert!(out.len() < 3000 && out.contains('…'), "{} bytes", out.len());
    }
}

#[test]
fn a_line_just_as_wide_as_the_page_is_shown_whole() {
    // Eighty less the margin `1 │ `.
    let whole = "a".repeat(76);
    assert!(page(whole.clone(), &[Span::new(40, 41)]).contains(&format!("1 │ {whole}\n")));
    let cut = page(format!("{whole}b"), &[Span::new(40, 41)]);
    assert!(cut.contains('…') && !cut.contains(&whole), "{cut}");
}

proptest! {
    #[test]
    fn any_text_and_any_span_give_a_report_in_every_format(
        text in "[ab é🍐\t\r\n\u{202e}\u{feff}\u{301}{}]{0,200}",
        spans in prop::collection::vec((0u32..300, 0u32..300), 1..5),
    ) {
        let mut sources = Sources::new();
        sources.add("a.spray", text.clone()).expect("it fits");
        sources.add("b.spray", text).expect("it fits");
        let mut finding = Finding::new("x", Level::Error, Span::new(spans[0].0, spans[0].1), "Wrong");
        for &(start, end) in &spans[1..] {
            finding = finding.label(Span::new(start, end), "there");
        }
        let findings = [finding];
        for format in Format::ALL {
            let out = render(format, &findings, &sources, Options::default());
            prop_assert!(out.ends_with('\n'));
            prop_assert!(out.lines().all(|line| !line.ends_with([' ', '\t'])));
            prop_assert_eq!(out, render(format, &findings, &sources, Options::default()));
        }
        // The picture was drawn, not the one-line fallback.
        prop_assert!(terminal::render(&findings, &sources, false, false).contains("┌─ "));
    }
}
