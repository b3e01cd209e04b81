//! Which part of a journal a document is about.

use chrono::NaiveDate;

use super::words::{self, list};
use crate::journal::{BlockId, Ground, Journal, MaterialId};
use crate::season::{SprayFacts, Touched};

/// Which part of a journal a document is about; everything where nothing is given.
#[derive(Clone, Debug, Default)]
pub struct Scope {
    /// These blocks only; all where empty.
    pub blocks: Vec<BlockId>,
    /// From this day on.
    pub from: Option<NaiveDate>,
    /// Up to this day, which is part of it.
    pub to: Option<NaiveDate>,
    /// Where a document goes by lots, these only, in lower case; all where empty.
    pub lots: Vec<String>,
    /// Where a document goes by materials, these only; all where empty.
    pub materials: Vec<MaterialId>,
}

impl Scope {
    /// Whether a day is part of it.
    pub fn has_day(&self, day: NaiveDate) -> bool {
        self.from.is_none_or(|from| from <= day) && self.to.is_none_or(|to| day <= to)
    }

    /// Whether a block is part of it.
    pub fn has_block(&self, block: BlockId) -> bool {
        self.blocks.is_empty() || self.blocks.contains(&block)
    }

    /// Whether a lot is part of it, by the words it is written in; what has no lot is only where none was asked for.
    pub fn has_lot(&self, lot: Option<&str>) -> bool {
        self.lots.is_empty() || lot.is_some_and(|lot| self.lots.contains(&lot.trim().to_lowercase()))
    }

    /// Whether a material is part of it.
    pub fn has_material(&self, material: MaterialId) -> bool {
        self.materials.is_empty() || self.materials.contains(&material)
    }

    /// Whether some ground is part of it. Ground whose blocks are not known is, unless blocks were asked for.
    pub fn has_ground(&self, ground: &Ground) -> bool {
        self.blocks.is_empty() || ground.blocks.iter().any(|block| block.id.is_some_and(|id| self.has_block(id)))
    }

    /// Whether a spray is part of it: by its day, and by any block it touched.
    pub fn has_spray(&self, journal: &Journal, facts: &SprayFacts) -> bool {
        let touches = |touched: &Touched| self.has_block(touched.block);
        self.has_day(facts.spray(journal).at.day) && (self.blocks.is_empty() || facts.touched.iter().any(touches))
    }

    /// In words, where it is not everything: `only Creek pears, from 1 May 2026`.
    pub fn words(&self, journal: &Journal) -> Option<String> {
        let mut parts = Vec::new();
        if !self.blocks.is_empty() {
            let names: Vec<&str> = self.blocks.iter().map(|&block| journal.block(block).named.shown()).collect();
            parts.push(format!("only {}", list(&names)));
        }
        if !self.lots.is_empty() {
            parts.push(format!("only lot {}", list(&self.lots)));
        }
        if !self.materials.is_empty() {
            let names: Vec<&str> = self.materials.iter().map(|&id| journal.material(id).named.shown()).collect();
            parts.push(format!("only the material {}", list(&names)));
        }
        match (self.from, self.to) {
            (Some(from), Some(to)) => parts.push(format!("only {}", words::days(from, to))),
            (Some(from), None) => parts.push(format!("only from {} on", words::day(from))),
            (None, Some(to)) => parts.push(format!("only up to {}", words::day(to))),
            (None, None) => {}
        }
        (!parts.is_empty()).then(|| parts.join(", "))
    }
}
