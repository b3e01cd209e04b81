//! Repositories that are not one line of one writer: branches, copies that are cut off, files git does not know.

use foliary::history::{Counting, GapKind, Silence};

use super::made::{Made, git, git_is_there, histories};
use super::told;

const TOP: &str = "2026-05-14\nspray creek-pear\n  mix tonic, 60 gal\n  over 1 acre\n  rig cart\n  time 05:50 to 07:20\n  by t-marsh\n";
const END: &str = "\n2026-05-20\nspray creek-pear\n  mix tonic, 50 gal\n  over 1 acre\n";

fn when(day: u32) -> String {
    format!("2026-05-{day:02}T18:20:00-06:00")
}

/// Two branches from one commit, and what joins them.
fn joined(base: &str, ours: &str, theirs: &str, both: &str) -> String {
    let mut made = Made::new();
    let one = made.then("Tansy Marsh", &when(14), &[("a.spray", base)]);
    let two = made.on(&[one], "Tansy Marsh", &when(15), &[("a.spray", ours)]);
    let three = made.on(&[one], "Robin Sedge", &when(16), &[("a.spray", theirs)]);
    made.on(&[two, three], "Ada Fen", &when(17), &[("a.spray", both)]);
    told(made.done().path(), Counting::All)
}

#[test]
fn a_joining_that_only_joins_changes_nothing_itself() {
    if !git_is_there() {
        return;
    }
    let base = format!("{TOP}{END}");
    // Each branch changed another record.
    assert_eq!(
        joined(&base, &base.replace("60 gal", "62 gal"), &base.replace("50 gal", "55 gal"), &{
            base.replace("60 gal", "62 gal").replace("50 gal", "55 gal")
        }),
        "1 spray creek-pear: Tansy Marsh 05-14\n  Tansy Marsh 05-15: -[mix tonic, 60 gal] +[mix tonic, 62 gal]\n\
         2 spray creek-pear: Tansy Marsh 05-14\n  Robin Sedge 05-16: -[mix tonic, 50 gal] +[mix tonic, 55 gal]\n"
    );
    // Both changed other lines of the same record.
    assert_eq!(
        joined(TOP, &TOP.replace("60 gal", "62 gal"), &TOP.replace("t-marsh", "r-sedge"), &{
            TOP.replace("60 gal", "62 gal").replace("t-marsh", "r-sedge")
        }),
        "1 spray creek-pear: Tansy Marsh 05-14\n  Tansy Marsh 05-15: -[mix tonic, 60 gal] +[mix tonic, 62 gal]\n  \
         Robin Sedge 05-16: -[by t-marsh] +[by r-sedge]\n"
    );
    // Each added one.
    let other = END.replace("05-20", "05-21");
    assert_eq!(
        joined(TOP, &format!("{TOP}{END}"), &format!("{TOP}{other}"), &format!("{TOP}{END}{other}")),
        "1 spray creek-pear: Tansy Marsh 05-14\n2 spray creek-pear: Tansy Marsh 05-15\n\
         3 spray creek-pear: Robin Sedge 05-16\n"
    );
    // One took one out, and the other left it as it was.
    assert_eq!(
        joined(&base, TOP, &base.replace("60 gal", "62 gal"), &TOP.replace("60 gal", "62 gal")),
        "1 spray creek-pear: Tansy Marsh 05-14\n  Robin Sedge 05-16: -[mix tonic, 60 gal] +[mix tonic, 62 gal]\n\
         gone 2026-05-20 spray creek-pear (a.spray): Tansy Marsh 05-15\n"
    );
}

#[test]
fn what_a_joining_does_of_its_own_is_seen() {
    if !git_is_there() {
        return;
    }
    // Words that stood in neither branch.
    let told = joined(TOP, &TOP.replace("60 gal", "62 gal"), &TOP.replace("60 gal", "64 gal"), &{
        TOP.replace("60 gal", "40 gal")
    });
    assert!(told.contains("Ada Fen 05-17: -[mix tonic, 62 gal] +[mix tonic, 40 gal]\n"), "{told}");
    // A record that neither branch had, and one that both had.
    let evil = joined(&format!("{TOP}{END}"), &format!("{TOP}{END}\n"), &format!("\n{TOP}{END}"), {
        "2026-05-30\nobserve creek-pear\n"
    });
    assert_eq!(
        evil,
        "1 observe creek-pear: Ada Fen 05-17\ngone 2026-05-14 spray creek-pear (a.spray): Ada Fen 05-17\n\
         gone 2026-05-20 spray creek-pear (a.spray): Ada Fen 05-17\n"
    );
    // A record that one branch entered, dropped without a word.
    let dropped =
        joined(TOP, &TOP.replace("60 gal", "62 gal"), &format!("{TOP}{END}"), &TOP.replace("60 gal", "62 gal"));
    assert!(dropped.ends_with("gone 2026-05-20 spray creek-pear (a.spray): where branches were joined\n"), "{dropped}");
}

#[test]
fn two_first_commits_can_be_joined() {
    if !git_is_there() {
        return;
    }
    let mut made = Made::new();
    let one = made.on(&[], "Tansy Marsh", &when(14), &[("a.spray", TOP)]);
    let two = made.on(&[], "Robin Sedge", &when(15), &[("b.spray", END)]);
    made.on(&[one, two], "Ada Fen", &when(16), &[("a.spray", TOP), ("b.spray", END)]);
    assert_eq!(
        told(made.done().path(), Counting::All),
        "1 spray creek-pear: Tansy Marsh 05-14\n1 spray creek-pear: Robin Sedge 05-15\n"
    );
}

#[test]
fn a_copy_that_is_cut_off_says_what_it_cannot_know() {
    if !git_is_there() {
        return;
    }
    let mut made = Made::new();
    let both = format!("{TOP}{END}");
    made.then("Tansy Marsh", &when(14), &[("a.spray", TOP)]);
    made.then("Tansy Marsh", &when(15), &[("a.spray", &TOP.replace("60 gal", "62 gal"))]);
    made.then("Robin Sedge", &when(16), &[("a.spray", TOP)]);
    made.then("Robin Sedge", &when(17), &[("a.spray", &both)]);
    let made = made.done();
    let copies = tempfile::tempdir().unwrap();
    let from = format!("file://{}", made.path().display());
    git(copies.path(), &["clone", "--quiet", "--depth", "2", &from, "copy"]);
    let copy = copies.path().join("copy");
    assert_eq!(
        told(&copy, Counting::All),
        "1 spray creek-pear: not after Robin Sedge 05-16\n2 spray creek-pear: Robin Sedge 05-17\n"
    );
    let (_, found) = histories(&[copy], Counting::All);
    assert!(found[0].shallow() && found[0].commits().len() == 2);
    let check = |folder: &std::path::Path| {
        let program = env!("CARGO_BIN_EXE_foliary");
        let seen =
            std::process::Command::new(program).args(["check", "--format", "line"]).arg(folder).output().unwrap();
        String::from_utf8(seen.stdout).unwrap()
    };
    assert!(check(&copies.path().join("copy")).contains("note[history-cut-off]"));
    assert!(!check(made.path()).contains("history-cut-off"));
}

#[test]
fn where_git_says_nothing_it_is_said_why() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("a.spray"), TOP).unwrap();
    assert_eq!(told(folder.path(), Counting::All), "the journal's folder is in no git repository\n");
    if !git_is_there() {
        return;
    }
    git(folder.path(), &["init", "--quiet"]);
    assert_eq!(told(folder.path(), Counting::All), "nothing was committed to the git repository yet\n");
    git(folder.path(), &["commit", "--quiet", "--allow-empty", "--message", "Nothing"]);
    let silent = "none of the journal's files was ever committed to the git repository around them\n";
    assert_eq!(told(folder.path(), Counting::All), silent);
    git(folder.path(), &["add", "a.spray"]);
    assert_eq!(told(folder.path(), Counting::All), silent, "what is only added is in no commit");
    git(folder.path(), &["rm", "--quiet", "--cached", "a.spray"]);
    std::fs::write(folder.path().join(".gitignore"), "*.spray\n").unwrap();
    let file = folder.path().join("a.spray");
    let (_, found) = histories(std::slice::from_ref(&file), Counting::All);
    assert_eq!(found[0].silence(), Some(&Silence::NotTracked { ignored: true }));
    // Files in a repository without files of its own.
    git(folder.path(), &["clone", "--quiet", "--bare", ".", "bare.git"]);
    std::fs::write(folder.path().join("bare.git/a.spray"), TOP).unwrap();
    let (_, found) = histories(&[folder.path().join("bare.git/a.spray")], Counting::All);
    assert_eq!(found[0].silence(), Some(&Silence::NoFiles));
}

#[test]
fn a_git_folder_that_is_none_is_no_missing_one() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("a.spray"), TOP).unwrap();
    std::fs::create_dir(folder.path().join(".git")).unwrap();
    assert!(told(folder.path(), Counting::All).contains("there is a .git beside it that cannot be read"));
}

#[test]
fn a_broken_repository_is_said_to_be_broken() {
    if !git_is_there() {
        return;
    }
    let mut made = Made::new();
    made.then("Tansy Marsh", &when(14), &[("a.spray", TOP)]);
    let made = made.done();
    let objects = made.path().join(".git/objects");
    for folder in std::fs::read_dir(&objects).unwrap() {
        std::fs::remove_dir_all(folder.unwrap().path()).unwrap();
    }
    let found = told(made.path(), Counting::All);
    assert!(found.starts_with("the git repository could not be read: "), "{found}");
    std::fs::write(made.path().join(".git/HEAD"), "nonsense").unwrap();
    let found = told(made.path(), Counting::All);
    assert!(found.starts_with("the git repository could not be read: ") || found.contains("no git"), "{found}");
    assert_eq!(found.lines().count(), 1);
}

#[test]
fn a_file_that_git_does_not_know_is_a_gap_and_its_records_are_not_committed() {
    if !git_is_there() {
        return;
    }
    let mut made = Made::new();
    made.then("Tansy Marsh", &when(14), &[("farm/a.spray", TOP), (".gitignore", "mine.spray\n")]);
    let made = made.done();
    made.write("farm/b.spray", END);
    made.write("farm/mine.spray", "2026-05-30\nobserve creek-pear\n");
    let inner = made.path().join("farm/inner");
    std::fs::create_dir(&inner).unwrap();
    git(&inner, &["init", "--quiet"]);
    made.write("farm/inner/c.spray", "2026-06-01\nobserve creek-pear\n");
    let farm = made.path().join("farm");
    let files = ["a.spray", "b.spray", "mine.spray", "inner/c.spray"].map(|name| farm.join(name));
    let (sources, found) = histories(&files, Counting::All);
    let gaps: Vec<(String, GapKind)> = found[0]
        .gaps()
        .iter()
        .map(|gap| (sources.get(gap.source).path().file_name().unwrap().to_string_lossy().into_owned(), gap.kind))
        .collect();
    let gap = |name: &str, kind| (name.to_string(), kind);
    let wanted = [
        gap("b.spray", GapKind::NotCommitted),
        gap("c.spray", GapKind::Elsewhere),
        gap("mine.spray", GapKind::Ignored),
    ];
    let mut gaps = gaps;
    gaps.sort();
    assert_eq!(gaps, wanted);
    let told = super::told_of(&sources, &found[0]);
    assert_eq!(
        told,
        "1 spray creek-pear: Tansy Marsh 05-14\n1 spray creek-pear: not committed\n1 observe creek-pear: not committed\n"
    );
}

#[test]
fn farms_of_one_repository_keep_their_own_records_and_losses() {
    if !git_is_there() {
        return;
    }
    let farm = |name: &str| format!("farm {name}\n  timezone America/Boise\n");
    let (one, two) = (farm("one"), farm("two"));
    let mut made = Made::new();
    // The same words on both farms.
    made.then("Tansy Marsh", &when(14), &[("one/f.spray", &one), ("one/a.spray", TOP), ("two/f.spray", &two)]);
    let both = [("one/f.spray", &*one), ("one/a.spray", TOP), ("two/f.spray", &two), ("two/a.spray", TOP)];
    made.then("Robin Sedge", &when(15), &both);
    made.then("Ada Fen", &when(16), &[("one/f.spray", &one), ("two/f.spray", &two), ("two/a.spray", END)]);
    let made = made.done();
    let (sources, found) = histories(&[made.path().to_path_buf()], Counting::All);
    let told: Vec<String> = found.iter().map(|history| super::told_of(&sources, history)).collect();
    assert!(found[1].removed().is_empty() || found[0].removed().is_empty(), "{told:?}");
    assert_eq!(found.iter().map(|history| history.removed().len()).sum::<usize>(), 1, "{told:?}");
    // Each farm alone, too.
    let (_, alone) = histories(&[made.path().join("two")], Counting::All);
    assert_eq!(alone.len(), 1);
    assert_eq!(alone[0].of(foliary::text::Span::new(0, 1)), None);
}

#[test]
fn another_working_copy_and_no_branch_are_fine() {
    if !git_is_there() {
        return;
    }
    let mut made = Made::new();
    made.then("Tansy Marsh", &when(14), &[("a.spray", TOP)]);
    made.then("Tansy Marsh", &when(15), &[("a.spray", &format!("{TOP}{END}"))]);
    let made = made.done();
    let copies = tempfile::tempdir().unwrap();
    let copy = copies.path().join("copy");
    git(made.path(), &["worktree", "add", "--quiet", "--detach", &copy.display().to_string(), "main~1"]);
    assert_eq!(told(&copy, Counting::All), "1 spray creek-pear: Tansy Marsh 05-14\n");
    git(made.path(), &["checkout", "--quiet", "--detach", "main~1"]);
    assert_eq!(told(made.path(), Counting::All), "1 spray creek-pear: Tansy Marsh 05-14\n");
}

#[test]
fn when_it_was_put_into_the_history_much_later_both_are_known() {
    if !git_is_there() {
        return;
    }
    let mut made = Made::new();
    made.dated(&[], "Tansy Marsh", (&when(14), "2026-05-20T08:00:00+02:00"), &[("a.spray", TOP)]);
    made.dated(&[1], "Tansy Marsh", (&when(21), &when(22)), &[("a.spray", &format!("{TOP}{END}"))]);
    let made = made.done();
    let (_, found) = histories(&[made.path().to_path_buf()], Counting::All);
    let [first, second] = found[0].commits() else { panic!("two commits") };
    assert_eq!(first.when.unwrap().to_rfc3339(), "2026-05-14T18:20:00-06:00");
    assert_eq!(first.committed_apart().unwrap().to_rfc3339(), "2026-05-20T08:00:00+02:00");
    assert_eq!(second.committed_apart(), None);
}

#[test]
fn the_newer_names_of_commits_are_read_too() {
    if !git_is_there() {
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    git(folder.path(), &["init", "--quiet", "--object-format=sha256"]);
    std::fs::write(folder.path().join("a.spray"), TOP).unwrap();
    git(folder.path(), &["add", "."]);
    git(folder.path(), &["commit", "--quiet", "--message", "First"]);
    let (_, found) = histories(&[folder.path().to_path_buf()], Counting::All);
    assert_eq!(found[0].silence(), None);
    assert_eq!(found[0].commits()[0].id.len(), 64);
}
