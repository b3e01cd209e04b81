//! Findings as SARIF 2.1.0 (OASIS, "Static Analysis Results Interchange Format Version 2.1.0"), for services that show
//! them beside the text. Columns are in UTF-16 code units, as those services count.

mod model;
mod uri;

pub use uri::of_path as file_uri;

use rustc_hash::FxHashMap;
use sha2::{Digest as _, Sha256};

use self::model::{
    ArtifactChange, ArtifactLocation, Configuration, Content, Driver, Fingerprints, Fix, Location, Log, Message,
    PhysicalLocation, Region, Replacement, Rule, RuleHelp, Run, SarifResult, Suppression, Tool,
};
use super::machine::json_text;
use super::place::{region, words};
use crate::finding::{Finding, Label, Level};
use crate::text::{Sources, Span};

/// What is said of one check, whatever it found.
#[derive(Clone, Copy, Debug)]
pub struct RuleText<'a> {
    /// Kebab-case name of the check.
    pub code: &'a str,
    /// What it finds, in a sentence.
    pub summary: &'a str,
    /// The whole explanation, in Markdown.
    pub explain: &'a str,
    /// The level its findings have unless a finding says otherwise.
    pub level: Level,
}

/// A SARIF log with one run: the rules in the order given, then all findings, the accepted ones as suppressed results.
pub fn render(findings: &[Finding], sources: &Sources, rules: &[RuleText<'_>]) -> String {
    let indexes: FxHashMap<&str, usize> = rules.iter().enumerate().map(|(index, rule)| (rule.code, index)).collect();
    let mut fingerprints = FingerprintCounter::default();
    let results = findings.iter().map(|finding| {
        let fingerprint = fingerprints.next(finding, sources);
        result(finding, sources, indexes.get(finding.code).copied(), fingerprint)
    });
    json_text(&Log {
        schema: "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
        version: "2.1.0",
        runs: [Run {
            tool: Tool {
                driver: Driver {
                    name: "foliary",
                    semantic_version: env!("CARGO_PKG_VERSION"),
                    rules: rules.iter().map(rule).collect(),
                },
            },
            column_kind: "utf16CodeUnits",
            results: results.collect(),
        }],
    })
}

fn rule<'a>(rule: &RuleText<'a>) -> Rule<'a> {
    Rule {
        id: rule.code,
        short_description: Message { text: literal(rule.summary) },
        full_description: Message { text: literal(first_paragraph(rule.explain).unwrap_or(rule.summary)) },
        help: RuleHelp { text: literal(rule.explain), markdown: literal(rule.explain) },
        default_configuration: Configuration { level: rule.level.word() },
    }
}

/// The first block of a Markdown text that is not a heading.
fn first_paragraph(markdown: &str) -> Option<&str> {
    markdown.split("\n\n").map(str::trim).find(|block| !block.is_empty() && !block.starts_with('#'))
}

fn result<'a>(
    finding: &'a Finding,
    sources: &Sources,
    rule_index: Option<usize>,
    fingerprint: String,
) -> SarifResult<'a> {
    let here = finding.labels.first().map(|label| location(label, sources, None));
    let related = finding.labels.iter().enumerate().skip(1);
    let suppression = finding.accepted.as_ref().map(|accepted| Suppression {
        kind: "inSource",
        status: "accepted",
        justification: &accepted.reason,
        location: Location { id: None, physical_location: physical(sources, accepted.span), message: None },
    });
    let fix = finding.edit.as_ref().map(|edit| {
        let PhysicalLocation { artifact_location, region } = physical(sources, edit.span);
        let replacement = Replacement { deleted_region: region, inserted_content: Content { text: &edit.with } };
        let description = message(&format!("Write `{}`", edit.with));
        Fix { description, artifact_changes: [ArtifactChange { artifact_location, replacements: [replacement] }] }
    });
    SarifResult {
        rule_id: finding.code,
        rule_index,
        level: finding.level.word(),
        message: message(&told(finding)),
        locations: here.into_iter().collect(),
        related_locations: related.map(|(id, label)| location(label, sources, Some(id))).collect(),
        partial_fingerprints: Fingerprints { label_text: fingerprint },
        suppressions: suppression.into_iter().collect(),
        fixes: fix.into_iter().collect(),
    }
}

/// Everything a reader of the finding needs, as viewers show little beside the message. The headline gets its full
/// stop here: viewers short of room show the first sentence.
fn told(finding: &Finding) -> String {
    let mut told = format!("{}.", finding.headline);
    for line in &finding.working {
        told.push('\n');
        told.push_str(line);
    }
    let said = [("probably", &finding.slip), ("do", &finding.help), ("rule", &finding.source)];
    for (word, text) in said {
        if let Some(text) = text {
            told.push_str(&format!("\n{word}: {text}"));
        }
    }
    told
}

/// Braces doubled, as section 3.11.5 (messages with placeholders) asks.
fn literal(text: &str) -> String {
    text.replace('{', "{{").replace('}', "}}")
}

/// A message about a journal. Unlike the text of a rule it holds words that are not ours, so it also keeps clear of
/// `](`, which section 3.11.6 (messages with embedded links) would read as a link.
fn message(text: &str) -> Message {
    Message { text: literal(text).replace("](", "\\](") }
}

fn location(label: &Label, sources: &Sources, id: Option<usize>) -> Location {
    let message = Some(message(&label.text)).filter(|message| !message.text.is_empty());
    Location { id, physical_location: physical(sources, label.span), message }
}

fn physical(sources: &Sources, span: Span) -> PhysicalLocation {
    let region = region(sources, span);
    PhysicalLocation {
        artifact_location: ArtifactLocation { uri: uri::of_path(region.path) },
        region: Region {
            start_line: region.start.line,
            start_column: region.start.column_utf16,
            end_line: region.end.line,
            end_column: region.end.column_utf16,
        },
    }
}

/// Gives each result a name that stays when lines move or are laid out anew: a hash of the code and of the words at
/// its labels. Results alike in both are told apart by counting them within their file.
#[derive(Default)]
struct FingerprintCounter {
    seen: FxHashMap<(u32, String), usize>,
}

impl FingerprintCounter {
    fn next(&mut self, finding: &Finding, sources: &Sources) -> String {
        let mut hash = Sha256::new();
        hash.update(finding.code);
        for label in &finding.labels {
            // A zero byte cannot stand in a code, and as a hidden character hardly in a journal.
            hash.update([0]);
            for word in words(sources, label.span).split_whitespace() {
                hash.update(word);
                hash.update(" ");
            }
        }
        let name: String = hash.finalize().iter().take(16).map(|byte| format!("{byte:02x}")).collect();
        let count = self.seen.entry((sources.source_of(finding.span()).0, name.clone())).or_default();
        *count += 1;
        format!("{name}:{count}")
    }
}
