//! Which page an address asks for. Only what is in this table is served: no address becomes a path of the file system.

/// How many findings a page shows, and how many lines of a journal.
pub(super) const FINDINGS: usize = 100;
/// How many lines of a journal a page shows.
pub(super) const LINES: usize = 300;

/// Which findings are shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Which {
    All,
    Errors,
    Warnings,
    Notes,
    Accepted,
}

impl Which {
    pub(super) const EACH: [(Which, &'static str, &'static str); 5] = [
        (Which::All, "all", "All"),
        (Which::Errors, "errors", "Errors"),
        (Which::Warnings, "warnings", "Warnings"),
        (Which::Notes, "notes", "Notes"),
        (Which::Accepted, "accepted", "Accepted"),
    ];
}

/// A page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Page<'a> {
    /// All farms.
    Start,
    /// What each finding means.
    Meanings,
    /// What one finding means.
    Meaning(&'a str),
    /// A page of a farm.
    Farm(&'a str, Part<'a>),
}

/// A page of a farm.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Part<'a> {
    /// Findings, from the one of a number on.
    Findings(Which, usize),
    /// The files.
    Journal,
    /// A file, from a line on.
    Text(&'a str, usize),
    /// The clearance board for now.
    Board,
    /// The sprays of today and later, each with its mix sheet.
    Mixing,
    /// The mix sheet of one of them.
    MixSheet(&'a str),
    /// All pages that there are.
    Pages,
    /// A kind of document.
    Document(&'a str),
    /// One document of a kind, or a file that goes with it.
    Sheet(&'a str, &'a str),
}

/// The page of a path; none where no page can have it.
pub(super) fn page(path: &str) -> Option<Page<'_>> {
    let parts: Vec<&str> = path.strip_prefix('/')?.split('/').collect();
    Some(match parts[..] {
        [""] => Page::Start,
        ["meaning"] => Page::Meanings,
        ["meaning", code] => Page::Meaning(code),
        ["farm", farm, ref rest @ ..] => Page::Farm(farm, part(rest)?),
        _ => return None,
    })
}

fn part<'a>(parts: &[&'a str]) -> Option<Part<'a>> {
    Some(match *parts {
        ["findings"] => Part::Findings(Which::All, 1),
        ["findings", which] => Part::Findings(named(which)?, 1),
        ["findings", which, from] => Part::Findings(named(which)?, number(from)?),
        ["journal"] => Part::Journal,
        ["journal", file] => Part::Text(file, 1),
        ["journal", file, from] => Part::Text(file, number(from)?),
        ["clearance"] => Part::Board,
        ["mix-sheets"] => Part::Mixing,
        ["mix-sheets", spray] => Part::MixSheet(spray),
        ["pages"] => Part::Pages,
        [kind] => Part::Document(kind),
        [kind, sheet] => Part::Sheet(kind, sheet),
        _ => return None,
    })
}

fn named(word: &str) -> Option<Which> {
    Which::EACH.iter().find(|(_, name, _)| *name == word).map(|(which, ..)| *which)
}

/// A number from 1 on.
fn number(words: &str) -> Option<usize> {
    let plain = words.bytes().all(|byte| byte.is_ascii_digit()) && !words.starts_with('0');
    words.parse().ok().filter(|_| plain)
}

/// Where a page of so many begins that shows a number.
pub(super) fn page_from(number: usize, size: usize) -> usize {
    number.saturating_sub(1) / size * size + 1
}

/// Names as parts of addresses: letters, digits and hyphens, all different, in the order given.
pub(super) fn slugs<'n>(names: impl Iterator<Item = &'n str>) -> Vec<String> {
    let mut taken = std::collections::BTreeSet::new();
    names
        .map(|name| {
            let plain: String =
                name.chars().map(|c| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' }).collect();
            let plain = plain.trim_matches('-');
            let plain = if plain.is_empty() { "file" } else { plain };
            let each = (1..).map(|number| if number == 1 { plain.to_string() } else { format!("{plain}-{number}") });
            each.into_iter().find(|slug| taken.insert(slug.clone())).unwrap_or_default()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_address_is_a_page_of_the_table_or_none() {
        assert_eq!(page("/"), Some(Page::Start));
        assert_eq!(page("/farm/f/findings/errors/101"), Some(Page::Farm("f", Part::Findings(Which::Errors, 101))));
        assert_eq!(page("/farm/f/journal/may"), Some(Page::Farm("f", Part::Text("may", 1))));
        for wrong in
            ["", "x", "/x", "/farm", "/farm/f", "/farm/f/findings/all/0", "/farm/f/findings/all/+1", "/farm/f/a/b/c"]
        {
            assert_eq!(page(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn pages_begin_where_the_one_before_ends() {
        assert_eq!([1, 100, 101, 200, 201].map(|number| page_from(number, 100)), [1, 1, 101, 101, 201]);
    }

    #[test]
    fn no_two_files_have_one_address() {
        assert_eq!(slugs(["a.spray", "a-spray", "ä"].into_iter()), ["a-spray", "a-spray-2", "file"]);
    }
}
