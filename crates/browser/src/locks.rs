//! One tab at a time: the browser's own locks, which a crashed tab frees.

use crate::{Trouble, js};
use js_sys::{Function, Promise};
use std::cell::RefCell;
use std::rc::Rc;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};

/// Holds a lock until it is dropped.
#[derive(Debug)]
pub struct Guard {
    free: Function,
}

impl Drop for Guard {
    fn drop(&mut self) {
        // It resolves a promise, which cannot fail.
        let _cannot_fail = self.free.call0(&JsValue::UNDEFINED);
    }
}

/// Whether this browser has locks.
pub fn present() -> bool {
    manager().is_ok()
}

/// Waits for a lock.
pub async fn lock(name: &str) -> Result<Guard, Trouble> {
    let held = ask(name, false).await?;
    held.ok_or_else(|| Trouble::LockFailed { message: "granted without a lock".to_owned() })
}

/// Takes a lock if it is free; `None` when another tab, or other work of this one, has it.
pub async fn try_lock(name: &str) -> Result<Option<Guard>, Trouble> {
    ask(name, true).await
}

/// Does something while holding a lock.
pub async fn with_lock<T>(name: &str, work: impl Future<Output = T>) -> Result<T, Trouble> {
    let guard = lock(name).await?;
    let done = work.await;
    drop(guard);
    Ok(done)
}

fn manager() -> Result<JsValue, Trouble> {
    let locks = js::get(&js::window()?.navigator(), "locks");
    if js::method(&locks, "request").is_some() { Ok(locks) } else { Err(Trouble::LocksAbsent) }
}

/// The browser holds a lock for as long as the promise given back by its callback is open; the guard closes it.
async fn ask(name: &str, only_if_free: bool) -> Result<Option<Guard>, Trouble> {
    let manager = manager()?;
    let guard: Rc<RefCell<Option<Guard>>> = Rc::default();
    let mut refused = None;
    let granted = Promise::new(&mut |resolve: Function, reject: Function| {
        let (guard, granted) = (guard.clone(), resolve);
        let on_lock = Closure::once_into_js(move |lock: JsValue| -> JsValue {
            let held = if lock.is_null() { JsValue::UNDEFINED } else { open_until_dropped(&guard).into() };
            // It resolves a promise, which cannot fail.
            let _cannot_fail = granted.call0(&JsValue::UNDEFINED);
            held
        });
        let options = js_sys::Object::new().into();
        js::set(&options, "ifAvailable", &only_if_free.into());
        match js::call(&manager, "request", &[name.into(), options, on_lock]) {
            Some(Ok(request)) => watch(&request, &reject),
            Some(Err(thrown)) => refused = Some(js::error_message(&thrown)),
            None => refused = Some("no request".to_owned()),
        }
    });
    if let Some(message) = refused {
        return Err(Trouble::LockFailed { message });
    }
    js::wait(granted.into()).await.map_err(|thrown| Trouble::LockFailed { message: js::error_message(&thrown) })?;
    Ok(guard.take())
}

/// A refusal of the request is a refusal to the one who waits.
fn watch(request: &JsValue, reject: &Function) {
    if let Some(promise) = request.dyn_ref::<Promise>() {
        let _settles_the_other = js::call(promise, "catch", &[reject.clone().into()]);
    }
}

fn open_until_dropped(guard: &RefCell<Option<Guard>>) -> Promise {
    Promise::new(&mut |free: Function, _: Function| {
        guard.replace(Some(Guard { free }));
    })
}
