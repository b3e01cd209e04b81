//! For every rule of every shipped rulebook that asks for elements: a complete record raises nothing, and without any one
//! of the elements it raises exactly that finding. Made from the rulebooks, so that a new rule is tested by being there.

use chrono::{Days, NaiveDate};
use foliary::finding::{Finding, Level};
use foliary::report::{Format, Options, render};
use foliary::rulebook::{Demand, Element, Known, LabelLimit, Rule, Rulebook, Shelf, TimeSpan, When};
use foliary::text::Sources;
use foliary::{Farm, check_farm};

/// A farm that says everything, save what is left out on purpose.
pub(super) struct Complete<'r> {
    pub(super) book: &'r Rulebook,
    /// The conditions that the spray must meet.
    pub(super) when: &'r When,
    pub(super) day: NaiveDate,
    pub(super) without: Option<Element>,
    /// For how many years the farm keeps its records.
    pub(super) keep: u32,
    /// How many days after the spray the record is written down.
    pub(super) entered_after: u64,
}

impl<'r> Complete<'r> {
    /// The farm of a rule, on a day.
    pub(super) fn of(book: &'r Rulebook, rule: &'r Rule, day: NaiveDate) -> Self {
        Self { book, when: &rule.when, day, without: None, keep: 10, entered_after: 0 }
    }

    fn has(&self, element: Element) -> bool {
        self.without != Some(element)
    }

    /// A line, unless what it says is left out.
    fn line(&self, text: &mut String, says: &[Element], line: &str) {
        if says.iter().all(|&element| self.has(element)) {
            text.push_str("    ");
            text.push_str(line);
            text.push('\n');
        }
    }

    fn status(&self) -> &'static str {
        self.when.statuses.first().map_or("registered", |status| status.word())
    }

    pub(super) fn text(&self) -> String {
        let mut text = String::new();
        self.standing(&mut text);
        self.paper(&mut text);
        self.spray(&mut text);
        text
    }

    fn standing(&self, text: &mut String) {
        use Element as E;
        text.push_str("farm larkspur-bend \"Larkspur Bend\"\n");
        self.line(text, &[], "timezone America/Boise");
        self.line(text, &[], "units metric");
        self.line(text, &[], &format!("rulebook {}", self.book.name));
        self.line(text, &[], &format!("keep {} year{}", self.keep, if self.keep == 1 { "" } else { "s" }));
        self.line(text, &[E::Owner], "owner Ada Quill");
        self.line(text, &[E::OwnerAddress], "address 12 Mill Lane, Larkspur Bend");
        self.line(text, &[E::OwnerContact], "contact 555 0100");
        self.line(text, &[E::Permit], "permit 27-13-2700456");
        text.push_str("\nblock creek-pear \"Creek pears\"\n");
        self.line(text, &[E::Crop], &format!("crop {}", self.when.crops.first().map_or("pear", |crop| crop)));
        self.line(text, &[E::AreaPlanted], "area 5 acre");
        self.line(text, &[E::Location], "location north of the creek");
        self.line(text, &[E::Parcel, E::Location], "parcel 17-B");
        self.line(text, &[E::Survey, E::Location], "survey Alder County, S12 T18S R24E");
        self.line(text, &[E::Site], "site 14-B");
        self.line(text, &[E::Map, E::Location], "map sheet 4");
        self.line(text, &[E::Eppo], "eppo PYUCO");
        self.line(text, &[], if self.when.workers == Some(true) { "workers yes" } else { "workers no" });
        self.line(text, &[], if self.when.enclosed == Some(true) { "enclosed yes" } else { "enclosed no" });
        if self.when.organic == Some(true) {
            self.line(text, &[], "certified organic since 2020");
        }
        text.push_str("\nperson t-marsh \"Tansy Marsh\"\n");
        if self.when.licensed != Some(false) {
            self.line(text, &[E::Licence], "licence PA-2207 until 2030-12-31");
        }
        self.line(text, &[E::ApplicatorAddress], "address 4 Weir Cottages, Larkspur Bend");
        self.line(text, &[E::ApplicatorContact], "contact 555 0101");
        text.push_str("\nrig boom \"Boom sprayer\"\n");
        let method = self.when.methods.first().map_or("boom, both sides", |method| method);
        self.line(text, &[E::Method], &format!("method {method}"));
        self.line(text, &[], "height 10 in");
        self.line(text, &[], "droplets coarse");
        text.push_str("\nwater mains \"Village supply\"\n");
        self.line(text, &[], "kind mains");
        text.push_str("\nmaterial wash \"Leaf wash\"\n");
        self.line(text, &[], "form dry");
        self.line(text, &[], &format!("status {}", self.status()));
        self.line(text, &[E::Registration], "registration 99999-12");
        self.line(text, &[E::Active], "active citric-acid 80 %");
        if !self.when.classes.is_empty() {
            self.line(text, &[], &format!("class {}", self.when.classes[0]));
        }
        self.line(text, &[E::Reentry], "reentry 12 h");
        self.line(text, &[E::Sds], "sds binder 3");
        let limit = match self.when.label_limits {
            Some(LabelLimit::Time) => "label-limits time",
            Some(LabelLimit::Stage) => "label-limits stage",
            Some(LabelLimit::Weather) => "label-limits weather",
            None => "label-limits time, stage, weather",
        };
        self.line(text, &[], limit);
        text.push_str("\nlimits house\n");
        self.line(text, &[], "season at most 100 lb of Cu per acre");
    }

    /// What has to be on file before the day.
    fn paper(&self, text: &mut String) {
        let before = self.day.checked_sub_days(Days::new(20)).unwrap();
        text.push_str(&format!("\n{before}\n\napprove wash\n    authority the certifier\n\n"));
        text.push_str("sample creek-pear\n    kind soil\n    found Cu 2 ppm\n\nsample creek-pear\n    kind tissue\n    found Mg 0.18 %\n");
        for course in ["worker", "handler", "respirator", "medical", "fit-test"] {
            text.push_str(&format!("\ntrain t-marsh\n    course {course}\n    trainer a trainer of the county\n"));
        }
    }

    fn spray(&self, text: &mut String) {
        use Element as E;
        text.push_str(&format!("\n{}\n\nspray creek-pear rows 1 to 7\n", self.day));
        // An amount that is known only by its rate is not known in all, nor is the volume.
        match self.without {
            Some(E::Product) => {}
            Some(E::Total | E::Volume) => self.line(text, &[], "put wash 3 lb per 100 gal"),
            Some(E::Rate) => self.line(text, &[], "measured wash 12 lb"),
            _ => {
                self.line(text, &[], "measured wash 12 lb");
                self.line(text, &[], "volume 400 gal");
            }
        }
        self.line(text, &[E::AreaTreated, E::Rate], "over 4 acre");
        if self.has(E::End) {
            self.line(text, &[E::Start], "time 06:00 to 07:15")
        } else {
            self.line(text, &[], "time 06:00")
        };
        self.line(text, &[E::Applicator], "by t-marsh");
        self.line(text, &[E::Supervisor], "authorised t-marsh");
        self.line(text, &[E::Equipment], "rig boom");
        self.line(text, &[E::Water], "water mains");
        let mut weather = Vec::new();
        if self.has(E::Temperature) {
            weather.push("52 F");
        }
        if self.has(E::Wind) {
            weather.push(if self.has(E::WindDirection) { "wind 3 mph NW" } else { "wind 3 mph" });
        }
        if self.has(E::Humidity) {
            weather.push("humidity 74 %");
        }
        self.line(text, &[], &format!("weather {}", weather.join(", ")));
        self.line(text, &[], if self.has(E::Bbch) { "stage petal fall, BBCH 69" } else { "stage petal fall" });
        // A spray against something has a target; where the rule asks for either, the reason says it.
        let against = self.when.against == Some(true);
        let reason = if against { "disease control" } else { "to keep the leaves clean" };
        self.line(text, &[E::Reason], &format!("reason {reason}"));
        if against || self.when.against.is_none() && self.asks_for(E::Target) {
            self.line(text, &[E::Target], "target pear scab");
        }
        self.line(text, &[E::UseType], "use surface treatment");
        self.line(
            text,
            &[E::Evidence],
            &format!("evidence plan of {}", self.day.checked_sub_days(Days::new(20)).unwrap()),
        );
        self.line(
            text,
            &[E::Entered],
            &format!("entered {} 07:20 by t-marsh", self.day.checked_add_days(Days::new(self.entered_after)).unwrap()),
        );
        self.line(text, &[E::Signed], &format!("signed by t-marsh on {} 07:25", self.day));
        text.push_str("\npost creek-pear\n    up sheet at 07:18\n");
    }

    fn asks_for(&self, element: Element) -> bool {
        self.book.rules.iter().any(|rule| matches!(&rule.demand, Demand::Elements(all) if all.contains(&element)))
    }

    pub(super) fn findings(&self) -> (Vec<Finding>, String) {
        let mut sources = Sources::new();
        let text = self.text();
        let file = sources.add("journal.spray", text.clone()).unwrap();
        let later = self.day.checked_add_days(Days::new(300));
        let findings = check_farm(&sources, Farm { files: &[file], missing: &[] }, later);
        let shown = render(Format::Page, &findings, &sources, Options::default());
        (findings, format!("{}: without {:?}\n{text}\n{shown}", self.book.name, self.without))
    }
}

/// A day on which a rule is in force.
pub(super) fn day_of(rule: &Rule) -> NaiveDate {
    let usual = NaiveDate::from_ymd_opt(2026, 5, 14).unwrap();
    [Some(usual), rule.until, rule.from].into_iter().flatten().find(|&day| rule.in_force(day)).unwrap()
}

/// What the language itself, or an older check, asks for: a record cannot lack it without that finding.
const ELSEWHERE: &[(Element, &str)] = &[(Element::Product, "empty-spray"), (Element::AreaPlanted, "missing-field")];

#[test]
fn a_complete_record_raises_nothing_and_without_an_element_exactly_that() {
    let mut seen = 0;
    for (book, _) in Shelf::shipped().all() {
        for rule in &book.rules {
            let Demand::Elements(elements) = &rule.demand else { continue };
            let day = day_of(rule);
            let (found, shown) = Complete::of(book, rule, day).findings();
            assert!(found.is_empty(), "{}: complete\n{shown}", rule.id);
            // The day of the page cannot be left out.
            for &element in elements.iter().filter(|element| **element != Element::Date) {
                // A rule about licensed people holds for nobody without a licence.
                if element == Element::Licence && rule.when.licensed == Some(true) {
                    continue;
                }
                let (found, shown) = Complete { without: Some(element), ..Complete::of(book, rule, day) }.findings();
                let codes: Vec<&str> = found.iter().map(|finding| finding.code).collect();
                if let Some((_, code)) = ELSEWHERE.iter().find(|(known, _)| *known == element) {
                    assert_eq!(codes, [*code], "{}: {}\n{shown}", rule.id, element.name());
                    continue;
                }
                assert_eq!(codes, ["record-incomplete"], "{}: {}\n{shown}", rule.id, element.name());
                assert!(found[0].headline.contains(element.words()), "{}: {}\n{shown}", rule.id, element.name());
                assert!(shown.contains(&book.name), "{shown}");
                let sure = matches!(rule.known, Known::Text | Known::Guidance);
                assert!(!sure || found[0].level == Level::Error, "{}: {}\n{shown}", rule.id, element.name());
                seen += 1;
            }
        }
    }
    assert!(seen > 60, "{seen} elements were taken out");
}

#[test]
fn a_rule_holds_on_its_first_and_last_day_and_on_no_other() {
    let mut seen = 0;
    for (book, _) in Shelf::shipped().all() {
        for rule in &book.rules {
            let Demand::Elements(elements) = &rule.demand else { continue };
            let Some(&element) = elements
                .iter()
                .find(|element| **element != Element::Date && ELSEWHERE.iter().all(|(known, _)| known != *element))
            else {
                continue;
            };
            let named = |day: Option<NaiveDate>| {
                let (found, _) =
                    Complete { without: Some(element), ..Complete::of(book, rule, day.unwrap()) }.findings();
                found.iter().any(|finding| {
                    finding.code == "record-incomplete"
                        && finding.working.iter().any(|line| line.contains(&format!("{} (", rule.citation)))
                })
            };
            if let Some(from) = rule.from {
                assert!(named(Some(from)) && !named(from.pred_opt()), "{}: {}", book.name, rule.id);
                seen += 1;
            }
            if let Some(until) = rule.until {
                assert!(named(Some(until)) && !named(until.succ_opt()), "{}: {}", book.name, rule.id);
                seen += 1;
            }
        }
    }
    assert!(seen > 5, "{seen} first and last days");
}

#[test]
fn a_record_made_on_the_last_day_is_in_time_and_a_day_later_is_late() {
    let mut seen = 0;
    for (book, _) in Shelf::shipped().all() {
        for rule in &book.rules {
            let within = match &rule.demand {
                Demand::Deadline(within) | Demand::MachineReadable(within) => *within,
                _ => continue,
            };
            let days = match within {
                TimeSpan::SameDay => 0,
                TimeSpan::Days(days) => u64::from(days),
                // The record is written down five minutes after the end's time of day.
                TimeSpan::Seconds(seconds) => u64::try_from(seconds).unwrap() / 86_400 - 1,
            };
            let names = |entered_after: u64| {
                let (found, shown) = Complete { entered_after, ..Complete::of(book, rule, day_of(rule)) }.findings();
                assert!(found.iter().all(|finding| finding.code == "record-late"), "{}\n{shown}", rule.id);
                found.iter().any(|finding| finding.source.as_ref().unwrap().contains(&rule.citation))
            };
            assert!(!names(days), "{}: {} is in time", book.name, rule.id);
            assert!(names(days + 1), "{}: {} is late", book.name, rule.id);
            seen += 1;
        }
    }
    assert!(seen > 5, "{seen} deadlines");
}

#[test]
fn keeping_for_a_year_less_than_asked_is_too_short() {
    let mut seen = 0;
    for (book, _) in Shelf::shipped().all() {
        for rule in &book.rules {
            let Demand::Keep(asked) = &rule.demand else { continue };
            let names = |keep: u32| {
                let (found, shown) = Complete { keep, ..Complete::of(book, rule, day_of(rule)) }.findings();
                assert!(found.iter().all(|finding| finding.code == "kept-too-short"), "{}\n{shown}", rule.id);
                found.iter().any(|finding| finding.source.as_ref().unwrap().contains(&rule.citation))
            };
            assert!(!names(asked.years), "{}: {}", book.name, rule.id);
            assert!(names(asked.years - 1), "{}: {}", book.name, rule.id);
            seen += 1;
        }
    }
    assert!(seen > 8, "{seen} times of keeping");
}
