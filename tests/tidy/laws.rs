//! What holds for every journal: laid out, it means the same.

use foliary::text::Sources;
use foliary::{Farm, check_farm, compile_farm};
use proptest::prelude::*;

use super::tidied;
use crate::robust::mutated::damaged;
use crate::syntax::examples::{files, folder};
use crate::syntax::laws::text;
use crate::syntax::resolve;

/// What the journal is and what is found in it, without places.
fn meaning(texts: &[String]) -> (String, Vec<String>) {
    let mut sources = Sources::new();
    let ids: Vec<_> =
        texts.iter().enumerate().map(|(at, text)| sources.add(format!("{at}.spray"), text.clone()).unwrap()).collect();
    let farm = Farm { files: &ids, missing: &[] };
    let journal = compile_farm(&sources, farm);
    let typed = resolve(&format!("{journal:?}"), |_, _| "here".to_string());
    let day = chrono::NaiveDate::from_ymd_opt(2026, 12, 31);
    let findings = check_farm(&sources, farm, day).into_iter();
    let mut said: Vec<String> = findings.map(|finding| format!("{} {}", finding.code, finding.headline)).collect();
    // Where two findings stand at one place their order is that of their words.
    said.sort();
    (typed, said)
}

fn means_the_same(texts: &[String]) {
    let laid: Vec<String> = texts.iter().map(|text| tidied(text)).collect();
    let (before, after) = (meaning(texts), meaning(&laid));
    assert_eq!(before.0, after.0, "{texts:#?}");
    assert_eq!(before.1, after.1, "{texts:#?}");
}

/// The journals fenced in a Markdown file.
fn fenced(markdown: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut lines = markdown.lines();
    while let Some(line) = lines.next() {
        if line.starts_with("```spray") {
            found.push(lines.by_ref().take_while(|line| *line != "```").map(|line| format!("{line}\n")).collect());
        }
    }
    found
}

/// The text as somebody in a hurry would have typed it.
fn hurried(text: &str) -> String {
    let lines = text.lines().enumerate().map(|(at, line)| {
        let words = line.trim_start();
        let note = line.starts_with("     ") || words.starts_with("note");
        match at % 4 {
            _ if note || words.is_empty() || line == words || words.starts_with('#') => format!("{line}  \n"),
            0 => format!("\t{words}\n"),
            1 => format!("  {words} \t\n"),
            2 if words.starts_with("mix ") => format!("    {}\n", words.replacen(", ", " ,", 1)),
            2 => format!("    {}\n", words.replacen(' ', "   ", 1)),
            // No deeper than a note, which would go on over it.
            _ => format!("   {words}\n\n\n"),
        }
    });
    lines.collect()
}

#[test]
fn the_farms_of_the_examples_mean_the_same_however_they_were_typed() {
    for farm in ["home-orchard", "spring-week", "twenty-acres", "adviser"] {
        let paths = files(&folder("journal-examples").join(farm), "spray");
        let texts: Vec<String> = paths.iter().map(|path| std::fs::read_to_string(path).unwrap()).collect();
        let typed: Vec<String> = texts.iter().map(|text| hurried(text)).collect();
        for (typed, text) in typed.iter().zip(&texts) {
            // Their notes are those of the file, so all of the layout comes back but grouping by empty lines.
            let plain =
                |text: &str| text.lines().filter(|line| !line.is_empty()).map(str::to_owned).collect::<Vec<_>>();
            assert_eq!(plain(&tidied(typed)), plain(text));
        }
        means_the_same(&typed);
    }
}

#[test]
fn the_journals_of_the_checks_mean_the_same() {
    let mut count = 0;
    for path in files(&folder("src/checks"), "md") {
        for journal in fenced(&std::fs::read_to_string(path).unwrap()) {
            means_the_same(&[hurried(&journal)]);
            count += 1;
        }
    }
    assert!(count > 200);
}

#[test]
fn damaged_journals_mean_the_same() {
    for seed in 5000..5120 {
        let text = String::from_utf8_lossy(&damaged(seed)).into_owned();
        let (before, after) = (meaning(std::slice::from_ref(&text)), meaning(&[tidied(&text)]));
        assert_eq!(before.0, after.0, "{text}");
        // What is said of a slip quotes its line, units as typed; what slips there are stays the same.
        let codes =
            |said: &[String]| said.iter().map(|said| said.split(' ').next().map(str::to_owned)).collect::<Vec<_>>();
        assert_eq!(codes(&before.1), codes(&after.1), "{text}");
    }
}

#[test]
fn everything_that_foliary_shows_is_tidy() {
    let mut untidy = Vec::new();
    for place in ["journal-examples", "pantry"] {
        for path in files(&folder(place), "spray") {
            let text = std::fs::read_to_string(&path).unwrap();
            if tidied(&text) != text {
                untidy.push(path.display().to_string());
            }
        }
    }
    let mut pages = files(&folder("src/checks"), "md");
    pages.extend(["README.md", "grammar/LANGUAGE.md"].map(folder));
    for path in pages {
        let journals = fenced(&std::fs::read_to_string(&path).unwrap());
        if journals.iter().any(|journal| tidied(journal) != *journal) {
            untidy.push(path.display().to_string());
        }
    }
    assert!(untidy.is_empty(), "{untidy:#?}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_says_the_same_laid_out(text in text()) {
        tidied(&text);
    }

    #[test]
    fn no_remark_is_lost_and_none_is_made(text in text()) {
        let remarks = |text: &str| {
            let entries = crate::syntax::read(text, 0).into_iter();
            let spans = entries.flat_map(|entry| entry.comments);
            let mut found: Vec<String> = spans.map(|span| text[span.start as usize..span.end as usize].to_owned()).collect();
            found.sort();
            found
        };
        prop_assert_eq!(remarks(&text), remarks(&tidied(&text)));
    }
}
