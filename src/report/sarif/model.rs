//! The parts of SARIF 2.1.0 that are written, by the standard's own names. Fields are in the order they appear.

use serde::Serialize;

#[derive(Serialize)]
pub(super) struct Log<'a> {
    #[serde(rename = "$schema")]
    pub schema: &'static str,
    pub version: &'static str,
    pub runs: [Run<'a>; 1],
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Run<'a> {
    pub tool: Tool<'a>,
    pub column_kind: &'static str,
    pub results: Vec<SarifResult<'a>>,
}

#[derive(Serialize)]
pub(super) struct Tool<'a> {
    pub driver: Driver<'a>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Driver<'a> {
    pub name: &'static str,
    pub semantic_version: &'static str,
    pub rules: Vec<Rule<'a>>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Rule<'a> {
    pub id: &'a str,
    pub short_description: Message,
    pub full_description: Message,
    pub help: RuleHelp,
    pub default_configuration: Configuration,
}

#[derive(Serialize)]
pub(super) struct RuleHelp {
    pub text: String,
    pub markdown: String,
}

#[derive(Serialize)]
pub(super) struct Configuration {
    pub level: &'static str,
}

#[derive(Serialize)]
pub(super) struct Message {
    pub text: String,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct SarifResult<'a> {
    pub rule_id: &'a str,
    /// Left out for a finding whose check is not among the rules.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rule_index: Option<usize>,
    pub level: &'static str,
    pub message: Message,
    pub locations: Vec<Location>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub related_locations: Vec<Location>,
    pub partial_fingerprints: Fingerprints,
    /// Written even when empty: the standard wants it on every result of a run or on none.
    pub suppressions: Vec<Suppression<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub fixes: Vec<Fix<'a>>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Location {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<usize>,
    pub physical_location: PhysicalLocation,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub message: Option<Message>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct PhysicalLocation {
    pub artifact_location: ArtifactLocation,
    pub region: Region,
}

#[derive(Serialize)]
pub(super) struct ArtifactLocation {
    pub uri: String,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Region {
    pub start_line: u32,
    pub start_column: u32,
    pub end_line: u32,
    pub end_column: u32,
}

#[derive(Serialize)]
pub(super) struct Fingerprints {
    #[serde(rename = "foliaryLabelText/v1")]
    pub label_text: String,
}

#[derive(Serialize)]
pub(super) struct Suppression<'a> {
    pub kind: &'static str,
    pub status: &'static str,
    pub justification: &'a str,
    pub location: Location,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Fix<'a> {
    pub description: Message,
    pub artifact_changes: [ArtifactChange<'a>; 1],
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct ArtifactChange<'a> {
    pub artifact_location: ArtifactLocation,
    pub replacements: [Replacement<'a>; 1],
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Replacement<'a> {
    pub deleted_region: Region,
    pub inserted_content: Content<'a>,
}

#[derive(Serialize)]
pub(super) struct Content<'a> {
    pub text: &'a str,
}
