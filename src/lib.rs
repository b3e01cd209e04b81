//! Foliary compiles a plain-text spray journal. The modules are its stages, in the order of the data:
//!
//! ```text
//! .spray files ─ text ─► syntax ─► journal ─► season ─► checks ─► documents ─► render ─► HTML, Markdown
//!                spans    tree      typed     derived   findings   views      templates
//! ```
#![forbid(unsafe_code)]

pub mod finding;
pub mod journal;
pub mod quantity;
pub mod report;
pub mod season;
pub mod syntax;
pub mod text;
