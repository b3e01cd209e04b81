//! Templates of the user's own.

use foliary::documents::{Scope, records, summary};
use foliary::render::{BUILT_IN, Format, Templates};

use super::{Found, loaded, with_book};

/// The season page of the home orchard with a template of one's own, or what is wrong with it.
fn season_with(name: &str, text: &str) -> Result<String, String> {
    let templates =
        Templates::new(vec![(name.to_string(), text.to_string())]).map_err(|trouble| trouble.to_string())?;
    let loaded = loaded("home-orchard");
    with_book(&loaded.sources, &loaded.farms[0].files, &Scope::default(), &Found::Nothing, |book| {
        templates.fill("season", &summary(book), Format::Html).map_err(|trouble| trouble.to_string())
    })
}

#[test]
fn a_template_takes_the_place_of_the_one_of_its_name() {
    let page = season_with("season.html", "<p>{{ head.farm }}: {{ opening.done }}</p>").unwrap();
    assert_eq!(page, "<p>Thrush Corner: 8 sprays on 3 blocks from 13 April to 7 May 2026</p>");
}

#[test]
fn the_style_and_the_parts_can_be_replaced_alone() {
    let page = season_with("style.css", "p { color: red }").unwrap();
    assert!(page.contains("<style>\np { color: red }</style>"), "{}", &page[..600]);
    assert!(page.contains("Thrush Corner"));
}

#[test]
fn values_are_escaped_in_templates_of_the_users_own_too() {
    let text = "farm f \"<b>\"\n";
    let templates = Templates::new(vec![
        ("index.html".to_string(), String::new()),
        ("records.md".to_string(), "{{ head.farm }}".to_string()),
        ("records.html".to_string(), "{{ head.farm }}".to_string()),
    ])
    .unwrap();
    let mut sources = foliary::text::Sources::new();
    let file = sources.add("journal.spray", text.to_string()).unwrap();
    with_book(&sources, &[file], &Scope::default(), &Found::Nothing, |book| {
        assert_eq!(templates.fill("records", &records(book), Format::Html).unwrap(), "&lt;b&gt;");
        assert_eq!(templates.fill("records", &records(book), Format::Markdown).unwrap(), "\\<b\\>\n");
    });
}

#[test]
fn a_value_that_is_not_there_is_named_with_its_template_and_line() {
    let trouble = season_with("season.html", "<p>\n{{ head.farm }}\n{{ head.fram }}</p>").unwrap_err();
    assert_eq!(trouble, "template season.html, line 3, at `head.fram`: there is no such value");
}

#[test]
fn a_value_that_is_not_there_is_named_inside_an_included_template() {
    let trouble = season_with("parts.html", "{% macro banner(text) %}\n{{ txt }}\n{% endmacro %}").unwrap_err();
    // The first macro that the page imports and this file lacks is named as well as it can be.
    assert!(trouble.starts_with("template "), "{trouble}");
    let trouble = season_with("picture.html", "<p>\n\n{{ pictures_title }}</p>").unwrap_err();
    assert_eq!(trouble, "template picture.html, line 3, at `pictures_title`: there is no such value");
}

#[test]
fn a_loop_over_what_is_not_there_is_named() {
    let trouble = season_with("season.html", "{% for x in nothing %}{{ x }}{% endfor %}").unwrap_err();
    assert!(trouble.starts_with("template season.html, line 1, at `nothing`: there is no such value"), "{trouble}");
}

#[test]
fn a_slip_in_the_template_language_is_named() {
    let trouble = season_with("season.html", "<p>\n{% if head %}\n</p>").unwrap_err();
    assert!(trouble.starts_with("template season.html, line "), "{trouble}");
    assert!(trouble.contains("syntax error"), "{trouble}");
    let trouble = season_with("season.html", "{{ head.farm|upcase }}").unwrap_err();
    assert!(trouble.contains("line 1") && trouble.contains("upcase"), "{trouble}");
}

#[test]
fn a_template_that_no_document_uses_is_refused() {
    let trouble = season_with("seasn.html", "x").unwrap_err();
    assert_eq!(trouble, "template seasn.html: no document uses it; did you mean season.html?");
}

#[test]
fn every_template_that_comes_with_the_program_is_complete_on_its_own() {
    // Each can be copied out, changed and given back.
    let own = BUILT_IN.iter().map(|(name, text)| ((*name).to_string(), (*text).to_string())).collect();
    assert!(Templates::new(own).is_ok());
}
