//! One binary for all integration tests.

mod brute;
mod exactness;
mod scratch;
mod worked;
