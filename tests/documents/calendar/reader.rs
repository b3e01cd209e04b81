//! Calendar files as another library reads them than the one that writes them.

use calcard::common::PartialDateTime;
use calcard::icalendar::{
    ICalendar, ICalendarComponent, ICalendarComponentType, ICalendarParameterName, ICalendarProperty, ICalendarStatus,
};
use calcard::{Entry, Parser};
use chrono::{DateTime, NaiveDate, NaiveDateTime, Utc};

/// When something is, as it was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Read {
    Day(NaiveDate),
    Utc(DateTime<Utc>),
    Floating(NaiveDateTime),
}

/// An entry, as it was read.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct ReadEvent {
    pub uid: String,
    pub stamp: Read,
    pub sequence: i64,
    pub start: Read,
    pub end: Option<Read>,
    pub summary: String,
    pub description: String,
    pub location: Option<String>,
    pub cancelled: bool,
}

/// Reads a file; anything that is not as RFC 5545 wants it is the end of the test.
pub(super) fn read(text: &str) -> Vec<ReadEvent> {
    well_formed(text);
    let mut parser = Parser::new(text);
    let Entry::ICalendar(calendar) = parser.entry() else { panic!("no calendar in {text}") };
    assert!(matches!(parser.entry(), Entry::Eof), "something follows the calendar");
    of(&calendar)
}

/// What the reader forgives: lines that are no content line (RFC 5545 section 3.1), and what is not begun and ended in turn.
fn well_formed(text: &str) {
    let unfolded = text.replace("\r\n ", "");
    let mut open: Vec<&str> = Vec::new();
    assert!(text.ends_with("\r\n"));
    for line in unfolded.split_terminator("\r\n") {
        let (name, value) = line.split_once(':').unwrap_or_else(|| panic!("no content line: {line}"));
        let name = name.split(';').next().unwrap();
        assert!(!name.is_empty() && name.bytes().all(|byte| byte.is_ascii_uppercase() || byte == b'-'), "{line}");
        match name {
            "BEGIN" => open.push(value),
            "END" => assert_eq!(open.pop(), Some(value)),
            _ => assert!(!open.is_empty()),
        }
    }
    assert!(open.is_empty());
}

fn of(calendar: &ICalendar) -> Vec<ReadEvent> {
    let root = &calendar.components[0];
    assert_eq!(root.component_type, ICalendarComponentType::VCalendar);
    for needed in [ICalendarProperty::Version, ICalendarProperty::Prodid] {
        assert_eq!(root.properties(&needed).count(), 1, "{needed:?} stands once (RFC 5545 section 3.6)");
    }
    assert_eq!(words(root, &ICalendarProperty::Version).as_deref(), Some("2.0"));
    calendar.components[1..].iter().map(event).collect()
}

fn event(component: &ICalendarComponent) -> ReadEvent {
    assert_eq!(component.component_type, ICalendarComponentType::VEvent);
    // RFC 5545 section 3.6.1: these stand once, and the others at most once.
    for needed in [ICalendarProperty::Uid, ICalendarProperty::Dtstamp, ICalendarProperty::Dtstart] {
        assert_eq!(component.properties(&needed).count(), 1, "{needed:?}");
    }
    for other in [
        ICalendarProperty::Dtend,
        ICalendarProperty::Summary,
        ICalendarProperty::Description,
        ICalendarProperty::Location,
        ICalendarProperty::Sequence,
        ICalendarProperty::Status,
        ICalendarProperty::Transp,
        ICalendarProperty::LastModified,
    ] {
        assert!(component.properties(&other).count() <= 1, "{other:?}");
    }
    assert!(!component.has_property(&ICalendarProperty::Duration), "an end, or none");
    let read = ReadEvent {
        uid: component.uid().unwrap().to_string(),
        stamp: when(component, &ICalendarProperty::Dtstamp).unwrap(),
        sequence: component.property(&ICalendarProperty::Sequence).unwrap().values[0].as_integer().unwrap(),
        start: when(component, &ICalendarProperty::Dtstart).unwrap(),
        end: when(component, &ICalendarProperty::Dtend),
        summary: words(component, &ICalendarProperty::Summary).unwrap(),
        description: words(component, &ICalendarProperty::Description).unwrap(),
        location: words(component, &ICalendarProperty::Location),
        cancelled: component.status() == Some(&ICalendarStatus::Cancelled),
    };
    assert!(matches!(read.stamp, Read::Utc(_)), "DTSTAMP is in UTC (section 3.8.7.2)");
    match (read.start, read.end) {
        // An end is later than the start, and of the same kind (section 3.8.2.2).
        (Read::Day(start), Some(Read::Day(end))) => assert!(end > start),
        (Read::Utc(start), Some(Read::Utc(end))) => assert!(end > start),
        (Read::Floating(start), Some(Read::Floating(end))) => assert!(end > start),
        (_, None) => {}
        other => panic!("{other:?}"),
    }
    read
}

fn words(component: &ICalendarComponent, property: &ICalendarProperty) -> Option<String> {
    let values = &component.property(property)?.values;
    assert_eq!(values.len(), 1, "{property:?} was read as several values: something is not escaped");
    values[0].as_text().map(str::to_string)
}

fn when(component: &ICalendarComponent, property: &ICalendarProperty) -> Option<Read> {
    let entry = component.property(property)?;
    let read: &PartialDateTime = entry.values[0].as_partial_date_time().unwrap();
    let day = NaiveDate::from_ymd_opt(
        i32::from(read.year.unwrap()),
        u32::from(read.month.unwrap()),
        u32::from(read.day.unwrap()),
    )
    .unwrap();
    let Some(hour) = read.hour else {
        let value = entry.parameter(&ICalendarParameterName::Value).and_then(|value| value.as_text());
        assert_eq!(value, Some("DATE"), "a day says that it is one (section 3.3.4)");
        return Some(Read::Day(day));
    };
    let (minute, second) = (read.minute.unwrap(), read.second.unwrap());
    let local = day.and_hms_opt(u32::from(hour), u32::from(minute), u32::from(second)).unwrap();
    match (read.tz_hour, read.tz_minute) {
        (Some(0), Some(0)) => Some(Read::Utc(local.and_utc())),
        (None, None) => Some(Read::Floating(local)),
        other => panic!("an offset that RFC 5545 has not: {other:?}"),
    }
}
