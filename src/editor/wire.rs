//! Messages on a pair of byte streams: a header with a length, then JSON (language server protocol 3.17, base protocol).
//! Whatever else stands on the wire is answered where that can be, and passed over: a stray byte ends no day's work.

use std::io::{self, BufRead, Read, Write};

use lsp_server::{ErrorCode, Message};
use serde_json::{Value, json};

/// The longest line of a header that is looked at, in bytes.
const LONGEST_LINE: u64 = 8 * 1024;
/// The largest message that is taken in, in bytes: far above any journal.
const LARGEST: u64 = 1 << 30;

/// What a header says the length behind.
const LENGTH: &str = "content-length:";

/// What came in.
enum Frame {
    /// The bytes of a message.
    Body(Vec<u8>),
    /// A header without a length that can be used.
    Nonsense,
    /// Nothing comes any more.
    End,
}

/// Reads messages and hands them on until there are no more or nobody takes them; what cannot be read is answered by way
/// of `complain`.
///
/// # Errors
/// Where reading itself fails.
pub fn read(
    input: &mut impl BufRead,
    mut hand_on: impl FnMut(Message) -> bool,
    complain: impl Fn(&Value),
) -> io::Result<()> {
    loop {
        let body = match frame(input)? {
            Frame::End => return Ok(()),
            Frame::Nonsense => {
                complain(&complaint(
                    &Value::Null,
                    ErrorCode::ParseError,
                    "no length that can be used was given in the header",
                ));
                continue;
            }
            Frame::Body(body) => body,
        };
        let value: Value = match serde_json::from_slice(&body) {
            Ok(value) => value,
            Err(error) => {
                complain(&complaint(&Value::Null, ErrorCode::ParseError, &format!("this is no JSON: {error}")));
                continue;
            }
        };
        let id = value.get("id").cloned().unwrap_or_default();
        let asks = value.get("method").is_some();
        match serde_json::from_value::<Message>(value) {
            // A request whose number cannot be read still wants an answer.
            Ok(Message::Notification(_)) if !id.is_null() => {
                complain(&complaint(
                    &id,
                    ErrorCode::InvalidRequest,
                    "a request is numbered by a whole number or words",
                ));
            }
            Ok(message) => {
                if !hand_on(message) {
                    return Ok(());
                }
            }
            // An answer that cannot be read is no question: nothing is sent back.
            Err(_) if !asks && !id.is_null() => {}
            Err(error) => {
                complain(&complaint(&id, ErrorCode::InvalidRequest, &format!("this is no request: {error}")));
            }
        }
    }
}

/// Writes a message.
///
/// # Errors
/// Where writing fails: nobody reads any more.
pub fn write(output: &mut impl Write, message: &Value) -> io::Result<()> {
    let body = message.to_string();
    write!(output, "Content-Length: {}\r\n\r\n{body}", body.len())?;
    output.flush()
}

fn complaint(id: &Value, code: ErrorCode, words: &str) -> Value {
    json!({ "jsonrpc": "2.0", "id": id, "error": { "code": code as i32, "message": words } })
}

/// A message as it is sent.
pub fn sent(message: &Message) -> Value {
    let mut value = serde_json::to_value(message).unwrap_or_default();
    if let Some(object) = value.as_object_mut() {
        object.insert("jsonrpc".to_string(), Value::from("2.0"));
    }
    value
}

/// The next message. Lines that are no part of a header are passed over.
fn frame(input: &mut impl BufRead) -> io::Result<Frame> {
    let mut length = None;
    let mut strange = false;
    loop {
        let mut line = Vec::new();
        if input.by_ref().take(LONGEST_LINE).read_until(b'\n', &mut line)? == 0 {
            return Ok(Frame::End);
        }
        let line = String::from_utf8_lossy(&line);
        let line = line.trim();
        // What was left of a broken message can stand in front of the next one's header.
        let header = line.to_ascii_lowercase().rfind(LENGTH).filter(|_| strange || length.is_none());
        let line = header.map_or(line, |at| line.get(at..).unwrap_or(line));
        if let Some((name, value)) = line.split_once(':')
            && name.trim().eq_ignore_ascii_case("content-length")
        {
            length = value.trim().parse::<u64>().ok().filter(|length| *length <= LARGEST);
            strange |= length.is_none();
        } else if line.is_empty() {
            match length {
                Some(length) => {
                    let mut body = Vec::new();
                    let taken = input.by_ref().take(length).read_to_end(&mut body)? as u64;
                    return Ok(if taken < length { Frame::End } else { Frame::Body(body) });
                }
                None if strange => return Ok(Frame::Nonsense),
                None => {}
            }
        } else {
            strange |= !line.contains(':');
        }
    }
}
