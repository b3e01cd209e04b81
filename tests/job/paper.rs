//! The sheet on paper and on a telephone, where a browser is installed.

use crate::documents::browser::{PHONE, browser, sheets_of_paper, width_on_a_phone};

use super::{FARM, printed};

#[test]
fn seven_ingredients_and_three_loads_are_one_side_of_either_paper() {
    let Some(browser) = browser() else { return };
    for language in ["both", "en", "es"] {
        let html = printed(FARM, &["--program", "pear-rounds", "--as", "html", "--language", language]);
        let start = html.find("<div class=\"office\">").unwrap();
        let end = html.rfind("</body>").unwrap();
        let sheet = format!("{}{}", &html[..start], &html[end..]);
        for paper in ["Letter", "A4"] {
            assert_eq!(sheets_of_paper(&browser, &sheet, paper), 1, "{language} on {paper}");
        }
        assert!(width_on_a_phone(&browser, &html) <= PHONE, "{language}");
    }
}

/// With its office page the sheet of three materials is two sides at most, though lots and a batch are asked for.
#[test]
fn three_materials_are_two_sides_with_the_office_page() {
    let Some(browser) = browser() else { return };
    let parts = ["kelp-powder 0.1 oz wt", "citric 0.02 oz wt", "neem-oil 0.4 % v/v", "soap 0.5 fl oz"];
    let few = parts.iter().fold(FARM.to_string(), |journal, part| journal.replace(&format!("    put {part}\n"), ""));
    let received = "\n2026-05-01 Fri\n\nreceive fish\n    amount 1 gal\n    lot F1\n";
    let html = printed(&format!("{few}{received}"), &["--program", "pear-rounds", "--as", "html"]);
    for paper in ["Letter", "A4"] {
        assert!(sheets_of_paper(&browser, &html, paper) <= 2, "{paper}");
    }
}
