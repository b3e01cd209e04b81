//! The board: which sheets and signs went up and came down, where and when.

use std::collections::VecDeque;

use chrono::NaiveDate;

use super::Zone;
use crate::journal::{BlockId, Journal, Notice, Posted, Posting};

/// Something put up or taken down at a place.
#[derive(Clone, Copy, Debug)]
pub struct Change<'j> {
    /// The earliest that it may have been, in seconds: the written time, or the start of its day.
    pub earliest: i64,
    /// The latest that it may have been, in seconds: the written time, or the end of its day.
    pub latest: i64,
    /// Its day, by the clock on the wall.
    pub on: NaiveDate,
    /// Whether it went up.
    pub up: bool,
    /// The record.
    pub posting: &'j Posting,
    /// The field of the record.
    pub posted: &'j Posted,
}

/// What stood from a putting up to a taking down.
#[derive(Clone, Copy, Debug)]
pub struct Stood<'j> {
    /// When it went up.
    pub up: Change<'j>,
    /// When it came down; `None` where nothing says so.
    pub down: Option<Change<'j>>,
}

/// What went up and came down of one notice at one place, in the order of time.
pub type Log<'j> = Vec<Change<'j>>;

/// Every posting by place; the last place is the whole farm's.
#[derive(Debug)]
pub struct Board<'j> {
    sheets: Vec<Log<'j>>,
    signs: Vec<Log<'j>>,
    /// The sheets of each place, each with its own taking down.
    in_turn: Vec<Vec<Stood<'j>>>,
}

/// How many changes at a place are looked through at most. More after one moment is no way of working, and so time stays in
/// proportion to the journal.
const MOST: usize = 64;

impl<'j> Board<'j> {
    pub(super) fn new(journal: &'j Journal, zone: &Zone) -> Self {
        let places = journal.blocks.len() + 1;
        let mut board = Self { sheets: vec![Vec::new(); places], signs: vec![Vec::new(); places], in_turn: Vec::new() };
        for posting in &journal.postings {
            let changes = posting.up.iter().map(|posted| (posted, true));
            for (posted, up) in changes.chain(posting.down.iter().map(|posted| (posted, false))) {
                let change = change(zone, posting, posted, up);
                let logs = match posted.what {
                    Notice::Sheet => &mut board.sheets,
                    Notice::Signs => &mut board.signs,
                };
                if posting.ground.blocks.is_empty() {
                    logs[places - 1].push(change);
                }
                for block in posting.ground.blocks.iter().filter_map(|block| block.id) {
                    logs[block.index()].push(change);
                }
            }
        }
        for log in board.sheets.iter_mut().chain(&mut board.signs) {
            log.sort_by_key(|change| (change.latest, change.earliest, change.up));
        }
        board.in_turn = board.sheets.iter().map(sheets_in_turn).collect();
        board
    }

    /// The sheets that went up at a block, or for the whole farm, on some days, in the order of time, each with its own
    /// taking down.
    pub fn sheets_of(&self, block: BlockId, from: NaiveDate, to: NaiveDate) -> Vec<Stood<'j>> {
        let places = self.in_turn.get(block.index()).into_iter().chain(self.in_turn.last());
        let mut found: Vec<Stood<'j>> = Vec::new();
        for place in places {
            let first = place.partition_point(|stood| stood.up.on < from);
            found.extend(place[first..].iter().take_while(|stood| stood.up.on <= to));
        }
        found.sort_by_key(|stood| (stood.up.earliest, stood.up.latest));
        found
    }

    /// The logs of a notice, by block; the last is the whole farm's.
    pub fn logs(&self, notice: Notice) -> &[Log<'j>] {
        match notice {
            Notice::Sheet => &self.sheets,
            Notice::Signs => &self.signs,
        }
    }

    /// What was posted at a block, and for the whole farm.
    pub fn about(&self, notice: Notice, block: BlockId) -> impl Iterator<Item = &Log<'j>> {
        let logs = self.logs(notice);
        logs.get(block.index()).into_iter().chain(logs.last())
    }

    /// Whether a notice went up at a block, or for the whole farm, between two moments.
    pub fn went_up(&self, notice: Notice, block: BlockId, from: i64, to: i64) -> bool {
        self.first_up(notice, block, from).is_some_and(|change| change.earliest <= to)
    }

    /// The first notice that went up at a block, or for the whole farm, from a moment on.
    pub fn first_up(&self, notice: Notice, block: BlockId, from: i64) -> Option<&Change<'j>> {
        let firsts = self.about(notice, block).filter_map(|log| {
            let late = log[log.partition_point(|change| change.latest < from)..].iter().take(MOST);
            let mut ups = late.filter(|change| change.up);
            let first = ups.next()?;
            // One without a time sorts by the end of its day, and may have gone up before the others of that day.
            ups.take_while(|change| change.on == first.on).chain([first]).min_by_key(|change| change.earliest)
        });
        firsts.min_by_key(|change| change.earliest)
    }

    /// Whether a notice that went up earlier was still up at a moment.
    pub fn still_up(&self, notice: Notice, block: BlockId, at: i64) -> bool {
        self.about(notice, block)
            .any(|log| log[..log.partition_point(|change| change.latest <= at)].last().is_some_and(|change| change.up))
    }
}

/// The sheets of a place, each a paper of its own: what was put up first comes down first.
pub fn sheets_in_turn<'j>(log: &Log<'j>) -> Vec<Stood<'j>> {
    let mut stood: Vec<Stood<'j>> = Vec::new();
    let mut hanging: VecDeque<usize> = VecDeque::new();
    for &change in log {
        if change.up {
            hanging.push_back(stood.len());
            stood.push(Stood { up: change, down: None });
        } else if let Some(first) = hanging.pop_front() {
            stood[first].down = Some(change);
        }
    }
    stood
}

/// The signs of a place: they stand from the first putting up to the next taking down.
pub fn signs_standing<'j>(log: &Log<'j>) -> Vec<Stood<'j>> {
    let mut stood: Vec<Stood<'j>> = Vec::new();
    for &change in log {
        match stood.last_mut().filter(|last| last.down.is_none()) {
            Some(last) if !change.up => last.down = Some(change),
            None if change.up => stood.push(Stood { up: change, down: None }),
            _ => {}
        }
    }
    stood
}

fn change<'j>(zone: &Zone, posting: &'j Posting, posted: &'j Posted, up: bool) -> Change<'j> {
    let (earliest, latest) = match posted.clock {
        Some(clock) => {
            let moment = zone.written(clock, false).0;
            (moment, moment)
        }
        None => (zone.start_of(posting.at.day), zone.end_of(posting.at.day)),
    };
    Change { earliest: earliest.seconds, latest: latest.seconds, on: latest.local.date(), up, posting, posted }
}
