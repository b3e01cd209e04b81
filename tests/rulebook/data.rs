//! What every shipped file must hold to, and facts of the law that they must give back.

use std::fs;

use chrono::NaiveDate;
use foliary::rulebook::{Demand, Element, Keep, KeepFrom, Known, Rule, Rulebook, Shelf, TimeSpan};

use crate::syntax::examples::{files, folder};

fn all() -> Vec<&'static Rulebook> {
    let all: Vec<&Rulebook> = Shelf::shipped().all().into_iter().map(|(book, _)| book).collect();
    assert_eq!(all.len(), files(&folder("rulebooks"), "toml").len());
    all
}

fn book(name: &str) -> &'static Rulebook {
    Shelf::shipped().find(name).unwrap_or_else(|| panic!("{name} is shipped"))
}

fn day(written: &str) -> NaiveDate {
    written.parse().unwrap()
}

fn on(name: &str, written: &str) -> Vec<&'static Rule> {
    book(name).rules.iter().filter(|rule| rule.in_force(day(written))).collect()
}

/// The elements asked for on a day, in the order of the record.
fn elements(name: &str, written: &str) -> Vec<Element> {
    let asked = on(name, written).into_iter().filter_map(|rule| match &rule.demand {
        Demand::Elements(elements) => Some(elements.iter().copied()),
        _ => None,
    });
    asked.flatten().collect()
}

#[test]
fn rules_are_short_and_in_words_and_their_days_make_sense() {
    let months = "January February March April May June July August September October November December";
    for book in all() {
        assert!(book.set_down >= day("2026-11-25"), "{}", book.name);
        assert!(!book.about.is_empty() && !book.authority.is_empty() && !book.citation.is_empty(), "{}", book.name);
        for rule in &book.rules {
            let name = format!("{} {}", book.name, rule.id);
            assert!(rule.says.len() < 300, "{name} says {} letters", rule.says.len());
            assert!(rule.says.ends_with('.') && !rule.says.contains('\n') && !rule.says.contains("  "), "{name}");
            for date in [rule.from, rule.until].into_iter().flatten() {
                assert!((day("1990-01-01")..day("2035-01-01")).contains(&date), "{name}: {date}");
            }
            if let Some(read) = &rule.known_on {
                let (month, year) = read.split_once(' ').unwrap();
                assert!(months.split(' ').any(|known| known == month), "{name}: {read}");
                assert!((2024..2030).contains(&year.parse::<i32>().unwrap()), "{name}: {read}");
                assert_ne!(rule.known, Known::Memory, "{name} was read");
            }
        }
    }
}

#[test]
fn what_was_remembered_is_not_passed_off_as_read() {
    let mut remembered = 0;
    for book in all() {
        for rule in &book.rules {
            let hedged = ["from memory", "not verified", "was not read"]
                .iter()
                .any(|words| rule.citation.contains(words) || rule.says.contains(words));
            assert!(!hedged || rule.known != Known::Text, "{} {} is known by its text", book.name, rule.id);
            remembered += usize::from(rule.known == Known::Memory);
        }
    }
    assert!(remembered > 10, "{remembered}");
}

#[test]
fn no_file_names_a_place_on_the_web() {
    for path in files(&folder("rulebooks"), "toml") {
        let text = fs::read_to_string(&path).unwrap().to_lowercase();
        for word in text.split(|letter: char| letter.is_whitespace() || "()[]\"',;".contains(letter)) {
            let word = word.trim_end_matches('.');
            let host = [".com", ".org", ".gov", ".edu", ".net", ".eu", ".ca", ".au", ".de", ".io"]
                .iter()
                .any(|ending| word.ends_with(ending) || word.contains(&format!("{ending}/")));
            assert!(!host && !word.contains("://") && !word.starts_with("www."), "{}: {word}", path.display());
        }
    }
}

#[test]
fn rules_about_pesticides_leave_the_feeding_of_a_crop_alone() {
    // What speaks of products must say of which: by status, by class, or by sprays against something.
    let every_input = ["us-organic", "us-produce-safety"];
    for book in all().into_iter().filter(|book| !every_input.contains(&book.name.as_str())) {
        for rule in book.rules.iter().filter(|rule| matches!(rule.demand, Demand::Elements(_) | Demand::Deadline(_))) {
            let narrow = !rule.when.statuses.is_empty() || !rule.when.classes.is_empty();
            assert!(narrow, "{} {} holds for every spray", book.name, rule.id);
        }
    }
}

#[test]
fn records_are_kept_as_long_as_each_law_says() {
    // Each with its section: the files say how it is known.
    let table = [
        ("us-worker-protection", 2, KeepFrom::Reentry), // 40 CFR 170.311(b)(6)
        ("us-organic", 5, KeepFrom::Record),            // 7 USC 6519(a)(2)
        ("us-private-applicator", 2, KeepFrom::Spray),  // 7 CFR 110.3
        ("us-produce-safety", 2, KeepFrom::Spray),      // 21 CFR 112.164
        ("us-california", 2, KeepFrom::Spray),          // 3 CCR 6624
        ("us-washington", 7, KeepFrom::Spray),          // RCW 17.21.100
        ("eu-plant-protection", 3, KeepFrom::Spray),    // Regulation (EC) 1107/2009 Art. 67(1)
        ("ca-quebec", 5, KeepFrom::LastEntry),          // P-9.3, r. 1, s. 86.2
        ("au-victoria", 2, KeepFrom::Spray),            // Control of Use Regulations 2017, reg. 6
        ("au-new-south-wales", 3, KeepFrom::Spray),     // Pesticides Regulation 2017, cl. 36
        ("au-western-australia", 2, KeepFrom::Spray),   // regulations of 2020
    ];
    for (name, years, from) in table {
        let kept: Vec<Keep> = book(name)
            .rules
            .iter()
            .filter_map(|rule| match rule.demand {
                Demand::Keep(keep) => Some(keep),
                _ => None,
            })
            .collect();
        assert_eq!(kept, [Keep { years, from }], "{name}");
    }
}

#[test]
fn records_are_made_as_soon_as_each_law_says() {
    let table = [
        ("us-private-applicator", "2025-07-10", TimeSpan::Days(14)),
        ("us-produce-safety", "2026-06-01", TimeSpan::SameDay),
        ("us-washington", "2026-06-01", TimeSpan::SameDay),
        ("au-victoria", "2026-06-01", TimeSpan::Seconds(48 * 3_600)),
        ("au-new-south-wales", "2026-06-01", TimeSpan::Seconds(48 * 3_600)),
        ("au-western-australia", "2026-06-01", TimeSpan::Days(7)),
    ];
    for (name, on_day, span) in table {
        let found: Vec<TimeSpan> = on(name, on_day)
            .into_iter()
            .filter_map(|rule| match rule.demand {
                Demand::Deadline(span) => Some(span),
                _ => None,
            })
            .collect();
        assert_eq!(found, [span], "{name}");
    }
    assert!(on("us-california", "2026-06-01").iter().any(|rule| rule.demand == Demand::MonthlyReport { day: 10 }));
}

#[test]
fn law_that_changed_is_asked_for_as_it_stood_on_the_day() {
    // 7 CFR part 110 ended on 11 July 2025 (FR Doc 2025-08220).
    assert!(elements("us-private-applicator", "2025-07-10").contains(&Element::Total));
    assert_eq!(elements("us-private-applicator", "2025-07-11"), []);
    // The content of Implementing Regulation (EU) 2023/564 applies from 2026.
    let before = elements("eu-plant-protection", "2025-12-31");
    assert_eq!(before, [Element::Product, Element::Date, Element::Rate, Element::AreaTreated, Element::Crop]);
    let since = elements("eu-plant-protection", "2026-01-01");
    assert_eq!(since.first(), Some(&Element::UseType));
    for element in [Element::Eppo, Element::Bbch, Element::Parcel, Element::Registration, Element::Start] {
        assert!(since.contains(&element) && !before.contains(&element), "{}", element.name());
    }
    // Its machine-readable form could be put off to 2027.
    let machines = |written: &str| {
        on("eu-plant-protection", written).iter().any(|rule| matches!(rule.demand, Demand::MachineReadable(_)))
    };
    assert!(!machines("2026-12-31") && machines("2027-01-01"));
    // The application exclusion zone of 89 FR 80767 from 3 December 2024.
    let zones = |written: &str| {
        on("us-worker-protection", written)
            .iter()
            .filter(|rule| matches!(rule.demand, Demand::ExclusionZone { .. }))
            .count()
    };
    assert_eq!((zones("2024-12-02"), zones("2024-12-03")), (0, 2));
    // Chitosan joined the minimum-risk list on 9 January 2023 (87 FR 67364).
    let listed = |written: &str| -> Vec<String> {
        let lists = on("us-pesticide-use", written).into_iter().filter_map(|rule| match &rule.demand {
            Demand::ListedActives { actives, .. } => Some(actives.clone()),
            _ => None,
        });
        lists.flatten().collect()
    };
    let (before, since) = (listed("2023-01-08"), listed("2023-01-09"));
    assert_eq!(since.len(), before.len() + 1);
    assert!(since.contains(&"chitosan".to_string()) && before.iter().all(|active| since.contains(active)));
    for kitchen in ["vinegar", "acetic acid", "milk", "sugar", "sodium bicarbonate", "sulfur", "magnesium sulfate"] {
        assert!(!since.contains(&kitchen.to_string()), "{kitchen}");
    }
}

#[test]
fn the_page_on_rulebooks_tells_everything_that_a_file_can_say() {
    let page = fs::read_to_string(folder("rulebooks/README.md")).unwrap();
    let mut kinds: Vec<&str> = all().iter().flat_map(|book| &book.rules).map(|rule| rule.demand.name()).collect();
    kinds.sort_unstable();
    kinds.dedup();
    assert!(kinds.len() > 15, "{kinds:?}");
    for word in kinds.into_iter().chain(Element::ALL.iter().map(|element| element.name())) {
        assert!(page.contains(&format!("`{word}`")), "{word}");
    }
    for book in all() {
        for rule in &book.rules {
            let mut classes = rule.when.classes.clone();
            match &rule.demand {
                Demand::Test { classes: own, .. } | Demand::DaysToHarvest { classes: own, .. } => {
                    classes.extend(own.clone())
                }
                Demand::Tea { teas, animal, additives, .. } => {
                    classes.extend([teas.clone(), animal.clone(), additives.clone()].concat());
                }
                _ => {}
            }
            let row = page.lines().find(|line| line.starts_with(&format!("| {} |", book.name))).unwrap_or_default();
            for class in classes {
                assert!(row.contains(&format!("`{class}`")), "{} {}: {class}", book.name, rule.id);
            }
        }
    }
    let example = page.split("```toml\n").nth(1).unwrap().split("```").next().unwrap();
    let shelf = Shelf::new(&[("bramble-vale-growers.toml".to_string(), example.to_string())]).unwrap();
    assert_eq!(shelf.find("bramble-vale-growers").unwrap().rules.len(), 4);
    // It leaves a feeding spray alone where it speaks of pesticides.
    let rules = &shelf.find("bramble-vale-growers").unwrap().rules;
    assert_eq!(rules.iter().filter(|rule| rule.when.always()).count(), 3);
}
