//! The one thread that holds the journals: it answers for pages, reads again when files change, and stays with the last
//! good reading where that fails.

use std::sync::mpsc::{Receiver, RecvTimeoutError};
use std::time::Duration;

use tokio::sync::{oneshot, watch};

use super::edition::{Edition, Shown};
use super::watch::Watch;
use super::{Journals, Reading};
use crate::files::{stamp, watched_folders};
use crate::render::Templates;

/// How long nothing must happen to the files before they are read: editors write in several steps.
const QUIET: Duration = Duration::from_millis(50);
/// At most so many of these: what is written to all the time is read in between.
const STEPS: usize = 20;
/// How often the desk looks at the files itself.
const LOOK: Duration = Duration::from_secs(2);

/// What the desk is asked.
pub(super) enum Ask {
    /// A page.
    Page(String, oneshot::Sender<Shown>),
    /// Something happened to the files.
    Changed,
}

/// Which reading the pages show, and for which minute. A page is asked for again when one of the two is another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct News {
    /// Which reading, from 1 on.
    pub(super) reading: u64,
    /// Which minute.
    pub(super) minute: i64,
}

/// The desk.
pub(super) struct Desk<J> {
    pub(super) journals: J,
    pub(super) templates: Templates,
    pub(super) asks: Receiver<Ask>,
    pub(super) watch: Watch,
    pub(super) news: watch::Sender<News>,
}

/// Why a reading is put down.
enum Next {
    /// There is a newer one, and this was the stamp of the files before it was read.
    Read(Reading, u64),
    /// Nobody asks any more.
    End,
}

impl<J: Journals> Desk<J> {
    /// Works until nobody can ask any more.
    pub(super) fn work(mut self, first: Reading) {
        // No stamp was taken before the first reading, so that it is soon done once more.
        let (mut reading, mut before) = (first, 0);
        loop {
            self.watch.follow(watched_folders(self.journals.paths(), &reading.loaded));
            (reading, before) = match self.stay(&reading, before) {
                Next::Read(newer, stamp) => (newer, stamp),
                Next::End => return,
            };
            self.news.send_modify(|news| news.reading += 1);
        }
    }

    /// Answers by one reading for as long as it is the newest good one.
    fn stay(&self, reading: &Reading, before: u64) -> Next {
        let mut seen = before;
        let mut trouble: Option<String> = None;
        let mut edition = Edition::new(reading, &self.journals, &self.templates);
        loop {
            let told = match self.asks.recv_timeout(LOOK) {
                Ok(Ask::Page(path, reply)) => {
                    // Whoever asked may have gone.
                    let _ = reply.send(edition.page(&path, trouble.as_deref()));
                    continue;
                }
                Ok(Ask::Changed) => {
                    self.settle(&mut edition, trouble.as_deref());
                    true
                }
                Err(RecvTimeoutError::Timeout) => false,
                Err(RecvTimeoutError::Disconnected) => return Next::End,
            };
            self.tell_minute(&edition);
            let now = stamp(self.journals.paths(), &reading.loaded);
            if !told && now == seen && !edition.is_of_another_day() {
                continue;
            }
            seen = now;
            match self.journals.read() {
                Ok(newer) => return Next::Read(newer, now),
                Err(why) if trouble.as_ref() != Some(&why) => {
                    trouble = Some(why);
                    self.news.send_modify(|news| news.reading += 1);
                }
                Err(_) => {}
            }
        }
    }

    /// Waits until nothing has happened to the files for a moment.
    fn settle(&self, edition: &mut Edition<'_>, trouble: Option<&str>) {
        for _ in 0..STEPS {
            match self.asks.recv_timeout(QUIET) {
                Ok(Ask::Changed) => {}
                Ok(Ask::Page(path, reply)) => {
                    let _ = reply.send(edition.page(&path, trouble));
                }
                Err(_) => return,
            }
        }
    }

    /// Says that the clock went on, where pages depend on it.
    fn tell_minute(&self, edition: &Edition<'_>) {
        let minute = edition.minute();
        self.news.send_if_modified(|news| std::mem::replace(&mut news.minute, minute) != minute);
    }
}
