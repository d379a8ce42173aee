//! Turns the translation files into Rust, and stops the build when a code has no sentence or a sentence has no code.
//!
//! Every language folder must hold the same messages with the same variables as `en`. A message whose id begins with a
//! family (see `codes.rs`) is looked up by code; every other one becomes a function, so a misspelt name does not compile.

#[path = "build/codes.rs"]
mod codes;
#[path = "build/generate.rs"]
mod generate;
#[path = "build/pack.rs"]
mod pack;
#[path = "build/read.rs"]
mod read;

use std::error::Error;
use std::path::PathBuf;

fn main() -> Result<(), Box<dyn Error>> {
    let root = PathBuf::from(std::env::var("CARGO_MANIFEST_DIR")?);
    println!("cargo::rerun-if-changed=en");
    println!("cargo::rerun-if-changed=build");
    let english = read::language(&root.join("en"))?;
    let mut complaints = codes::compare(&english);
    for folder in read::other_languages(&root)? {
        println!("cargo::rerun-if-changed={}", folder.display());
        complaints.extend(read::unlike(&english, &read::language(&folder)?, &folder));
    }
    if !complaints.is_empty() {
        return Err(format!("the words do not fit the program:\n  {}", complaints.join("\n  ")).into());
    }
    let out = PathBuf::from(std::env::var("OUT_DIR")?);
    std::fs::write(out.join("messages.rs"), generate::rust(&english))?;
    Ok(())
}
