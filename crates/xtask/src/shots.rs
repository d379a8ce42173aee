//! `cargo xtask shots`: a picture of every screen, phone and desk, light and dark.

use crate::bundle::{self, Build};
use crate::run::{Outcome, finish, step};
use crate::{e2e, need, places};

#[derive(clap::Args)]
pub struct Options {
    /// Take target/site as it is, without building.
    #[arg(long)]
    as_built: bool,
}

/// Builds, then takes the pictures.
pub fn run(options: &Options) -> Outcome {
    need::rust()?;
    let browser = need::browser()?;
    need::npm_packages(&browser)?;
    let site = if options.as_built { places::site()? } else { bundle::site(Build::Phone)? };
    let shots = places::target()?.join("shots");
    step("Taking pictures of every screen into target/shots", || {
        finish(e2e::script(&browser, &site, "shots.mjs")?.env("DOTSIDE_SHOTS", &shots))
    })
}
