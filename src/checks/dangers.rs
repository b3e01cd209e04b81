//! What a material is, as far as poison gas goes, by its plain name, its title and its active ingredients: not every
//! journal writes classes.

use crate::journal::Material;

/// The words that name a kind: commodities, no brands. Each phrase is met only as whole words that follow one another.
const NAMED: &[(&str, &[&[&str]])] = &[
    (
        "lime-sulfur",
        &[&["lime", "sulfur"], &["lime", "sulphur"], &["calcium", "polysulfide"], &["calcium", "polysulphide"]],
    ),
    ("bleach", &[&["bleach"], &["hypochlorite"]]),
    ("ammonia", &[&["ammonia"], &["urine"]]),
    ("peroxide", &[&["peroxide"], &["peracetic", "acid"], &["peroxyacetic", "acid"]]),
    (
        "acid",
        &[
            &["vinegar"],
            &["lemon", "juice"],
            &["acetic", "acid"],
            &["peracetic", "acid"],
            &["peroxyacetic", "acid"],
            &["citric", "acid"],
            &["lactic", "acid"],
            &["phosphoric", "acid"],
            &["sulfuric", "acid"],
            &["sulphuric", "acid"],
            &["hydrochloric", "acid"],
            &["muriatic", "acid"],
            &["nitric", "acid"],
            // Sour milk: lactic acid.
            &["whey"],
            &["buttermilk"],
            &["yogurt"],
            &["yoghurt"],
            &["kefir"],
        ],
    ),
];

/// Words before a phrase that say it is not that: `non-vinegar`, `oxygen bleach`, `salts of citric acid`.
const NOT_AFTER: &[&str] = &["non", "no", "not", "without", "oxygen", "of", "instead"];

/// Words after a phrase that say it is not that: `bleach-free`, `vinegar fly trap`, `whey protein`.
const NOT_BEFORE: &[&str] = &[
    "free",
    "fly",
    "flies",
    "trap",
    "bait",
    "substitute",
    "alternative",
    "neutraliser",
    "neutralizer",
    "protein",
    "tolerant",
];

/// The kinds a material is of by its own words, as the names of classes.
pub(super) fn kinds(material: &Material) -> Vec<&'static str> {
    let named = &material.named;
    let texts = [Some(&*named.name), named.title.as_deref()].into_iter().flatten();
    let actives = material.actives.iter().map(|active| &*active.substance);
    let mut kinds = Vec::new();
    for text in texts.chain(actives) {
        let words = words(text);
        kinds.extend(NAMED.iter().filter(|(_, phrases)| says(&words, phrases)).map(|(kind, _)| *kind));
    }
    kinds.sort_unstable();
    kinds.dedup();
    kinds
}

/// The words of a text, in lower case; an empty one where a mark parts them, so that no phrase reaches across it.
fn words(text: &str) -> Vec<String> {
    let text = text.to_lowercase();
    let parts = text.split_inclusive(|letter: char| !letter.is_alphanumeric());
    let mut words = Vec::new();
    for part in parts {
        let word = part.trim_end_matches(|letter: char| !letter.is_alphanumeric());
        let mark = &part[word.len()..];
        if !word.is_empty() {
            words.push(word.to_owned());
        }
        if !matches!(mark, "" | " " | "-" | "_") {
            words.push(String::new());
        }
    }
    words
}

fn says(words: &[String], phrases: &[&[&str]]) -> bool {
    let any = |list: &[&str], word: Option<&String>| word.is_some_and(|word| list.contains(&word.as_str()));
    phrases.iter().any(|phrase| {
        words.windows(phrase.len()).enumerate().any(|(at, window)| {
            window.iter().zip(*phrase).all(|(word, wanted)| word == wanted)
                && !any(NOT_AFTER, at.checked_sub(1).and_then(|before| words.get(before)))
                && !(any(&["non", "not", "no"], at.checked_sub(2).and_then(|before| words.get(before))))
                && !any(NOT_BEFORE, words.get(at + phrase.len()))
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kind(text: &str) -> Vec<&'static str> {
        let words = words(text);
        NAMED.iter().filter(|(_, phrases)| says(&words, phrases)).map(|(kind, _)| *kind).collect()
    }

    #[test]
    fn plain_names_are_known() {
        assert_eq!(kind("cider-vinegar"), ["acid"]);
        assert_eq!(kind("Cider vinegar, 5 %"), ["acid"]);
        assert_eq!(kind("Acetic acid"), ["acid"]);
        assert_eq!(kind("sodium-hypochlorite"), ["bleach"]);
        assert_eq!(kind("Household Bleach"), ["bleach"]);
        assert_eq!(kind("lime-sulphur"), ["lime-sulfur"]);
        assert_eq!(kind("calcium-polysulfide"), ["lime-sulfur"]);
        assert_eq!(kind("Peracetic acid, 5 %"), ["peroxide", "acid"]);
        assert_eq!(kind("whey-culture"), ["acid"]);
    }

    #[test]
    fn other_names_are_not() {
        let others = [
            "non-vinegar wash",
            "vinegar-fly bait",
            "oxygen bleach",
            "bleach-free cleaner",
            "non-chlorine bleach",
            "bleached flour",
            "lime, sulfur and salt",
            "wettable-sulfur",
            "hydrated-lime",
            "potassium salts of citric acid",
            "humic acid",
            "amino-acid blend",
            "citric",
            "lemon balm",
            "",
        ];
        for other in others {
            assert_eq!(kind(other), [""; 0], "{other}");
        }
    }
}
