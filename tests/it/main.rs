//! One binary for all integration tests.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
#![allow(clippy::type_complexity)]

mod after_work;
mod asked;
mod bad_files;
mod brute;
mod cases;
mod choice;
mod exactness;
mod field;
mod found;
mod gauges;
mod heard;
mod input;
mod pacing;
mod readme;
mod reference;
mod safety;
mod said_back;
mod scratch;
mod session;
mod shares;
mod talks;
mod telling;
mod terminal;
mod tidy;
mod trade;
mod worked;
