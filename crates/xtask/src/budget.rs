//! What a phone may have to download: the one place where the limits are written.
//!
//! The goal is 350 000 bytes of WebAssembly and 500 000 in all. It is not reached yet; until then these limits only ever go
//! down. docs/decisions/0004 says where the bytes are.

/// The app's WebAssembly, in bytes as brotli.
pub const WASM_BROTLI_BYTES: usize = 388_000;

/// Every file of the app with typefaces and icons, in bytes as brotli.
pub const TOTAL_BROTLI_BYTES: usize = 453_000;
