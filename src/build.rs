//! Compiles the knowledge in: its texts, and the graph that is made of them.
//!
//! The modules that read and check knowledge are compiled here as well as in
//! the crate, so that a start need not do over again what cannot have changed.

#![allow(dead_code, clippy::all, reason = "of the shared modules little is used here; the crate checks them")]

mod graph;
mod knowledge;
mod probability;
mod snag;
mod words;

use std::path::Path;
use std::{env, fs, io};

use knowledge::{Knowledge, read};
use snag::Source;

fn main() -> io::Result<()> {
    let root = env::var("CARGO_MANIFEST_DIR").map_err(io::Error::other)?;
    let out = env::var("OUT_DIR").map_err(io::Error::other)?;
    let folder = Path::new(&root).join("knowledge");
    println!("cargo::rerun-if-changed={}", folder.display());
    let (sources, unread) = read::folder(&folder).map_err(|snag| io::Error::other(snag.to_string()))?;
    if let Some(snag) = unread.first() {
        return Err(io::Error::other(snag.to_string()));
    }
    fs::write(Path::new(&out).join("texts.rs"), texts(&sources))?;
    fs::write(Path::new(&out).join("graph.postcard"), packed_graph(sources)?)
}

/// A slice of file names and texts, as source code.
fn texts(sources: &[Source]) -> String {
    let row = |s: &Source| format!("    (\"{}.ron\", include_str!({:?})),\n", s.stem(), s.name);
    format!("&[\n{}]\n", sources.iter().map(row).collect::<String>())
}

/// The graph; nothing if the texts have snags, which the program says when it starts.
fn packed_graph(sources: Vec<Source>) -> io::Result<Vec<u8>> {
    let (knowledge, snags) = Knowledge::load(vec![sources]);
    if snags.is_empty() {
        postcard::to_stdvec(&graph::build::build(&knowledge)).map_err(io::Error::other)
    } else {
        Ok(Vec::new())
    }
}
