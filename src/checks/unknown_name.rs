//! See the Markdown beside this file.

use rustc_hash::{FxHashMap, FxHashSet};

use super::wording::{hides, quoted, with_article};
use super::{Ahead, Check, Findings, say};
use crate::finding::{Finding, Level};
use crate::journal::{Journal, NameSort, Named, Trouble, nearest_in_pantry, nearest_word, pantry};
use crate::season::Season;
use crate::text::Span;

pub(super) const CHECK: Check = Check {
    code: "unknown-name",
    level: Level::Error,
    ahead: Ahead::Job,
    summary: "A name that nothing declares",
    explain: include_str!("unknown_name.md"),
    run,
};

/// How many known names, and how many further places, are shown.
const SHOWN: usize = 5;

/// For how many different names a near one is sought. A journal with more of them has lost a file, not a letter.
const SOUGHT: usize = 200;

/// Where one unknown name is used, in the order of the files.
struct Unknown<'j> {
    sort: NameSort,
    name: &'j str,
    uses: Vec<Span>,
}

fn run(season: &Season<'_>, found: &mut Findings) {
    let unknown = gather(season);
    let few = unknown.len() <= SOUGHT;
    if unknown.is_empty() {
        return;
    }
    let elsewhere = declared_in_vain(season);
    let mut known: FxHashMap<NameSort, Vec<&Named>> = FxHashMap::default();
    for Unknown { sort, name, uses } in unknown {
        let lower = name.to_lowercase();
        if elsewhere.contains(&squeezed(&lower)) {
            continue;
        }
        let known = known.entry(sort).or_insert_with(|| season.journal.declared(sort));
        let near = if few { nearest_word(&lower, known.iter().map(|named| &*named.name)) } else { None };
        match near.and_then(|near| known.iter().find(|named| *named.name == *near)) {
            // A slip of the pen is put right where it stands, so each is said.
            Some(near) => {
                let also = as_near(&lower, near, known);
                for at in uses {
                    let finding = misspelt(at, sort, name, near, also, found);
                    found.add(finding);
                }
            }
            // A name that was never declared is one thing to put right, however often it is used.
            None => {
                let other = if few { other_sort(season.journal, sort, name) } else { None };
                let finding = undeclared(season.journal, &uses, sort, name, known, other, found);
                found.add(finding);
            }
        }
    }
}

fn gather<'j>(season: &Season<'j>) -> Vec<Unknown<'j>> {
    // Without a shared folder nobody knows what it would have declared.
    let no_pantry = season.journal.troubles.iter().any(|trouble| matches!(trouble, Trouble::MissingFolder { .. }));
    let mut places: FxHashMap<(NameSort, &str), usize> = FxHashMap::default();
    let mut unknown: Vec<Unknown<'j>> = Vec::new();
    for trouble in &season.journal.troubles {
        let &Trouble::UnknownName { at, sort } = trouble else { continue };
        if hides(season, at) || (no_pantry && sort != NameSort::Block) {
            continue;
        }
        let name = season.words(at);
        let place = *places.entry((sort, name)).or_insert_with(|| {
            unknown.push(Unknown { sort, name, uses: Vec::new() });
            unknown.len() - 1
        });
        unknown[place].uses.push(at);
    }
    unknown
}

/// A second name that is just as near: which of the two was meant, nobody but the writer knows.
fn as_near<'j>(lower: &str, near: &Named, known: &[&'j Named]) -> Option<&'j Named> {
    let others = || known.iter().filter(|named| named.name != near.name);
    let other = nearest_word(lower, others().map(|named| &*named.name))?;
    let distance = |word: &str| strsim::damerau_levenshtein(lower, word);
    others().find(|named| *named.name == *other && distance(other) == distance(&near.name)).copied()
}

fn misspelt(at: Span, sort: NameSort, name: &str, near: &Named, also: Option<&Named>, found: &Findings) -> Finding {
    let similar = || format!("{} with a similar name", with_article(sort.word()));
    let finding = found
        .finding(at, format!("there is no {} called {}", sort.word(), quoted(name)))
        .here("not declared")
        .label(near.span, similar());
    let finding = match also {
        Some(also) => {
            finding.label(also.span, similar()).help(format!("did you mean `{}` or `{}`?", near.name, also.name))
        }
        None => finding.help(format!("did you mean `{}`?", near.name)).edit(at, &*near.name),
    };
    // Letters of other alphabets can look just like Latin ones.
    match name.chars().find(|letter| !letter.is_ascii() && near.name.is_ascii()) {
        Some(letter) => finding.working(format!("`{letter}` in it is the character U+{:04X}", letter as u32)),
        None => finding,
    }
}

fn undeclared(
    journal: &Journal,
    uses: &[Span],
    sort: NameSort,
    name: &str,
    known: &[&Named],
    other: Option<(NameSort, &Named)>,
    found: &Findings,
) -> Finding {
    let mut finding =
        found.finding(uses[0], format!("there is no {} called {}", sort.word(), quoted(name))).here("not declared");
    for &other in uses[1..].iter().take(SHOWN - 1) {
        finding = finding.label(other, "here too");
    }
    if uses.len() > SHOWN {
        finding = finding.working(format!("used {} times in all", uses.len()));
    }
    if name.contains(|character: char| character.is_whitespace()) {
        return finding.help("one of the spaces is not a plain space, as copied text often has: type it again");
    }
    if let Some((other, named)) = other {
        let what = with_article(other.word());
        return finding.label(named.span, format!("{what} has that name")).help(format!(
            "`{}` is {what}, and {} is asked for here",
            named.name,
            with_article(sort.word())
        ));
    }
    if let Some(help) = in_pantry(journal, sort, &name.to_lowercase()) {
        return finding.help(help);
    }
    let entry = match sort {
        NameSort::Brew => "brew",
        NameSort::Limits => "limits",
        other => other.word(),
    };
    let declare = format!("declare it with an entry that begins `{entry} {name}`");
    match known {
        [] => finding.help(format!("the journal declares no {} at all: {declare}", sort.word())),
        _ => {
            let names: Vec<&str> = known.iter().take(SHOWN).map(|named| &*named.name).collect();
            let listed = match known.len().saturating_sub(SHOWN) {
                0 => say::list(&names),
                1 => format!("{} and 1 other", names.join(", ")),
                more => format!("{} and {more} others", names.join(", ")),
            };
            finding.help(format!("{declare}; declared so far: {listed}"))
        }
    }
}

/// What the pantry has under that name, or under one near it.
fn in_pantry(journal: &Journal, sort: NameSort, lower: &str) -> Option<String> {
    if sort != NameSort::Material {
        return None;
    }
    let asked = journal.farm.as_ref().and_then(|farm| farm.pantry).is_some_and(|pantry| pantry.value);
    let exact = pantry().find(|known| known.name == lower).map(|known| known.name);
    let (name, means) = match exact {
        Some(name) => (name, "the pantry that comes with Foliary has it".to_string()),
        None => {
            let near = nearest_in_pantry(lower)?;
            (near, format!("did you mean `{near}`, which the pantry that comes with Foliary has?"))
        }
    };
    Some(match (asked, exact) {
        (true, None) => means,
        (true, Some(_)) => return None,
        (false, Some(_)) => format!(
            "{means}: write `pantry yes` in the farm's entry to use it by name, or declare your own: `foliary pantry {name}` prints an entry to begin with"
        ),
        (false, None) => format!("{means} To use it by name write `pantry yes` in the farm's entry"),
    })
}

/// A thing of another sort with that very name.
fn other_sort<'j>(journal: &'j Journal, sort: NameSort, name: &str) -> Option<(NameSort, &'j Named)> {
    let lower = name.to_lowercase();
    let sorts = [
        NameSort::Material,
        NameSort::Mix,
        NameSort::Block,
        NameSort::Person,
        NameSort::Rig,
        NameSort::Water,
        NameSort::Program,
        NameSort::Brew,
    ];
    sorts.into_iter().filter(|&other| other != sort).find_map(|other| {
        let named = journal.declared(other).into_iter().find(|named| *named.name == *lower)?;
        Some((other, named))
    })
}

/// Names that first lines declare which could not be read: what uses them says nothing more.
fn declared_in_vain(season: &Season<'_>) -> FxHashSet<String> {
    let mut names = FxHashSet::default();
    let unread = season.journal.troubles.iter().filter_map(|trouble| match *trouble {
        Trouble::UnreadableLine { line, entry: Some(entry), head: true } if entry.is_standing() => Some(line),
        Trouble::UnreadableLine { line, entry: Some(crate::syntax::EntryWord::Brew), head: true } => Some(line),
        Trouble::UnknownEntry { word } => Some(word),
        _ => None,
    });
    for at in unread {
        let file = season.sources.get(season.sources.source_of(at));
        let rest = &file.text()[(at.start - file.base()) as usize..];
        let line = rest.lines().next().unwrap_or_default();
        // `block creek pear`: whoever uses it may have written any of creek, creek-pear and creekpear.
        let mut name = String::new();
        for word in line.split_whitespace().skip(1).take(5) {
            name.push_str(&squeezed(&word.to_lowercase()));
            names.insert(name.clone());
        }
    }
    names
}

fn squeezed(name: &str) -> String {
    name.chars().filter(|character| character.is_alphanumeric()).collect()
}
