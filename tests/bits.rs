//! Prints the bits of every value computed from one file of check cases: the name is the argument, the text comes in.

use std::io::{Read, Write};

fn main() -> std::io::Result<()> {
    let name = std::env::args().nth(1).unwrap_or_default();
    let mut text = String::new();
    std::io::stdin().read_to_string(&mut text)?;
    std::io::stdout().write_all(tests::cases::bits(&name, &text).as_bytes())
}
