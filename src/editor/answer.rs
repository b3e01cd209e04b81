//! What the server can do, and which part of it answers which request.

use lsp_server::{ErrorCode, Request, Response};
use lsp_types::request::{self as requests, Request as _};
use lsp_types::{
    DidChangeWatchedFilesRegistrationOptions, FileSystemWatcher, GlobPattern, HoverProviderCapability,
    InitializeResult, OneOf, PositionEncodingKind, Registration, RegistrationParams, SaveOptions, ServerCapabilities,
    ServerInfo, TextDocumentSyncCapability, TextDocumentSyncKind, TextDocumentSyncOptions, TextDocumentSyncSaveOptions,
    WorkspaceFoldersServerCapabilities, WorkspaceServerCapabilities,
};

use super::state::{Client, State};
use super::{hover, names};

/// Why a request is not done, in words for the user.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused(pub String);

/// What the server says of itself.
pub fn capabilities(_: &Client) -> InitializeResult {
    let capabilities = ServerCapabilities {
        position_encoding: Some(PositionEncodingKind::UTF16),
        text_document_sync: Some(TextDocumentSyncCapability::Options(TextDocumentSyncOptions {
            open_close: Some(true),
            change: Some(TextDocumentSyncKind::INCREMENTAL),
            save: Some(TextDocumentSyncSaveOptions::SaveOptions(SaveOptions { include_text: Some(false) })),
            ..TextDocumentSyncOptions::default()
        })),
        hover_provider: Some(HoverProviderCapability::Simple(true)),
        definition_provider: Some(OneOf::Left(true)),
        references_provider: Some(OneOf::Left(true)),
        document_highlight_provider: Some(OneOf::Left(true)),
        workspace: Some(WorkspaceServerCapabilities {
            workspace_folders: Some(WorkspaceFoldersServerCapabilities {
                supported: Some(true),
                change_notifications: Some(OneOf::Left(true)),
            }),
            file_operations: None,
        }),
        ..ServerCapabilities::default()
    };
    let server_info =
        Some(ServerInfo { name: "foliary".to_string(), version: Some(env!("CARGO_PKG_VERSION").to_string()) });
    InitializeResult { capabilities, server_info }
}

/// Which files the client is asked to watch.
pub fn watching() -> RegistrationParams {
    let watcher =
        |pattern: &str| FileSystemWatcher { glob_pattern: GlobPattern::String(pattern.to_string()), kind: None };
    let options =
        DidChangeWatchedFilesRegistrationOptions { watchers: vec![watcher("**/*.spray"), watcher("**/*.toml")] };
    RegistrationParams {
        registrations: vec![Registration {
            id: "foliary-files".to_string(),
            method: "workspace/didChangeWatchedFiles".to_string(),
            register_options: serde_json::to_value(options).ok(),
        }],
    }
}

/// Answers a request.
pub fn answer(state: State<'_>, request: Request) -> Response {
    let method = request.method.clone();
    match method.as_str() {
        requests::HoverRequest::METHOD => {
            told::<requests::HoverRequest>(request, |params| hover::hover(state, &params.text_document_position_params))
        }
        requests::GotoDefinition::METHOD => told::<requests::GotoDefinition>(request, |params| {
            names::definition(state, &params.text_document_position_params)
        }),
        requests::References::METHOD => {
            told::<requests::References>(request, |params| names::references(state, &params))
        }
        requests::DocumentHighlightRequest::METHOD => told::<requests::DocumentHighlightRequest>(request, |params| {
            names::highlights(state, &params.text_document_position_params)
        }),
        _ => Response::new_err(
            request.id,
            ErrorCode::MethodNotFound as i32,
            format!("`{method}` is nothing that Foliary does"),
        ),
    }
}

/// The answer of something that cannot be refused.
fn told<R: requests::Request>(request: Request, answer: impl FnOnce(R::Params) -> R::Result) -> Response {
    asked::<R>(request, |params| Ok(answer(params)))
}

fn asked<R: requests::Request>(
    request: Request,
    answer: impl FnOnce(R::Params) -> Result<R::Result, Refused>,
) -> Response {
    let params = match serde_json::from_value::<R::Params>(request.params) {
        Ok(params) => params,
        Err(error) => return Response::new_err(request.id, ErrorCode::InvalidParams as i32, error.to_string()),
    };
    match answer(params) {
        Ok(result) => Response::new_ok(request.id, result),
        Err(Refused(words)) => Response::new_err(request.id, ErrorCode::RequestFailed as i32, words),
    }
}
