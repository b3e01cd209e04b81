//! See the Markdown beside this file.

use rustc_hash::FxHashSet;

use super::wording::quote;
use super::{Ahead, Check, Findings};
use crate::finding::{Finding, Level};
use crate::journal::{Journal, Trouble};
use crate::season::Season;
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "look-alike-name",
    level: Level::Warning,
    ahead: Ahead::Job,
    summary: "Two names that the eye takes for one another",
    explain: include_str!("look_alike_name.md"),
    run,
};

/// Classes that rules go by.
const CLASSES: &[&str] = &[
    "oil",
    "sulfur",
    "copper",
    "acid",
    "soap",
    "live-culture",
    "oxidiser",
    "lime-sulfur",
    "bleach",
    "magnesium",
    "calcium",
    "captan",
];

fn run(season: &Season<'_>, found: &mut Findings) {
    for trouble in &season.journal.troubles {
        let &Trouble::LookAlikeName { first, again, sort } = trouble else { continue };
        let finding = found
            .finding(
                again,
                format!(
                    "the {} names {} and {} are easily taken for one another",
                    sort.word(),
                    quote(season, first),
                    quote(season, again)
                ),
            )
            .here("looks like the other")
            .label(first, "declared here first")
            .help("if they are one thing, keep one entry; if they are two, give one a name that stands apart");
        found.add(finding);
    }
    classes(season, found);
}

/// Class words that are one slip away from a class that rules go by, and that nothing else calls by that name. A rule
/// about the class would pass such a material over without a word.
fn classes(season: &Season<'_>, found: &mut Findings) {
    let journal = season.journal;
    // Materials' own names are no slips, nor is a word on which a material and a rule agree.
    let rules = rule_words(journal);
    let in_rules: FxHashSet<&str> = rules.iter().map(|&(_, word)| word).collect();
    let on_materials = journal.materials.iter().flat_map(|material| &material.classes).map(|class| &*class.value);
    let substances = journal.materials.iter().flat_map(|material| material.actives.iter().chain(&material.contents));
    let names: FxHashSet<&str> = on_materials
        .chain(substances.map(|content| &*content.substance))
        .filter(|word| in_rules.contains(word))
        .chain(journal.materials.iter().map(|material| &*material.named.name))
        .collect();
    for material in &journal.materials {
        for class in &material.classes {
            if let Some(near) = slip_for(&class.value, &names) {
                let finding = misspelt(season, class.span, &class.value, near, found)
                    .here("no rule goes by this class")
                    .help(format!(
                        "did you mean `{near}`? Rules about {near} do not see {} as it is",
                        material.named.name
                    ))
                    .edit(class.span, near);
                found.add(finding);
            }
        }
    }
    for (span, word) in rules {
        if let Some(near) = slip_for(word, &names) {
            let finding = misspelt(season, span, word, near, found)
                .here("nothing is of this class")
                .help(format!("did you mean `{near}`? The rule holds for nothing as it is"));
            found.add(finding);
        }
    }
}

fn misspelt(season: &Season<'_>, at: Span, word: &str, near: &str, found: &Findings) -> Finding {
    // The journal keeps a class in one spelling; the place shows it as typed.
    let shown = season.words(at);
    let named = if shown.to_lowercase() == word { shown } else { word };
    found.finding(at, format!("the class `{named}` looks like a slip for `{near}`"))
}

/// The class words of rules, with the place of the rule.
fn rule_words(journal: &Journal) -> Vec<(Span, &str)> {
    let mut words: Vec<(Span, &str)> = Vec::new();
    let aparts = journal.limits.iter().flat_map(|limits| &limits.apart);
    for apart in aparts.chain(journal.materials.iter().flat_map(|material| &material.apart)) {
        words.extend(apart.what.iter().chain(&apart.from).map(|word| (apart.span, &**word)));
    }
    let nevers = journal.limits.iter().flat_map(|limits| &limits.never);
    for never in nevers.chain(journal.materials.iter().flat_map(|material| &material.never)) {
        words.extend(never.what.iter().chain(&never.with).map(|word| (never.span, &**word)));
    }
    for total in journal.limits.iter().flat_map(|limits| &limits.totals) {
        words.extend(total.class.iter().map(|word| (total.range.span, &**word)));
    }
    let caps = journal.limits.iter().flat_map(|limits| &limits.season);
    for cap in caps.chain(journal.materials.iter().flat_map(|material| &material.season)) {
        words.extend(cap.of.iter().map(|of| (of.span, &*of.value)));
    }
    words
}

/// The class that a word is a near-certain slip for: one letter too many, too few or wrong, or two swapped, in a word of
/// five letters or more; in a shorter word only two letters swapped, since `soil` is no slip for `oil`.
fn slip_for(word: &str, names: &FxHashSet<&str>) -> Option<&'static str> {
    if CLASSES.contains(&word) || names.contains(word) {
        return None;
    }
    let letters = |word: &str| {
        let mut letters: Vec<char> = word.chars().collect();
        letters.sort_unstable();
        letters
    };
    let near = |class: &&&str| {
        word.len().abs_diff(class.len()) <= 1
            && strsim::osa_distance(word, class) == 1
            && (word.len().min(class.len()) >= 5 || letters(word) == letters(class))
    };
    CLASSES.iter().find(near).copied()
}
