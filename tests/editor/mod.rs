//! The journal behind the keyboard: what each feature answers, and the server on a real wire.

mod actions;
mod bench;
mod client;
mod completion;
mod findings;
mod following;
mod garbage;
mod hover;
mod naming;
mod outside;
mod typed;
mod whole_files;
mod wire;
