//! What is compiled in: the files of `knowledge/`, and the graph the build script made of them.
//!
//! Both come out of one run of `build.rs`, which cargo repeats whenever a file
//! of the folder changes. The graph alone is what a start needs; the texts are
//! read only where they are laid under a folder, checked or searched.

use std::sync::OnceLock;

use crate::graph::FaultGraph;
use crate::graph::build::build;
use crate::knowledge::Knowledge;
use crate::snag::{Snag, Source};

const TEXTS: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/texts.rs"));

/// Empty if the texts have snags.
const GRAPH: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/graph.postcard"));

/// The files compiled into the program.
pub fn sources() -> Vec<Source> {
    TEXTS.iter().map(|(name, text)| Source { name: format!("knowledge/{name}"), text: (*text).to_owned() }).collect()
}

/// The graph of the compiled-in files, without reading them; unpacked once, kept to the end.
///
/// # Errors
/// All snags of the files, if they have any.
pub fn graph() -> Result<&'static FaultGraph, &'static [Snag]> {
    static UNPACKED: OnceLock<Result<FaultGraph, Vec<Snag>>> = OnceLock::new();
    let unpack = || {
        postcard::from_bytes(GRAPH).or_else(|_| match Knowledge::built_in() {
            (knowledge, snags) if snags.is_empty() => Ok(build(&knowledge)),
            (_, snags) => Err(snags),
        })
    };
    UNPACKED.get_or_init(unpack).as_ref().map_err(Vec::as_slice)
}

impl Knowledge {
    /// The compiled-in files, read and checked.
    pub fn built_in() -> (Self, Vec<Snag>) {
        Self::load(vec![sources()])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_compiled_in_graph_is_that_of_the_texts() {
        let (knowledge, snags) = Knowledge::built_in();
        assert!(snags.is_empty(), "{snags:?}");
        let read = postcard::to_stdvec(&build(&knowledge)).unwrap();
        assert!(read == GRAPH, "{} bytes were made of the texts, {} are compiled in", read.len(), GRAPH.len());
        // What comes out again is the same graph, walked in the same order.
        let unpacked: FaultGraph = postcard::from_bytes(GRAPH).unwrap();
        assert_eq!(format!("{unpacked:?}"), format!("{:?}", build(&knowledge)));
    }
}
