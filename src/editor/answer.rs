//! What the server can do, and which part of it answers which request.

use lsp_server::{ErrorCode, Request, Response};
use lsp_types::request::{self as requests, Request as _};
use lsp_types::{
    CodeActionKind, CodeActionOptions, CodeActionProviderCapability, DeclarationCapability,
    DidChangeWatchedFilesRegistrationOptions, FileSystemWatcher, FoldingRangeProviderCapability, GlobPattern,
    HoverProviderCapability, InitializeResult, OneOf, PositionEncodingKind, Registration, RegistrationParams,
    RenameOptions, SaveOptions, SemanticTokensFullOptions, SemanticTokensOptions, SemanticTokensServerCapabilities,
    ServerCapabilities, ServerInfo, TextDocumentSyncCapability, TextDocumentSyncKind, TextDocumentSyncOptions,
    TextDocumentSyncSaveOptions, WorkDoneProgressOptions, WorkspaceFoldersServerCapabilities,
    WorkspaceServerCapabilities,
};

use super::state::{Client, State};
use super::{actions, complete, fold, format, hints, hover, names, outline, rename, tokens};

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
        declaration_provider: Some(DeclarationCapability::Simple(true)),
        rename_provider: Some(OneOf::Right(RenameOptions {
            prepare_provider: Some(true),
            work_done_progress_options: WorkDoneProgressOptions::default(),
        })),
        completion_provider: Some(complete::options()),
        document_symbol_provider: Some(OneOf::Left(true)),
        workspace_symbol_provider: Some(OneOf::Left(true)),
        folding_range_provider: Some(FoldingRangeProviderCapability::Simple(true)),
        code_action_provider: Some(CodeActionProviderCapability::Options(CodeActionOptions {
            code_action_kinds: Some(vec![CodeActionKind::QUICKFIX, CodeActionKind::new(actions::LAYOUT)]),
            ..CodeActionOptions::default()
        })),
        document_formatting_provider: Some(OneOf::Left(true)),
        document_range_formatting_provider: Some(OneOf::Left(true)),
        semantic_tokens_provider: Some(SemanticTokensServerCapabilities::SemanticTokensOptions(
            SemanticTokensOptions {
                legend: tokens::legend(),
                range: Some(true),
                full: Some(SemanticTokensFullOptions::Bool(true)),
                ..SemanticTokensOptions::default()
            },
        )),
        inlay_hint_provider: Some(OneOf::Left(true)),
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
        requests::GotoDeclaration::METHOD => told::<requests::GotoDeclaration>(request, |params| {
            names::definition(state, &params.text_document_position_params)
        }),
        requests::PrepareRenameRequest::METHOD => {
            asked::<requests::PrepareRenameRequest>(request, |params| rename::prepare(state, &params))
        }
        requests::Rename::METHOD => asked::<requests::Rename>(request, |params| rename::rename(state, &params)),
        requests::Completion::METHOD => {
            told::<requests::Completion>(request, |params| complete::complete(state, &params))
        }
        requests::DocumentSymbolRequest::METHOD => {
            told::<requests::DocumentSymbolRequest>(request, |params| outline::outline(state, &params))
        }
        requests::WorkspaceSymbolRequest::METHOD => {
            told::<requests::WorkspaceSymbolRequest>(request, |params| outline::search(state, &params))
        }
        requests::FoldingRangeRequest::METHOD => {
            told::<requests::FoldingRangeRequest>(request, |params| fold::folds(state, &params))
        }
        requests::CodeActionRequest::METHOD => {
            told::<requests::CodeActionRequest>(request, |params| actions::actions(state, &params))
        }
        requests::Formatting::METHOD => {
            told::<requests::Formatting>(request, |params| format::document(state, &params))
        }
        requests::RangeFormatting::METHOD => {
            told::<requests::RangeFormatting>(request, |params| format::range(state, &params))
        }
        requests::SemanticTokensFullRequest::METHOD => told::<requests::SemanticTokensFullRequest>(request, |params| {
            tokens::tokens(state, &params.text_document.uri, None).map(Into::into)
        }),
        requests::SemanticTokensRangeRequest::METHOD => {
            told::<requests::SemanticTokensRangeRequest>(request, |params| {
                tokens::tokens(state, &params.text_document.uri, Some(params.range)).map(Into::into)
            })
        }
        requests::InlayHintRequest::METHOD => {
            told::<requests::InlayHintRequest>(request, |params| hints::hints(state, &params))
        }
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
