//! What a screen draws, as data: elements, texts, and the parts that follow what they read.
//!
//! Screens build a [`Node`]; [`view`] is the one place that makes leptos’ views of it. So every element, every handler and
//! every part that follows a signal is of one type, and its code is downloaded once and not once for each place it is used.

mod attributes;

use attributes::{Attributes, Value};
use leptos::html::custom;
use leptos::prelude::*;
use leptos::tachys::html::element::ElementChild;
use send_wrapper::SendWrapper;
use std::borrow::Cow;
use std::rc::Rc;

/// A piece of a screen.
pub enum Node {
    /// A text.
    Text(Text),
    /// An element.
    Tag(Tag),
    /// Several, one after the other.
    Many(Vec<Node>),
    /// One that is drawn anew whenever what it read has changed.
    Live(Box<dyn Fn() -> Node>),
}

/// A text: most are sentences that are there already.
pub type Text = Cow<'static, str>;

/// An element with its attributes, its handlers and what is in it. One pointer, because it is handed on at every word about it.
pub struct Tag(Box<Element>);

struct Element {
    name: &'static str,
    attributes: Vec<(&'static str, Value)>,
    children: Vec<Node>,
}

/// An element by its name, in capitals: so the document itself names it, and an element is kept where its name stays the same.
pub fn tag(name: &'static str) -> Tag {
    Tag(Box::new(Element { name, attributes: Vec::new(), children: Vec::new() }))
}

/// An element of a class; of none where it is empty.
pub fn classed(name: &'static str, class: &'static str) -> Tag {
    if class.is_empty() { tag(name) } else { tag(name).set("class", class) }
}

/// A `div` of a class.
pub fn div(class: &'static str) -> Tag {
    classed("DIV", class)
}

/// A paragraph of a class.
pub fn p(class: &'static str) -> Tag {
    classed("P", class)
}

/// A button that does something.
pub fn button(class: &'static str, press: impl Fn() + 'static) -> Tag {
    classed("BUTTON", class).set("type", "button").on("click", move |_| press())
}

/// A link.
pub fn link(class: &'static str, to: &str) -> Tag {
    classed("A", class).set("href", to.to_string())
}

/// What opens by a press on its heading.
pub fn details(class: &'static str, summary: impl Into<Node>) -> Tag {
    classed("DETAILS", class).put(classed("SUMMARY", "links__link").put(summary))
}

/// A button that stands back behind the large act.
pub fn ghost(press: impl Fn() + 'static) -> Tag {
    button("ghost", press)
}

/// A heading of the second rank.
pub fn h2(text: impl Into<Node>) -> Tag {
    tag("H2").put(text)
}

/// What was found, with its title.
pub fn finding(title: impl Into<Node>) -> Tag {
    classed("SECTION", "finding").put(classed("H2", "finding__title").put(title))
}

/// A sentence that begins with a signal word.
pub fn signal_line(word: &'static str, sentence: impl Into<Node>) -> Tag {
    p("signal__say").put(classed("STRONG", "signal__word").put(word)).put(" ").put(sentence)
}

/// A notice of one sentence, with its word.
pub fn notice(word: &'static str, sentence: impl Into<Node>) -> Tag {
    let say = classed("SPAN", "signal__say").put(classed("STRONG", "signal__word").put(word)).put(" ").put(sentence);
    p("signal signal--notice").put(say)
}

/// Done: the green dot and the word beside it.
pub fn done_line(text: &'static str) -> Tag {
    p("status").put(classed("SPAN", "status__dot")).put(text)
}

/// Not done, and why.
pub fn trouble_line(why: impl Into<Node>) -> Tag {
    p("status status--trouble").put(why)
}

/// Where a screen tells how it went, read out as it changes.
pub fn told(draw: impl Fn() -> Node + 'static) -> Node {
    tag("DIV").set("role", "status").set("aria-live", "polite").live(draw).into()
}

/// A table of facts: heads (the first over the rows’ names, empty where there is none), then rows; cells after the first are
/// numbers where `numbers` says so.
pub fn facts(heads: &[&str], rows: Vec<Vec<Node>>, numbers: bool) -> Tag {
    let class = if numbers { Some("facts__number") } else { None };
    let mut table = classed("TABLE", "facts");
    if !heads.is_empty() {
        let mut line = tag("TR");
        for (at, head) in heads.iter().enumerate() {
            line = line.put(match (at, head.is_empty()) {
                (0, true) => tag("TD"),
                (0, false) => tag("TH").set("scope", "col").put((*head).to_string()),
                _ => tag("TH").set("scope", "col").set_some("class", class).put((*head).to_string()),
            });
        }
        table = table.put(tag("THEAD").put(line));
    }
    let mut body = tag("TBODY");
    for row in rows {
        let mut line = tag("TR");
        for (at, cell) in row.into_iter().enumerate() {
            line = line.put(if at == 0 {
                tag("TH").set("scope", "row").put(cell)
            } else {
                tag("TD").set_some("class", class).put(cell)
            });
        }
        body = body.put(line);
    }
    table.put(body)
}

/// One labelled line of text, with what is wrong with it beneath; `input` is the bare input.
pub fn text_line(id: &str, label: impl Into<Node>, input: Tag, why: impl Fn() -> Option<String> + 'static) -> Node {
    let why: Rc<dyn Fn() -> Option<String>> = Rc::new(why);
    let (of_class, of_input) = (Rc::clone(&why), Rc::clone(&why));
    let why_id = format!("{id}-why");
    let input = input
        .id(id.to_string())
        .set("autocomplete", "off")
        .set("aria-describedby", why_id.clone())
        .live_set("aria-invalid", move || Some(of_input().is_some().to_string()));
    tag("DIV")
        .live_set("class", move || Some(if of_class().is_some() { "field field--wrong" } else { "field" }.to_string()))
        .put(classed("LABEL", "field__label").set("for", id.to_string()).put(label))
        .put(div("field__line").put(input))
        .put(p("field__complaint").id(why_id).live(move || why()))
        .into()
}

/// A part that is drawn anew whenever what it read has changed.
pub fn live<N: Into<Node>>(draw: impl Fn() -> N + 'static) -> Node {
    Node::Live(Box::new(move || draw().into()))
}

/// Several pieces, one after the other.
pub fn many(nodes: impl IntoIterator<Item = Node>) -> Node {
    Node::Many(nodes.into_iter().collect())
}

/// Nothing.
pub fn nothing() -> Node {
    Node::Many(Vec::new())
}

impl Tag {
    /// Adds an attribute.
    pub fn set(self, name: &'static str, value: impl Into<Text>) -> Tag {
        self.with(name, Value::Text(value.into()))
    }

    // Never inlined: it stands behind every word about an element.
    #[inline(never)]
    fn with(mut self, name: &'static str, value: Value) -> Tag {
        self.0.attributes.push((name, value));
        self
    }

    /// Adds an attribute where there is a value for it.
    pub fn set_some(self, name: &'static str, value: Option<impl Into<Text>>) -> Tag {
        match value {
            Some(value) => self.set(name, value),
            None => self,
        }
    }

    /// Its id.
    pub fn id(self, id: impl Into<Text>) -> Tag {
        self.set("id", id)
    }

    /// An attribute that follows what it reads; absent while there is no value.
    pub fn live_set(self, name: &'static str, value: impl Fn() -> Option<String> + 'static) -> Tag {
        self.with(name, Value::Live(Rc::new(value)))
    }

    /// The value that stands in an input.
    pub fn value(self, value: impl Fn() -> String + 'static) -> Tag {
        self.with("value", Value::Property(Rc::new(move || value().into())))
    }

    /// Whether an input or an option is chosen: the property’s name, and whether.
    pub fn chosen(self, property: &'static str, is_chosen: impl Fn() -> bool + 'static) -> Tag {
        self.with(property, Value::Property(Rc::new(move || is_chosen().into())))
    }

    /// Markup that a picture was written as.
    pub fn markup(self, markup: impl Into<Text>) -> Tag {
        self.with("", Value::Markup(markup.into()))
    }

    /// What happens on an event.
    pub fn on(self, event: &'static str, act: impl Fn(web_sys::Event) + 'static) -> Tag {
        self.with(event, Value::On(Rc::new(act)))
    }

    /// What happens with the text of an input: on `input`, or on `change`.
    pub fn on_text(self, event: &'static str, act: impl Fn(String) + 'static) -> Tag {
        self.on(event, move |event| act(event_target_value(&event)))
    }

    /// Puts something in it, after what is in it already.
    pub fn put(self, child: impl Into<Node>) -> Tag {
        self.holding(child.into())
    }

    #[inline(never)]
    fn holding(mut self, child: Node) -> Tag {
        match child {
            Node::Many(nodes) => self.0.children.extend(nodes),
            node => self.0.children.push(node),
        }
        self
    }

    /// Puts in a part that follows what it reads.
    pub fn live<N: Into<Node>>(self, draw: impl Fn() -> N + 'static) -> Tag {
        self.put(live(draw))
    }
}

impl From<Tag> for Node {
    fn from(tag: Tag) -> Node {
        Node::Tag(tag)
    }
}

impl From<String> for Node {
    fn from(text: String) -> Node {
        Node::Text(Text::Owned(text))
    }
}

impl From<&String> for Node {
    fn from(text: &String) -> Node {
        Node::Text(Text::Owned(text.clone()))
    }
}

impl From<&'static str> for Node {
    fn from(text: &'static str) -> Node {
        Node::Text(Text::Borrowed(text))
    }
}

impl<N: Into<Node>> From<Option<N>> for Node {
    fn from(node: Option<N>) -> Node {
        node.map_or_else(nothing, Into::into)
    }
}

impl From<Vec<Node>> for Node {
    fn from(nodes: Vec<Node>) -> Node {
        Node::Many(nodes)
    }
}

/// The view of a node.
pub fn view(node: Node) -> AnyView {
    match node {
        Node::Text(text) => text.into_owned().into_any(),
        Node::Many(nodes) => views(nodes).into_any(),
        Node::Live(draw) => {
            // Effects of a page run on the thread that drew it: there is no other.
            let draw = SendWrapper::new(draw);
            (move || view(draw())).into_any()
        }
        Node::Tag(Tag(tag)) => {
            let element = custom(tag.name).add_any_attr(Attributes::new(tag.attributes));
            let mut children = tag.children;
            // A list carries a mark of its own in the document: a single child needs none.
            match children.len() {
                0 => element.into_any(),
                1 => element.child(children.pop().map(view)).into_any(),
                _ => element.child(views(children)).into_any(),
            }
        }
    }
}

fn views(nodes: Vec<Node>) -> Vec<AnyView> {
    nodes.into_iter().map(view).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What a person reads, parts that follow something as they stand now.
    fn text(node: &Node) -> String {
        match node {
            Node::Text(text) => text.to_string(),
            Node::Tag(Tag(element)) => element.children.iter().map(text).collect(),
            Node::Many(nodes) => nodes.iter().map(text).collect(),
            Node::Live(draw) => text(&draw()),
        }
    }

    #[test]
    fn what_is_put_in_is_read_in_its_order() {
        let count = std::cell::Cell::new(0);
        let drawn =
            div("stack").put("Jobs: ").put(many(["two".into(), ", ".into()])).put(None::<Tag>).live(move || {
                count.set(count.get() + 1);
                count.get().to_string()
            });
        let Tag(element) = &drawn;
        assert_eq!(element.children.len(), 4, "several are put in one by one, and nothing takes no place");
        let drawn = Node::from(drawn);
        assert_eq!([text(&drawn), text(&drawn)], ["Jobs: two, 1", "Jobs: two, 2"]);
    }

    #[test]
    fn a_table_has_the_heads_and_numbers_it_is_given() {
        let table = facts(&["", "A"], vec![vec!["volts".into(), "120".into()], vec!["amps".into(), "5".into()]], true);
        assert_eq!(text(&table.into()), "Avolts120amps5");
    }

    #[test]
    fn no_class_is_no_attribute() {
        let Tag(plain) = classed("DIV", "");
        let Tag(of_class) = classed("DIV", "card");
        assert_eq!([plain.attributes.len(), of_class.attributes.len()], [0, 1]);
    }
}
