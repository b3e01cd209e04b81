//! What a command is at, shown on a terminal once it takes longer than a second.

use std::io::{self, IsTerminal};
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::thread::{Builder, JoinHandle};
use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use super::colours::shows_codes;
use crate::text::escape_hidden;

/// Work that takes no longer than this shows nothing.
const PATIENCE: Duration = Duration::from_secs(1);

/// A line on the terminal that says what is being done, gone again when this is dropped. Nothing is shown where the
/// output or the messages go to a file or another program.
pub(super) struct Progress {
    line: ProgressBar,
    shown_by: Option<(Sender<()>, JoinHandle<()>)>,
}

impl Progress {
    /// Begins with what is done first.
    pub(super) fn of(doing: &'static str) -> Self {
        let on_terminal = io::stdout().is_terminal() && io::stderr().is_terminal() && shows_codes();
        Self::shown_where(on_terminal, doing)
    }

    /// For output that is for other programs: shows nothing, wherever it goes.
    pub(super) fn hidden() -> Self {
        Self::shown_where(false, "")
    }

    fn shown_where(wanted: bool, doing: &'static str) -> Self {
        let line = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
        if let Ok(style) = ProgressStyle::with_template("{spinner} {wide_msg}") {
            line.set_style(style);
        }
        line.set_message(doing);
        Self { shown_by: wanted.then(|| show_later(line.clone())).flatten(), line }
    }

    /// What is done now.
    pub(super) fn now(&self, doing: &str) {
        self.line.set_message(escape_hidden(doing).into_owned());
    }
}

/// Shows the line after a while, until the sender is gone.
fn show_later(line: ProgressBar) -> Option<(Sender<()>, JoinHandle<()>)> {
    let (sender, ended) = channel();
    let show = move || {
        if let Err(RecvTimeoutError::Timeout) = ended.recv_timeout(PATIENCE) {
            line.set_draw_target(ProgressDrawTarget::stderr());
            line.enable_steady_tick(Duration::from_millis(100));
            let _ = ended.recv();
            line.finish_and_clear();
        }
    };
    // Without a thread to spare the work is done in silence.
    Builder::new().spawn(show).ok().map(|thread| (sender, thread))
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some((sender, thread)) = self.shown_by.take() {
            drop(sender);
            let _ = thread.join();
        }
    }
}
