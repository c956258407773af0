//! Bad files: each is read alone, and the snapshot is all that is said of it: the snags, or the
//! notes of a file that has none.

#![allow(clippy::unwrap_used, reason = "helpers of tests")]

use knockwise::faces::knowledge::of_words;
use knockwise::knowledge::Knowledge;
use knockwise::knowledge::check::{CODES, wording};
use knockwise::review;
use knockwise::snag::Source;

/// Reads one file under tests/bad and gives all that is said of it.
fn said_of(path: &std::path::Path) -> (String, Vec<&'static str>) {
    let name = path.file_name().unwrap().to_str().unwrap().to_owned();
    let text = std::fs::read_to_string(path).unwrap();
    let (knowledge, mut snags) = Knowledge::load(vec![vec![Source { name, text }]]);
    snags.extend(of_words(&knowledge));
    if snags.is_empty() {
        snags = [wording::notes(&knowledge), review::notes(&knowledge)].concat();
    }
    let said: Vec<String> = snags.iter().map(ToString::to_string).collect();
    (said.join("\n"), snags.iter().map(|s| s.code).collect())
}

#[test]
fn every_bad_file_is_told_where_and_how_to_mend_it() {
    insta::glob!("../bad", "*.ron", |path| {
        let (said, codes) = said_of(path);
        assert!(!codes.is_empty(), "{} is not bad at all", path.display());
        insta::assert_snapshot!(said);
    });
}

/// A file that is named after a code shows that code.
#[test]
fn every_bad_file_shows_what_it_is_named_after() {
    for code in [CODES, wording::CODES, review::CODES].concat() {
        let path = format!("{}/tests/bad/{code}.ron", env!("CARGO_MANIFEST_DIR"));
        let path = std::path::Path::new(&path);
        if path.exists() {
            let (_, codes) = said_of(path);
            assert!(codes.contains(&code), "{code}: {codes:?}");
        }
    }
}

/// Authors keep to how the knowledge speaks, and no cause is one that nobody is ever sent to.
#[test]
fn the_built_in_knowledge_gives_no_cause_for_notes() {
    let (knowledge, snags) = Knowledge::built_in();
    assert!(snags.is_empty(), "{}", snags[0]);
    let mut notes = [wording::notes(&knowledge), review::notes(&knowledge)].concat();
    notes.retain(|n| n.code != "blunt-item");
    let said: String = notes.iter().map(|n| format!("{n}\n")).collect();
    assert!(said.is_empty(), "{said}");
}
