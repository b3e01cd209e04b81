//! Journals that are none, or that mean harm.

use std::fmt::Write as _;

use super::{Done, FORMATS, check, folder, run};

/// Characters that must not reach a reader raw: controls but for tab and line ends, and what turns text round or hides.
fn is_harmful(character: char) -> bool {
    matches!(character,
        '\0'..='\u{8}' | '\u{b}' | '\u{c}' | '\u{e}'..='\u{1f}' | '\u{7f}'..='\u{9f}'
        | '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

fn assert_harmless(done: &[Done]) {
    for done in done {
        let found: Vec<char> = done.out().chars().filter(|&character| is_harmful(character)).collect();
        assert!(found.is_empty(), "{found:?}");
    }
}

/// A journal with some words in every place that a finding or a page might quote.
fn with_words_everywhere(words: &str) -> String {
    format!(
        "farm f{words} \"{words}\"\n    timezone {words}\n    uses {words}\n{words}\nblock b\n    area 1 {words}\n    \
         crop {words}\n    {words}\n    workers {words}\nmaterial m{words}\n    form {words}\n    note {words}\n\
         2026-05-14 {words}\nspray b{words}\n    by {words}\n    put m{words} 1 gal\n    over {words}\n    \
         accept {words} {words}\n    time 99:99{words}\n{words} {words}\n"
    )
}

#[test]
fn hidden_and_turning_characters_never_reach_the_output() {
    let mut words: Vec<String> = [
        "\u{1b}[31m",
        "\u{1b}]0;title\u{7}",
        "\u{202e}",
        "\u{2066}x\u{2069}",
        "\r",
        "\u{8}\u{8}",
        "\u{85}",
        "\u{9b}31m",
        "\0",
        "\u{200f}",
        "\u{61c}",
        "\u{7f}",
    ]
    .iter()
    .map(|word| format!("x{word}y"))
    .collect();
    words.push((0u8..32).filter(|byte| !matches!(byte, b'\n')).map(char::from).collect());
    for word in words {
        let done = check(with_words_everywhere(&word).as_bytes(), FORMATS);
        assert_harmless(&done);
    }
}

#[cfg(unix)]
#[test]
fn hidden_characters_in_file_names_never_reach_the_output() {
    use std::os::unix::ffi::OsStrExt;
    for name in [&b"a\x1b[31m.spray"[..], "b\u{202e}.spray".as_bytes(), b"c\n.spray", b"d\xff\xfe.spray"] {
        let farm = folder(&[]);
        let name = std::ffi::OsStr::from_bytes(name);
        if std::fs::write(farm.path().join(name), "block b\n    nonsense\n").is_err() {
            eprintln!("not tried: this file system refuses {name:?}");
            continue;
        }
        let done: Vec<Done> = FORMATS.iter().map(|format| run(farm.path(), &["check", "--format", format])).collect();
        assert_harmless(&done);
    }
}

#[test]
fn bytes_that_are_no_text() {
    let mut bytes: Vec<Vec<u8>> = vec![
        vec![],
        vec![0],
        vec![0xff; 3000],
        vec![0xef, 0xbb],
        vec![0xef, 0xbb, 0xbf],
        b"block b\xff\n    area 1 acre\n".to_vec(),
        b"block b\n    area 1 \xc3".to_vec(),
        b"\xff\xfeb\0l\0o\0c\0k\0 \0b\0\n\0".to_vec(),
        b"\r\r\r\r".to_vec(),
        b"\n\x0b\x0c\n".to_vec(),
        vec![b'\t'; 100_000],
        vec![b'#'; 100_000],
        b"\n".repeat(100_000),
        b"note\n".repeat(1000),
        b"\"".repeat(5000),
        b"    note\n".repeat(5000),
    ];
    let mut state = 0x9e37_79b9_7f4a_7c15_u64;
    for length in [1, 10, 100, 1000, 100_000] {
        bytes.push(
            (0..length)
                .map(|_| {
                    state ^= state << 13;
                    state ^= state >> 7;
                    state ^= state << 17;
                    state as u8
                })
                .collect(),
        );
    }
    for bytes in bytes {
        assert_harmless(&check(&bytes, FORMATS));
    }
}

/// A journal in which a number, a date and a time stand wherever one can.
fn with_values_everywhere(number: &str, date: &str, clock: &str) -> String {
    let mut page = String::new();
    let _ = write!(
        page,
        "farm f\n    timezone America/Boise\nblock b\n    crop pear\n    area {number} acre from {date}\n    area 1 acre\n    \
         rows {number} to {number}, {number} ft apart, trees {number} ft apart, {number} ft long\n    rows 1 to 9\n    \
         workers yes\nperson p\nrig r\n    tank {number} gal\nmaterial m\n    form liquid\n    density {number} lb/gal\n    \
         rate {number} to {number} fl oz per {number} gal\n    reentry {number} h\n    preharvest {number} days\n    \
         spacing {number} days\n    season at most {number} sprays\n    season at most {number} lb of Cu per acre\n    \
         apart {number} days from oil\n    within temperature -{number} to {number} F, wind at most {number} mph\n\
         material d\n    form dry\n    weighs {number} g per tbsp\n    contains Mg {number} %\n    class oil\n\
         water w\n    ph {number}\n    hardness {number} ppm\n\
         mix x\n    in {number} gal\n    put m {number} fl oz\n    put d 1:{number}\n    total at most {number} oz per gal\n\
         program g\n    mix x\n    blocks b\n    start {date}\n    rounds {number} to {number}, every {number} to {number} days\n\
         {date}\nspray b rows {number} to {number}\n    mix x, into {number} gal\n    over {number} acre\n    \
         measured m {number} gal\n    load {number} of {number} gal, m {number} gal\n    time {clock} to {clock} next day\n    \
         weather {clock} {number} F, wind {number} mph, humidity {number} %\n    leftover {number} gal on b rows {number}\n    \
         entered {date} {clock}\nobserve b\n    incidence spot {number} of {number} leaves\n    severity spot {number} %\n    \
         brix {number} of {number} leaves at {clock}\n    growth {number} in of {number} shoots\n    bloom {number} %\n    stage petal fall\n\
         work b\n    time {date} {clock} to {clock}\nharvest b\n    amount {number} lb\npost b\n    up sheet at {date} {clock}\n\
         brew y of m\n    ready {date}\n    use-by {date}\n    amount {number} gal\ncalibrate r\n    output {number} gal per {number} acre\n    \
         speed {number} mph\n2026-05-14\nspray b\n    mix x, 60 gal\n    time 05:00 to 06:00\nharvest b\n"
    );
    page
}

#[test]
fn absurd_numbers() {
    for number in [
        "0",
        "-0",
        "1/0",
        "0/0",
        "0.0",
        "-1",
        "999999999999999999",
        "9999999999999999999999999999999999999999",
        "1e9",
        "0.000000000000000001",
        "1/999999999999999999",
        "999999999999999999 1/999999999999999999",
        "4294967295",
        "4294967296",
        "18446744073709551615",
        "00000000000000000000000000000000000000000000000001",
        "2280074132",
        "2280074200",
        "95000000",
        "1/3",
        ".5",
        "5.",
        "--5",
        "0x10",
        "٣",
        "NaN",
        "inf",
    ] {
        check(with_values_everywhere(number, "2026-05-14", "05:50").as_bytes(), &["line"]);
    }
}

#[test]
fn absurd_dates_and_times() {
    for date in [
        "0000-00-00",
        "0000-01-01",
        "0001-01-01",
        "1582-10-10",
        "2026-02-30",
        "2024-02-29",
        "9999-12-31",
        "9999-99-99",
        "10000-01-01",
        "-2026-01-01",
        "2026-13-01",
        "2026-00-10",
    ] {
        check(with_values_everywhere("3", date, "05:50").as_bytes(), &["line"]);
    }
    for clock in ["00:00", "24:00", "23:59", "99:99", "12:00 am", "0:00 pm", "13:00 pm", "1:5", "02:30", "01:30 second"]
    {
        for date in ["2026-03-08", "2026-11-01", "9999-12-31"] {
            check(with_values_everywhere("3", date, clock).as_bytes(), &["line"]);
        }
    }
    // Years far apart in one journal.
    let apart = "farm f\n    timezone Europe/Berlin\nblock b\n    area 1 acre\nmaterial m\n    form dry\n    reentry 9 days\n\
                 mix x\n    in 1 gal\n    put m 1 oz\nprogram g\n    mix x\n    blocks b\n    start 0001-01-01\n    rounds 3, every 7 days\n\
                 0001-01-01\nspray b\n    mix x, 3 gal\n9999-12-31\nspray b\n    mix x, 3 gal\n    time 23:00 to 01:00 next day\n";
    check(apart.as_bytes(), FORMATS);
    for day in ["0001-01-01", "9999-12-31", "-9999-01-01", "262142-12-31"] {
        let folder = folder(&[("a.spray", apart.as_bytes())]);
        run(folder.path(), &["check", &format!("--as-of={day}"), "--format", "line"]);
    }
}

#[test]
fn a_line_of_five_megabytes() {
    let words = "wet and cold and very long ".repeat(5_000_000 / 27);
    let name = "n".repeat(5_000_000);
    let names = (0..5_000_000 / 8).map(|at| format!("n{at:06x}")).collect::<Vec<_>>().join(",");
    for text in [
        format!("block b\n    area 1 acre\n    location {words}\n"),
        format!("block b\n    area 1 acre\n    {words}\n"),
        format!("block b\n    area 1 acre\n    note {words}\n"),
        format!("# {words}\nblock b\n    area 1 acre\n"),
        format!("block {name}\n    area 1 acre\n2026-05-14\nspray {name}x\n    by {name}\n"),
        format!("{name}\n"),
        format!("block b\n    area {} acre\n", "9".repeat(5_000_000)),
        format!("block b\n    area 1 {name}\n"),
        format!("block b \"{words}\"\n    area 1 acre\n"),
        format!("block b\n    area 1 acre\n    {}", " ".repeat(5_000_000)),
        format!("material m\n    form dry\n    class {names}\n"),
    ] {
        let done = check(text.as_bytes(), &["page"]);
        assert!(done[0].stdout.len() < 100_000, "a long line is not printed whole: {} bytes", done[0].stdout.len());
    }
}

#[test]
fn a_line_of_very_many_slips() {
    let names = (0..5_000).map(|at| format!("n{at:05}ö")).collect::<Vec<_>>().join(", ");
    let text = format!("2026-05-14\nspray {names}\n    by {names}\n");
    assert_harmless(&check(text.as_bytes(), FORMATS));
}

#[test]
fn a_last_character_of_several_bytes_and_no_end_of_line() {
    for last in ["café", "72°", "…", "\u{3000}", "\u{202e}"] {
        let text = format!(
            "farm f\n    timezone America/Boise\nblock b\n    area 1 acre\nmaterial m\n    form liquid\nperson p \"P\"\n\
             2026-05-14\nspray b\n    put m 1 fl oz per gal\n    volume 10 gal\n    time 06:00 to 07:00\n    by p\n    note a {last}"
        );
        let folder = folder(&[("a.spray", text.as_bytes())]);
        let done = run(folder.path(), &["report", "--out", "out", "--as-of", "2026-12-31"]);
        assert!(done.code == 0 || done.code == 1, "{last}: {}", done.err());
    }
}
