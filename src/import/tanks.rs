//! Rows to tanks: rows of the same day, block and time with different materials are one.

use rustc_hash::FxHashMap;

use super::draft::Draft;

/// One tank: the rows it was made of, and what they say together.
#[derive(Clone, Debug)]
pub(super) struct Tank {
    pub(super) rows: Vec<usize>,
    pub(super) draft: Draft,
}

/// What tells tanks apart.
type Key = (chrono::NaiveDate, String, String);

/// The tanks of some drafts that lack nothing, in their order.
pub(super) fn tanks(drafts: Vec<Draft>) -> Vec<Tank> {
    let mut tanks: Vec<Tank> = Vec::new();
    let mut last: FxHashMap<Key, usize> = FxHashMap::default();
    let mut newest = None;
    for draft in drafts {
        let Ok(day) = draft.day else { continue };
        let key = (day, draft.head(), draft.value("time").unwrap_or_default().to_string());
        // A blank time is that of the row just above, if anything.
        let timeless = key.2.is_empty();
        let joined = if timeless {
            newest.filter(|&at: &usize| {
                let tank: &Tank = &tanks[at];
                tank.rows.last() == Some(&(draft.row - 1)) && tank.draft.day == draft.day && tank.draft.head() == key.1
            })
        } else {
            last.get(&key).copied()
        };
        match joined.filter(|&at| fits(&tanks[at].draft, &draft)) {
            Some(at) => {
                newest = Some(at);
                tanks[at].join(draft);
            }
            None => {
                last.insert(key, tanks.len());
                newest = Some(tanks.len());
                tanks.push(Tank { rows: vec![draft.row], draft });
            }
        }
    }
    tanks
}

/// Whether a row may be part of a tank: nothing twice, and nothing that one tank has only once said otherwise.
fn fits(tank: &Draft, row: &Draft) -> bool {
    let alike = |word: &str| match (tank.value(word), row.value(word)) {
        (Some(one), Some(other)) => one == other,
        _ => true,
    };
    let twice = row.ingredients.iter().any(|one| tank.ingredients.iter().any(|other| other.name == one.name));
    let mixes = tank.mix.is_some() && row.mix.is_some();
    !twice && !mixes && ["volume", "over", "by", "rig"].into_iter().all(alike)
}

impl Tank {
    fn join(&mut self, row: Draft) {
        self.rows.push(row.row);
        let tank = &mut self.draft;
        tank.ingredients.extend(row.ingredients);
        tank.mix = tank.mix.take().or(row.mix);
        for line in row.lines {
            if tank.lines.contains(&line) {
                continue;
            }
            match (tank.value(line.word).is_some(), line.value.is_empty()) {
                // The other row says the same fact in other words: both stay.
                (true, false) => tank.notes.push(format!("Row {}, {}: {}", row.row, line.word, line.value)),
                _ => tank.lines.push(line),
            }
        }
        for note in row.notes {
            if !tank.notes.contains(&note) {
                tank.notes.push(note);
            }
        }
        tank.settle.extend(row.settle);
    }
}
