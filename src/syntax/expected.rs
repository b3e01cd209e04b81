//! What stands for each rule of the grammar in a message: a rule added to the grammar does not compile until somebody
//! has found the words for it.

use super::grammar::Rule;
use super::words::FieldWord;

/// What a grower would call the thing that a rule reads. Empty for what is never worth asking for.
fn in_words(rule: Rule) -> &'static str {
    match rule {
        Rule::name | Rule::names => "a name",
        Rule::word => "a word",
        Rule::number | Rule::high => "a number, such as 12, 0.5 or 1/2",
        Rule::whole => "a whole number",
        Rule::unit | Rule::unit_lead | Rule::unit_word | Rule::unit_tail => "a unit, such as gal or acre",
        Rule::measure | Rule::one_in | Rule::none | Rule::bound | Rule::at_most | Rule::at_least | Rule::up_to => {
            "a quantity, such as `12 gal`"
        }
        Rule::per => "`per` and what it is counted by",
        Rule::on => "`on` and the crops it is for",
        Rule::from => "`from` and a date",
        Rule::of => "`of` and a name",
        Rule::date | Rule::day | Rule::day_of => "a date, such as 2026-05-14",
        Rule::weekday => "a weekday",
        Rule::clock => "a time of day, such as 05:50 or 5:50 am",
        Rule::moment | Rule::times => "a time, such as 05:50 or 5:50 am",
        Rule::next_day => "`to` and a time",
        Rule::which_hour => "",
        Rule::row_pick | Rule::every_other => "rows, such as `rows 1 to 9`",
        Rule::row_list | Rule::row_run => "row numbers, such as `1 to 9, 12`",
        Rule::title => "a title in straight double quotes",
        // A remark may stand at the end of any line, so where one was looked for the line could have ended.
        Rule::comment | Rule::end | Rule::eol | Rule::newline | Rule::EOI => "the end of the line",
        Rule::text | Rule::note | Rule::note_text => "words",
        Rule::mix_use => "the name of a mix, and how much of it",
        Rule::into_water => "`into`",
        Rule::portion => "the name of a material, and how much of it",
        Rule::reading | Rule::reading_item => "a reading, such as `52 F` or `wind 3 mph NW`",
        Rule::remark => "words about the weather",
        Rule::compass => "where the wind comes from, such as NW",
        Rule::incidence => "what was seen, and how many of how many",
        Rule::count => "how many of how many, such as `7 of 100 leaves`",
        Rule::severity => "what was seen, and a percentage",
        Rule::sample => "a number",
        Rule::entered => "a date, such as 2026-05-14, a time, and `by` whom",
        Rule::posting => "`sheet` or `signs`",
        Rule::load => "a volume, such as `500 gal` or `2 of 500 gal`",
        Rule::leftover => "a volume, such as `8 gal`",
        Rule::signed => "`by`, who signed, `on` and a date",
        Rule::licence | Rule::licence_number => "the number of the licence",
        Rule::rulebook => "the name of a set of rules",
        Rule::until => "`until` and a date",
        Rule::keep => "how many years, such as `5 years`",
        Rule::history | Rule::no_history => "`none`, or `from` and a date",
        Rule::accept => "the name of a finding, and the reason",
        Rule::limit => "a limit, such as `at most 6 oz per gal`",
        Rule::contents | Rule::content => "a name and a quantity, such as `Mg 9.86 %`",
        Rule::layout => "row numbers, such as `1 to 14`",
        Rule::layout_item => "a distance, such as `16 ft apart` or `300 ft long`",
        Rule::trees => "`trees`",
        Rule::apart_word => "`apart`",
        Rule::long_word => "`long`",
        Rule::apart => "a time and from what, such as `14 days from oil`",
        Rule::never => "`with` and what it must not be mixed with",
        Rule::start => {
            "a date, such as 2026-04-20, `stage` and a growth stage, `BBCH` and its code, or what was seen too much of"
        }
        Rule::seen => "",
        Rule::days => "a date, such as 2026-05-14",
        Rule::canopy | Rule::high_side | Rule::wide_side => "how high and how wide, such as `10 ft high, 8 ft wide`",
        Rule::amounts | Rule::caught => "quantities, such as `1 cup, 1 tbsp`",
        Rule::after_rain => "`after` and so much rain, such as `after 1 in of rain`",
        Rule::window => "growth stages by their codes, such as `BBCH 59 to 75`",
        Rule::fold => "how many times, such as `4 times`",
        Rule::taking => "`in` and how long it took",
        Rule::drive => "a distance, and `in` how long, such as `340 ft in 58 s`",
        Rule::plot => "two sides or an area, such as `18.5 ft by 18.5 ft`",
        Rule::rated => "an amount, and `in` how long, such as `0.4 gal in 1 min`",
        Rule::nozzle_count => "how many nozzles, such as `24 nozzles`",
        Rule::rounds | Rule::round_count => "how many rounds, such as `3 to 4`",
        Rule::every => "`every` and how many days",
        Rule::field => "a field",
        Rule::head | Rule::entry => "what the entry is about",
        // These take any line, or stand inside others, so that nothing is ever looked for in their stead.
        Rule::lost_entry
        | Rule::opening
        | Rule::line
        | Rule::stray
        | Rule::lost
        | Rule::indent
        | Rule::blank
        | Rule::ws
        | Rule::sp
        | Rule::comma
        | Rule::name_rest
        | Rule::unit_stop
        | Rule::common_unit
        | Rule::speed_words
        | Rule::of_lot
        | Rule::quantity
        | Rule::digits => "",
    }
}

/// Whether a day could stand where this was looked for.
pub(super) fn takes_date(rule: Rule) -> bool {
    matches!(
        rule,
        Rule::date | Rule::day | Rule::day_of | Rule::entered | Rule::start | Rule::days | Rule::from | Rule::until
    )
}

/// Whether a day or a time could stand where this was looked for.
pub(super) fn takes_moment(rule: Rule) -> bool {
    matches!(rule, Rule::moment | Rule::times)
}

/// Whether the rest of a quantity that the grammar looked for means anything to the field.
fn fits(rule: Rule, field: Option<FieldWord>, before: &str) -> bool {
    use FieldWord as F;
    match rule {
        Rule::per => {
            matches!(
                field,
                Some(
                    F::Rate
                        | F::Published
                        | F::Price
                        | F::Dilute
                        | F::Put
                        | F::Total
                        | F::Density
                        | F::Weighs
                        | F::Output
                        | F::Season
                )
            )
        }
        Rule::on => {
            matches!(
                field,
                Some(
                    F::Rate | F::Preharvest | F::Spacing | F::Season | F::Total | F::Leftover | F::Rinse | F::Published
                )
            )
        }
        Rule::of => field == Some(F::Season),
        Rule::from => matches!(
            field,
            Some(F::Area | F::Ph | F::Hardness | F::Rulebook | F::History | F::Price | F::Dilute | F::Canopy)
        ),
        Rule::next_day => field == Some(F::Time) && !before.contains(" to "),
        _ => true,
    }
}

/// What was looked for behind some words of a field, as a list for people: `a number or the end of the line`.
pub(super) fn list(rules: &[Rule], field: Option<FieldWord>, before: &str) -> String {
    let end = in_words(Rule::comment);
    let mut ends = false;
    let mut seen: Vec<&str> = Vec::with_capacity(rules.len());
    for &rule in rules.iter().filter(|&&rule| fits(rule, field, before)) {
        let words = match (rule, field) {
            (Rule::date, Some(FieldWord::Start)) => in_words(Rule::start),
            _ => in_words(rule),
        };
        if words == end {
            ends = true;
        } else if !words.is_empty() && !seen.contains(&words) {
            seen.push(words);
        }
    }
    // The plainest way out comes last.
    if ends {
        seen.push(end);
    }
    match seen.as_slice() {
        [] => String::new(),
        [one] => (*one).to_string(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}
