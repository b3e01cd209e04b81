//! Everything that was done and recorded, whatever kind of record it is.

use crate::journal::{At, Entered, Ground, Journal, Session, Signed};
use crate::syntax::EntryWord;

/// Something that was done and recorded, with as much as its kind of record has.
#[derive(Clone, Copy, Debug)]
pub(super) struct Deed<'j> {
    pub(super) kind: EntryWord,
    pub(super) at: At,
    pub(super) ground: Option<&'j Ground>,
    pub(super) sessions: &'j [Session],
    pub(super) entered: Option<&'j Entered>,
    pub(super) signed: &'j [Signed],
}

impl<'j> Deed<'j> {
    fn new(kind: EntryWord, at: At) -> Self {
        Self { kind, at, ground: None, sessions: &[], entered: None, signed: &[] }
    }

    fn on(self, ground: &'j Ground) -> Self {
        Self { ground: Some(ground), ..self }
    }

    fn during(self, sessions: &'j [Session]) -> Self {
        Self { sessions, ..self }
    }

    fn kept(self, entered: Option<&'j Entered>, signed: &'j [Signed]) -> Self {
        Self { entered, signed, ..self }
    }
}

/// Everything that was done, kind by kind.
pub(super) fn deeds(journal: &Journal) -> Vec<Deed<'_>> {
    use EntryWord as Kind;
    let mut deeds = Vec::new();
    deeds.extend(journal.sprays.iter().map(|it| {
        let deed = Deed::new(Kind::Spray, it.at).on(&it.ground).during(&it.sessions);
        deed.kept(it.entered.as_deref(), &it.signed)
    }));
    deeds.extend(journal.observations.iter().map(|it| {
        let deed = Deed::new(Kind::Observe, it.at).on(&it.ground).during(it.time.as_slice());
        deed.kept(it.entered.as_deref(), &it.signed)
    }));
    deeds.extend(journal.harvests.iter().map(|it| {
        let deed = Deed::new(Kind::Harvest, it.at).on(&it.ground).during(&it.sessions);
        deed.kept(it.entered.as_deref(), &it.signed)
    }));
    deeds.extend(journal.works.iter().map(|it| {
        let deed = Deed::new(Kind::Work, it.at).on(&it.ground).during(&it.sessions);
        deed.kept(it.entered.as_deref(), &it.signed)
    }));
    deeds.extend(journal.weather.iter().map(|it| Deed::new(Kind::Weather, it.at).on(&it.ground)));
    deeds.extend(journal.postings.iter().map(|it| Deed::new(Kind::Post, it.at).on(&it.ground)));
    deeds.extend(journal.samples.iter().map(|it| Deed::new(Kind::Sample, it.at).on(&it.ground).kept(None, &it.signed)));
    deeds.extend(journal.trainings.iter().map(|it| Deed::new(Kind::Train, it.at).kept(None, &it.signed)));
    deeds.extend(journal.receipts.iter().map(|it| Deed::new(Kind::Receive, it.at)));
    deeds.extend(journal.brews.iter().map(|it| Deed::new(Kind::Brew, it.at)));
    deeds.extend(journal.calibrations.iter().map(|it| Deed::new(Kind::Calibrate, it.at)));
    deeds.extend(journal.cleanings.iter().map(|it| Deed::new(Kind::Clean, it.at)));
    deeds.extend(journal.approvals.iter().map(|it| Deed::new(Kind::Approve, it.at)));
    deeds.extend(journal.counts.iter().map(|it| Deed::new(Kind::Count, it.at)));
    deeds.extend(journal.discards.iter().map(|it| Deed::new(Kind::Discard, it.at)));
    deeds.extend(journal.amendments.iter().map(|it| Deed::new(Kind::Amend, it.at)));
    deeds
}
