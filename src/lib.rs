//! Finds out what is wrong with a bicycle: from reports to causes ranked exactly.
//!
//! Reading order, ground to roof: [`words`], [`probability`], [`quantity`];
//! [`snag`]; [`knowledge`] (the files); [`graph`] and [`gauge`]; [`built_in`] (what is
//! compiled in); [`inference`] (exact probability); [`faces`] (what is shown); [`cli`].
pub mod built_in;
pub mod cli;
pub mod faces;
pub mod gauge;
pub mod graph;
pub mod inference;
pub mod inquiry;
pub mod intake;
pub mod knowledge;
pub mod probability;
pub mod quantity;
pub mod review;
pub mod session;
pub mod snag;
pub mod trial;
pub mod words;
