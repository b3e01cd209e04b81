//! What every document is built from, and what all of them ask of it.

use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use super::digest::Digest;
use super::own_units::{OwnUnits, own_units};
use super::scope::Scope;
use super::words;
use crate::finding::Finding;
use crate::journal::{
    Amendment, BlockId, Ground, Harvest, Journal, MaterialId, Observation, PersonId, PickedRows, Ref, Spray,
};
use crate::quantity::{Amount, System, Unit, show_both, tidy};
use crate::season::{Season, SprayFacts, Tracked, like, tracked};
use crate::text::{SourceId, Span};

/// A season with its findings and the part of it that documents are about.
#[derive(Clone, Debug)]
pub struct Book<'a> {
    /// The season.
    pub season: &'a Season<'a>,
    /// Its findings, in the order of files and places.
    pub findings: &'a [Finding],
    /// The part to show.
    pub scope: &'a Scope,
    /// The farm's files.
    pub files: Vec<SourceId>,
    /// What identifies the journal's text.
    pub digest: Digest,
    /// The folder that all files lie in, which is left out where files are named.
    folder: PathBuf,
    /// Every place of every finding, sorted: where it starts, and which finding.
    places: Vec<(u32, usize)>,
    /// For each block, the observations of it, in the order of time.
    looks: Vec<Vec<&'a Observation>>,
    /// For each block, the picks from it, in the order of time.
    picks: Vec<Vec<&'a Harvest>>,
    /// Corrections by the day of the record that they correct.
    amendments: Vec<(NaiveDate, &'a Amendment)>,
    /// What git shows of each record, by where its entry starts.
    tracked: Vec<Tracked<'a>>,
    /// For each material, the units that every document says it in.
    units: Vec<OwnUnits>,
}

impl<'a> Book<'a> {
    /// A book of a farm's files.
    pub fn new(season: &'a Season<'a>, findings: &'a [Finding], files: &[SourceId], scope: &'a Scope) -> Self {
        let folder = common_folder(files.iter().map(|&file| season.sources.get(file).path()));
        let mut places: Vec<(u32, usize)> = findings
            .iter()
            .enumerate()
            .flat_map(|(index, finding)| finding.labels.iter().map(move |label| (label.span.start, index)))
            .collect();
        places.sort_unstable();
        let digest = Digest::of_files(season.sources, files, &folder);
        let journal = season.journal;
        let mut looks = by_block(journal, &journal.observations, |seen| &seen.ground);
        let mut picks = by_block(journal, &journal.harvests, |pick| &pick.ground);
        looks.iter_mut().for_each(|looks| looks.sort_by_key(|seen| (seen.at.day, seen.at.entry.start)));
        picks.iter_mut().for_each(|picks| picks.sort_by_key(|pick| (pick.at.day, pick.at.entry.start)));
        let corrected = |amendment: &'a Amendment| Some((amendment.day?.value, amendment));
        let mut amendments: Vec<(NaiveDate, &Amendment)> = journal.amendments.iter().filter_map(corrected).collect();
        amendments.sort_by_key(|(day, amendment)| (*day, amendment.at.day, amendment.at.entry.start));
        let units = own_units(season);
        let tracked = tracked(season);
        let files = files.to_vec();
        Self { season, findings, scope, files, digest, folder, places, looks, picks, amendments, tracked, units }
    }

    /// The same book about another part of the season.
    pub(super) fn about(&self, scope: &'a Scope) -> Self {
        Self { scope, ..self.clone() }
    }

    /// The observations of a block, in the order of time.
    pub fn looks(&self, block: BlockId) -> &[&'a Observation] {
        &self.looks[block.index()]
    }

    /// The picks from a block, in the order of time.
    pub fn picks(&self, block: BlockId) -> &[&'a Harvest] {
        &self.picks[block.index()]
    }

    /// The corrections of a day's records, in the order of time.
    pub fn amendments_of(&self, day: NaiveDate) -> impl Iterator<Item = &'a Amendment> {
        let from = self.amendments.partition_point(|(of, _)| *of < day);
        self.amendments[from..].iter().take_while(move |(of, _)| *of == day).map(|(_, amendment)| *amendment)
    }

    /// What git shows of the record whose entry starts at a place.
    pub(super) fn tracked(&self, start: u32) -> Option<&Tracked<'a>> {
        let at = self.tracked.binary_search_by_key(&start, |record| record.line.start).ok()?;
        Some(&self.tracked[at])
    }

    /// The journal.
    pub fn journal(&self) -> &'a Journal {
        self.season.journal
    }

    /// Which units come first.
    pub fn home(&self) -> System {
        self.journal().farm.as_ref().map_or(System::Us, |farm| farm.units)
    }

    /// The words at a place.
    pub fn words(&self, span: Span) -> String {
        self.season.words(span).trim().to_string()
    }

    /// The words at a place, where there is one.
    pub fn some_words(&self, span: Option<Span>) -> Option<String> {
        span.map(|span| self.words(span)).filter(|words| !words.is_empty())
    }

    /// An amount as written, with the other system in brackets.
    pub fn amount(&self, amount: Amount) -> String {
        show_both(amount, self.home())
    }

    /// An amount of a material in the unit that all documents say it in: dry materials by weight, even where a spoon
    /// measured them.
    pub fn in_own_unit(&self, material: MaterialId, amount: Amount) -> Amount {
        self.as_unit(material, amount, self.units[material.index()].whole)
    }

    /// The same for what it comes to on an acre or a hectare.
    pub fn in_ground_unit(&self, material: MaterialId, amount: Amount) -> Amount {
        self.as_unit(material, amount, self.units[material.index()].on_ground)
    }

    fn as_unit(&self, material: MaterialId, amount: Amount, unit: Option<Unit>) -> Amount {
        let own = unit.and_then(|unit| like(self.journal(), material, amount, unit));
        own.unwrap_or_else(|| tidy(amount, self.home(), self.journal().material(material).form()))
    }

    /// A block by its title or name.
    pub fn block(&self, block: BlockId) -> &'a str {
        self.journal().block(block).named.shown()
    }

    /// A material by its title or name.
    pub fn material(&self, material: MaterialId) -> &'a str {
        self.journal().material(material).named.shown()
    }

    /// Somebody, by the full name where it is known and as written otherwise.
    pub fn person(&self, person: Ref<PersonId>) -> String {
        match person.id {
            Some(id) => self.journal().person(id).named.shown().to_string(),
            None => self.words(person.span),
        }
    }

    /// Several people, or nothing where none is named.
    pub fn people(&self, people: &[Ref<PersonId>]) -> Option<String> {
        let people: Vec<String> = people.iter().map(|&person| self.person(person)).collect();
        (!people.is_empty()).then(|| words::list(&people))
    }

    /// The blocks of some ground, and which rows.
    pub fn ground(&self, ground: &Ground) -> String {
        let names: Vec<String> = ground
            .blocks
            .iter()
            .map(|block| block.id.map_or_else(|| self.words(block.span), |id| self.block(id).to_string()))
            .collect();
        let blocks = words::list(&names);
        match self.rows(ground) {
            Some(rows) => format!("{blocks}, {rows}"),
            None => blocks,
        }
    }

    /// Which rows, as written; nothing for all of them.
    pub fn rows(&self, ground: &Ground) -> Option<String> {
        let picked = ground.rows.as_ref()?;
        let written = self.words(picked.span);
        let bare = matches!(picked.rows, PickedRows::Listed(_)) && !written.starts_with("row");
        Some(if bare { format!("rows {written}") } else { written })
    }

    /// The sprays of the part to show, in the order of time.
    pub fn sprays(&self) -> impl Iterator<Item = &'a SprayFacts> {
        self.season.sprays.iter().filter(|facts| self.scope.has_spray(self.journal(), facts))
    }

    /// The sprays that began on a day, whether shown or not.
    pub fn sprays_of(&self, day: NaiveDate) -> impl Iterator<Item = &'a Spray> {
        let sprays = &self.season.sprays;
        // A session can begin after midnight, so a page's sprays may stand a day later too.
        let next = day.succ_opt().unwrap_or(day);
        let from = sprays.partition_point(|facts| facts.start.local.date() < day);
        let near = sprays[from..].iter().take_while(move |facts| facts.start.local.date() <= next);
        near.map(|facts| facts.spray(self.season.journal)).filter(move |spray| spray.at.day == day)
    }

    /// The blocks of the part to show, in the order of the journal.
    pub fn blocks(&self) -> impl Iterator<Item = BlockId> {
        (0..self.journal().blocks.len()).map(BlockId::at).filter(|&block| self.scope.has_block(block))
    }

    /// The findings with any place in a stretch of text, in the order of the journal.
    pub fn findings_at(&self, entry: Span) -> Vec<&'a Finding> {
        let from = self.places.partition_point(|&(start, _)| start < entry.start);
        let to = self.places.partition_point(|&(start, _)| start < entry.end);
        let mut found: Vec<usize> = self.places[from..to].iter().map(|&(_, finding)| finding).collect();
        found.sort_unstable();
        found.dedup();
        found.into_iter().map(|finding| &self.findings[finding]).collect()
    }

    /// A place as `2026/05-may.spray line 12`.
    pub fn place(&self, span: Span) -> String {
        let place = self.season.sources.place(span.start);
        format!("{} line {}", self.file(place.source), place.line)
    }

    /// A stretch of text as `2026/05-may.spray, lines 12 to 25`.
    pub fn lines(&self, span: Span) -> String {
        let sources = self.season.sources;
        let (first, last) = (sources.place(span.start), sources.place(span.end.max(span.start + 1) - 1));
        let file = self.file(first.source);
        if first.line == last.line {
            format!("{file}, line {}", first.line)
        } else {
            format!("{file}, lines {} to {}", first.line, last.line)
        }
    }

    /// The file of a place, as documents name it.
    pub(super) fn file(&self, source: SourceId) -> String {
        shown_path(self.season.sources.get(source).path(), &self.folder)
    }
}

/// Entries by the blocks that they name.
fn by_block<'j, T>(journal: &Journal, entries: &'j [T], ground: impl Fn(&T) -> &Ground) -> Vec<Vec<&'j T>> {
    let mut lists: Vec<Vec<&T>> = vec![Vec::new(); journal.blocks.len()];
    for entry in entries {
        let mut blocks: Vec<BlockId> = ground(entry).blocks.iter().filter_map(|block| block.id).collect();
        blocks.sort_unstable();
        blocks.dedup();
        for block in blocks {
            lists[block.index()].push(entry);
        }
    }
    lists
}

/// A path seen from a folder, with forward slashes on every system.
pub(super) fn shown_path(path: &Path, folder: &Path) -> String {
    let path = path.strip_prefix(folder).unwrap_or(path);
    let parts: Vec<_> = path.components().map(|part| part.as_os_str().to_string_lossy()).collect();
    parts.join("/")
}

/// The innermost folder that holds all paths, so that documents do not depend on where the journal is kept.
pub(super) fn common_folder<'p>(paths: impl Iterator<Item = &'p Path>) -> PathBuf {
    let mut common: Option<PathBuf> = None;
    for path in paths {
        let folder = path.parent().unwrap_or(Path::new(""));
        common = Some(match common {
            None => folder.to_path_buf(),
            Some(known) => {
                known.components().zip(folder.components()).take_while(|(a, b)| a == b).map(|(a, _)| a).collect()
            }
        });
    }
    common.unwrap_or_default()
}
