//! The syntax file that Vim and Neovim read.

use std::fmt::Write as _;

use super::pattern::{Kind, Pattern, Re, Set, Spelling, any_word};
use super::rules::Language;

/// The group that a kind is shown as: the names that colour schemes know.
fn shown_as(kind: Kind) -> &'static str {
    match kind {
        Kind::Entry => "Statement",
        Kind::Field => "Type",
        Kind::Name => "Identifier",
        Kind::Number => "Number",
        Kind::Unit => "Special",
        Kind::Date => "Constant",
        Kind::Joiner => "Operator",
        Kind::Title => "Title",
        Kind::Remark => "Comment",
        Kind::Note => "String",
    }
}

/// Vim's own spelling.
struct Vim;

impl Spelling for Vim {
    fn words(&self, words: &str) -> String {
        words.chars().map(|c| if r"\^$.*[]~/".contains(c) { format!("\\{c}") } else { c.to_string() }).collect()
    }

    fn set(&self, set: Set) -> String {
        let not = if set.others { "^" } else { "" };
        let ascii = set.ascii.replace('\t', r"\t").replace('\r', r"\r").replace('\n', "").replace('/', r"\/");
        let set_words = format!("[{not}{ascii}]");
        if set.beyond { format!(r"\%({set_words}\|[^\x01-\x7F]\)") } else { set_words }
    }

    fn group(&self, inner: &str) -> String {
        format!(r"\%({inner}\)")
    }

    fn or(&self) -> &'static str {
        r"\|"
    }

    fn maybe(&self) -> &'static str {
        r"\?"
    }

    fn some(&self) -> &'static str {
        r"\+"
    }

    fn word_end(&self) -> String {
        r"\%([a-z0-9_-]\|[^\x01-\x7F]\)\@!".to_owned()
    }
}

/// The group of a part of a pattern. Its first part is the one that is looked for.
fn group(patterns: &[Pattern], place: usize, part: usize) -> String {
    let kind = patterns[place][part].kind.map_or_else(|| "Passed".to_owned(), |kind| format!("{kind:?}"));
    format!("foliary{place}x{part}{kind}")
}

/// Writes the items of one pattern: its first part is found only where the whole fits, the others follow it.
fn pattern(out: &mut String, patterns: &[Pattern], place: usize) {
    let pattern = &patterns[place];
    let name = |part: usize| group(patterns, place, part);
    for part in 0..pattern.len() {
        let own = Vim.spell(&pattern[part].re);
        let rest = Vim.whole(&pattern[part + 1..], &|_, part| part);
        let ahead = if part == 0 && !rest.is_empty() { format!(r"\%({rest}\)\@=") } else { String::new() };
        // Up to the first that may not be missing.
        let optional = pattern[part + 1..].iter().take_while(|later| later.optional).count();
        let last = (part + 1 + optional).min(pattern.len() - 1);
        let next: Vec<String> = (part + 1..=last).map(name).collect();
        let next = match next.is_empty() {
            true => String::new(),
            false => format!(" nextgroup={} skipwhite", next.join(",")),
        };
        writeln!(out, "syntax match {} contained /{own}{ahead}/{next}", name(part)).unwrap();
        if let Some(kind) = pattern[part].kind {
            writeln!(out, "highlight default link {} foliary{kind:?}", name(part)).unwrap();
        }
    }
}

/// Writes what stands behind a word.
fn value(out: &mut String, name: &str, language: &Language, behind: &[usize]) {
    let contains: Vec<String> = behind.iter().map(|place| group(&language.patterns, *place, 0)).collect();
    writeln!(out, "syntax match {name} contained /.*$/ contains={}", contains.join(",")).unwrap();
}

/// The file.
pub fn file(language: &Language) -> String {
    let mut out = String::from(
        "\" Syntax of Foliary journals. Written by the tests from the language's own tables: change those.\n\
         if exists('b:current_syntax')\n  finish\nendif\nlet s:cpo = &cpo\nset cpo&vim\n\n\
         syntax case ignore\nsyntax sync fromstart\nsyntax iskeyword @,48-57,-,_,192-255\n\n",
    );
    for kind in Kind::ALL {
        writeln!(out, "highlight default link foliary{kind:?} {}", shown_as(*kind)).unwrap();
    }
    // Of items that fit at one place Vim takes the last.
    for place in (0..language.patterns.len()).rev() {
        pattern(&mut out, &language.patterns, place);
    }
    let any = |words: Re| Vim.spell(&words);
    let entries = any(any_word(language.entries.iter().copied()));
    writeln!(out).unwrap();
    writeln!(out, r"syntax match foliaryEntry /^{entries}\ze\%(\s\|$\)/ nextgroup=foliaryHead skipwhite").unwrap();
    value(&mut out, "foliaryHead", language, &language.head);
    let [date, weekday] = &language.day[..] else { panic!("a date line is a date and a weekday") };
    writeln!(
        out,
        "syntax match foliaryDate /^{}/ nextgroup=foliaryWeekday,foliaryRemark skipwhite",
        any(date.re.clone())
    )
    .unwrap();
    writeln!(
        out,
        "syntax match foliaryWeekday contained /{}/ nextgroup=foliaryRemark skipwhite",
        any(weekday.re.clone())
    )
    .unwrap();
    writeln!(out, "highlight default link foliaryWeekday foliaryDate").unwrap();
    for (at, (words, behind)) in language.fields.iter().enumerate() {
        let group = format!("foliaryValue{at}");
        let words = any(any_word(words.iter().map(String::as_str)));
        writeln!(out, "\nsyntax match foliaryField /^\\s\\+\\zs{words}\\ze\\%(\\s\\|$\\)/ nextgroup={group} skipwhite")
            .unwrap();
        value(&mut out, &group, language, behind);
    }
    out.push_str(
        "\n\" A note goes on over every line that is indented more deeply.\n\
         syntax region foliaryNote matchgroup=foliaryField start=/^\\z(\\s\\+\\)note\\ze\\%(\\s\\|$\\)/ \
         end=/^\\%(\\z1\\s\\+\\S\\|\\s*$\\)\\@!/me=s-1\n\
         syntax match foliaryRemark /^\\s*#.*$/\n\
         syntax match foliaryRemark contained /#.*$/\n\n\
         let b:current_syntax = 'foliary'\nlet &cpo = s:cpo\nunlet s:cpo\n",
    );
    out
}
