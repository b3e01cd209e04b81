//! Local clock times as moments that can be counted between, across clock changes.

use chrono::{DateTime, Days, Duration, LocalResult, NaiveDate, NaiveDateTime, NaiveTime, Offset, TimeZone, Utc};
use chrono_tz::Tz;

use crate::journal::Clocked;
use crate::syntax::Which;

/// A moment, and how the clock on the wall showed it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Moment {
    /// Seconds of the common time scale (UTC): what intervals are counted on.
    pub seconds: i64,
    /// The farm's local date and time.
    pub local: NaiveDateTime,
}

/// How a written clock time fits the farm's time zone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClockFit {
    /// It happened once.
    Once,
    /// It never happened: the clocks jumped over it.
    Never,
    /// It happened twice, and the journal does not say which.
    Twice,
}

/// A change of the clocks, as they showed it: at `from` they were set to `to`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ClockChange {
    /// What the clocks would have shown at that moment.
    pub from: NaiveDateTime,
    /// What they showed instead.
    pub to: NaiveDateTime,
}

/// How many days of offsets are worked out beforehand at most; a journal that spans more is asked day by day.
const MOST_DAYS: i64 = 40 * 366;

/// The last second that is counted to, some 260,000 years on: two days short of the calendar's own end, so that no time
/// zone's offset passes it.
const LAST: i64 = DateTime::<Utc>::MAX_UTC.timestamp() - 2 * 86_400;

/// The farm's time zone. Where none is written, clock times are taken as they stand, and the documents say so.
#[derive(Debug)]
pub struct Zone {
    zone: Option<Tz>,
    first: NaiveDate,
    /// The offset in seconds of each day from `first` on; `None` for days on which the clocks may change.
    steady: Vec<Option<i32>>,
}

impl Zone {
    /// A zone, quick for the days from `first` to `last`.
    pub fn new(zone: Option<Tz>, first: NaiveDate, last: NaiveDate) -> Self {
        let days = last.signed_duration_since(first).num_days() + 1;
        let steady = match zone {
            Some(zone) if (1..=MOST_DAYS).contains(&days) => {
                first.iter_days().take(days as usize).map(|day| steady_offset(zone, day)).collect()
            }
            _ => Vec::new(),
        };
        Self { zone, first, steady }
    }

    /// Its name.
    pub fn name(&self) -> Option<&'static str> {
        self.zone.map(|zone| zone.name())
    }

    /// A local time as a moment. A time that happened twice is the later one when `late`, since a wait is counted from
    /// it; a time that never happened is taken as the moment at which the clocks jumped.
    pub fn moment(&self, local: NaiveDateTime, which: Option<Which>, late: bool) -> (Moment, ClockFit) {
        let Some(zone) = self.zone else {
            return (Moment { seconds: local.and_utc().timestamp(), local }, ClockFit::Once);
        };
        let place = local.date().signed_duration_since(self.first).num_days();
        if let Some(Some(offset)) = usize::try_from(place).ok().and_then(|place| self.steady.get(place)) {
            return (Moment { seconds: local.and_utc().timestamp() - i64::from(*offset), local }, ClockFit::Once);
        }
        match zone.from_local_datetime(&local) {
            LocalResult::Single(time) => (Moment { seconds: time.timestamp(), local }, ClockFit::Once),
            LocalResult::Ambiguous(first, second) => {
                let (time, fit) = match which {
                    Some(Which::First) => (first, ClockFit::Once),
                    Some(Which::Second) => (second, ClockFit::Once),
                    None if late => (second, ClockFit::Twice),
                    None => (first, ClockFit::Twice),
                };
                (Moment { seconds: time.timestamp(), local }, fit)
            }
            LocalResult::None => {
                let mut later = local;
                // Clocks jump by an hour, in a few places by less or by a day; step to the first time that exists.
                for _ in 0..=24 * 60 {
                    later += Duration::minutes(1);
                    if let Some(time) = zone.from_local_datetime(&later).earliest() {
                        return (Moment { seconds: time.timestamp(), local: later }, ClockFit::Never);
                    }
                }
                (Moment { seconds: local.and_utc().timestamp(), local }, ClockFit::Never)
            }
        }
    }

    /// A written clock time as a moment.
    pub fn written(&self, clocked: Clocked, late: bool) -> (Moment, ClockFit) {
        self.moment(clocked.local, clocked.which, late)
    }

    /// The change of the clocks that made a local time happen twice or never; `None` for times that happened once.
    pub fn change_at(&self, local: NaiveDateTime) -> Option<ClockChange> {
        let zone = self.zone?;
        let offset = |utc: i64| {
            let time = DateTime::<Utc>::from_timestamp(utc, 0)?;
            Some(i64::from(zone.offset_from_utc_datetime(&time.naive_utc()).fix().local_minus_utc()))
        };
        let shown = |utc: i64| DateTime::<Utc>::from_timestamp(utc, 0).map(|time| time.naive_utc());
        let as_utc = local.and_utc().timestamp();
        let (mut before, mut after) = match zone.from_local_datetime(&local) {
            LocalResult::Single(_) => return None,
            LocalResult::Ambiguous(first, second) => (first.timestamp(), second.timestamp()),
            // No offset is more than a day, so the jump lies between these two.
            LocalResult::None => (as_utc - 2 * 86_400, as_utc + 2 * 86_400),
        };
        let old = offset(before)?;
        let new = offset(after)?;
        while after - before > 1 {
            let middle = before + (after - before) / 2;
            if offset(middle)? == old { before = middle } else { after = middle }
        }
        Some(ClockChange { from: shown(after + old)?, to: shown(after + new)? })
    }

    /// The moment so many seconds later, with the wall clock of then; nothing is later than the end of the calendar.
    pub fn later(&self, from: Moment, seconds: i64) -> Moment {
        let target = from.seconds.saturating_add(seconds).min(LAST);
        let local = match (self.zone, DateTime::<Utc>::from_timestamp(target, 0)) {
            (Some(zone), Some(time)) => zone.from_utc_datetime(&time.naive_utc()).naive_local(),
            (None, Some(time)) => time.naive_utc(),
            (_, None) => from.local,
        };
        Moment { seconds: target, local }
    }

    /// The moment that is so many seconds into the common time scale, with the wall clock of then.
    pub fn at(&self, seconds: i64) -> Moment {
        self.later(Moment { seconds: 0, local: NaiveDateTime::default() }, seconds)
    }

    /// The first moment of a day.
    pub fn start_of(&self, day: NaiveDate) -> Moment {
        self.moment(day.and_time(NaiveTime::MIN), None, false).0
    }

    /// The last minute of a day: what a missing end is taken as.
    pub fn end_of(&self, day: NaiveDate) -> Moment {
        let last = day.and_hms_opt(23, 59, 0).unwrap_or(day.and_time(NaiveTime::MIN));
        self.moment(last, None, true).0
    }
}

/// The offset of a day on which the clocks do not change, in seconds.
fn steady_offset(zone: Tz, day: NaiveDate) -> Option<i32> {
    let at = |day: NaiveDate| zone.offset_from_utc_datetime(&day.and_time(NaiveTime::MIN)).fix().local_minus_utc();
    // A day's local hours lie between the UTC day before and the one after, in every zone.
    let before = at(day.checked_sub_days(Days::new(1))?);
    let after = at(day.checked_add_days(Days::new(2))?);
    (before == after).then_some(before)
}
