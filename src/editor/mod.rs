//! The journal behind the keyboard: the same stages, kept up to date while the text changes, for editors that speak the
//! language server protocol.

mod actions;
mod answer;
mod complete;
mod desk;
mod document;
mod findings;
mod fold;
mod format;
mod hints;
mod hover;
mod links;
mod names;
mod outline;
mod parts;
mod rename;
mod roots;
mod server;
mod state;
mod tokens;
mod total;
mod uri;
mod wire;
mod workspace;

pub use answer::answer;
pub use desk::{Desk, Located};
pub use document::Document;
pub use findings::diagnostics;
pub use links::Links;
pub use server::{Ended, Outside, serve};
pub use state::{Client, State};
pub use wire::{read, sent, write};
pub use workspace::{Today, Workspace};
