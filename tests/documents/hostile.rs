//! Journals that try to act: whatever stands in a field, documents hold it as text.

use foliary::documents::{Scope, records, summary};
use foliary::finding::{Accepted, Finding, Level};
use foliary::journal::Journal;
use foliary::render::{Format, Templates};
use foliary::text::{Sources, is_hidden};
use pulldown_cmark::{Event, Options, Parser, Tag};
use scraper::{Html, Selector};

use super::{Found, Written, at, with_book, write};

/// Text that acts in HTML, in Markdown, in a table cell, in an attribute, or on the direction of reading.
const HOSTILE: &str = "<script>alert(1)</script> <img src=x onerror=alert(2)> \"' onmouseover=alert(3) | | a&lt;b \\| `code` **x** \
                       [go](javascript:alert(4)) ![p](http://spy.example/p.png) {{ 1234567 * 7 }} {% include 'x' %} \u{202e}txet\u{200b} ]]> --> $x$ ~~x~~ http://a.example/<b>";

/// A journal with hostile words in every field that takes words.
fn journal() -> String {
    let x = HOSTILE;
    format!(
        "farm f \"{title}\"\n    address {x}\n    owner {x}\n    contact {x}\n    permit {x}\n    rulebook us-worker-protection\n    rulebook us-california\n    rulebook us-washington\n    needs sheet, signs\n\n\
         block b \"{title}\"\n    crop pear\n    area 1 acre\n    cultivar {x}\n    parcel {x}\n    location {x}\n    certified {x}\n    eppo {x}\n    site {x}\n    survey {x}\n    map {x}\n    workers yes\n    note {x}\n\n\
         person p \"{title}\"\n    licence {x}\n    role {x}\n    address {x}\n    contact {x}\n\n\
         rig r \"{title}\"\n    tank 10 gal\n    method {x}\n    nozzles {x}\n    droplets {x}\n\n\
         water w \"{title}\"\n    source {x}\n\n\
         material m \"{title}\"\n    form dry\n    contains Mg 10 %\n    registration {x}\n    group {x}\n    protection {x}\n    label {x}\n    sds {x}\n    source {x}\n    source contains: {x}\n    season at most 3 sprays\n    reentry 4 h\n    preharvest 3 days\n\n\
         mix t \"{title}\"\n    in 1 gal\n    put m 1 oz wt\n    total at most 8 oz per gal\n\n\
         limits l \"{title}\"\n    total at most 8 oz per gal\n    source {x}\n\n\
         program q \"{title}\"\n    mix t\n    blocks b\n    start 2026-05-01\n    rounds 3, every 5 days\n\n\
         2026-05-01\n\n\
         post b\n    up sheet, signs at 05:00\n    by p\n\n\
         calibrate r\n    output 5 gal per acre\n    width 20 ft\n    course 220 ft in 60 s\n    caught 0.2 gal, 0.3 gal in 60 s\n    setup {x}\n    by p\n\n\
         clean r\n    method {x}\n    rinse 1 gal on b\n    by p\n\n\
         approve m\n    authority {x}\n    evidence {x}\n    restriction {x}\n    note {x}\n\n\
         train p\n    course worker\n    trainer {x}\n    evidence {x}\n    note {x}\n\n\
         sample b\n    kind soil\n    found {x}\n    lab {x}\n    evidence {x}\n    by p\n\n\
         count m\n    amount 2 lb\n    by p\n\n\
         discard m\n    amount 1 oz wt\n    method {x}\n    reason {x}\n\n\
         work b\n    time 08:00 to 09:00\n    task {x}\n    crew {x}\n\n\
         receive m\n    amount 3 lb\n    lot {x}\n    supplier {x}\n    invoice {x}\n\n\
         count m\n    amount 3 lb\n    by p\n\n\
         discard m\n    amount 1 oz\n    method {x}\n    reason {x}\n    by p\n\n\
         weather b\n    reading 06:00 50 F, drizzle {x}\n    high 60 F\n    note {x}\n\n\
         brew c of m\n    amount 3 lb\n\n\
         observe b\n    stage {x}\n    incidence {word} 3 of 50 {x}\n    severity {word} 3 % of {x}\n    brix 9 of 10 {x}\n    photo {x}\n    note {x}\n    by p\n\n\
         spray b\n    mix t, 5 gal\n    load 5 gal, m 5 oz wt\n    batch c\n    over 1 acre\n    time 06:00 to 07:00\n    by p\n    authorised p\n    rig r\n    water w\n    weather 50 F, wind 3 mph NW, {x}\n    stage {x}\n    reason {x}\n    target {x}\n    use {x}\n    stopped {x}\n    leftover 1 gal {x}\n    entered 2026-05-02 by p\n    evidence {x}\n    note {x}\n        {x}\n\n        # {x}\n\n        - {x}\n\n        <div onclick=\"alert(5)\">{x}</div>\n\n\
         2026-05-09\n\n\
         observe b\n    incidence {word} 2 of 50 {x}\n    severity {word} 2 % of {x}\n    brix 10 of 10 {x}\n\n\
         amend spray of b 2026-05-01\n    was {x}\n    now {x} and\n    reason {x}\n    by p\n\n\
         harvest b\n    amount 9 lb\n    lot {x}\n    crew {x}\n    by p\n    note {x}\n",
        title = x.replace('"', "”"),
        word = "<i>",
    )
}

fn findings(_: &Journal, sources: &Sources) -> Vec<Finding> {
    let mut late =
        Finding::new("round-late", Level::Warning, at(sources, "spray b"), HOSTILE).slip(Some(HOSTILE.to_string()));
    late.accepted = Some(Accepted { reason: HOSTILE.to_string(), span: at(sources, "spray b") });
    let open = Finding::new("area-over-block", Level::Error, at(sources, "over 1 acre"), HOSTILE);
    vec![open, late]
}

fn written() -> Vec<Written> {
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", journal()).unwrap();
    let templates = Templates::new(Vec::new()).unwrap();
    // Days that are asked for: sheets and signs that may be down by now are shown too.
    let scope = Scope { from: chrono::NaiveDate::from_ymd_opt(2026, 1, 1), ..Scope::default() };
    with_book(&sources, &[file], &scope, &Found::These(findings), |book| write(book, &templates))
}

#[test]
fn the_journal_reaches_the_documents() {
    // Without this, a journal that is not read at all would pass every test below.
    let count = |text: String| text.matches("<script>alert(1)</script>").count();
    let written = written();
    for (document, least) in written.iter().zip([50, 41]) {
        let shown = count(Html::parse_document(&document.html).root_element().text().collect());
        assert!(shown >= least, "the hostile words stand in {} only {shown} times", document.name);
    }
    for (name, least) in [
        ("postings", 12),
        ("signs", 9),
        ("calibration", 6),
        ("inputs", 10),
        ("binder", 40),
        ("incident", 80),
        ("law-records", 15),
        ("monthly-use", 8),
        ("clearance", 8),
    ] {
        let document = written.iter().find(|document| document.name == name).unwrap();
        let shown = count(Html::parse_document(&document.html).root_element().text().collect());
        assert!(shown >= least, "the hostile words stand in {name} only {shown} times");
    }
    let season = Html::parse_document(&written[0].html);
    for (heading, least) in [("Shed", 16), ("Weather", 3)] {
        let sections = Selector::parse("section").unwrap();
        let section = season
            .select(&sections)
            .map(|section| section.text().collect::<String>())
            .find(|text| text.trim_start().starts_with(heading));
        let shown = count(section.unwrap_or_else(|| panic!("no section {heading}")));
        assert!(shown >= least, "the hostile words stand in {heading} only {shown} times");
    }
    let records: String = Html::parse_document(&written[1].html).root_element().text().collect();
    assert!(records.contains("up 1 May 2026 05:00 by <script>alert(1)</script>"));
}

#[test]
fn html_holds_nothing_that_acts_or_fetches() {
    for document in written() {
        let page = Html::parse_document(&document.html);
        let count = |selector: &str| page.select(&Selector::parse(selector).unwrap()).count();
        for selector in
            ["script", "img", "iframe", "object", "embed", "form", "input", "base", "link", "div[onclick]", "i"]
        {
            assert_eq!(count(selector), 0, "{} has <{selector}>", document.name);
        }
        assert_eq!(count("style"), 1);
        for element in page.select(&Selector::parse("*").unwrap()) {
            for (name, value) in element.value().attrs() {
                assert!(!name.starts_with("on"), "{}: {name}={value}", document.name);
                let leads = matches!(name, "href" | "src" | "action" | "formaction" | "xlink:href" | "data");
                let safe =
                    value.starts_with('#') || value.starts_with("farm/") || value.starts_with("http://a.example/");
                assert!(!leads || safe, "{}: {name}={value}", document.name);
            }
        }
        assert!(!document.html.contains("8641969"), "{}: a journal's words were run as a template", document.name);
    }
}

#[test]
fn hidden_characters_are_written_out() {
    for document in written() {
        for text in [&document.html, &document.markdown] {
            assert_eq!(text.chars().find(|&letter| is_hidden(letter)), None, "{}", document.name);
        }
        assert!(document.html.contains("\\u{202e}"));
    }
}

#[test]
fn markdown_holds_nothing_but_the_documents_own_marks() {
    for document in written() {
        let options = Options::ENABLE_TABLES | Options::ENABLE_STRIKETHROUGH | Options::ENABLE_MATH;
        let mut columns = 0;
        let mut cells = 0;
        for event in Parser::new_ext(&document.markdown, options) {
            match event {
                Event::Html(raw) | Event::InlineHtml(raw) => panic!("{}: raw HTML {raw}", document.name),
                Event::Code(code) | Event::InlineMath(code) | Event::DisplayMath(code) => {
                    panic!("{}: code or mathematics {code}", document.name)
                }
                Event::Start(Tag::Image { dest_url, .. }) => panic!("{}: a picture {dest_url}", document.name),
                Event::Start(Tag::Link { dest_url, .. }) => {
                    assert!(dest_url.starts_with("farm/"), "{}: leads to {dest_url}", document.name);
                }
                Event::Start(Tag::Strikethrough | Tag::CodeBlock(_) | Tag::BlockQuote(_) | Tag::HtmlBlock) => {
                    panic!("{}: {event:?}", document.name)
                }
                Event::Start(Tag::Table(alignments)) => columns = alignments.len(),
                Event::Start(Tag::TableRow) => cells = 0,
                Event::Start(Tag::TableCell) => cells += 1,
                Event::End(pulldown_cmark::TagEnd::TableRow) => assert_eq!(cells, columns, "{}", document.name),
                _ => {}
            }
        }
        // A row that is cut short by a stray bar still parses: count the bars of the text itself.
        let mut width = None;
        for line in document.markdown.lines() {
            let bars = line.replace("\\\\", "").replace("\\|", "").matches('|').count();
            match (line.starts_with('|'), width) {
                (true, None) => width = Some(bars),
                (true, Some(width)) => assert_eq!(bars, width, "{}: {line}", document.name),
                (false, _) => {
                    assert_eq!(bars, 0, "{}: a bar outside a table: {line}", document.name);
                    width = None;
                }
            }
        }
    }
}

#[test]
fn notes_keep_their_own_marks_and_lose_what_acts() {
    let text = "farm f\n\nblock b\n    area 1 acre\n\n2026-05-01\n\nspray b\n    note **Stiff wind**, see [the sheet](https://a.example/x) and\n        [this](JavaScript:alert(1)) or [that](data:text/html,x) or <b onclick=x>raw</b>.\n        Second line.\n";
    let mut sources = Sources::new();
    let file = sources.add("journal.spray", text.to_string()).unwrap();
    let templates = Templates::new(Vec::new()).unwrap();
    with_book(&sources, &[file], &Scope::default(), &Found::Nothing, |book| {
        let html = templates.fill("records", &records(book), Format::Html).unwrap();
        assert!(html.contains("<strong>Stiff wind</strong>"), "{html}");
        assert!(html.contains("<a href=\"https://a.example/x\">the sheet</a>"));
        assert!(html.contains("\nthis or that or &lt;b onclick=x&gt;raw&lt;/b&gt;.\nSecond line."));
        let markdown = templates.fill("records", &records(book), Format::Markdown).unwrap();
        assert!(markdown.contains(
            "- Note: **Stiff wind**, see [the sheet](<https://a.example/x>) and this or that or \\<b onclick=x\\>raw\\</b\\>. Second line."
        ), "{markdown}");
        assert!(!templates.fill("season", &summary(book), Format::Html).unwrap().contains("script"));
    });
}

#[test]
fn html_is_well_formed() {
    let mut all = written();
    for example in ["home-orchard", "adviser", "twenty-acres"] {
        all.extend(super::example_documents(example, &Found::Checked).into_iter().flat_map(|(_, written)| written));
    }
    for document in all {
        let page = Html::parse_document(&document.html);
        assert!(page.errors.is_empty(), "{}: {:?}", document.name, page.errors);
    }
}
