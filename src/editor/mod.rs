//! The journal behind the keyboard: the same stages, kept up to date while the text changes, for editors that speak the
//! language server protocol.

mod desk;
mod document;
mod workspace;

pub use desk::{Desk, Located};
pub use document::Document;
pub use workspace::{Change, Today, Workspace};
