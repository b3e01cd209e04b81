//! The server: takes what a client says in its order, keeps the farms up to date, answers, and tells findings.

use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};

use lsp_server::{Connection, ErrorCode, Message, Notification, Request, RequestId, Response};
use lsp_types::notification::{self as notices, Notification as _};
use lsp_types::request::{self as requests, Request as _};
use lsp_types::{
    CancelParams, Diagnostic, DidChangeTextDocumentParams, InitializeParams, LogMessageParams, MessageType,
    NumberOrString, PublishDiagnosticsParams, Uri,
};
use serde_json::Value;

use super::answer::{answer, capabilities};
use super::findings::diagnostics;
use super::links::Links;
use super::roots::Roots;
use super::state::{Client, State};
use super::{Today, Workspace, uri};

/// What the server needs from outside.
pub struct Outside {
    /// Which day counts as today.
    pub today: Today,
    /// The present moment, in seconds of the common time scale.
    pub now: fn() -> i64,
    /// A folder for pages that explain findings.
    pub pages: Option<PathBuf>,
}

/// How a client's stay ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ended {
    /// It said good-bye as the protocol asks.
    Well,
    /// It left without.
    Badly,
}

/// Serves one client until it leaves.
pub fn serve(connection: &Connection, outside: Outside) -> Ended {
    let Some(params) = greeted(connection) else { return Ended::Badly };
    let mut server = Server::new(connection, outside, &params);
    server.begin();
    server.run()
}

/// Waits for the client to introduce itself, and answers.
fn greeted(connection: &Connection) -> Option<InitializeParams> {
    for message in &connection.receiver {
        match message {
            Message::Request(request) if request.method == requests::Initialize::METHOD => {
                let response = match serde_json::from_value::<InitializeParams>(request.params) {
                    Ok(params) => {
                        let result = capabilities(&Client::new(&params.capabilities));
                        connection.sender.send(Response::new_ok(request.id, result).into()).ok()?;
                        return Some(params);
                    }
                    Err(error) => refusal(request.id, ErrorCode::InvalidParams, error.to_string()),
                };
                connection.sender.send(response.into()).ok()?;
            }
            Message::Request(request) => {
                let words = "nothing is answered before `initialize`".to_string();
                connection.sender.send(refusal(request.id, ErrorCode::ServerNotInitialized, words).into()).ok()?;
            }
            Message::Notification(notification) if notification.method == notices::Exit::METHOD => return None,
            Message::Notification(_) | Message::Response(_) => {}
        }
    }
    None
}

fn refusal(id: RequestId, code: ErrorCode, words: String) -> Response {
    Response::new_err(id, code as i32, words)
}

struct Server<'c> {
    connection: &'c Connection,
    outside: Outside,
    client: Client,
    links: Links,
    roots: Roots,
    workspace: Workspace,
    /// The findings that the client has been told, by file.
    told: BTreeMap<PathBuf, Vec<Diagnostic>>,
    /// What came in and is not done.
    waiting: VecDeque<Message>,
    cancelled: BTreeSet<RequestId>,
    /// Whether the client may not have been told the findings of the text as it stands.
    untold: bool,
    /// The file that changed last.
    edited: Option<PathBuf>,
    asked: i32,
    closing: bool,
}

impl<'c> Server<'c> {
    fn new(connection: &'c Connection, mut outside: Outside, params: &InitializeParams) -> Self {
        let roots = Roots::new(params);
        Self {
            connection,
            client: Client::new(&params.capabilities),
            links: Links::new(outside.pages.take()),
            workspace: Workspace::new(Vec::new(), outside.today),
            outside,
            roots,
            told: BTreeMap::new(),
            waiting: VecDeque::new(),
            cancelled: BTreeSet::new(),
            untold: true,
            edited: None,
            asked: 0,
            closing: false,
        }
    }

    /// What is done before the first message: the folders are read.
    fn begin(&mut self) {
        self.rebuild();
        self.publish();
    }

    fn run(&mut self) -> Ended {
        loop {
            if self.waiting.is_empty() {
                match self.connection.receiver.recv() {
                    Ok(message) => self.arrived(message),
                    Err(_) => return Ended::Badly,
                }
            }
            while let Ok(message) = self.connection.receiver.try_recv() {
                self.arrived(message);
            }
            let Some(message) = self.waiting.pop_front() else { continue };
            match message {
                Message::Request(request) => {
                    // A new name goes into files that may have changed where nobody watches them.
                    if request.method == requests::Rename::METHOD {
                        self.untold = true;
                        self.look_again();
                    }
                    // Findings first: what is asked next is about the text that they are of.
                    self.publish();
                    self.request(request);
                }
                Message::Notification(notification) if notification.method == notices::Exit::METHOD => {
                    return if self.closing { Ended::Well } else { Ended::Badly };
                }
                Message::Notification(notification) => self.notification(notification),
                Message::Response(_) => {}
            }
            if self.waiting.is_empty() && self.connection.receiver.is_empty() {
                self.publish();
            }
        }
    }

    /// Takes a message in. What cancels another is heard at once, or it would come too late.
    fn arrived(&mut self, message: Message) {
        if let Message::Notification(notification) = &message
            && notification.method == notices::Cancel::METHOD
        {
            if let Ok(params) = serde_json::from_value::<CancelParams>(notification.params.clone()) {
                let id: RequestId = match params.id {
                    NumberOrString::Number(number) => number.into(),
                    NumberOrString::String(words) => words.into(),
                };
                let waits = |message: &Message| matches!(message, Message::Request(request) if request.id == id);
                if self.waiting.iter().any(waits) {
                    self.cancelled.insert(id);
                }
            }
            return;
        }
        self.waiting.push_back(message);
    }

    fn send(&self, message: impl Into<Message>) {
        // Where nobody listens any more, reading will say so next.
        let _ = self.connection.sender.send(message.into());
    }

    fn say<N: notices::Notification>(&self, params: N::Params) {
        self.send(Notification::new(N::METHOD.to_string(), params));
    }

    fn log(&self, typ: MessageType, message: String) {
        self.say::<notices::LogMessage>(LogMessageParams { typ, message });
    }

    fn ask<R: requests::Request>(&mut self, params: R::Params) {
        self.asked += 1;
        let id = RequestId::from(format!("foliary-{}", self.asked));
        self.send(Request::new(id, R::METHOD.to_string(), params));
    }

    fn request(&mut self, request: Request) {
        let id = request.id.clone();
        if self.cancelled.remove(&id) {
            return self.send(refusal(id, ErrorCode::RequestCanceled, "cancelled".to_string()));
        }
        if self.closing {
            return self.send(refusal(id, ErrorCode::InvalidRequest, "the server is shutting down".to_string()));
        }
        match request.method.as_str() {
            requests::Shutdown::METHOD => {
                self.closing = true;
                return self.send(Response::new_ok(id, Value::Null));
            }
            requests::Initialize::METHOD => {
                let words = "the server is initialized already".to_string();
                return self.send(refusal(id, ErrorCode::InvalidRequest, words));
            }
            _ => {}
        }
        let state = State { workspace: &self.workspace, client: &self.client, now: (self.outside.now)() };
        // A slip of the program in one answer must not cost the client all others.
        let response = catch_unwind(AssertUnwindSafe(|| answer(state, request))).unwrap_or_else(|_| {
            refusal(id, ErrorCode::InternalError, "this cannot be answered: an error inside Foliary".to_string())
        });
        self.send(response);
    }

    fn notification(&mut self, notification: Notification) {
        if self.closing {
            return;
        }
        let method = notification.method.clone();
        self.untold = true;
        let heard = match method.as_str() {
            notices::Initialized::METHOD => {
                self.watch();
                Ok(())
            }
            notices::DidOpenTextDocument::METHOD => {
                self.heard::<notices::DidOpenTextDocument>(notification, |this, params| {
                    let document = params.text_document;
                    this.opened(&document.uri, document.text, document.version);
                })
            }
            notices::DidChangeTextDocument::METHOD => {
                self.heard::<notices::DidChangeTextDocument>(notification, Self::changed)
            }
            notices::DidCloseTextDocument::METHOD => self
                .heard::<notices::DidCloseTextDocument>(notification, |this, params| {
                    this.closed(&params.text_document.uri)
                }),
            notices::DidSaveTextDocument::METHOD => {
                self.heard::<notices::DidSaveTextDocument>(notification, |this, _| this.look_again())
            }
            notices::DidChangeWatchedFiles::METHOD => {
                self.heard::<notices::DidChangeWatchedFiles>(notification, |this, _| this.look_again())
            }
            notices::DidChangeWorkspaceFolders::METHOD => {
                self.heard::<notices::DidChangeWorkspaceFolders>(notification, |this, params| {
                    this.roots.change(&params.event);
                    this.look_again();
                })
            }
            // What else a client tells is nothing to the journals.
            _ => Ok(()),
        };
        if let Err(error) = heard {
            self.log(MessageType::ERROR, format!("{method} could not be read: {error}"));
        }
    }

    fn heard<N: notices::Notification>(
        &mut self,
        notification: Notification,
        act: impl FnOnce(&mut Self, N::Params),
    ) -> Result<(), serde_json::Error> {
        act(self, serde_json::from_value(notification.params)?);
        Ok(())
    }

    /// Asks the client to say when files change.
    fn watch(&mut self) {
        if self.client.watches {
            self.ask::<requests::RegisterCapability>(super::answer::watching());
        }
    }

    fn opened(&mut self, uri: &Uri, text: String, version: i32) {
        let path = uri::path(uri);
        if super::roots::is_other(&path) {
            return;
        }
        self.client.uris.insert(path.clone(), uri.clone());
        let same = self.workspace.hold(&path, text, version);
        if self.roots.changed(self.workspace.open()) {
            return self.rebuild();
        }
        if !same {
            self.guarded(|this| this.workspace.reload());
        }
    }

    /// Changes of one file that wait in a row are made in one go: nobody reads the findings between them.
    fn changed(&mut self, params: DidChangeTextDocumentParams) {
        let path = uri::path(&params.text_document.uri);
        let mut version = params.text_document.version;
        let mut events = params.content_changes;
        while let Some(Message::Notification(next)) = self.waiting.front()
            && next.method == notices::DidChangeTextDocument::METHOD
            && let Ok(next) = serde_json::from_value::<DidChangeTextDocumentParams>(next.params.clone())
            && next.text_document.uri == params.text_document.uri
        {
            version = next.text_document.version;
            events.extend(next.content_changes);
            self.waiting.pop_front();
        }
        self.edited = Some(path.clone());
        self.guarded(|this| this.workspace.change(&path, &events, version));
    }

    fn closed(&mut self, uri: &Uri) {
        let path = uri::path(uri);
        if !self.workspace.let_go(&path) {
            return;
        }
        self.look_again();
    }

    /// Looks at the disk again.
    fn look_again(&mut self) {
        if self.roots.changed(self.workspace.open()) {
            self.rebuild();
        } else {
            self.guarded(|this| this.workspace.reload());
        }
    }

    /// Builds the farms anew from the folders and from what is open.
    fn rebuild(&mut self) {
        self.roots.changed(self.workspace.open());
        self.workspace.begin_anew(self.roots.now().to_vec());
        let done = catch_unwind(AssertUnwindSafe(|| self.workspace.reload()));
        match done {
            Ok(Ok(())) => {}
            Ok(Err(error)) => self.log(MessageType::ERROR, error.to_string()),
            Err(_) => {
                self.workspace.begin_anew(Vec::new());
                self.log(MessageType::ERROR, "the journals cannot be read: an error inside Foliary".to_string());
            }
        }
    }

    /// Changes the farms. Where that fails within the program they are built anew from what is open.
    fn guarded(&mut self, change: impl FnOnce(&mut Self) -> Result<(), crate::files::LoadError>) {
        match catch_unwind(AssertUnwindSafe(|| change(self))) {
            Ok(Ok(())) => {}
            Ok(Err(error)) => self.log(MessageType::ERROR, error.to_string()),
            Err(_) => {
                self.log(MessageType::ERROR, "an error inside Foliary; the journals are read again".to_string());
                self.rebuild();
            }
        }
    }

    /// Checks what changed.
    fn settle(&mut self) {
        self.guarded(|this| {
            this.workspace.settle();
            Ok(())
        });
    }

    /// Tells the findings of every file whose findings are others than the client has been told.
    fn publish(&mut self) {
        if self.closing || !std::mem::take(&mut self.untold) {
            return;
        }
        self.settle();
        let state = State { workspace: &self.workspace, client: &self.client, now: (self.outside.now)() };
        let links = &mut self.links;
        let Ok(found) = catch_unwind(AssertUnwindSafe(|| diagnostics(state, links))) else {
            return self.log(MessageType::ERROR, "the findings cannot be told: an error inside Foliary".to_string());
        };
        let mut elsewhere = false;
        let edited = self.edited.clone();
        let other = |path: &Path| edited.as_deref() != Some(path);
        let gone: Vec<PathBuf> = self.told.keys().filter(|path| !found.contains_key(*path)).cloned().collect();
        for path in gone {
            self.told.remove(&path);
            elsewhere |= other(&path);
            self.tell(&path, Vec::new());
        }
        for (path, list) in found {
            if self.told.get(&path) != Some(&list) {
                elsewhere |= other(&path);
                self.tell(&path, list.clone());
                self.told.insert(path, list);
            }
        }
        // What a change does to other files, it may do to their hints and colours.
        if elsewhere && self.workspace.open().nth(1).is_some() {
            if self.client.refreshes_hints {
                self.ask::<requests::InlayHintRefreshRequest>(());
            }
            if self.client.refreshes_tokens {
                self.ask::<requests::SemanticTokensRefresh>(());
            }
        }
    }

    fn tell(&self, path: &Path, diagnostics: Vec<Diagnostic>) {
        let Some(uri) = self.client.uri(path) else { return };
        let version = self.workspace.document(path).and_then(|document| document.version);
        self.say::<notices::PublishDiagnostics>(PublishDiagnosticsParams { uri, diagnostics, version });
    }
}
