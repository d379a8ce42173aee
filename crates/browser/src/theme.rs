//! Light, dark, or as the device has it: one attribute on the page's root that the style sheets go by.

use crate::settings::Theme;
use crate::{Trouble, js};

/// Shows the page in that theme: `data-theme` is `light` or `dark`, and absent where the device decides.
pub fn apply(theme: Theme) -> Result<(), Trouble> {
    let root = js::window()?.document().and_then(|document| document.document_element()).ok_or(Trouble::NoPage)?;
    let done = match theme {
        Theme::Auto => root.remove_attribute("data-theme"),
        Theme::Light => root.set_attribute("data-theme", "light"),
        Theme::Dark => root.set_attribute("data-theme", "dark"),
    };
    done.map_err(|_| Trouble::NoPage)
}
