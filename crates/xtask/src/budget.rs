//! What a phone may have to download: the one place where the limits are written.

/// The app's WebAssembly, in bytes as brotli.
pub const WASM_BROTLI_BYTES: usize = 350_000;

/// Every file of the app with typefaces and icons, in bytes as brotli.
pub const TOTAL_BROTLI_BYTES: usize = 500_000;
