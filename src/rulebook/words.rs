//! What rules ask for and when they hold, in plain words.

use super::{Demand, LabelLimit, Rule, TimeSpan, UseLimit, When};
use crate::journal::{Course, Status};
use crate::quantity::show;

impl Rule {
    /// When it is in force, in words: `from 2 January 2017 to 10 July 2025`.
    pub fn in_force_words(&self) -> String {
        let day = |day: chrono::NaiveDate| day.format("%-d %B %Y").to_string();
        match (self.from, self.until) {
            (None, None) => "no first or last day is known".to_string(),
            (Some(from), None) => format!("from {}", day(from)),
            (None, Some(until)) => format!("until {}", day(until)),
            (Some(from), Some(until)) => format!("from {} to {}", day(from), day(until)),
        }
    }
}

impl Demand {
    /// What it asks for, in words: `start time and end time in the record`.
    pub fn words(&self) -> String {
        match self {
            Demand::Elements(elements) => {
                let words: Vec<&str> = elements.iter().map(|element| element.words()).collect();
                format!("{} in the record", and(&words))
            }
            Demand::Deadline(within) => format!("the record made {}", within.words()),
            Demand::MachineReadable(within) => format!("a machine-readable record {}", within.words()),
            Demand::MonthlyReport { day } => format!("a report by day {day} of the next month"),
            Demand::Keep(keep) => {
                format!("the record kept for {} from {}", count(keep.years, "year"), keep.from.words())
            }
            Demand::Display { up_within, before_entry, stays } => {
                let entry = if *before_entry { " and before anyone comes in" } else { "" };
                let (up, stays) = (time(*up_within), time(*stays));
                format!("a sheet at a central place, up within {up} of the end{entry}, for {stays} after re-entry ends")
            }
            Demand::Signs { outdoors_over, enclosed_over, before, down_within } => {
                let (outdoors, enclosed) = (time(*outdoors_over), time(*enclosed_over));
                let (before, down) = (time(*before), time(*down_within));
                format!(
                    "warning signs where re-entry is over {outdoors} outdoors or {enclosed} under a roof; up at most \
                     {before} before the start, down within {down} after re-entry ends"
                )
            }
            Demand::ExclusionZone { distance, methods, finer_than, height_over } => {
                let methods = (!methods.is_empty()).then(|| format!("by {}", or(methods)));
                let droplets = finer_than.map(|class| format!("in droplets finer than {}", class.word()));
                let height = height_over.map(|height| format!("from higher than {}", show(height)));
                let how: Vec<String> = [methods, droplets, height].into_iter().flatten().collect();
                let how = if how.is_empty() { String::new() } else { format!(" {}", how.join(", or ")) };
                format!("nobody but the handlers within {} while spraying{how}", show(*distance))
            }
            Demand::Training { course, months, applicators, entering_within, or, family_exempt, licensed_exempt } => {
                let late = if *entering_within > 0 {
                    format!(" within {} of the spray or of re-entry", time(*entering_within))
                } else {
                    String::new()
                };
                let of = if *applicators { "those who spray" } else { "those who work in the block" };
                let courses =
                    joined(&[&[*course][..], or].concat().into_iter().map(course_words).collect::<Vec<_>>(), "or");
                let spared =
                    [(*family_exempt, "the owner's family"), (*licensed_exempt, "people with a valid licence")];
                let spared: Vec<&str> = spared.into_iter().filter(|(exempt, _)| *exempt).map(|(_, who)| who).collect();
                let spared = if spared.is_empty() { String::new() } else { format!(", save {}", and(&spared)) };
                format!("{courses} in the {} before, of {of}{late}{spared}", count(*months, "month"))
            }
            Demand::Licence => "a licence of who sprays that is valid on the day".to_string(),
            Demand::FitTest { months } => {
                format!("a respirator that was fitted in the {} before", count(*months, "month"))
            }
            Demand::RegistrationForm { groups: (fewest, most) } => {
                let groups = if fewest == most { fewest.to_string() } else { format!("{fewest} to {most}") };
                format!("registration numbers of {groups} groups of digits with hyphens between")
            }
            Demand::Purpose { statuses } => {
                format!("no material whose status is {} against pests, diseases or weeds", or(&words_of(statuses)))
            }
            Demand::ListedActives { statuses, actives } => {
                let statuses = or(&words_of(statuses));
                format!("in materials whose status is {statuses}, no active ingredient but {}", and(actives))
            }
            Demand::ApprovedUse(limit) => limit.words(),
            Demand::Refused { substances } => format!("no use of {}", or(substances)),
            Demand::ApprovedInput => "every input approved before it is used".to_string(),
            Demand::Test { classes, origin, kinds } => {
                let kinds: Vec<&str> = kinds.iter().map(|kind| kind.word()).collect();
                let origin = origin.map_or(String::new(), |origin| format!("{} ", origin.word()));
                format!("a {} test that shows the need of {origin}materials of class {}", or(&kinds), or(classes))
            }
            Demand::PlanReason => {
                "the reason in the plan for what is used against pests, diseases or weeds".to_string()
            }
            Demand::BuildUp { element } => format!("an eye on the build-up of {element} in the soil"),
            Demand::DaysToHarvest { classes, days, touching_soil } => format!(
                "{} from materials of class {} to the harvest, {} where the edible part touches the soil",
                count(*days, "day"),
                or(classes),
                touching_soil
            ),
            Demand::Tea { teas, animal, untreated, additives, waters } => {
                let waters: Vec<&str> = waters.iter().map(|kind| kind.word()).collect();
                let with = |what: &str, list: String| (!list.is_empty()).then(|| format!("{what} {list}"));
                let animal = with(" made with something of class", or(animal)).unwrap_or_default();
                let spoils = [
                    with("something of class", or(untreated)),
                    with("an additive of class", or(additives)),
                    with("water of kind", or(&waters)),
                ];
                let spoils = with(" and", or(&spoils.into_iter().flatten().collect::<Vec<_>>())).unwrap_or_default();
                format!("no extract of class {}{animal}{spoils} on what is eaten", or(teas))
            }
            Demand::Note => "nothing that is checked; it is said to be known".to_string(),
        }
    }
}

impl TimeSpan {
    /// In words: `within 14 days of the spray`.
    pub fn words(self) -> String {
        match self {
            TimeSpan::SameDay => "on the day of the spray".to_string(),
            TimeSpan::Days(days) => format!("within {} of the spray", count(days, "day")),
            TimeSpan::Seconds(seconds) => format!("within {} of the end", time(seconds)),
        }
    }
}

impl UseLimit {
    fn words(&self) -> String {
        let mut only: Vec<String> = Vec::new();
        if !self.crops.is_empty() {
            only.push(format!("on {}", or(&self.crops)));
        }
        if !self.targets.is_empty() {
            only.push(format!("against {}", or(&self.targets)));
        }
        if let Some((first, last)) = self.bbch {
            only.push(format!("from BBCH {first:02} to {last:02}"));
        }
        if let Some((least, most)) = self.per_hectolitre {
            let litres = if least == most { format!("{least}") } else { format!("{least} to {most}") };
            only.push(format!("{litres} L in 100 L of spray"));
        }
        if let Some(days) = self.days_apart {
            only.push(format!("at least {} apart", count(days, "day")));
        }
        if let Some(sprays) = self.sprays {
            only.push(format!("at most {} a year", count(sprays, "spray")));
        }
        let only = if only.is_empty() { "as approved".to_string() } else { only.join(", ") };
        format!("{} only so: {only}", or(&self.substances))
    }
}

impl When {
    /// For which sprays it holds, in words; `None` where it holds for all.
    pub fn words(&self) -> Option<String> {
        let choice =
            |wanted: Option<bool>, yes: &str, no: &str| wanted.map(|wanted| if wanted { yes } else { no }.to_string());
        let limit = self.label_limits.map(|limit| {
            let by = match limit {
                LabelLimit::Time => "times of day",
                LabelLimit::Stage => "growth stages",
                LabelLimit::Weather => "weather",
            };
            format!("a label limits use by {by}")
        });
        let conditions: Vec<String> = [
            choice(
                self.workers,
                "people other than the family work in the block",
                "only the family works in the block",
            ),
            choice(self.enclosed, "the block is under a roof", "the block is outdoors"),
            choice(self.organic, "the block is organic or on the way to it", "the block is not organic"),
            choice(self.against, "the spray is against a pest, a disease or weeds", "the spray is against nothing"),
            choice(self.licensed, "who sprays has a licence", "who sprays has no licence"),
            self.material_words(),
            self.respirator.then(|| "a label in the tank asks for a respirator".to_string()),
            (!self.crops.is_empty()).then(|| format!("the crop is {}", or(&self.crops))),
            (!self.methods.is_empty()).then(|| format!("it is sprayed by {}", or(&self.methods))),
            self.area_at_least.map(|area| format!("at least {} is treated", show(area))),
            limit,
        ]
        .into_iter()
        .flatten()
        .collect();
        (!conditions.is_empty()).then(|| conditions.join("; "))
    }

    fn material_words(&self) -> Option<String> {
        let status = (!self.statuses.is_empty()).then(|| format!("of status {}", or(&words_of(&self.statuses))));
        let class = (!self.classes.is_empty()).then(|| format!("of class {}", or(&self.classes)));
        let respirator = self.respirator.then(|| "whose label asks for a respirator".to_string());
        let kinds: Vec<String> = [status, class, respirator].into_iter().flatten().collect();
        (!kinds.is_empty()).then(|| format!("a material {} is in the tank", kinds.join(" and ")))
    }
}

fn course_words(course: Course) -> &'static str {
    match course {
        Course::Worker => "training as a worker",
        Course::Handler => "training as a handler",
        Course::FitTest => "the fit test of a respirator",
        Course::Respirator => "training with a respirator",
        Course::Medical => "a medical examination",
    }
}

fn words_of(statuses: &[Status]) -> Vec<&'static str> {
    statuses.iter().map(|status| status.word()).collect()
}

/// `48 hours`, `30 days`: whole days from three on, as notices say them.
fn time(seconds: i64) -> String {
    let (days, hours, minutes) = (seconds / 86_400, seconds / 3_600, seconds / 60);
    let many = |number: i64, word: &str| format!("{number} {word}{}", if number == 1 { "" } else { "s" });
    if seconds % 86_400 == 0 && days > 2 {
        many(days, "day")
    } else if seconds % 3_600 == 0 {
        many(hours, "hour")
    } else if seconds % 60 == 0 {
        many(minutes, "minute")
    } else {
        many(seconds, "second")
    }
}

fn count(number: u32, word: &str) -> String {
    format!("{number} {word}{}", if number == 1 { "" } else { "s" })
}

fn and<S: AsRef<str>>(items: &[S]) -> String {
    joined(items, "and")
}

fn or<S: AsRef<str>>(items: &[S]) -> String {
    joined(items, "or")
}

fn joined<S: AsRef<str>>(items: &[S], word: &str) -> String {
    match items {
        [] => String::new(),
        [one] => one.as_ref().to_string(),
        [first @ .., last] => {
            let first: Vec<&str> = first.iter().map(AsRef::as_ref).collect();
            format!("{} {word} {}", first.join(", "), last.as_ref())
        }
    }
}
