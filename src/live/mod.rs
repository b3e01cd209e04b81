//! The journals as pages of this computer, which follow the files while they are written: findings beside their lines,
//! the clearance board, and every document. Nothing can be changed by a page, and no page asks anything of the network.
//!
//! ```text
//! files ─► watch ─► desk (one thread: reads again, keeps the last good reading) ─► edition ─► page ─► server ─► browser
//! ```

mod address;
mod desk;
mod edition;
mod findings;
mod frame;
mod meaning;
mod mixing;
mod overview;
mod server;
mod text;
mod watch;
mod written;

use std::fmt;
use std::io;
use std::net::SocketAddr;
use std::path::PathBuf;

use chrono::NaiveDate;

use crate::files::Loaded;
use crate::history::History;
use crate::journal::Journal;
use crate::render::Templates;
use crate::season::{Moment, Season};

/// Where journals come from, and what time it is there.
pub trait Journals: Send + 'static {
    /// The paths that are read.
    fn paths(&self) -> &[PathBuf];

    /// Reads them.
    ///
    /// # Errors
    /// Why they cannot be read, in a sentence.
    fn read(&self) -> Result<Reading, String>;

    /// The day that counts as today for a farm.
    fn today(&self, journal: &Journal) -> NaiveDate;

    /// The moment that counts as now for a farm.
    fn now(&self, season: &Season<'_>) -> Moment;
}

/// What was read at one moment.
#[derive(Debug)]
pub struct Reading {
    /// All files.
    pub loaded: Loaded,
    /// The journal of every farm, in the order of `loaded.farms`.
    pub journals: Vec<Journal>,
    /// What git shows of each.
    pub histories: Vec<History>,
    /// The part of its addresses that stands for each: letters, digits and hyphens, all different.
    pub names: Vec<String>,
}

/// Why the pages could not be served.
#[derive(Debug)]
pub enum ServeError {
    /// The journals cannot be read.
    Read(String),
    /// The port is taken, or may not be used.
    Port(u16, io::Error),
    /// Something else of the computer's failed.
    Io(io::Error),
    /// A part of this program failed; what it said stands above.
    Broken,
}

impl fmt::Display for ServeError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ServeError::Read(why) => out.write_str(why),
            ServeError::Port(port, error) if error.kind() == io::ErrorKind::AddrInUse => {
                write!(out, "another program uses port {port}; give another with --port, or leave it out")
            }
            ServeError::Port(port, error) => write!(out, "cannot use port {port}: {error}"),
            ServeError::Io(error) => write!(out, "cannot serve the pages: {error}"),
            ServeError::Broken => write!(out, "the pages stopped, by a fault of this program"),
        }
    }
}

/// Serves the pages to this computer alone, until it is told to stop (Ctrl-C). `ready` is told the address.
///
/// # Errors
/// A [`ServeError`] where the journals cannot be read at first, or the port is taken.
pub fn serve(
    journals: impl Journals,
    templates: Templates,
    port: Option<u16>,
    ready: impl FnOnce(SocketAddr) -> io::Result<()>,
) -> Result<(), ServeError> {
    let first = journals.read().map_err(ServeError::Read)?;
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().map_err(ServeError::Io)?;
    let served = runtime.block_on(server::run(journals, first, templates, port, ready));
    // Pages that wait for news would hold it open for ever.
    runtime.shutdown_background();
    served
}
