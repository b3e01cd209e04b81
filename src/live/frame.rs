//! What stands around every page: the links to the others, and word of how the files are.

use serde::Serialize;

use super::edition::{Edition, Leaf};
use super::overview;
use crate::render::{Format, TemplateTrouble, Templates};

/// A link.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Link {
    pub(super) title: String,
    pub(super) address: String,
    /// Whether it leads to the page it stands on, or to what that belongs to.
    pub(super) here: bool,
}

#[derive(Serialize)]
struct Frame<'e> {
    farm: Option<&'e str>,
    counts: String,
    farms: Vec<Link>,
    links: Vec<Link>,
    also: &'e [Link],
    trouble: Option<&'e str>,
}

/// What the pages are made with, besides their own style.
const HEAD: &str = "<link rel=\"icon\" href=\"data:,\">\n<link rel=\"stylesheet\" href=\"/live/page.css\">\n\
                    <script type=\"module\" src=\"/live/page.js\"></script>\n";

/// A whole page with the links around it.
pub(super) fn framed(
    edition: &Edition<'_>,
    templates: &Templates,
    leaf: &Leaf,
    html: &str,
    trouble: Option<&str>,
) -> Result<String, TemplateTrouble> {
    // Where there is one farm, its links stand on every page.
    let at = leaf.farm.or((edition.farms.len() == 1).then_some(0));
    let farm = at.map(|at| &edition.farms[at]);
    let farms = edition.farms.iter().enumerate().map(|(index, farm)| Link {
        title: farm.title.clone(),
        address: farm.address("findings"),
        here: at == Some(index),
    });
    let frame = Frame {
        farm: farm.map(|farm| farm.title.as_str()),
        counts: farm.map_or_else(|| overview::counts(&edition.farms), |farm| farm.counts()),
        farms: farms.filter(|_| edition.farms.len() > 1).collect(),
        links: farm.map(|farm| overview::links(farm, leaf.of)).unwrap_or_default(),
        also: &leaf.also,
        trouble,
    };
    let frame = templates.fill("live-frame", &frame, Format::Html)?;
    let (head, rest) = cut(html, html.find("</head>"));
    let (before, rest) = cut(rest, rest.find("<body>").map(|at| at + "<body>".len()));
    let (body, after) = cut(rest, rest.rfind("</body>"));
    Ok([head, HEAD, before, "\n", &frame, "<div id=\"page\" tabindex=\"-1\">", body, "</div>\n", after].concat())
}

/// A text in two where it is cut; a template of the user's own may leave out where.
fn cut(text: &str, at: Option<usize>) -> (&str, &str) {
    at.map_or(("", text), |at| text.split_at(at))
}
