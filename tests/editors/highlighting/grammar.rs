//! Reads the grammar's own files, as far as the colours need it.

/// A part of a rule.
#[derive(Clone, Debug, PartialEq)]
pub enum Expr {
    /// A word of the language, in any case: `^"to"`.
    Word(String),
    /// Another rule.
    Rule(String),
    /// One after the other.
    Seq(Vec<Expr>),
    /// One or the other.
    Choice(Vec<Expr>),
    /// There or not, once or more often.
    Repeated(Box<Expr>),
    /// Signs, ranges of letters, and what only looks ahead.
    Other,
}

/// The rules of a file with their names.
pub fn read(text: &str) -> Vec<(String, Expr)> {
    let text: String = text.lines().filter(|line| !line.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n");
    let mut reader = Reader { rest: &text };
    let mut rules = Vec::new();
    while let Some(name) = reader.name() {
        reader.must("=");
        let _ = ["_", "@", "$", "!"].iter().any(|sign| reader.takes(sign));
        reader.must("{");
        rules.push((name, reader.choice()));
        reader.must("}");
    }
    assert!(reader.rest.trim().is_empty(), "the grammar goes on: {}", reader.rest);
    rules
}

struct Reader<'t> {
    rest: &'t str,
}

impl Reader<'_> {
    fn takes(&mut self, sign: &str) -> bool {
        match self.rest.trim_start().strip_prefix(sign) {
            Some(rest) => self.rest = rest,
            None => return false,
        }
        true
    }

    fn must(&mut self, sign: &str) {
        assert!(self.takes(sign), "`{sign}` is missing before {}", self.rest);
    }

    fn name(&mut self) -> Option<String> {
        let rest = self.rest.trim_start();
        let length = rest.find(|c: char| !(c.is_ascii_alphanumeric() || c == '_')).unwrap_or(rest.len());
        self.rest = &rest[length..];
        (length > 0).then(|| rest[..length].to_owned())
    }

    fn until(&mut self, end: char) -> String {
        let mut inside = String::new();
        let mut characters = self.rest.chars();
        while let Some(character) = characters.next().filter(|character| *character != end) {
            inside.push(character);
            if character == '\\' {
                inside.extend(characters.next());
            }
        }
        self.rest = characters.as_str();
        inside
    }

    fn choice(&mut self) -> Expr {
        let _ = self.takes("|");
        let mut ways = vec![self.sequence()];
        while self.takes("|") {
            ways.push(self.sequence());
        }
        if ways.len() == 1 { ways.remove(0) } else { Expr::Choice(ways) }
    }

    fn sequence(&mut self) -> Expr {
        let mut parts = vec![self.part()];
        while self.takes("~") {
            parts.push(self.part());
        }
        if parts.len() == 1 { parts.remove(0) } else { Expr::Seq(parts) }
    }

    fn part(&mut self) -> Expr {
        let ahead = self.takes("&") || self.takes("!");
        let mut part = self.thing();
        while ["?", "*", "+"].iter().any(|sign| self.takes(sign)) || self.counted() {
            part = Expr::Repeated(Box::new(part));
        }
        if ahead { Expr::Other } else { part }
    }

    /// `{2}`, `{1, 3}`.
    fn counted(&mut self) -> bool {
        let counted = self.takes("{");
        if counted {
            self.until('}');
        }
        counted
    }

    fn thing(&mut self) -> Expr {
        if self.takes("(") {
            let inside = self.choice();
            self.must(")");
            inside
        } else if self.takes("^\"") {
            Expr::Word(self.until('"'))
        } else if self.takes("\"") {
            self.until('"');
            Expr::Other
        } else if self.takes("'") {
            self.until('\'');
            self.must("..");
            self.must("'");
            self.until('\'');
            Expr::Other
        } else {
            Expr::Rule(self.name().unwrap_or_else(|| panic!("a part is missing before {}", self.rest)))
        }
    }
}
