//! `foliary rulebook` as it is called.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use foliary::rulebook::{Known, Shelf};

use crate::syntax::examples::folder;

fn run(at: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_foliary")).arg("rulebook").args(arguments).current_dir(at).output().unwrap()
}

fn out(output: &Output) -> String {
    assert_eq!(output.status.code(), Some(0), "{}", err(output));
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// A farm in a folder, with a rulebook of its own.
fn farm(name: &str, text: &str) -> tempfile::TempDir {
    let at = tempfile::tempdir().unwrap();
    fs::write(at.path().join("farm.spray"), "farm wren-hollow \"Wren Hollow\"\n    timezone America/Boise\n").unwrap();
    fs::create_dir(at.path().join("rulebooks")).unwrap();
    fs::write(at.path().join("rulebooks").join(name), text).unwrap();
    at
}

/// The worked example of the page on rulebooks.
fn example() -> String {
    let page = fs::read_to_string(folder("rulebooks/README.md")).unwrap();
    page.split("```toml\n").nth(1).unwrap().split("```").next().unwrap().to_string()
}

fn fits(text: &str) {
    for line in text.lines() {
        assert!(line.chars().count() <= 80, "{line}");
        assert_eq!(line.trim_end(), line);
    }
}

/// Words as they stand in a paragraph, without its line breaks.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn without_a_name_all_are_listed_and_how_well_they_are_known() {
    let here = tempfile::tempdir().unwrap();
    let list = out(&run(here.path(), &[]));
    fits(&list);
    let names: Vec<&str> = list.lines().filter(|line| !line.starts_with(' ')).collect();
    assert_eq!(names, Shelf::shipped().names());
    let words = flat(&list);
    for (book, _) in Shelf::shipped().all() {
        assert!(
            words.contains(&format!("{} ({}). {} rules", book.title, book.place, book.rules.len())),
            "{}",
            book.name
        );
        let remembered = book.rules.iter().filter(|rule| rule.known == Known::Memory).count();
        assert!(remembered == 0 || words.contains(&format!("{remembered} from memory, not verified")), "{}", book.name);
    }
    assert_eq!(list, out(&run(here.path(), &[])));
}

#[test]
fn a_page_tells_every_rule_with_its_source_and_how_it_is_known() {
    let here = tempfile::tempdir().unwrap();
    for (book, _) in Shelf::shipped().all() {
        let page = out(&run(here.path(), &[&book.name]));
        fits(&page);
        let words = flat(&page);
        for rule in &book.rules {
            assert!(page.contains(&format!("\n{}\n    asks ", rule.id)), "{} {}", book.name, rule.id);
            for said in [&rule.citation, &rule.says, &rule.demand.words()] {
                assert!(words.contains(&flat(said)), "{} {}: {said}", book.name, rule.id);
            }
            if let Some(when) = rule.when.words() {
                assert!(words.contains(&when), "{} {}: {when}", book.name, rule.id);
            }
        }
        assert_eq!(
            page.matches("from memory, not verified").count() > 0,
            book.rules.iter().any(|rule| rule.known == Known::Memory)
        );
        assert!(words.ends_with("they prevail; look up the source before you rely on it."), "{}", book.name);
    }
}

#[test]
fn a_rule_is_told_in_words() {
    let here = tempfile::tempdir().unwrap();
    let told = |name: &str, rule: &str| {
        let page = out(&run(here.path(), &[name]));
        flat(page.split(&format!("\n{rule}\n")).nth(1).unwrap().split("\n\n").next().unwrap())
    };
    assert_eq!(
        told("us-worker-protection", "times"),
        "asks date, start time and end time in the record holds if people other than the family work in the block; a \
         material of status registered is in the tank source 40 CFR 170.311(b)(1)(iv) (paragraph number from memory) \
         in force from 2 January 2017 known guidance read says The date, and the times at which the application began \
         and ended."
    );
    assert!(told("eu-basic-substances", "milk-on-vine").contains(
        "against powdery mildew, erysiphe, uncinula or oidium, from BBCH 07 to 57, 10 to 40 L in 100 L of spray, at \
         least 6 days apart, at most 6 sprays a year"
    ));
    assert!(told("us-private-applicator", "deadline").contains("within 14 days of the spray"));
    assert!(told("us-private-applicator", "deadline").contains("in force until 10 July 2025"));
    assert!(told("au-victoria", "deadline").contains("within 48 hours of the end"));
    assert!(told("us-organic", "plan-reason").contains("known text read, June 2026"));
    assert!(told("us-organic", "magnesium-need").contains("known from memory, not verified; raises notes only"));
    assert!(told("us-washington", "map").contains("at least 1 acre is treated"));
    let tea = told("us-produce-safety", "tea");
    assert!(tea.contains("no extract of class tea made with something of class animal-origin"), "{tea}");
    assert!(tea.contains("an additive of class tea-additive or water of kind surface on what is eaten"), "{tea}");
}

#[test]
fn only_what_was_in_force_on_a_day_is_told() {
    let here = tempfile::tempdir().unwrap();
    let rules = |on: &str| -> Vec<String> {
        let page = out(&run(here.path(), &["us-private-applicator", "--on", on]));
        let blocks = page.split("\n\n").filter(|block| block.contains("\n    asks "));
        blocks.map(|block| block.lines().next().unwrap().to_string()).collect()
    };
    let (before, since) = (rules("2025-07-10"), rules("2025-07-11"));
    assert!(before.contains(&"total".to_string()) && !before.contains(&"statute".to_string()), "{before:?}");
    assert_eq!(since, ["statute", "hired", "customer-copy"]);
    let list = flat(&out(&run(here.path(), &["--on", "2025-07-11"])));
    assert!(list.contains("(United States). 3 rules in force on 11 July 2025: 2 text read; 1 guidance read"), "{list}");
    assert_eq!(run(here.path(), &["--on", "2025-02-30"]).status.code(), Some(2));
}

#[test]
fn a_farms_own_are_listed_with_their_file() {
    let at = farm("growers.toml", &example());
    for arguments in [vec![], vec!["--in", "."], vec!["--in", "farm.spray"]] {
        let list = out(&run(at.path(), &arguments));
        fits(&list);
        let own = list.split("bramble-vale-growers\n").nth(1).unwrap_or_else(|| panic!("{arguments:?}: {list}"));
        let own = flat(own.split("\nca-quebec").next().unwrap());
        assert!(own.contains("4 rules: 2 text read; 1 guidance read; 1 from memory, not verified"), "{own}");
        assert!(own.contains("the farm's own, from") && own.contains("growers.toml"), "{own}");
    }
    let page = flat(&out(&run(at.path(), &["bramble-vale-growers"])));
    assert!(page.contains("Caution: Bring the sheet of the last spray with the first bin of each block."), "{page}");
    assert!(page.contains("holds if the block is outdoors; a material of status registered or minimum-risk"), "{page}");
    // The name of one that comes with the program: both are told, and which takes the other's place.
    let at = farm("organic.toml", &example().replace("bramble-vale-growers", "us-organic"));
    let page = flat(&out(&run(at.path(), &["us-organic"])));
    assert!(page.contains("instead of the one that comes with the program"), "{page}");
}

#[test]
fn what_cannot_be_told_says_why() {
    let here = tempfile::tempdir().unwrap();
    let output = run(here.path(), &["us-organc"]);
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(err(&output), "foliary: no rulebook is called us-organc; did you mean us-organic?\n");
    let output = run(here.path(), &["moon"]);
    assert_eq!(err(&output), "foliary: no rulebook is called moon; `foliary rulebook` lists them all\n");
    // A folder that was named and holds no journal.
    let output = run(here.path(), &["--in", "."]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("there is no .spray file"), "{}", err(&output));
}

#[test]
fn a_file_that_says_what_it_should_not_is_refused_with_its_place() {
    let whole = example();
    // What is written instead of what, and what the message must name.
    let table = [
        ("title = ", "titel = ", "titel"),
        ("sort = \"scheme\"", "sort = \"rule\"", "law, scheme, guide"),
        ("set-down = 2026-03-02", "set-down = \"2026-03-02\"", "line 7"),
        ("id = \"wind\"", "id = \"who-and-why\"", "same id"),
        ("elements = [\"applicator\", \"reason\"]", "elements = [\"applicator\", \"motive\"]", "motive"),
        ("elements = [\"applicator\", \"reason\"]", "element = [\"applicator\"]", "who-and-why"),
        ("within = \"48 h\"", "within = \"48 ft\"", "two-days"),
        ("within = \"48 h\"", "within = \"48 h\"\nyears = 2", "`years` is no key"),
        ("counted-from = \"year-end\"", "counted-from = \"harvest\"", "last-entry"),
        ("known = \"memory\"", "known = \"rumour\"", "text, guidance, memory"),
        ("citation = \"chapter 5\"", "citation = \" \"", "citation"),
        ("enclosed = false, ", "indoors = false, ", "indoors"),
        ("from = 2026-01-01", "from = 2026-01-01\nuntil = 2025-01-01", "ends on 2025-01-01"),
        ("name = \"bramble-vale-growers\"", "name = \"Bramble Vale\"", "lower-case"),
        ("asks = \"keep\"", "asks = \"hoard\"", "hoard"),
    ];
    for (good, bad, said) in table {
        assert!(whole.contains(good), "{good}");
        let at = farm("growers.toml", &whole.replacen(good, bad, 1));
        let output = run(at.path(), &[]);
        assert_eq!(output.status.code(), Some(2), "{bad}");
        let message = crate::robust::unfilled(&output.stderr);
        assert!(message.contains("growers.toml") && message.contains(said), "{bad}: {message}");
    }
}

#[test]
fn hidden_characters_of_a_file_do_not_reach_the_terminal() {
    let text = example()
        .replace("Bramble Vale Growers' fruit scheme", "Fruit \\u001b[2J scheme \u{202e}desrever")
        .replace("chapter 2.1", "chapter\\n2.1\\u0007");
    let at = farm("growers.toml", &text);
    for arguments in [vec![], vec!["bramble-vale-growers"]] {
        let told = out(&run(at.path(), &arguments));
        assert!(!told.contains(['\u{1b}', '\u{202e}', '\u{7}']), "{told:?}");
        assert!(told.contains("Fruit"));
    }
}
