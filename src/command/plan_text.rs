//! A plan as text for the terminal.

use crate::documents::{ConflictView, LineView, PlanView};
use crate::render::columns;
use crate::text::escape_hidden;

/// A plan in at most 80 columns: what is to be done first, then what is in the way, then what is to be bought.
pub(super) fn plan_text(view: &PlanView) -> String {
    let mut text = Text::default();
    text.line(&format!("{}, {}", view.head.farm, view.today));
    text.line(&view.lede);
    if let Some(banner) = &view.head.banner {
        text.line(&format!("Open errors: {banner}"));
    }
    if let Some(supposed) = &view.supposed {
        text.heading("Supposed");
        supposed.words.iter().for_each(|words| text.item(words));
        let broken = |text: &mut Text, heading: &str, list: &[crate::documents::BrokenView]| {
            if !list.is_empty() {
                text.heading(heading);
            }
            for one in list {
                text.item(&format!("{}: {} [{}]", one.level, one.headline, one.code));
                one.working.iter().for_each(|line| text.under(line));
            }
        };
        broken(&mut text, "What would then be wrong", &supposed.new);
        broken(&mut text, "What would be wrong no more", &supposed.gone);
        text.items("Rounds that would move", &supposed.moved);
        text.items("What would be bought", &supposed.bought);
        text.items("What it would cost", supposed.cost.as_slice());
        if supposed.new.is_empty()
            && supposed.gone.is_empty()
            && supposed.moved.is_empty()
            && supposed.bought.is_empty()
        {
            text.item("nothing would change");
        }
    }
    text.lines("Due now", &view.now);
    text.lines("To come", &view.to_come);
    if !view.other.is_empty() {
        text.heading("Done, ended or not begun");
        let rows = |line: &LineView| {
            vec![line.block.clone(), line.program.clone(), format!("{}, {}: {}", line.state, line.count, line.words)]
        };
        text.table(&["Block", "Program", "State"], view.other.iter().map(rows).collect());
        view.other
            .iter()
            .for_each(|line| text.conflicts(&format!("{}, {}", line.block, line.program), &line.conflicts));
    }
    for pick in &view.picks {
        text.conflicts(&format!("The pick of {} on {}", pick.block, pick.day), &pick.conflicts);
    }
    for block in &view.blocks {
        for round in &block.rounds {
            let what =
                format!("{}, round {} of {}, planned for {}", block.block, round.number, round.program, round.day);
            // What bars a line's next round stands with the line.
            let told = view.now.iter().chain(&view.to_come).any(|line| line.conflicts == round.conflicts);
            if !told {
                text.conflicts(&what, &round.conflicts);
            }
        }
    }
    if !view.shopping.needs.is_empty() {
        text.heading("What the rounds to come take");
        let rows = view.shopping.needs.iter().map(|need| {
            let none = || "-".to_string();
            let on_hand = need.on_hand.clone().unwrap_or_else(|| "not known".to_string());
            let by = need.by.clone().filter(|_| need.buy.is_some());
            vec![
                need.material.clone(),
                need.needed.clone(),
                on_hand,
                need.buy.clone().unwrap_or_else(none),
                by.unwrap_or_else(none),
                need.cost.clone().unwrap_or_else(none),
            ]
        });
        text.table(&["Material", "Needed", "On hand", "To buy", "By", "Cost"], rows.collect());
        view.shopping.cost.iter().for_each(|line| text.item(&format!("Cost: {line}")));
    }
    view.shopping.left_out.iter().for_each(|line| text.item(line));
    text.items("Assumed", &view.assumed);
    text.items("Cautions", &view.cautions);
    text.0
}

#[derive(Default)]
struct Text(String);

impl Text {
    fn line(&mut self, words: &str) {
        self.wrapped(words, "", "");
    }

    fn item(&mut self, words: &str) {
        self.wrapped(words, "- ", "  ");
    }

    fn under(&mut self, words: &str) {
        self.wrapped(words, "    ", "    ");
    }

    fn wrapped(&mut self, words: &str, first: &str, rest: &str) {
        let options = textwrap::Options::new(80).initial_indent(first).subsequent_indent(rest);
        for line in textwrap::wrap(&escape_hidden(words), options) {
            self.0.push_str(line.trim_end());
            self.0.push('\n');
        }
    }

    fn heading(&mut self, words: &str) {
        self.0.push('\n');
        self.line(words);
    }

    fn items(&mut self, heading: &str, items: &[String]) {
        if !items.is_empty() {
            self.heading(heading);
            items.iter().for_each(|words| self.item(words));
        }
    }

    fn table(&mut self, headings: &[&str], rows: Vec<Vec<String>>) {
        self.0.push_str(&columns(headings, &rows));
    }

    fn lines(&mut self, heading: &str, lines: &[LineView]) {
        if lines.is_empty() {
            return;
        }
        self.heading(heading);
        let row = |line: &LineView| {
            let clear = match (&line.clear, line.by.is_empty()) {
                (Some(clear), true) => clear.clone(),
                (Some(clear), false) => format!("{clear}; now {}", line.by.join(", ")),
                (None, _) => format!("no day: {}", line.by.join(", ")),
            };
            vec![line.block.clone(), line.program.clone(), line.state.to_string(), line.words.clone(), clear]
        };
        self.table(&["Block", "Program", "State", "Round", "First clear day"], lines.iter().map(row).collect());
        lines.iter().for_each(|line| self.conflicts(&format!("{}, {}", line.block, line.program), &line.conflicts));
    }

    fn conflicts(&mut self, what: &str, conflicts: &[ConflictView]) {
        if conflicts.is_empty() {
            return;
        }
        // The checks tell of what is planned as if it had been done.
        self.heading(&format!("{what}: as if it were done"));
        for conflict in conflicts {
            self.item(&format!("{}: {} [{}]", conflict.level, conflict.headline, conflict.by));
            conflict.working.iter().for_each(|line| self.under(line));
            conflict.help.iter().for_each(|line| self.under(&format!("help: {line}")));
            conflict.source.iter().for_each(|line| self.under(&format!("source: {line}")));
        }
    }
}
