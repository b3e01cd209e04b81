//! Over HTTP: what is served, to whom, and what is not.

use std::io::{Read, Write};
use std::net::TcpStream;

use super::{FARM, Live, NEXT, SLIP, links};
use crate::robust::{folder, run};

fn live() -> Live {
    Live::on(&[("farm.spray", FARM), ("may.spray", SLIP)])
}

fn status(answer: &str) -> &str {
    answer.split(' ').nth(1).unwrap_or("none")
}

#[test]
fn every_page_that_a_page_links_to_is_there() {
    let live = Live::on_example("spring-week", "2026-05-20");
    let mut todo = vec!["/".to_string()];
    let mut at = 0;
    while at < todo.len() {
        let page = live.get(&todo[at]);
        todo.extend(links(&page).into_iter().filter(|link| !todo.contains(link)).collect::<Vec<_>>());
        at += 1;
    }
    for wanted in [
        "findings",
        "journal",
        "clearance",
        "season",
        "records",
        "plan",
        "postings",
        "stock",
        "mix-sheets",
        "calendar.ics",
    ] {
        assert!(todo.iter().any(|link| link.contains(wanted)), "{wanted} in {todo:?}");
    }
    assert!(todo.iter().any(|link| link.starts_with("/meaning/")));
    assert!(todo.len() > 100, "{}", todo.len());
}

#[test]
fn what_is_filled_next_has_its_mix_sheet() {
    let sheets = "/farm/larkspur-bend/mix-sheets";
    let listed = |live: &Live| -> Vec<String> {
        links(&live.get(sheets)).into_iter().filter(|link| link.starts_with(&format!("{sheets}/"))).collect()
    };
    let today = Live::on(&[("farm.spray", FARM), ("next.spray", NEXT)]);
    assert_eq!(listed(&today), [format!("{sheets}/2026-05-20-1")]);
    // 1.5 fl oz in each of 30 gallons.
    let page = today.get(&listed(&today)[0]);
    assert!(page.contains("Whey culture") && page.contains("45 fl oz"), "{page}");
    for none in ["2026-05-14-1", "2026-05-20-2", "2026-05-20", "2026-05-20-01"] {
        let asked =
            format!("GET {sheets}/{none} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nConnection: close\r\n\r\n", today.port);
        assert_eq!(status(&today.send(asked.as_bytes())), "404");
    }
    // A page that lies ahead is no mistake of its own sheet.
    let ahead = NEXT.replace("05-20", "05-23").replace("30 gal", "10 gal");
    let ahead = Live::on(&[("farm.spray", FARM), ("next.spray", &ahead)]);
    let page = ahead.get(&format!("{sheets}/2026-05-23-1"));
    assert!(page.contains("15 fl oz"), "{page}");
}

#[test]
fn no_mix_sheet_is_shown_while_an_error_is_open() {
    let live = Live::on(&[("farm.spray", FARM), ("may.spray", SLIP), ("next.spray", NEXT)]);
    let page = live.get("/farm/larkspur-bend/mix-sheets/2026-05-20-1");
    assert!(page.contains("No mix sheet while errors are open") && page.contains("wheyy"), "{page}");
    assert!(!page.contains("45 fl oz"), "{page}");
    assert!(live.get("/farm/larkspur-bend/mix-sheets").contains("2026-05-20-1"));
    let none = Live::on(&[("farm.spray", FARM)]);
    let page = none.get("/farm/larkspur-bend/mix-sheets");
    assert!(page.contains("no spray for today or later"), "{page}");
}

#[test]
fn only_who_names_this_computer_is_answered() {
    let live = live();
    let port = live.port;
    let with = |host: &str| live.send(format!("GET / HTTP/1.1\r\n{host}Connection: close\r\n\r\n").as_bytes());
    for host in
        [format!("127.0.0.1:{port}"), format!("localhost:{port}"), format!("LOCALHOST:{port}"), format!("[::1]:{port}")]
    {
        assert_eq!(status(&with(&format!("Host: {host}\r\n"))), "200", "{host}");
    }
    for host in ["", "Host: \r\n", "Host: 127.0.0.1\r\n", "Host: farm.example\r\n", "Host: 127.0.0.1:1\r\n"] {
        let answer = with(host);
        assert!(["403", "400"].contains(&status(&answer)), "{host}: {answer}");
        assert!(!answer.contains("Larkspur"), "{host}");
    }
    let two = format!("Host: 127.0.0.1:{port}\r\nHost: farm.example\r\n");
    assert!(["403", "400"].contains(&status(&with(&two))));
    let rebound = format!("Host: farm.example:{port}\r\n");
    assert_eq!(status(&with(&rebound)), "403");
    // What stands in the first line counts as well.
    let whole = format!("GET http://farm.example/ HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n\r\n");
    assert_eq!(status(&live.send(whole.as_bytes())), "403");
}

#[test]
fn nothing_can_be_changed_and_nothing_else_be_read() {
    let live = live();
    for method in ["POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "PROPFIND"] {
        let host = format!("Host: 127.0.0.1:{}", live.port);
        let answer = live.send(format!("{method} / HTTP/1.1\r\n{host}\r\nConnection: close\r\n\r\n").as_bytes());
        assert_eq!(status(&answer), "405", "{method}");
        assert!(answer.to_lowercase().contains("allow: get, head"), "{answer}");
    }
    for path in [
        "/farm/larkspur-bend/journal/../../../../etc/passwd",
        "/farm/larkspur-bend/journal/..%2f..%2ffarm.spray",
        "/farm/larkspur-bend/journal/farm.spray",
        "/farm/larkspur-bend/season/season.html.html",
        "/farm/larkspur-bend/nothing",
        "/farm/other/findings",
        "/farm/larkspur-bend/findings/all/0",
        "/farm/larkspur-bend/findings/all/99999999999999999999999",
        "/meaning/no-such",
        "/favicon.ico",
        "//",
        "/farm.spray",
        "/%00",
    ] {
        let answer = live.ask(path, "");
        assert_eq!(status(&answer), "404", "{path}");
        assert!(!answer.contains("root:"), "{path}");
    }
}

#[test]
fn every_answer_forbids_what_no_page_needs() {
    let live = live();
    for path in ["/", "/farm/larkspur-bend/season", "/live/page.js", "/live/page.css", "/nothing"] {
        let answer = live.ask(path, "").to_lowercase();
        let head = answer.split("\r\n\r\n").next().unwrap();
        for wanted in [
            "content-security-policy: default-src 'none';",
            "x-content-type-options: nosniff",
            "x-frame-options: deny",
            "referrer-policy: no-referrer",
            "cross-origin-resource-policy: same-origin",
        ] {
            assert!(head.contains(wanted), "{path}: {wanted}\n{head}");
        }
        assert!(!head.contains("access-control"), "{path}");
    }
}

#[test]
fn a_page_that_is_still_the_same_is_not_sent_again() {
    let live = live();
    let answer = live.get("/farm/larkspur-bend/findings");
    let tag = answer.lines().find_map(|line| line.strip_prefix("etag: ")).unwrap();
    let again = live.ask("/farm/larkspur-bend/findings", &format!("If-None-Match: {tag}\r\n"));
    assert_eq!(status(&again), "304");
    assert!(again.len() < 1000);
    assert_eq!(status(&live.ask("/farm/larkspur-bend/findings", "If-None-Match: \"other\"\r\n")), "200");
}

#[test]
fn a_head_is_sent_without_its_page() {
    let live = live();
    let host = format!("Host: 127.0.0.1:{}", live.port);
    let answer = live.send(format!("HEAD / HTTP/1.1\r\n{host}\r\nConnection: close\r\n\r\n").as_bytes());
    assert_eq!(status(&answer), "200");
    assert!(answer.ends_with("\r\n\r\n"));
}

#[test]
fn garbage_and_many_lines_do_not_stop_it() {
    let live = live();
    let long =
        format!("GET /{} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nConnection: close\r\n\r\n", "a".repeat(60_000), live.port);
    for bytes in
        [&b"\0\0\0\0\r\n\r\n"[..], b"GET\r\n\r\n", b"hello\r\n\r\n", b"GET / HTTP/9.9\r\n\r\n", long.as_bytes()]
    {
        let answer = live.send(bytes);
        assert!(!answer.starts_with("HTTP/1.1 200"), "{answer}");
    }
    // Lines that stay open, some that wait for news and some that say nothing.
    let open: Vec<TcpStream> = (0..120)
        .map(|number| {
            let mut stream = TcpStream::connect(("127.0.0.1", live.port)).unwrap();
            let host = format!("Host: 127.0.0.1:{}\r\n", live.port);
            let words =
                if number % 2 == 0 { format!("GET /live/changes HTTP/1.1\r\n{host}\r\n") } else { "GET / HT".into() };
            stream.write_all(words.as_bytes()).unwrap();
            stream
        })
        .collect();
    assert!(live.get("/").contains("Larkspur Bend"));
    let at_once: Vec<_> = std::thread::scope(|scope| {
        let asked: Vec<_> = (0..16).map(|_| scope.spawn(|| live.get("/farm/larkspur-bend/season"))).collect();
        asked.into_iter().map(|asked| asked.join().unwrap().len()).collect()
    });
    assert!(at_once.iter().all(|length| *length == at_once[0]));
    drop(open);
}

#[test]
fn whoever_waits_for_news_is_told_at_once_which_reading_it_is() {
    let live = live();
    let mut stream = TcpStream::connect(("127.0.0.1", live.port)).unwrap();
    stream.set_read_timeout(Some(super::SOON)).unwrap();
    stream
        .write_all(format!("GET /live/changes HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n\r\n", live.port).as_bytes())
        .unwrap();
    let mut said = String::new();
    let mut bytes = [0; 2000];
    while !said.contains("data: ") {
        let count = stream.read(&mut bytes).unwrap();
        assert!(count > 0, "{said}");
        said.push_str(&String::from_utf8_lossy(&bytes[..count]));
    }
    assert!(said.contains("text/event-stream"), "{said}");
}

#[test]
fn a_port_that_is_taken_is_said_and_ends_with_2() {
    let live = live();
    let folder = folder(&[("farm.spray", FARM.as_bytes())]);
    let done = run(folder.path(), &["live", "--port", &live.port.to_string()]);
    assert_eq!(done.code, 2);
    let said = format!("foliary: another program uses port {}; give another with --port, or leave it out\n", live.port);
    assert_eq!(done.err(), said);
}

#[test]
fn a_folder_without_a_journal_is_said_and_ends_with_2() {
    let folder = tempfile::tempdir().unwrap();
    let done = run(folder.path(), &["live"]);
    assert_eq!((done.code, done.err().as_str()), (2, "foliary: there is no .spray file in .\n"));
    let done = run(folder.path(), &["live", "--port", "0"]);
    assert_eq!(done.code, 2);
}

#[cfg(unix)]
#[test]
fn an_interrupt_ends_it_cleanly_with_pages_open() {
    let live = live();
    let mut stream = TcpStream::connect(("127.0.0.1", live.port)).unwrap();
    stream
        .write_all(format!("GET /live/changes HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n\r\n", live.port).as_bytes())
        .unwrap();
    live.get("/");
    assert_eq!(live.interrupt(), 0);
}
