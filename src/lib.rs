//! Finds out what is wrong with a bicycle.
pub mod cli;
pub mod gauge;
pub mod graph;
pub mod inference;
pub mod knowledge;
pub mod probability;
pub mod quantity;
pub mod snag;
pub mod words;
