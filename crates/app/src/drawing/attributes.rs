//! The attributes of an element as one list: fixed, following what they read, or handlers; set, compared and taken away.

use leptos::prelude::*;
use leptos::tachys::html::attribute::{Attribute, NamedAttributeKey, NextAttribute};
use leptos::tachys::renderer::types::Element;
use leptos::tachys::renderer::{RemoveEventHandler, Rndr};
use send_wrapper::SendWrapper;
use std::rc::Rc;
use wasm_bindgen::{JsCast, JsValue};

/// What an attribute holds.
pub enum Value {
    /// A text that stays.
    Text(String),
    /// A text that follows what it reads; absent while there is none.
    Live(Rc<dyn Fn() -> Option<String>>),
    /// A property of the element that follows what it reads.
    Property(Rc<dyn Fn() -> JsValue>),
    /// Markup inside the element.
    Markup(String),
    /// What happens on an event.
    On(Rc<dyn Fn(web_sys::Event)>),
}

/// Names with their values.
type List = Vec<(&'static str, Value)>;

/// All attributes of an element.
#[derive(Clone)]
pub struct Attributes(SendWrapper<Rc<List>>);

/// What stands on an element.
pub struct Set {
    element: Element,
    list: Rc<List>,
    held: Vec<Held>,
}

/// What ends when it is dropped.
enum Held {
    Effect { _runs: RenderEffect<()> },
    Handler { _listens: RemoveEventHandler<Element> },
}

impl Attributes {
    /// Of a list.
    pub fn new(list: List) -> Attributes {
        Attributes(SendWrapper::new(Rc::new(list)))
    }
}

/// What a list says, put on an element; `before` is what stands there already.
fn set(element: &Element, list: &List, before: Option<&List>) -> Vec<Held> {
    let mut held = Vec::new();
    for (name, value) in list {
        match value {
            Value::Text(text) => {
                if !stands(before, name, text) {
                    Rndr::set_attribute(element, name, text);
                }
            }
            Value::Markup(markup) => {
                if !stands(before, name, markup) {
                    Rndr::set_inner_html(element, markup);
                }
            }
            Value::Live(read) => held.push(follow(element, put_text, name, Rc::clone(read))),
            Value::Property(read) => held.push(follow(element, put_property, name, Rc::clone(read))),
            Value::On(act) => {
                let act = Rc::clone(act);
                let listens =
                    Rndr::add_event_listener(element, name, Box::new(move |event| act(event.unchecked_into())));
                held.push(Held::Handler { _listens: listens });
            }
        }
    }
    held
}

fn put_text(element: &Element, name: &str, read: &dyn Fn() -> Option<String>) {
    match read() {
        Some(text) => Rndr::set_attribute(element, name, &text),
        None => Rndr::remove_attribute(element, name),
    }
}

fn put_property(element: &Element, name: &str, read: &dyn Fn() -> JsValue) {
    Rndr::set_property_or_value(element, name, &read());
}

/// An effect that puts on the element what it reads.
fn follow<T: 'static>(
    element: &Element,
    put: fn(&Element, &str, &dyn Fn() -> T),
    name: &'static str,
    read: Rc<dyn Fn() -> T>,
) -> Held {
    let element = element.clone();
    Held::Effect { _runs: RenderEffect::new(move |_| put(&element, name, &*read)) }
}

/// Whether a text stands there already.
fn stands(before: Option<&List>, name: &str, wanted: &str) -> bool {
    let same = |(known, value): &(&str, Value)| {
        *known == name && matches!(value, Value::Text(text) | Value::Markup(text) if text == wanted)
    };
    before.is_some_and(|before| before.iter().any(same))
}

impl Attribute for Attributes {
    const MIN_LENGTH: usize = 0;

    type State = Set;
    type AsyncOutput = Attributes;
    type Cloneable = Attributes;
    type CloneableOwned = Attributes;

    fn build(self, element: &Element) -> Set {
        let list = Rc::clone(&self.0);
        let held = set(element, &list, None);
        Set { element: element.clone(), list, held }
    }

    fn rebuild(self, state: &mut Set) {
        state.held.clear();
        let list = Rc::clone(&self.0);
        for (name, value) in state.list.iter() {
            let stays = list.iter().any(|(known, _)| known == name);
            match value {
                Value::Text(_) | Value::Live(_) if !stays => Rndr::remove_attribute(&state.element, name),
                Value::Markup(_) if !stays => Rndr::set_inner_html(&state.element, ""),
                _ => {}
            }
        }
        state.held = set(&state.element, &list, Some(&state.list));
        state.list = list;
    }

    fn html_len(&self) -> usize {
        0
    }

    // There is no server that writes pages: everything is built in the browser.
    fn to_html(self, _: &mut String, _: &mut String, _: &mut String, _: &mut String) {}

    fn hydrate<const FROM_SERVER: bool>(self, element: &Element) -> Set {
        self.build(element)
    }

    fn into_cloneable(self) -> Attributes {
        self
    }

    fn into_cloneable_owned(self) -> Attributes {
        self
    }

    fn dry_resolve(&mut self) {}

    async fn resolve(self) -> Attributes {
        self
    }

    fn keys(&self) -> Vec<NamedAttributeKey> {
        let name = |(name, value): &(&'static str, Value)| match value {
            Value::Text(_) | Value::Live(_) => Some(NamedAttributeKey::Attribute((*name).into())),
            _ => None,
        };
        self.0.iter().filter_map(name).collect()
    }
}

impl NextAttribute for Attributes {
    type Output<NewAttr: Attribute> = Vec<leptos::attr::any_attribute::AnyAttribute>;

    fn add_any_attr<NewAttr: Attribute>(self, new_attr: NewAttr) -> Self::Output<NewAttr> {
        use leptos::attr::any_attribute::IntoAnyAttribute;
        vec![self.into_any_attr(), new_attr.into_any_attr()]
    }
}
