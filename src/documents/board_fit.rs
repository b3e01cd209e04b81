//! How large the letters of a clearance board can be so that it stays on one sheet of paper: how high its rows and lines
//! come out when a browser prints the page, about. A test prints it.

use super::board_reasons::WhyLine;
use super::clearance::BoardRow;

/// A size of letters, and the room that they take; heights in tenths of a millimetre.
struct Size {
    name: &'static str,
    /// The height of all that every board has.
    whole: usize,
    /// The least height of a row, and that of a line of it in English and in Spanish.
    row: usize,
    line: usize,
    spanish: usize,
    /// How many letters such a line holds in the last column, and the rows in the first.
    turn: usize,
    rows: usize,
    /// The height of a line of small print, and how many letters it holds.
    small: usize,
    letters: usize,
}

const SIZES: [Size; 2] = [
    Size { name: "roomy", whole: 820, row: 95, line: 47, spanish: 40, turn: 38, rows: 22, small: 37, letters: 108 },
    Size { name: "snug", whole: 680, row: 74, line: 38, spanish: 32, turn: 46, rows: 26, small: 31, letters: 122 },
];

/// The height of the lower of both papers (Letter) between the margins, with some to spare.
const SHEET: usize = 2_550;

impl Size {
    fn row(&self, row: &BoardRow) -> usize {
        let lines = |text: &str, letters: usize| text.chars().count().div_ceil(letters);
        let turn =
            |turn: &super::Both| lines(&turn.en, self.turn) * self.line + lines(&turn.es, self.turn) * self.spanish;
        let turns: usize = row.turns.iter().map(turn).sum();
        let rows = row.rows.as_ref().map_or(0, |rows| lines(&rows.en, self.rows) + lines(&rows.es, self.rows));
        let place = lines(&row.block, self.rows) * self.line + rows * self.spanish;
        self.row.max(turns + 20).max(place + 20)
    }

    fn why(&self, why: &WhyLine) -> usize {
        let blocks: usize = why.blocks.iter().map(|block| block.chars().count() + 2).sum();
        self.small_print(blocks + why.reason.words.chars().count(), self.letters)
    }

    fn small_print(&self, letters: usize, room: usize) -> usize {
        letters.div_ceil(room).max(1) * self.small
    }
}

/// The largest size that fits, or else the smallest. Notes stand in two columns.
pub(super) fn fit(rows: &[BoardRow], why: &[WhyLine], warnings: usize, notes: &[&[String]]) -> &'static str {
    let fits = |size: &&Size| {
        let note = |note: &String| size.small_print(note.chars().count(), size.letters / 2 - 4).div_ceil(2);
        let taken = size.whole
            + rows.iter().map(|row| size.row(row)).sum::<usize>()
            + why.iter().map(|why| size.why(why)).sum::<usize>()
            + notes.iter().flat_map(|notes| notes.iter()).map(note).sum::<usize>()
            + warnings * 110;
        taken <= SHEET
    };
    SIZES.iter().find(fits).map_or("tight", |size| size.name)
}
