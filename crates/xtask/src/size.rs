//! `cargo xtask size`: what a phone downloads, file by file, against the budget.

use crate::budget::{TOTAL_BROTLI_BYTES, WASM_BROTLI_BYTES};
use crate::bundle::{self, Build};
use crate::need;
use crate::run::{Outcome, Trouble, trouble};
use std::io::Write;
use std::path::Path;

/// Bytes of one file, as it is and as servers send it.
#[derive(Clone, Copy, Default)]
struct Sizes {
    raw: usize,
    gzip: usize,
    brotli: usize,
}

/// Builds for phones, measures, and fails over the budget.
pub fn run() -> Outcome {
    need::rust()?;
    let site = bundle::site(Build::Phone)?;
    within_budget(&site)
}

/// Prints the table; trouble when a limit is passed.
pub fn within_budget(site: &Path) -> Outcome {
    let mut total = Sizes::default();
    let mut wasm = 0;
    println!("{:>10} {:>10} {:>10}  file (bytes)", "raw", "gzip", "brotli");
    for name in bundle::files_below(site)? {
        let sizes = measured(&site.join(&name))?;
        total =
            Sizes { raw: total.raw + sizes.raw, gzip: total.gzip + sizes.gzip, brotli: total.brotli + sizes.brotli };
        if name.ends_with(".wasm") {
            wasm += sizes.brotli;
        }
        row(sizes, &name);
    }
    row(total, "total");
    for (what, found, most) in
        [("the WebAssembly", wasm, WASM_BROTLI_BYTES), ("everything", total.brotli, TOTAL_BROTLI_BYTES)]
    {
        if found > most {
            return Err(Trouble(format!(
                "Over budget: {what} takes {found} bytes as brotli, {most} are allowed; make it smaller, or change crates/xtask/src/budget.rs with a page in docs/decisions."
            )));
        }
        println!("Within budget: {what} takes {found} of {most} bytes as brotli.");
    }
    Ok(())
}

fn row(sizes: Sizes, name: &str) {
    println!("{:>10} {:>10} {:>10}  {name}", sizes.raw, sizes.gzip, sizes.brotli);
}

fn measured(file: &Path) -> Outcome<Sizes> {
    let doing = || format!("Measuring {}", file.display());
    let bytes = std::fs::read(file).map_err(|why| trouble(doing(), why))?;
    let mut gzip = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::best());
    let gzip = gzip.write_all(&bytes).and_then(|()| gzip.finish()).map_err(|why| trouble(doing(), why))?;
    let mut brotli = Vec::new();
    let best =
        brotli::enc::BrotliEncoderParams { quality: 11, lgwin: 22, size_hint: bytes.len(), ..Default::default() };
    brotli::BrotliCompress(&mut bytes.as_slice(), &mut brotli, &best).map_err(|why| trouble(doing(), why))?;
    // Servers send small or already packed files as they are when packing does not help.
    Ok(Sizes { raw: bytes.len(), gzip: gzip.len().min(bytes.len()), brotli: brotli.len().min(bytes.len()) })
}
