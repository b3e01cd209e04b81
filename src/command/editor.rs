//! `foliary editor`: the language server.

use std::io::{self, BufReader};
use std::thread;

use clap::Args;
use lsp_server::Connection;

use super::{CLEAN, FOUND, Failure, now, today};
use crate::editor::{Ended, Outside, read, sent, serve, write};

/// Serve an editor: findings as you type, completion, explanations, renaming
///
/// Speaks the language server protocol 3.17 on standard input and output, so
/// that any editor with a client for it can be told to start it. Nothing is
/// sent anywhere else, and no journal is written: what an edit changes, the
/// editor changes.
///
/// Exit code 0: the editor took its leave; 1: it went without.
#[derive(Debug, Args)]
#[command(verbatim_doc_comment, after_help = EXAMPLES)]
pub(super) struct Editor {
    /// Standard input and output: the only way there is. Some editors insist
    /// on saying so.
    #[arg(long, hide = true)]
    stdio: bool,
}

const EXAMPLES: &str = "\
Examples:
  What an editor is told to start:
    foliary editor";

impl Editor {
    pub(super) fn run(self) -> Result<u8, Failure> {
        let pages = tempfile::Builder::new().prefix("foliary-").tempdir().ok();
        let (client, server) = Connection::memory();
        let Connection { sender, receiver } = client;
        // Reading ends with the client, and writing with the server.
        thread::spawn(move || {
            let complain = |words: &serde_json::Value| {
                let _ = write(&mut io::stdout().lock(), words);
            };
            read(&mut BufReader::new(io::stdin().lock()), |message| sender.send(message).is_ok(), complain)
        });
        let writing = thread::spawn(move || {
            receiver.iter().try_for_each(|message| write(&mut io::stdout().lock(), &sent(&message)))
        });
        let outside = Outside {
            today: |journal| today(None, journal),
            now,
            pages: pages.as_ref().map(|folder| folder.path().to_path_buf()),
        };
        let ended = serve(&server, outside);
        drop(server);
        // What was answered last is still to be written.
        let _ = writing.join();
        Ok(if ended == Ended::Well { CLEAN } else { FOUND })
    }
}
