//! Bad input: the program is run as people run it and must say what is wrong.
//!
//! Exit status: 0 answered, 1 nothing heard or snags found, 2 could not run.
//! No panic, no escape that reaches a terminal, nothing on standard output
//! where it could not run.

use std::ffi::OsString;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use knockwise::inference::evidence::Evidence;
use knockwise::intake::{Intake, LONGEST, Lexicon};
use knockwise::knowledge::Knowledge;
use knockwise::knowledge::check::wording;
use knockwise::knowledge::terms::{Reporter, Venue};
use knockwise::review;
use proptest::prelude::*;

use crate::scratch::built_in;

/// What a run gave.
struct Run {
    code: i32,
    out: String,
    err: String,
}

fn program() -> Command {
    let mut program = Command::new(env!("CARGO_BIN_EXE_knockwise"));
    program.current_dir(env!("CARGO_MANIFEST_DIR")).stdin(Stdio::null());
    program
}

/// Runs the program and checks what holds of every run.
#[track_caller]
fn run_in(folder: &Path, arguments: &[OsString]) -> Run {
    let output = program().current_dir(folder).args(arguments).output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("the program writes UTF-8");
    let (out, err) = (text(output.stdout), text(output.stderr));
    let code = output.status.code().expect("it ends by itself");
    assert!((0..=2).contains(&code), "exit status {code}: {err}");
    assert!(!err.contains("panicked"), "{err}");
    for said in [&out, &err] {
        assert!(!said.contains(|c: char| c.is_control() && c != '\n'), "escapes reach the terminal: {said:?}");
    }
    if code == 2 {
        assert_eq!(out, "", "standard output is for answers");
        assert!(!err.trim().is_empty(), "it could not run and says nothing");
        assert!(err.len() < 100_000, "{} bytes are no message", err.len());
    } else {
        assert_eq!(err, "");
        assert!(!out.trim().is_empty());
    }
    Run { code, out, err }
}

#[track_caller]
fn run(arguments: &[&str]) -> Run {
    let arguments: Vec<OsString> = arguments.iter().map(OsString::from).collect();
    run_in(Path::new(env!("CARGO_MANIFEST_DIR")), &arguments)
}

/// The message of a run that could not be.
#[track_caller]
fn refused(arguments: &[&str]) -> String {
    let run = run(arguments);
    assert_eq!(run.code, 2, "{arguments:?} was taken: {}", run.out);
    run.err.trim_end().to_owned()
}

/// Messages of several runs, one a line, below what was written.
#[track_caller]
fn messages(rows: &[&[&str]]) -> String {
    let each =
        |row: &&[&str]| format!("{}\n    {}\n", row.join(" ").escape_debug(), refused(row).replace('\n', "\n    "));
    rows.iter().map(each).collect()
}

/// An empty folder for one test.
fn scratch(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("input-{name}"));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

#[test]
fn nothing_said_is_nothing_heard() {
    for said in ["", "   ", "\t\n", "...", "\u{200f}", "The weather was fine on Tuesday."] {
        assert_eq!(run(&["rank", "--say", said]).code, 1, "{said:?}");
    }
    insta::assert_snapshot!(run(&["rank", "--say", " "]).out, @r"
    Nothing was heard that says what the bike does.
    Say it in your own words, such as: --say 'it knocks when I brake'
    ");
    assert_eq!(run(&["rank"]).code, 1);
}

#[test]
fn a_very_long_line_is_heard_as_far_as_promised() {
    // One argument holds 128 KiB on some systems, so a million letters come in ten.
    let long = "q".repeat(100_000);
    let mut arguments = vec!["rank"];
    for _ in 0..10 {
        arguments.extend(["--say", &long]);
    }
    let silent = run(&arguments);
    assert_eq!(silent.code, 1);
    assert!(silent.out.contains("only the first 20000 bytes of the text were heard"), "{}", silent.out);

    let talk = "the brake squeals and ".repeat(5_000);
    let heard = run(&["rank", "--say", &talk]);
    assert_eq!(heard.code, 0);
    assert!(heard.out.lines().count() < 80, "says the same again and again: {}", heard.out.lines().count());

    for option in ["--report", "--bike", "--measure", "--by", "--at", "--knowledge"] {
        for odd in ["z", "\u{1b}", "\u{301}", "\n", "="] {
            assert!(refused(&["rank", option, &odd.repeat(20_000)]).len() < 2_000, "{option} {odd:?}");
        }
    }
    assert!(refused(&["rank", &long]).len() < 1_000);
    assert!(refused(&["gauge", &long]).len() < 1_000);
}

#[test]
fn escapes_are_shown_and_never_obeyed() {
    // `run` itself looks for what reaches the terminal.
    let heard = run(&["rank", "--say", "the brake\u{1b}[31m squeals\u{7}"]);
    assert_eq!(heard.code, 0);
    assert!(heard.out.contains("brake<1b>[31m squeals"), "{}", heard.out);
    let json = run(&["rank", "--json", "--say", "the brake\u{1b}[31m squeals\u{9b}\u{202e}"]);
    assert!(json.out.contains("brake<1b>[31m squeals"), "{}", json.out);
    insta::assert_snapshot!(messages(&[
        &["\u{1b}[31mrank"],
        &["rank", "--\u{1b}[31mx"],
        &["rank", "--at", "\u{1b}]0;title\u{7}"],
        &["rank", "--report", "\u{1b}[2Jnoise=sure\u{202e}"],
        &["rank", "--bike", "brakes=\u{9b}31m"],
        &["rank", "--measure", "sag:stroke=\u{1b}[1m57mm"],
        &["rank", "--knowledge", "\u{1b}[31m"],
        &["gauge", "\u{1b}[31m"],
        &["knowledge", "check", "\u{1b}[31m"],
    ]));
}

/// Also where they come from a knowledge file.
#[test]
fn escapes_in_knowledge_are_not_obeyed() {
    let folder = scratch("escapes");
    fs::create_dir(folder.join("ours")).unwrap();
    let text = r#"[
        Cause(id: "card", name: "a \u{1b}[31mcard\u{202e}", plain: "p\u{7}", base: 0.9, source: "judgement", ride: Ride,
            check: "\u{9b}31mlook", brings: [(complaint: "noise", strength: 0.95)]),
        Remedy(id: "out", name: "\u{1b}c", cures: {"card": (rider: 0.9, mechanic: 0.9)}, minutes: 1, at: [home],
            tools: ["\u{1b}[2J"], steps: ["\u{1b}[1A"], proof: "\u{8}", source: "judgement"),
    ]"#;
    fs::write(folder.join("ours/card.ron"), text).unwrap();
    for form in [&["--say", "it makes a noise"][..], &["--say", "it makes a noise", "--json"]] {
        let mut arguments: Vec<OsString> = ["rank", "--knowledge", "ours"].iter().map(OsString::from).collect();
        arguments.extend(form.iter().map(OsString::from));
        let run = run_in(&folder, &arguments);
        assert_eq!(run.code, 0);
        assert!(
            run.out.to_lowercase().contains("a <1b>[31mcard") || run.out.contains(r"a \u001b[31mcard"),
            "{}",
            run.out
        );
        assert!(!run.out.contains('\u{202e}'));
    }
}

#[cfg(unix)]
#[test]
fn what_is_not_utf8_is_named() {
    use std::os::unix::ffi::OsStringExt;
    let odd = |bytes: &[u8]| OsString::from_vec(bytes.to_vec());
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let words = |head: &[&str], last: &[u8]| {
        let mut all: Vec<OsString> = head.iter().map(OsString::from).collect();
        all.push(odd(last));
        all
    };
    let mut said = String::new();
    for arguments in [
        words(&["rank", "--say"], b"click \xff\xfe"),
        words(&["rank", "--report"], b"noise=\xc3"),
        words(&["rank"], b"--\xff=x"),
        words(&["gauge"], b"sa\xffg"),
        words(&["rank", "--knowledge"], b"no\xffwhere"),
        words(&[], b"\xff"),
    ] {
        let run = run_in(root, &arguments);
        assert_eq!(run.code, 2);
        said += &run.err;
        said += "\n";
    }
    insta::assert_snapshot!(said);
}

#[test]
fn other_scripts_and_pictures_are_harmless() {
    for said in
        ["ضجيج عند الفرملة", "רעש בבלימה", "🚲💥🔧", "👩‍🔧 👨‍👩‍👧‍👦", "ブレーキが鳴る", "z\u{301}\u{302}\u{303}", "ﬀ ŉ İ ß"]
    {
        assert_eq!(run(&["rank", "--say", said]).code, 1, "{said}");
        let mixed = run(&["rank", "--say", &format!("{said} the brake squeals 🚲 {said}")]);
        assert_eq!(mixed.code, 0, "{said}");
        refused(&["rank", "--report", &format!("{said}=sure")]);
        refused(&["rank", "--bike", &format!("brakes={said}")]);
        refused(&["gauge", "sag", &format!("{said}=1")]);
    }
}

#[test]
fn unknown_words_are_told_the_nearest() {
    insta::assert_snapshot!(messages(&[
        &["rnak"],
        &["rank", "--rport", "noise=sure"],
        &["rank", "noise=sure"],
        &["rank", "--report"],
        &["rank", "--report", "nois=sure"],
        &["rank", "--report", "play-at-upper-cop=sure"],
        &["rank", "--report", "xyzzy=sure"],
        &["rank", "--report", "noise"],
        &["rank", "--report", "=sure"],
        &["rank", "--report", "noise="],
        &["rank", "--report", "noise=shure"],
        &["rank", "--report", "noise.sond=click"],
        &["rank", "--report", "noise.sound=clik"],
        &["rank", "--report", "noise.=click"],
        &["rank", "--bike", "brake=rim"],
        &["rank", "--bike", "xyzzy=rim"],
        &["rank", "--bike", "brakes=rimm"],
        &["rank", "--bike", "brakes"],
        &["rank", "--by", "mechanik"],
        &["rank", "--at", "workshop"],
        &["rank", "--measure", "sag"],
        &["rank", "--measure", "sagg:stroke=57mm"],
        &["rank", "--measure", "sag:strok=57mm"],
        &["rank", "--measure", "sag:"],
        &["gauge", "sagg"],
        &["gauge", "sag", "strok=57mm"],
        &["gauge", "sag", "pressure=160psi"],
        &["knowledge", "chek"],
    ]));
}

#[test]
fn likelihoods_that_are_none_are_refused() {
    for odd in ["0:0", "-1:2", "nan:1", "1:NaN", "inf:1", "1:1.5", "1e400:1", ":", "1:", ":1", "1:2:3", "a:b", "-0:-0"]
    {
        let said = refused(&["rank", "--report", &format!("noise={odd}")]);
        assert!(said.contains(odd) && said.contains("0.7:0.3"), "{said}");
    }
    for fine in ["0:1", "1:0", "1e-320:0", "1e-320:1e-320", "0.5:0.5", "1:1"] {
        let run = run(&["rank", "--json", "--report", &format!("noise={fine}")]);
        assert_eq!(run.code, 0, "{fine}");
        assert!(!run.out.contains("null,\n      \"probability\": null"), "{fine}: {}", run.out);
        for cause in answer(&run)["causes"].as_array().unwrap() {
            let p = cause["probability"].as_f64().unwrap();
            assert!((0.0..=1.0).contains(&p), "{fine}: {cause}");
        }
    }
}

#[test]
fn contradictions_are_named() {
    insta::assert_snapshot!(messages(&[
        &["rank", "--report", "noise=absent", "--report", "noise.sound=click"],
        &["rank", "--report", "noise.sound=click", "--report", "noise=0:1"],
    ]), @r"
    rank --report noise=absent --report noise.sound=click
        `noise` is reported as not there, and yet `noise.sound` is told of it; take one of the two back
    rank --report noise.sound=click --report noise=0:1
        `noise` is reported as not there, and yet `noise.sound` is told of it; take one of the two back
    ");
    // A complaint ruled out is a report like others, and no cause brings it.
    let ruled_out = run(&["rank", "--report", "noise=absent"]);
    assert_eq!(ruled_out.code, 0);
    insta::assert_snapshot!(ruled_out.out, @r"
    May I ride it? You may ride it.

    What may bring it
      Nothing: you told me that it is not there
    ");
}

/// The last word counts, and that is said.
#[test]
fn repeated_options_are_said_to_be() {
    let sign = "play-at-upper-cup";
    let (yes, no) = (format!("{sign}=present"), format!("{sign}=absent"));
    let twice =
        run(&["rank", "--json", "--report", &yes, "--report", &no, "--bike", "brakes=rim", "--bike", "brakes=hub"]);
    let once = run(&["rank", "--json", "--report", &no, "--bike", "brakes=hub"]);
    let (mut twice, mut once) = (answer(&twice), answer(&once));
    let warnings = twice.as_object_mut().unwrap().remove("warnings").unwrap();
    once.as_object_mut().unwrap().remove("warnings");
    assert_eq!(twice, once);
    let warnings: Vec<&str> = warnings.as_array().unwrap().iter().map(|w| w.as_str().unwrap()).collect();
    insta::assert_snapshot!(warnings.join("\n"), @r"
    `brakes` was given several answers; the last one, `hub`, counts
    `play-at-upper-cup` was given several answers; the last one, `absent`, counts
    ");

    let same = run(&["rank", "--json", "--report", &yes, "--report", &yes]);
    assert_eq!(answer(&same)["warnings"].as_array().unwrap().len(), 0);
    refused(&["rank", "--at", "home", "--at", "bench"]);
    refused(&["rank", "--json", "--json"]);
}

/// The one object that `--json` promises.
#[track_caller]
fn answer(run: &Run) -> serde_json::Value {
    let value: serde_json::Value = serde_json::from_str(&run.out).unwrap_or_else(|e| panic!("{e}: {}", run.out));
    assert!(value.is_object());
    value
}

#[test]
fn json_is_one_object_whenever_it_answers() {
    let long = "squeals ".repeat(10_000);
    for (code, arguments) in [
        (1, &[][..]),
        (1, &["--say", ""]),
        (1, &["--say", "\u{1b}[31m\u{0b}\u{7f}\u{85}"]),
        (1, &["--bike", "brakes=rim"]),
        (0, &["--say", "it squeals when I \"brake\"\\ \u{1b}"]),
        (0, &["--say", &long]),
        (0, &["--report", "noise=absent"]),
        (0, &["--report", "noise=cannot-tell"]),
        (0, &["--measure", "sag:stroke=57mm,sag=23mm"]),
        (2, &["--report", "nois=sure"]),
    ] {
        let run = run(&[&["rank", "--json"], arguments].concat());
        assert_eq!(run.code, code, "{arguments:?}");
        if code < 2 {
            let answer = answer(&run);
            for key in [
                "version",
                "heard",
                "bike",
                "complaints",
                "causes",
                "unlisted",
                "log_evidence",
                "signs",
                "ride",
                "next",
                "remedies",
                "warnings",
            ] {
                assert!(!answer[key].is_null(), "{arguments:?} has no {key}");
            }
        }
    }
}

/// All that may be wrong with a folder as such.
#[test]
fn odd_knowledge_folders_are_refused() {
    let folder = scratch("folders");
    fs::create_dir(folder.join("empty")).unwrap();
    fs::write(folder.join("a-file"), "[]").unwrap();
    fs::create_dir_all(folder.join("holds-a-folder/x.ron")).unwrap();
    fs::create_dir(folder.join("not-text")).unwrap();
    fs::write(folder.join("not-text/x.ron"), b"[ // \xff\n]").unwrap();
    let mut names = vec!["missing", "empty", "a-file", "a-file/below", "holds-a-folder", "not-text", ""];
    #[cfg(unix)]
    {
        // A link to itself can be read by nobody, not even by the superuser.
        std::os::unix::fs::symlink("circle", folder.join("circle")).unwrap();
        names.push("circle");
    }
    let mut said = String::new();
    for name in names {
        let rank = run_in(&folder, &["rank", "--say", "it clicks", "--knowledge", name].map(OsString::from));
        assert_eq!(rank.code, 2, "{name}");
        said += &format!("{}\n", rank.err);
        let check = run_in(&folder, &["knowledge", "check", name].map(OsString::from));
        // A file that cannot be read is a snag like others.
        let wanted = if matches!(name, "holds-a-folder" | "not-text") { 1 } else { 2 };
        assert_eq!(check.code, wanted, "{name}");
    }
    insta::assert_snapshot!(said);
}

#[cfg(unix)]
#[test]
fn a_folder_that_may_not_be_read_is_refused() {
    use std::os::unix::fs::PermissionsExt;
    let folder = scratch("locked");
    let locked = folder.join("locked");
    fs::create_dir(&locked).unwrap();
    fs::set_permissions(&locked, fs::Permissions::from_mode(0o000)).unwrap();
    let run = run_in(&folder, &["rank", "--say", "it clicks", "--knowledge", "locked"].map(OsString::from));
    // The superuser may read it; then it is an empty folder, refused all the same.
    fs::set_permissions(&locked, fs::Permissions::from_mode(0o700)).unwrap();
    assert_eq!(run.code, 2);
    assert!(run.err.contains("the knowledge folder `locked` cannot be read"), "{}", run.err);
}

/// Half-read knowledge answers nobody, whichever file is bad.
#[test]
fn one_bad_file_is_named_and_nothing_is_answered() {
    let bad = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad");
    let mut names: Vec<_> =
        fs::read_dir(&bad).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.retain(|n| n.ends_with(".ron"));
    names.sort();
    assert!(names.len() > 10);
    let folder = scratch("one-bad");
    for name in &names {
        let own = folder.join("ours");
        let _ = fs::remove_dir_all(&own);
        fs::create_dir(&own).unwrap();
        fs::write(own.join("good.ron"), "[]\n").unwrap();
        fs::copy(bad.join(name), own.join(name)).unwrap();
        let check = run_in(&folder, &["knowledge", "check", "ours", "--alone", "--deep"].map(OsString::from));
        let only_notes = wording::CODES.iter().chain(review::CODES).any(|code| *name == format!("{code}.ron"));
        assert_eq!(check.code, i32::from(!only_notes), "{name}");
        assert!(check.out.contains(&format!("ours/{name}")), "{name}: {}", check.out);
        assert_eq!(check.out.contains("no snags"), only_notes, "{name}: {}", check.out);
        let stats = run_in(&folder, &["knowledge", "stats", "ours", "--alone"].map(OsString::from));
        assert_eq!(stats.out.contains("`knowledge check` says where"), !only_notes, "{name}: {}", stats.out);
    }
    fs::remove_dir_all(folder.join("ours")).unwrap();
    fs::create_dir(folder.join("ours")).unwrap();
    fs::write(folder.join("ours/good.ron"), "[]\n").unwrap();
    let rank = |name: &str| {
        fs::copy(bad.join(name), folder.join("ours/bad.ron")).unwrap();
        run_in(&folder, &["rank", "--say", "it clicks", "--knowledge", "ours"].map(OsString::from))
    };
    let said = rank("open-quote.ron");
    assert_eq!(said.code, 2);
    insta::assert_snapshot!(said.err);
    assert_eq!(rank("unknown-word.ron").code, 2);
    fs::remove_file(folder.join("ours/bad.ron")).unwrap();
    let fine = run_in(&folder, &["rank", "--say", "it clicks", "--knowledge", "ours"].map(OsString::from));
    assert_eq!(fine.code, 0, "without the bad file it answers");
}

/// A folder need not define everything: it is laid over the built-in knowledge.
#[test]
fn a_folder_of_two_causes_is_checked_where_it_will_stand() {
    let folder = scratch("laid-over");
    fs::create_dir(folder.join("ours")).unwrap();
    let cause = r#"[
    Cause(id: "bell-dry", name: "dry bell", plain: "The pawls of the Ottersund bell are dry.", base: 0.01, source: "judgement",
        brings: [(complaint: "noise", strength: 0.5)], ride: Ride, check: "Oil it: it is quiet."),
    Cause(id: "bell-worn", name: "worn bell", plain: "The bell's shaft is worn.", base: 0.01, source: "judgement",
        brings: [(complaint: "noise", strength: 0.5)], ride: Ride, check: "The bell rocks on its shaft."),
    Remedy(id: "renew-bell", name: "renew the bell", cures: {"bell-worn": (rider: 0.9, mechanic: 0.95)}, minutes: 5,
        at: [home], tools: [], steps: ["Fit another."], proof: "It is quiet.", source: "judgement"),
    Remedy(id: "oil-bell", name: "oil the bell", cures: {"bell-dry": (rider: 0.9, mechanic: 0.95)}, minutes: 2,
        at: [home], tools: [], steps: ["Put a drop of oil on it."], proof: "It is quiet.", source: "judgement"),
]
"#;
    fs::write(folder.join("ours/bell.ron"), cause).unwrap();
    let check = |more: &[&str]| {
        let all = [&["knowledge", "check", "ours"], more].concat();
        run_in(&folder, &all.into_iter().map(OsString::from).collect::<Vec<_>>())
    };
    let over = check(&[]);
    assert_eq!((over.code, over.out.contains("no snags, 4 notes")), (0, true), "{}", over.out);
    let notes = check(&["--notes"]);
    assert_eq!(notes.code, 0, "notes are advice");
    for code in ["[unexplained-word]", "[stray-capital]", "[untold-cause]"] {
        assert!(notes.out.contains(code), "{code}: {}", notes.out);
    }
    let deep = check(&["--deep"]);
    assert_eq!(deep.code, 0);
    assert!(deep.out.contains("`bell-dry` and `bell-worn` bring `noise` alike"), "{}", deep.out);
    assert!(!deep.out.contains("knowledge/"), "the built-in files are not the author's: {}", deep.out);
    let alone = check(&["--alone"]);
    assert_eq!((alone.code, alone.out.contains("[dangling-name]")), (1, true), "{}", alone.out);
    let none = run_in(&folder, &["knowledge", "check", "--alone"].map(OsString::from));
    assert_eq!(none.code, 2, "nothing is to be read alone");
}

/// As when the answer is piped into a program that reads one line and goes.
#[test]
fn a_reader_that_has_gone_is_no_panic() {
    for arguments in
        [&["rank", "--say", "it squeals when I brake"][..], &["rank", "--json"], &["--help"], &["knowledge", "stats"]]
    {
        let mut child = program().args(arguments).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        assert!(matches!(output.status.code(), Some(0 | 1)), "{arguments:?}: {:?}", output.status);
        assert_eq!(String::from_utf8_lossy(&output.stderr), "", "{arguments:?}");
    }
}

fn hear(lexicon: &Lexicon, text: &str) -> (Evidence, Intake) {
    let mut evidence = Evidence::default();
    let intake = lexicon.hear(text, Reporter::Rider, Venue::Home, &mut evidence);
    (evidence, intake)
}

/// Everything that phrases say.
fn wordings() -> Vec<String> {
    let k = Knowledge::built_in().0;
    k.phrases.iter().flat_map(|p| &p.say).map(|say| k.written_out(say)).collect()
}

/// Pieces of text: words of the lexicon among all that is not.
fn any_text() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        3 => prop::sample::select(wordings()),
        2 => any::<String>(),
        1 => "[\\x00-\\x20\u{80}-\u{9f}.,;:!?'-]{0,6}",
        1 => prop::sample::select(vec!["not", "never", "maybe", "won't", "n't", "'s", "break", "BUT", "front", "rear", "\u{2019}t"])
            .prop_map(str::to_owned),
    ];
    prop::collection::vec(piece, 0..12).prop_map(|p| p.join(" "))
}

#[test]
fn any_text_is_heard_within_bounds() {
    let graph = built_in();
    let lexicon = Lexicon::of(graph);
    proptest!(|(text in any_text())| {
        let (evidence, intake) = hear(&lexicon, &text);
        prop_assert!(!intake.cut || text.len() > LONGEST);
        // Front rub and rear squeal are two; nobody tells of more than three at a time.
        prop_assert!(evidence.events.len() <= 3 * graph.complaints.len());
        prop_assert!(intake.heard.len() <= 20 * text.len(), "{} things in {} bytes", intake.heard.len(), text.len());
        prop_assert!(intake.heard.iter().all(|h| text.contains(&h.text)));
        let numbers = evidence.events.iter().flat_map(|e| e.facets.values().flatten().chain([&e.there, &e.missing]));
        let numbers = numbers.chain(evidence.signs.iter().flat_map(|s| &s.likelihood));
        prop_assert!(numbers.copied().all(|x| (0.0..=1.0).contains(&x)));
        prop_assert_eq!(hear(&lexicon, &text), (evidence, intake), "the same text is heard the same");
    });
}

/// Every wording of the knowledge must also be heard as it is shouted or typed in haste.
#[test]
fn capitals_points_and_idle_talk_change_nothing() {
    let graph = built_in();
    let lexicon = Lexicon::of(graph);
    let idle = "The weather was fine on Tuesday.";
    assert_eq!(hear(&lexicon, idle), (Evidence::default(), Intake::default()));
    let mut broken = Vec::new();
    let mut meant = 0;
    // Each in one of the forms by turns: it is the forms that are tried, and every wording in some.
    for (turn, say) in wordings().iter().enumerate() {
        let (plain, _) = hear(&lexicon, say);
        meant += usize::from(plain != Evidence::default());
        let forms = [
            say.to_uppercase(),
            format!("{say}!!!"),
            format!("  \"{say}\" ..."),
            say.replace(' ', "  \t"),
            format!("{idle} {say}. {idle}"),
        ];
        let form = &forms[turn % forms.len()];
        if hear(&lexicon, form).0 != plain {
            broken.push(form.clone());
        }
    }
    assert!(meant > 500, "only {meant} wordings mean something by themselves");
    assert!(broken.is_empty(), "heard otherwise than in plain letters: {broken:#?}");
}

#[test]
fn a_megabyte_is_heard_as_far_as_promised() {
    let graph = built_in();
    let lexicon = Lexicon::of(graph);
    for word in ["z", "squeals ", "not ", "brakeing", "\u{301}", "🚲", "front rear ", "a.b,c'd\u{2019}t "] {
        let text = word.repeat(1_000_000 / word.len());
        let (evidence, intake) = hear(&lexicon, &text);
        assert!(intake.cut, "{word}");
        let mut end = LONGEST;
        while !text.is_char_boundary(end) {
            end -= 1;
        }
        let (head, short) = hear(&lexicon, &text[..end]);
        assert_eq!((evidence, intake.heard), (head, short.heard), "{word}");
    }
}
