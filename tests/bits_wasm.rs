//! The check cases as a WebAssembly module, for comparison with what this machine computes. Empty on any other target.

#![cfg(target_arch = "wasm32")]

use wasm_bindgen::prelude::wasm_bindgen;

/// The bits of every value computed from one file of check cases.
#[wasm_bindgen]
pub fn bits(name: &str, text: &str) -> String {
    tests::cases::bits(name, text)
}
