use foliary::finding::{Finding, Level};
use foliary::report::{Format, Options, render, terminal};
use foliary::text::{Sources, Span, is_hidden};

use super::{at, findings};

fn one_file(text: &str) -> Sources {
    let mut sources = Sources::new();
    sources.add("a.spray", text.to_owned()).expect("a small file fits");
    sources
}

#[test]
fn page() {
    let (sources, findings) = findings();
    insta::assert_snapshot!(terminal::render(&findings, &sources, false, false));
}

#[test]
fn page_with_accepted() {
    let (sources, findings) = findings();
    let accepted: Vec<_> = findings.into_iter().filter(|finding| finding.accepted.is_some()).collect();
    insta::assert_snapshot!(terminal::render(&accepted, &sources, false, true));
}

#[test]
fn page_in_colour() {
    let (sources, findings) = findings();
    let page = terminal::render(&findings[1..2], &sources, true, false);
    insta::assert_snapshot!(page.replace('\u{1b}', "ESC"));
}

#[test]
fn colours_add_codes_and_change_no_word() {
    let (sources, findings) = findings();
    let coloured = terminal::render(&findings, &sources, true, true);
    let mut plain = String::new();
    for (index, piece) in coloured.split('\u{1b}').enumerate() {
        plain.push_str(if index == 0 { piece } else { piece.split_once('m').expect("a colour code ends in m").1 });
    }
    let plain: String = plain.lines().map(|line| format!("{}\n", line.trim_end())).collect();
    assert_ne!(coloured, plain);
    assert_eq!(plain, terminal::render(&findings, &sources, false, true));
}

#[test]
fn nothing_found_is_one_line() {
    assert_eq!(terminal::render(&[], &Sources::new(), false, false), "no findings\n");
}

#[test]
fn the_position_counts_characters_from_one() {
    let (sources, findings) = findings();
    let page = terminal::render(&findings, &sources, false, false);
    // `spray block-é by Zoë 🍐 crew`: 23 characters stand before `crew`, whatever their bytes.
    assert!(page.contains("┌─ 2026/may.spray:2:24\n"), "{page}");
    // A tab is one character: tab, r, a, t, e, blank, and the seventh is the `2`.
    assert!(page.contains("┌─ 2026/may.spray:3:7\n"), "{page}");
    assert!(page.contains("┌─ 2026/june.spray:4:10\n"), "{page}");
    // `    rate 3 kg per acre` is 22 characters long; its end is the 23rd column.
    assert!(page.contains("┌─ 2026/june.spray:4:23\n"), "{page}");
    assert!(page.contains("┌─ new.spray:1:1\n"), "{page}");
}

#[test]
fn lines_fit_eighty_columns_and_have_no_trailing_blanks() {
    let (sources, findings) = findings();
    for line in terminal::render(&findings, &sources, false, true).lines() {
        assert!(line.chars().count() <= 80, "{line}");
        assert_eq!(line, line.trim_end());
    }
}

#[test]
fn carets_stand_under_the_words_after_a_tab_and_wide_letters() {
    let (sources, findings) = findings();
    let page = terminal::render(&findings[1..2], &sources, false, false);
    let lines: Vec<_> = page.lines().collect();
    let source = lines.iter().position(|line| line.starts_with("2 │")).expect("the line is shown");
    // The pear takes two columns of a terminal, so 24 columns stand before `crew` after the margin of four.
    assert_eq!(lines[source + 1], format!("  │ {}^^^^", " ".repeat(24)));
}

#[test]
fn no_control_or_bidirectional_character_reaches_the_terminal() {
    let text = "spray \u{202e}raep\u{202c} by \u{1b}[31mred\u{7}\rover\u{9b}\nnote x\u{0}\n";
    let mut sources = Sources::new();
    sources.add("b\u{1b}]0;title\u{7}ad.spray", text.to_owned()).expect("a small file fits");
    let id = sources.source_of(Span::default());
    let nasty = "name \u{202e}txt\u{1b}[2J\nsecond\rthird";
    let mut finding = Finding::new("hidden-character", Level::Error, at(&sources, id, "raep"), nasty)
        .here(nasty)
        .label(at(&sources, id, "\u{7}\rover"), nasty)
        .working(nasty)
        .slip(Some(nasty.to_owned()))
        .help(nasty)
        .source(nasty);
    finding.accepted = Some(foliary::finding::Accepted { reason: nasty.to_owned(), span: at(&sources, id, "note") });
    for format in Format::ALL {
        let options = Options { show_accepted: true, ..Options::default() };
        let out = render(format, std::slice::from_ref(&finding), &sources, options);
        let bad: Vec<_> = out.chars().filter(|&c| is_hidden(c) || c == '\r').collect();
        assert!(bad.is_empty(), "{format:?} lets through {bad:?}");
    }
    insta::assert_snapshot!(terminal::render(&[finding], &sources, false, true));
}

#[test]
fn carets_move_along_with_characters_written_out() {
    let sources = one_file("a\u{202e}pear plum\n");
    let id = sources.source_of(Span::default());
    let finding = Finding::new("x", Level::Note, at(&sources, id, "plum"), "A plum");
    let page = terminal::render(&[finding], &sources, false, false);
    // The mark is one character of the journal (column 8) and eight on the page.
    assert!(page.contains("a.spray:1:8\n"), "{page}");
    let carets = format!("  │ {}^^^^\n", " ".repeat("a".len() + 8 + "pear ".len()));
    assert!(page.contains(&format!("1 │ a\\u{{202e}}pear plum\n{carets}")), "{page}");
}

#[test]
fn a_byte_order_mark_is_not_shown() {
    let sources = one_file("\u{feff}farm x\n");
    let id = sources.source_of(Span::default());
    let finding = Finding::new("x", Level::Note, at(&sources, id, "farm"), "A farm");
    let page = terminal::render(&[finding], &sources, false, false);
    assert!(page.contains("1 │ farm x\n  │ ^^^^\n"), "{page}");
}

#[test]
fn a_label_over_several_lines_is_drawn_on_its_first() {
    let sources = one_file("spray a\r\n    rate 2 kg\r\n\r\nspray b\r\n");
    let finding = Finding::new("x", Level::Warning, Span::new(0, 25), "Two sprays").here("the first");
    let page = terminal::render(&[finding], &sources, false, false);
    assert!(page.contains("1 │ spray a\n  │ ^^^^^^^ the first\n"), "{page}");
    assert!(!page.contains("rate"), "{page}");
}

#[test]
fn lines_left_out_between_two_labels_show_as_a_dot() {
    let sources = one_file("one\ntwo\nthree\nfour\n");
    let id = sources.source_of(Span::default());
    let neighbours = Finding::new("x", Level::Note, at(&sources, id, "one"), "Next to each other")
        .label(at(&sources, id, "two"), "");
    let apart = Finding::new("x", Level::Note, at(&sources, id, "four"), "Apart").label(at(&sources, id, "one"), "");
    assert!(!terminal::render(&[neighbours], &sources, false, false).contains('·'));
    insta::assert_snapshot!(terminal::render(&[apart], &sources, false, false));
}

#[test]
fn a_name_is_never_broken_over_two_lines() {
    let sources = one_file("x\n");
    let name = "north-east-corner-of-the-long-meadow-behind-the-packing-shed-and-the-old-cold-store-at-creek-bend";
    let finding = Finding::new("x", Level::Note, Span::new(0, 1), format!("Block {name} is long")).help(name);
    let page = terminal::render(&[finding], &sources, false, false);
    assert_eq!(page.matches(name).count(), 2, "{page}");
}
