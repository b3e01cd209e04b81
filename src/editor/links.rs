//! Addresses of what explains a finding: pages in a folder that lasts as long as the server runs, so that a link opens
//! without a network. A page is written when its finding is first told.

use std::collections::BTreeMap;
use std::fs;
use std::path::PathBuf;

use lsp_types::Uri;

use super::uri;
use crate::checks::check_named;

/// Pages that explain findings.
#[derive(Debug, Default)]
pub struct Links {
    folder: Option<PathBuf>,
    written: BTreeMap<&'static str, Option<Uri>>,
}

impl Links {
    /// Pages in a folder; none without one.
    pub fn new(folder: Option<PathBuf>) -> Self {
        Self { folder, written: BTreeMap::new() }
    }

    /// The page that explains a finding; none where it cannot be written, which only costs the link.
    pub fn to(&mut self, code: &'static str) -> Option<Uri> {
        let folder = self.folder.as_ref()?;
        let write = || {
            let path = folder.join(format!("{code}.md"));
            fs::write(&path, check_named(code)?.explain).ok()?;
            uri::uri(&path)
        };
        self.written.entry(code).or_insert_with(write).clone()
    }
}
