//! A value of a file with where it is written. A tree is never changed: a patch makes a new one that shares
//! all that it does not touch.

use super::path::{Path, Step};
use std::ops::Range;
use std::sync::Arc;

/// A value and where it is written.
#[derive(Debug)]
pub struct Node {
    /// The text that it is written in.
    pub(crate) source: Arc<str>,
    /// Where in it.
    pub(crate) span: Range<usize>,
    /// Where, in the text of what it is inside of, it stands in the place of what was there; none where
    /// it is written there itself.
    pub(crate) instead: Option<Range<usize>>,
    pub(crate) value: Value,
}

#[derive(Clone, Debug)]
pub(crate) enum Value {
    /// A text in quotes, as it is meant.
    Text(Arc<str>),
    /// A number, as it is written.
    Number,
    Char(char),
    /// A word alone: a choice, `true`, `None`.
    Word(Arc<str>),
    /// Round brackets: fields, all with a name, or values, all without; perhaps with a word before.
    Group(Option<Arc<str>>, Vec<Item>),
    List(Vec<Arc<Node>>),
    Map(Vec<(Arc<Node>, Arc<Node>)>),
}

/// What stands in round brackets.
#[derive(Clone, Debug)]
pub(crate) struct Item {
    pub name: Option<Name>,
    pub node: Arc<Node>,
}

/// The name of a field and where it is written; nowhere where a patch has put it in.
#[derive(Clone, Debug)]
pub(crate) struct Name {
    pub text: Arc<str>,
    pub at: Option<usize>,
}

impl Node {
    /// The value as it is written.
    pub fn written(&self) -> &str {
        &self.source[self.span.clone()]
    }

    /// The text, where it is one.
    pub fn text(&self) -> Option<&str> {
        match &self.value {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The value of a field.
    pub fn field(&self, name: &str) -> Option<&Node> {
        let is = |item: &&Item| item.name.as_ref().is_some_and(|n| &*n.text == name);
        match &self.value {
            Value::Group(_, items) => items.iter().find(is).map(|i| &*i.node),
            _ => None,
        }
    }

    /// One step further in.
    pub fn child(&self, step: &Step) -> Option<&Node> {
        let node = match (step, &self.value) {
            (Step::Field(name), _) => return self.field(name),
            (Step::Index(i), Value::Group(_, items)) => items.get(*i).map(|item| &item.node),
            (Step::Index(i), Value::List(nodes)) => nodes.get(*i),
            (Step::Index(i), Value::Map(pairs)) => pairs.get(*i).map(|(_, value)| value),
            _ => None,
        };
        node.map(|n| &**n)
    }

    /// The value at the end of a path.
    pub fn at(&self, steps: &[Step]) -> Option<&Node> {
        steps.iter().try_fold(self, |node, step| node.child(step))
    }

    /// The value at the end of a path, or as far as the path is there.
    pub(crate) fn reached(&self, steps: &[Step]) -> &Node {
        let mut node = self;
        for step in steps {
            match node.child(step) {
                Some(child) => node = child,
                None => break,
            }
        }
        node
    }

    /// How many values are directly inside its brackets.
    pub fn count(&self) -> usize {
        match &self.value {
            Value::Group(_, items) => items.len(),
            Value::List(nodes) => nodes.len(),
            Value::Map(pairs) => pairs.len(),
            _ => 0,
        }
    }

    /// Names of its fields.
    pub fn field_names(&self) -> impl Iterator<Item = &str> {
        let items: &[Item] = match &self.value {
            Value::Group(_, items) => items,
            _ => &[],
        };
        items.iter().filter_map(|i| Some(&*i.name.as_ref()?.text))
    }

    /// Where the name of one of its fields is written.
    pub(crate) fn name_at(&self, name: &str) -> Option<usize> {
        let Value::Group(_, items) = &self.value else {
            return None;
        };
        let mut names = items.iter().filter_map(|i| i.name.as_ref());
        names.find(|n| &*n.text == name)?.at
    }

    /// Name or initials of an element of a list.
    pub fn own_name(&self) -> Option<&str> {
        let of = |field| self.field(field)?.text();
        of("name").or_else(|| of("initials"))
    }

    /// Paths to every field of a name that holds a text, in the order of the file.
    pub fn paths_to(&self, name: &str, text: &str) -> Vec<Path> {
        let mut found = Vec::new();
        self.walk(|path, own, node| {
            if own.is_some_and(|own| &*own.text == name) && node.text() == Some(text) {
                found.push(path.clone());
            }
            true
        });
        found
    }

    /// Paths to all values within that are so, in the order of the file; the first sixteen.
    pub(crate) fn paths_where(&self, so: impl Fn(&Node) -> bool) -> Vec<Path> {
        const MOST: usize = 16;
        let mut found = Vec::new();
        self.walk(|path, _, node| {
            if so(node) {
                found.push(path.clone());
            }
            found.len() < MOST
        });
        found
    }

    /// Goes through this value and all within, in the order of the file, each with its path and the name it stands
    /// under, for as long as `more` is wanted.
    fn walk(&self, mut more: impl FnMut(&Path, Option<&Name>, &Node) -> bool) {
        let mut open = vec![(Path::default(), None, self)];
        while let Some((path, own, node)) = open.pop() {
            if !more(&path, own, node) {
                return;
            }
            let inside = node.inside().into_iter().enumerate().rev();
            open.extend(inside.map(|(i, (own, child))| match own {
                Some(name) => (path.then(Step::Field(name.text.to_string())), own, child),
                None => (path.then(Step::Index(i)), own, child),
            }));
        }
    }

    /// What one step from here may be called.
    pub(crate) fn known(&self) -> Vec<String> {
        let fields: Vec<String> = self.field_names().map(str::to_owned).collect();
        if !fields.is_empty() {
            return fields;
        }
        let each = |i: usize| {
            let name = self.child(&Step::Index(i)).and_then(Node::own_name);
            name.map_or_else(|| i.to_string(), str::to_owned)
        };
        (0..self.count()).map(each).collect()
    }

    /// Whether a field can be put in.
    pub(crate) fn takes_fields(&self) -> bool {
        match &self.value {
            Value::Group(_, items) => items.iter().all(|i| i.name.is_some()),
            _ => false,
        }
    }

    /// What is directly inside its brackets, with the name where it has one.
    fn inside(&self) -> Vec<(Option<&Name>, &Node)> {
        match &self.value {
            Value::Group(_, items) => items.iter().map(|i| (i.name.as_ref(), &*i.node)).collect(),
            Value::List(nodes) => nodes.iter().map(|n| (None, &**n)).collect(),
            Value::Map(pairs) => pairs.iter().map(|(_, value)| (None, &**value)).collect(),
            _ => Vec::new(),
        }
    }

    /// Where it stands in the text of what it is inside of.
    pub(crate) fn stands(&self) -> Range<usize> {
        self.instead.clone().unwrap_or_else(|| self.span.clone())
    }

    /// The whole text of which this is the value, with all that patches have put in.
    pub(crate) fn rendered(&self) -> String {
        let outside = if self.instead.is_some() {
            0..0
        } else {
            self.span.clone()
        };
        let mut text = self.source[..outside.start].to_owned();
        self.render(&mut text);
        if self.instead.is_none() {
            text.push_str(&self.source[outside.end..]);
        }
        text
    }

    /// The value as it would be written, with all that patches have put in.
    #[cfg(test)]
    pub(crate) fn rendered_value(&self) -> String {
        let mut text = String::new();
        self.render(&mut text);
        text
    }

    fn render(&self, into: &mut String) {
        let mut from = self.span.start;
        for (i, (name, child)) in self.inside().into_iter().enumerate() {
            let stands = child.stands();
            into.push_str(&self.source[from..stands.start]);
            if let Some(put_in) = name.filter(|n| n.at.is_none()) {
                into.push_str(if i == 0 { "" } else { ", " });
                into.push_str(&put_in.text);
                into.push_str(": ");
            }
            child.render(into);
            from = stands.end;
        }
        into.push_str(&self.source[from..self.span.end]);
    }
}
