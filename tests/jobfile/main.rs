//! What is written down, held to its promises: released files, files that must be refused, the canonical form.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "helpers of tests fail the test")]

mod crashers;
mod golden;
mod rfc8785;
