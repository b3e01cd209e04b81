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
