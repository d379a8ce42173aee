//! Light, dark, or as the device has it: one attribute on the page's root that the style sheets go by.

use crate::settings::Theme;
use crate::{Trouble, js};

/// Shows the page in that theme: `data-theme` is `light`, `dark`, or `auto` where the device decides.
pub fn apply(theme: Theme) -> Result<(), Trouble> {
    let root = js::window()?.document().and_then(|document| document.document_element()).ok_or(Trouble::NoPage)?;
    let name = match theme {
        Theme::Auto => "auto",
        Theme::Light => "light",
        Theme::Dark => "dark",
    };
    root.set_attribute("data-theme", name).map_err(|_| Trouble::NoPage)
}
