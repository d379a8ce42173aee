//! Whether the browser believes it has a network. It may be wrong when it says yes.

use crate::{Listener, Trouble, js};
use std::rc::Rc;

/// Whether the browser believes it has a network.
pub fn online() -> bool {
    js::window().is_ok_and(|window| window.navigator().on_line())
}

/// Tells each change, for as long as both listeners are held.
pub fn on_change(act: impl Fn(bool) + 'static) -> Result<[Listener; 2], Trouble> {
    let window = js::window()?;
    let act = Rc::new(act);
    let other = act.clone();
    Ok([
        Listener::new(&window, "online", move |_| act(true))?,
        Listener::new(&window, "offline", move |_| other(false))?,
    ])
}
