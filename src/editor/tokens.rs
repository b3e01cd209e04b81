//! What every word of a file is, for colours: names by the sort of thing they stand for, and names that stand for nothing
//! without a colour.

use lsp_types::{
    Range, SemanticToken, SemanticTokenModifier, SemanticTokenType, SemanticTokens, SemanticTokensLegend, Uri,
};

use super::names::find;
use super::parts::{Sort, parts};
use super::state::State;
use super::{Desk, Document};
use crate::journal::NameSort;
use crate::text::Span;

const TYPES: [SemanticTokenType; 16] = [
    SemanticTokenType::KEYWORD,
    SemanticTokenType::PROPERTY,
    SemanticTokenType::CLASS,
    SemanticTokenType::PARAMETER,
    SemanticTokenType::STRUCT,
    SemanticTokenType::VARIABLE,
    SemanticTokenType::FUNCTION,
    SemanticTokenType::METHOD,
    SemanticTokenType::INTERFACE,
    SemanticTokenType::NAMESPACE,
    SemanticTokenType::ENUM_MEMBER,
    SemanticTokenType::MACRO,
    SemanticTokenType::NUMBER,
    SemanticTokenType::TYPE,
    SemanticTokenType::STRING,
    SemanticTokenType::COMMENT,
];

const DECLARATION: u32 = 1;
const DOCUMENTATION: u32 = 2;

/// What the numbers of the tokens mean.
pub fn legend() -> SemanticTokensLegend {
    SemanticTokensLegend {
        token_types: TYPES.to_vec(),
        token_modifiers: vec![SemanticTokenModifier::DECLARATION, SemanticTokenModifier::DOCUMENTATION],
    }
}

/// The tokens of a file, or of the entries that a range of it touches.
pub fn tokens(state: State<'_>, uri: &Uri, range: Option<Range>) -> Option<SemanticTokens> {
    let document = state.document(uri)?;
    let desk = state.desk(document.path())?;
    let asked = range.map_or(0..document.text().len(), |range| document.bytes(range));
    let mut data = Vec::new();
    let mut last = (0, 0);
    for entry in desk.entries(document.path()) {
        if asked.end < entry.start || entry.end < asked.start {
            continue;
        }
        let Some(entry) = desk.entry_at(document.path(), entry.start) else { continue };
        for part in parts(&entry) {
            let Some((token_type, token_modifiers_bitset)) = token(desk, part.sort, part.span) else { continue };
            for (line, start, length) in lines(desk, document, part.span) {
                // Two tokens never overlap.
                if (line, start) < last {
                    continue;
                }
                let (delta_line, from) = (line - last.0, if line == last.0 { last.1 } else { 0 });
                data.push(SemanticToken {
                    delta_line,
                    delta_start: start - from,
                    length,
                    token_type,
                    token_modifiers_bitset,
                });
                last = (line, start);
            }
        }
    }
    Some(SemanticTokens { result_id: None, data })
}

/// Line, first column and length of a span, for each line of it.
fn lines(desk: &Desk, document: &Document, span: Span) -> Vec<(u32, u32, u32)> {
    let Some(located) = desk.locate(span) else { return Vec::new() };
    let (first, last) = (document.line_of(located.range.start), document.line_of(located.range.end));
    let on_line = |number: usize| {
        let start = document.line_start(number).max(located.range.start);
        let end = (document.line_start(number) + document.line(number)?.len()).min(located.range.end);
        let (start, end) = (document.position(start), document.position(end.max(start)));
        (start.character < end.character).then_some((start.line, start.character, end.character - start.character))
    };
    (first..=last).filter_map(on_line).collect()
}

fn token(desk: &Desk, sort: Sort, span: Span) -> Option<(u32, u32)> {
    let name = || desk.sources().slice(span).to_lowercase();
    Some(match sort {
        Sort::EntryWord => (0, 0),
        Sort::FieldWord => (1, 0),
        Sort::Declared(sort) => (of_name(sort), DECLARATION),
        Sort::Used(sort) => (find(desk.journal(), sort, &name()).map(|_| of_name(sort))?, 0),
        Sort::MaterialOrClass => {
            let material = find(desk.journal(), NameSort::Material, &name());
            (material.map_or(10, |_| of_name(NameSort::Material)), 0)
        }
        Sort::Crop | Sort::Word | Sort::Weekday => (10, 0),
        Sort::Rulebook | Sort::Code => (11, 0),
        Sort::Number | Sort::Date | Sort::Clock => (12, 0),
        Sort::Unit => (13, 0),
        Sort::Title => (14, 0),
        Sort::Note => (14, DOCUMENTATION),
        Sort::Comment => (15, 0),
        Sort::Text => return None,
    })
}

fn of_name(sort: NameSort) -> u32 {
    match sort {
        NameSort::Block => 2,
        NameSort::Person => 3,
        NameSort::Rig | NameSort::Water => 4,
        NameSort::Material | NameSort::Brew => 5,
        NameSort::Mix => 6,
        NameSort::Program => 7,
        NameSort::Limits => 8,
        NameSort::Farm => 9,
    }
}
