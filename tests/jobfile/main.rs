//! What is written down, held to its promises: released files, files that must be refused, the canonical form.

mod crashers;
mod golden;
mod rfc8785;
