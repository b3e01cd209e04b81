//! The rules of a journal's lines.

use serde_json::Value;

use super::super::pattern::{Kind, Pattern};
use super::super::rules::{Language, remark};
use super::json::{Rule, choice, greedy, maybe, repeated, seq, shown, symbol, token, token_behind};
use super::paths::{Step, ways};
use super::tokens::{Token, Tokens};
use super::words::Sets;

/// How deep a note may stand and still go on over deeper lines. A parser without hand-written code cannot compare
/// depths, so that every one has rules of its own.
const DEPTHS: i32 = 8;

/// The rules of the whole language.
pub fn rules(language: &Language) -> Vec<Rule> {
    let entries: Vec<String> = language.entries.iter().map(|word| (*word).to_owned()).collect();
    let note = vec!["note".to_owned()];
    let mut fields: Vec<(Vec<String>, &[usize])> = Vec::new();
    for (words, behind) in &language.fields {
        match fields.iter_mut().find(|(_, known)| known == behind) {
            Some((known, _)) => known.extend_from_slice(words),
            None => fields.push((words.clone(), behind)),
        }
    }
    let parts = language.patterns.iter().flatten().chain(&language.day);
    let lists = fields.iter().map(|(words, _)| words.as_slice()).chain([entries.as_slice(), &note]);
    let tokens = Tokens::of_language(language, Sets::of(parts, lists));
    let mut rules = Rules { language, tokens, entries, note, fields, shared: Vec::new(), rules: Vec::new() };
    rules.journal();
    rules.notes();
    rules.margin();
    rules.fields();
    rules.remarks();
    rules.tokens();
    rules.rules
}

struct Rules<'l> {
    language: &'l Language,
    tokens: Tokens,
    entries: Vec<String>,
    note: Vec<String>,
    /// Field words, those together behind which the same may stand.
    fields: Vec<(Vec<String>, &'l [usize])>,
    /// Ways that more than one value has, each with the rule it became.
    shared: Vec<(Step, String)>,
    rules: Vec<Rule>,
}

impl Rules<'_> {
    fn add(&mut self, name: impl Into<String>, rule: Value) {
        self.rules.push((name.into(), rule));
    }

    /// Lines: what begins at the margin, what is indented, and notes with their further lines.
    fn journal(&mut self) {
        let mut line = ["_entry", "_day", "_remark_line", "_plain_at_margin"].map(symbol).to_vec();
        let indented = choice(["_field", "_remark_line", "_plain_indented"].map(symbol).to_vec());
        let depths = (1..=DEPTHS).map(depth).chain(["_deeper".to_owned()]).map(|depth| symbol(&depth)).collect();
        line.push(seq(vec![choice(depths), maybe(indented)]));
        line.extend((1..=DEPTHS).map(|at| symbol(&format!("_note_{at}"))));
        line.push(seq(vec![symbol("_deeper"), self.note()]));
        let line = maybe(choice(line));
        self.add("journal", seq(vec![line.clone(), repeated(seq(vec![symbol("_newline"), line]))]));
    }

    /// The first line of a note.
    fn note(&self) -> Value {
        seq(vec![self.any(&self.note, Kind::Field), maybe(shown("_note_words", Some(Kind::Note)))])
    }

    /// Notes that go on over every line that is indented more deeply.
    fn notes(&mut self) {
        for at in 1..=DEPTHS {
            let further = repeated(shown(&further(at), Some(Kind::Note)));
            self.add(format!("_note_{at}"), seq(vec![symbol(&depth(at)), self.note(), further]));
        }
    }

    /// Entries and days.
    fn margin(&mut self) {
        let head = self.value(&self.language.head);
        self.add("_entry", seq(vec![self.any(&self.entries, Kind::Entry), head]));
        let [date, weekday] = &self.language.day[..] else { panic!("a date line is a date and a weekday") };
        let shown = |part| {
            let tokens = self.tokens.of(part).into_iter();
            choice(tokens.map(|token| shown(&self.tokens.rule(token), part.kind)).collect())
        };
        let more = maybe(choice(vec![symbol("_remark_line"), symbol("_plain")]));
        let day = seq(vec![shown(date), maybe(shown(weekday)), more]);
        let date = self.tokens.of(date);
        self.add("_day", day);
        self.plain("_plain_at_margin", &self.entries.clone(), date);
    }

    /// Fields, by what may stand behind their words.
    fn fields(&mut self) {
        let mut fields = Vec::new();
        let mut all = self.note.clone();
        for (at, (words, behind)) in self.fields.clone().iter().enumerate() {
            let value = self.value(behind);
            let name = format!("_field_{at}");
            fields.push(symbol(&name));
            self.add(name, seq(vec![self.any(words, Kind::Field), value]));
            all.extend_from_slice(words);
        }
        self.add("_field", choice(fields));
        self.plain("_plain_indented", &all, Vec::new());
    }

    /// Some words, shown as a kind.
    fn any(&self, words: &[String], kind: Kind) -> Value {
        let sets = self.tokens.sets.holding(words).into_iter();
        choice(sets.map(|set| shown(&self.tokens.rule(Token::Known(set)), Some(kind))).collect())
    }

    /// Lines that are nothing of the language. What begins with a word of it, and goes on right behind, is one.
    fn plain(&mut self, name: &str, words: &[String], more: Vec<Token>) {
        let begins = self.tokens.sets.holding(words).into_iter().map(Token::Known).chain(more);
        let begins = choice(begins.map(|token| symbol(&self.tokens.rule(token))).collect());
        self.add(name, choice(vec![seq(vec![begins, symbol("_glued")]), symbol("_plain")]));
    }

    fn remarks(&mut self) {
        let [remark] = &remark()[..] else { panic!("a remark is one part") };
        let token = self.tokens.rule(self.tokens.of(remark)[0]);
        // Behind a lost carriage return a line goes on.
        self.add("_remark_line", seq(vec![shown(&token, remark.kind), maybe(symbol("_rest"))]));
        self.add("_plain", choice(vec![seq(vec![symbol("_word"), maybe(symbol("_rest"))]), symbol("_strange_line")]));
    }

    /// What may stand behind a word.
    fn value(&mut self, behind: &[usize]) -> Value {
        let language = self.language;
        let patterns: Vec<&Pattern> = behind.iter().map(|place| &language.patterns[*place]).collect();
        let ways: Vec<Value> = ways(&patterns, &self.tokens).into_iter().map(|way| self.way(way)).collect();
        repeated(choice(ways))
    }

    fn way(&mut self, way: Step) -> Value {
        if way.next.is_empty() {
            return self.step(&way);
        }
        if let Some((_, name)) = self.shared.iter().find(|(known, _)| *known == way) {
            return symbol(name);
        }
        let name = format!("_way_{}", self.shared.len());
        self.add(&name, greedy(self.step(&way)));
        self.shared.push((way, name.clone()));
        symbol(&name)
    }

    fn step(&self, step: &Step) -> Value {
        let token = shown(&self.tokens.rule(step.token), step.kind);
        if step.next.is_empty() {
            return token;
        }
        let next = choice(step.next.iter().map(|next| self.step(next)).collect());
        seq(vec![token, if step.ends { maybe(next) } else { next }])
    }

    /// The tokens, the words of the language first.
    fn tokens(&mut self) {
        for (name, pattern, rank) in self.tokens.all() {
            self.add(name, token(&pattern, rank));
        }
        self.add("_newline", token(r"\n", 0));
        for at in 1..=DEPTHS {
            // Ranked by its depth, or the blanks that may stand between any two tokens would begin behind the first.
            self.add(depth(at), token(&format!(r"[ \t]{{{at}}}"), at));
            // With the empty lines before it.
            let deeper = format!(r"(?:\n[ \t\r]*)*\n[ \t]{{{at}}}[ \t]+[^ \t\r\n][^\n]*");
            self.add(further(at), token(&deeper, 0));
        }
        self.add("_deeper", token(&format!(r"[ \t]{{{DEPTHS}}}[ \t]+"), DEPTHS + 1));
        let to_the_end = r"[^ \t\r\n][^\n]*";
        self.add("_glued", token_behind(to_the_end, 2));
        self.add("_note_words", token(to_the_end, 1));
        self.add("_rest", token(to_the_end, 1));
        self.add("_strange_line", token(r"[^ \t\r\n#][^\n]*", -1));
    }
}

fn depth(at: i32) -> String {
    format!("_depth_{at}")
}

fn further(at: i32) -> String {
    format!("_further_{at}")
}
