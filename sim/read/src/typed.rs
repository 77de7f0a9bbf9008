//! Typed values out of a tree, by serde; what does not fit is told with the path to the very value.

use super::diagnostics::{Wrong, did_you_mean, nearest};
use super::number;
use super::path::{Path, Step};
use super::tree::{Item, Node, Value};
use serde::de::value::StrDeserializer;
use serde::de::{
    self, DeserializeOwned, DeserializeSeed, Deserializer, EnumAccess, Error as _, MapAccess,
    SeqAccess, Unexpected, VariantAccess, Visitor,
};
use std::fmt;
use std::sync::Arc;

/// A value of a type, from its node.
pub(crate) fn from_node<T: DeserializeOwned>(node: &Node) -> Result<T, Fault> {
    T::deserialize(Of(node))
}

/// What does not fit a type, and where.
#[derive(Clone, Debug)]
pub struct Fault(Box<Inner>);

#[derive(Clone, Debug)]
struct Inner {
    wrong: Wrong,
    remedy: Option<String>,
    /// Steps to the value, the last first.
    steps: Vec<Inward>,
    /// The name of the field that is meant, where it is not a value.
    name: Option<String>,
}

/// A step inward; one that only tells the place, as into what a choice wraps, is not shown.
#[derive(Clone, Debug)]
enum Inward {
    Shown(Step),
    Hidden(Step),
}

const WRAPPED: Inward = Inward::Hidden(Step::Index(0));

impl Fault {
    fn new(wrong: Wrong, remedy: Option<String>) -> Fault {
        Fault(Box::new(Inner {
            wrong,
            remedy,
            steps: Vec::new(),
            name: None,
        }))
    }

    /// There is no such part.
    pub(crate) fn missing() -> Fault {
        Fault::custom("there is nothing here")
    }

    fn within(mut self, step: Inward) -> Fault {
        self.0.steps.push(step);
        self
    }

    /// A name is wrong and not the value it names.
    fn of_name(mut self, name: &str) -> Fault {
        self.0.name = Some(name.to_owned());
        self
    }

    pub(crate) fn wrong(&self) -> &Wrong {
        &self.0.wrong
    }

    pub(crate) fn remedy(&self) -> Option<&str> {
        self.0.remedy.as_deref()
    }

    pub(crate) fn name(&self) -> Option<&str> {
        self.0.name.as_deref()
    }

    /// The path to the very value.
    pub(crate) fn spot(&self) -> Path {
        let step = |s: &Inward| match s {
            Inward::Shown(step) | Inward::Hidden(step) => step.clone(),
        };
        Path(self.0.steps.iter().rev().map(step).collect())
    }

    /// The path as it is shown.
    pub(crate) fn shown(&self) -> Path {
        let step = |s: &Inward| match s {
            Inward::Shown(step) => Some(step.clone()),
            Inward::Hidden(_) => None,
        };
        Path(self.0.steps.iter().rev().filter_map(step).collect())
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        self.0.wrong.fmt(f)
    }
}

impl std::error::Error for Fault {}

impl de::Error for Fault {
    fn custom<T: fmt::Display>(words: T) -> Fault {
        Fault::new(Wrong::Value(words.to_string()), None)
    }

    fn invalid_type(found: Unexpected, expected: &dyn de::Expected) -> Fault {
        Fault::custom(format!("this should be {expected}, not {}", words(&found)))
    }

    fn invalid_value(found: Unexpected, expected: &dyn de::Expected) -> Fault {
        Fault::invalid_type(found, expected)
    }

    fn invalid_length(length: usize, expected: &dyn de::Expected) -> Fault {
        let values = if length == 1 { "value" } else { "values" };
        Fault::custom(format!("this should be {expected}, not {length} {values}"))
    }

    fn unknown_variant(found: &str, known: &'static [&'static str]) -> Fault {
        let wrong = Wrong::UnknownChoice {
            found: found.to_owned(),
            known: known.join(", "),
        };
        Fault::new(wrong, did_you_mean(nearest(found, known.iter().copied())))
    }

    fn unknown_field(found: &str, known: &'static [&'static str]) -> Fault {
        let wrong = Wrong::UnknownField {
            found: found.to_owned(),
            known: known.join(", "),
        };
        Fault::new(wrong, did_you_mean(nearest(found, known.iter().copied())))
    }

    fn missing_field(field: &'static str) -> Fault {
        Fault::new(Wrong::MissingField(field.to_owned()), None)
    }

    fn duplicate_field(field: &'static str) -> Fault {
        Fault::new(Wrong::Twice(field.to_owned()), None)
    }
}

fn words(found: &Unexpected) -> String {
    match found {
        Unexpected::Unit | Unexpected::UnitVariant => "a word alone".to_owned(),
        Unexpected::Map | Unexpected::StructVariant => "a set of fields".to_owned(),
        Unexpected::Seq | Unexpected::TupleVariant => "a list".to_owned(),
        Unexpected::Str(text) => format!("the text {text:?}"),
        Unexpected::Unsigned(n) => format!("the number {n}"),
        Unexpected::Signed(n) => format!("the number {n}"),
        Unexpected::Float(n) => format!("the number {n}"),
        other => other.to_string(),
    }
}

/// A value to be read as a type.
#[derive(Clone, Copy)]
struct Of<'a>(&'a Node);

impl<'a> Of<'a> {
    fn should_be(self, what: &str, remedy: Option<String>) -> Fault {
        let wrong = format!("this should be {what}, not `{}`", snippet(self.0.written()));
        Fault::new(Wrong::Value(wrong), remedy)
    }

    fn no_text(self) -> Fault {
        let found = self.0.written();
        let remedy = matches!(self.0.value, Value::Number)
            .then(|| format!("write it in quotes with its unit, such as \"{found} bar\""));
        self.should_be("a text in quotes", remedy)
    }

    fn no_fields(self) -> Fault {
        let how = "write fields in round brackets, (name: value, ...)";
        self.should_be("a set of fields", Some(how.to_owned()))
    }

    fn word(self) -> Option<&'a str> {
        match &self.0.value {
            Value::Word(word) => Some(word),
            _ => None,
        }
    }

    /// What `Some(...)` wraps.
    fn wrapped(self) -> Option<&'a Node> {
        match &self.0.value {
            Value::Group(Some(word), items) if &**word == "Some" => match items.as_slice() {
                [Item { name: None, node }] => Some(node),
                _ => None,
            },
            _ => None,
        }
    }

    fn whole_number(self, kind: &str) -> Result<i128, Fault> {
        let none = || self.should_be("a whole number within its bounds and not negative", None);
        if !matches!(self.0.value, Value::Number) {
            return Err(none());
        }
        match number::integer(self.0.written()) {
            Some((value, named)) if named.is_none_or(|n| n == kind) => Ok(value),
            _ => Err(none()),
        }
    }

    fn any_number(self) -> Option<f64> {
        let is_number = matches!(self.0.value, Value::Number);
        let word = self.word().filter(|w| matches!(*w, "inf" | "NaN"));
        let written = word.or(is_number.then(|| self.0.written()))?;
        number::float(written)
    }

    /// Fields in round brackets, given to a visitor of fields.
    fn fields<V: Visitor<'a>>(self, items: &'a [Item], visitor: V) -> Result<V::Value, Fault> {
        if items.iter().any(|i| i.name.is_none()) {
            return Err(self.no_fields());
        }
        visitor.visit_map(Fields { items, at: 0 })
    }

    /// Values in round brackets, given to a visitor of a row.
    fn row<V: Visitor<'a>>(self, items: &'a [Item], visitor: V) -> Result<V::Value, Fault> {
        if items.iter().any(|i| i.name.is_some()) {
            return Err(self.no_fields());
        }
        let mut nodes = Row::new(items.iter().map(|i| &i.node));
        let made = visitor.visit_seq(&mut nodes)?;
        let over = nodes.nodes.len();
        if over > 0 {
            let words = format!("{over} more than belong in this bracket");
            return Err(Fault::custom(words));
        }
        Ok(made)
    }
}

macro_rules! whole_numbers {
    ($($method:ident $visit:ident $kind:ident)*) => {$(
        fn $method<V: Visitor<'a>>(self, visitor: V) -> Result<V::Value, Fault> {
            let value = self.whole_number(stringify!($kind))?;
            let fits = $kind::try_from(value);
            let bad = |_| self.should_be("a whole number within its bounds and not negative", None);
            visitor.$visit(fits.map_err(bad)?)
        }
    )*};
}

impl<'a> Deserializer<'a> for Of<'a> {
    type Error = Fault;

    fn deserialize_any<V: Visitor<'a>>(self, visitor: V) -> Result<V::Value, Fault> {
        match &self.0.value {
            Value::Text(text) => visitor.visit_str(text),
            Value::Number => match number::integer(self.0.written()) {
                Some((value, _)) => match (u64::try_from(value), i64::try_from(value)) {
                    (Ok(n), _) => visitor.visit_u64(n),
                    (_, Ok(n)) => visitor.visit_i64(n),
                    _ => self.deserialize_f64(visitor),
                },
                None => self.deserialize_f64(visitor),
            },
            Value::Char(c) => visitor.visit_char(*c),
            Value::Word(word) => match &**word {
                "true" => visitor.visit_bool(true),
                "false" => visitor.visit_bool(false),
                "None" => visitor.visit_none(),
                "inf" | "NaN" => self.deserialize_f64(visitor),
                _ => visitor.visit_unit(),
            },
            Value::Group(_, items) => match self.wrapped() {
                Some(node) => visitor.visit_some(Of(node)).map_err(|f| f.within(WRAPPED)),
                None if items.iter().any(|i| i.name.is_some()) => self.fields(items, visitor),
                None if items.is_empty() => visitor.visit_unit(),
                None => self.row(items, visitor),
            },
            Value::List(nodes) => visitor.visit_seq(&mut Row::new(nodes.iter())),
            Value::Map(pairs) => visitor.visit_map(Pairs { pairs, at: 0 }),
        }
    }

    fn deserialize_bool<V: Visitor<'a>>(self, visitor: V) -> Result<V::Value, Fault> {
        match self.word() {
            Some("true") => visitor.visit_bool(true),
            Some("false") => visitor.visit_bool(false),
            _ => Err(self.should_be("true or false", None)),
        }
    }

    whole_numbers! {
        deserialize_i8 visit_i8 i8
        deserialize_i16 visit_i16 i16
        deserialize_i32 visit_i32 i32
        deserialize_i64 visit_i64 i64
        deserialize_u8 visit_u8 u8
        deserialize_u16 visit_u16 u16
        deserialize_u32 visit_u32 u32
        deserialize_u64 visit_u64 u64
    }

    fn deserialize_f32<V: Visitor<'a>>(self, visitor: V) -> Result<V::Value, Fault> {
        self.deserialize_f64(visitor)
    }

    fn deserialize_f64<V: Visitor<'a>>(self, visitor: V) -> Result<V::Value, Fault> {
        let number = self.any_number();
        visitor.visit_f64(number.ok_or_else(|| self.should_be("a number", None))?)
    }

    fn deserialize_char<V: Visitor<'a>>(self, visitor: V) -> Result<V::Value, Fault> {
        match self.0.value {
            Value::Char(c) => visitor.visit_char(c),
            _ => Err(self.should_be("one character in single quotes", None)),
        }
    }

    fn deserialize_str<V: Visitor<'a>>(self, visitor: V) -> Result<V::Value, Fault> {
        visitor.visit_str(self.0.text().ok_or_else(|| self.no_text())?)
    }

    fn deserialize_string<V: Visitor<'a>>(self, visitor: V) -> Result<V::Value, Fault> {
        self.deserialize_str(visitor)
    }

    fn deserialize_bytes<V: Visitor<'a>>(self, _: V) -> Result<V::Value, Fault> {
        Err(self.should_be("bytes", None))
    }

    fn deserialize_byte_buf<V: Visitor<'a>>(self, visitor: V) -> Result<V::Value, Fault> {
        self.deserialize_bytes(visitor)
    }

    fn deserialize_option<V: Visitor<'a>>(self, visitor: V) -> Result<V::Value, Fault> {
        if self.word() == Some("None") {
            return visitor.visit_none();
        }
        match self.wrapped() {
            Some(node) => visitor.visit_some(Of(node)).map_err(|f| f.within(WRAPPED)),
            None => visitor.visit_some(self),
        }
    }

    fn deserialize_unit<V: Visitor<'a>>(self, visitor: V) -> Result<V::Value, Fault> {
        match &self.0.value {
            Value::Group(None, items) if items.is_empty() => visitor.visit_unit(),
            _ => Err(self.should_be("()", None)),
        }
    }

    fn deserialize_unit_struct<V: Visitor<'a>>(
        self,
        name: &'static str,
        visitor: V,
    ) -> Result<V::Value, Fault> {
        match self.word() {
            Some(word) if word == name => visitor.visit_unit(),
            _ => self.deserialize_unit(visitor),
        }
    }

    fn deserialize_newtype_struct<V: Visitor<'a>>(
        self,
        _: &'static str,
        visitor: V,
    ) -> Result<V::Value, Fault> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_seq<V: Visitor<'a>>(self, visitor: V) -> Result<V::Value, Fault> {
        match &self.0.value {
            Value::List(nodes) => visitor.visit_seq(&mut Row::new(nodes.iter())),
            _ => {
                let how = "write a list in square brackets, [ ... ]";
                Err(self.should_be("a list", Some(how.to_owned())))
            }
        }
    }

    fn deserialize_tuple<V: Visitor<'a>>(self, _: usize, visitor: V) -> Result<V::Value, Fault> {
        match &self.0.value {
            Value::Group(None, items) => self.row(items, visitor),
            _ => Err(self.no_fields()),
        }
    }

    fn deserialize_tuple_struct<V: Visitor<'a>>(
        self,
        name: &'static str,
        _: usize,
        visitor: V,
    ) -> Result<V::Value, Fault> {
        match &self.0.value {
            Value::Group(word, items) if word.as_deref().is_none_or(|w| w == name) => {
                self.row(items, visitor)
            }
            _ => Err(self.no_fields()),
        }
    }

    fn deserialize_map<V: Visitor<'a>>(self, visitor: V) -> Result<V::Value, Fault> {
        match &self.0.value {
            Value::Map(pairs) => visitor.visit_map(Pairs { pairs, at: 0 }),
            _ => Err(self.should_be("pairs in curly brackets", None)),
        }
    }

    fn deserialize_struct<V: Visitor<'a>>(
        self,
        name: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Fault> {
        match &self.0.value {
            Value::Group(word, items) if word.as_deref().is_none_or(|w| w == name) => {
                self.fields(items, visitor)
            }
            _ => Err(self.no_fields()),
        }
    }

    fn deserialize_enum<V: Visitor<'a>>(
        self,
        _: &'static str,
        known: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Fault> {
        let word = match &self.0.value {
            Value::Word(word) | Value::Group(Some(word), _) => word,
            _ => {
                let near = self
                    .0
                    .text()
                    .and_then(|t| nearest(t, known.iter().copied()));
                let how = near.map(|n| format!("write {n}, without quotes"));
                return Err(self.should_be(&format!("one of {}", known.join(", ")), how));
            }
        };
        visitor.visit_enum(Choice { of: self, word })
    }

    fn deserialize_identifier<V: Visitor<'a>>(self, visitor: V) -> Result<V::Value, Fault> {
        match &self.0.value {
            Value::Word(word) => visitor.visit_str(word),
            _ => self.deserialize_str(visitor),
        }
    }

    fn deserialize_ignored_any<V: Visitor<'a>>(self, visitor: V) -> Result<V::Value, Fault> {
        visitor.visit_unit()
    }
}

/// Values one after the other.
struct Row<I> {
    nodes: I,
    at: usize,
}

impl<'a, I: ExactSizeIterator<Item = &'a Arc<Node>>> Row<I> {
    fn new(nodes: I) -> Row<I> {
        Row { nodes, at: 0 }
    }
}

impl<'a, I: ExactSizeIterator<Item = &'a Arc<Node>>> SeqAccess<'a> for &mut Row<I> {
    type Error = Fault;

    fn next_element_seed<S: DeserializeSeed<'a>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Fault> {
        let Some(node) = self.nodes.next() else {
            return Ok(None);
        };
        let step = Step::Index(self.at);
        self.at += 1;
        let made = seed.deserialize(Of(node));
        made.map(Some).map_err(|f| f.within(Inward::Shown(step)))
    }

    fn size_hint(&self) -> Option<usize> {
        Some(self.nodes.len())
    }
}

/// Fields with their values.
struct Fields<'a> {
    items: &'a [Item],
    at: usize,
}

impl<'a> MapAccess<'a> for Fields<'a> {
    type Error = Fault;

    fn next_key_seed<S: DeserializeSeed<'a>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Fault> {
        let Some(Item {
            name: Some(name), ..
        }) = self.items.get(self.at)
        else {
            return Ok(None);
        };
        let is = |i: &Item| i.name.as_ref().is_some_and(|n| n.text == name.text);
        if self.items[..self.at].iter().any(is) {
            return Err(Fault::new(Wrong::Twice(name.text.to_string()), None)
                .within(Inward::Hidden(Step::Index(self.at))));
        }
        let key = seed.deserialize(StrDeserializer::<Fault>::new(&name.text));
        key.map(Some).map_err(|f| f.of_name(&name.text))
    }

    fn next_value_seed<S: DeserializeSeed<'a>>(&mut self, seed: S) -> Result<S::Value, Fault> {
        let Some(Item {
            name: Some(name),
            node,
        }) = self.items.get(self.at)
        else {
            return Err(Fault::custom("a field without a value"));
        };
        self.at += 1;
        let step = || Inward::Shown(Step::Field(name.text.to_string()));
        seed.deserialize(Of(node)).map_err(|f| f.within(step()))
    }
}

/// Pairs of values.
struct Pairs<'a> {
    pairs: &'a [(Arc<Node>, Arc<Node>)],
    at: usize,
}

impl<'a> MapAccess<'a> for Pairs<'a> {
    type Error = Fault;

    fn next_key_seed<S: DeserializeSeed<'a>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Fault> {
        let pair = self.pairs.get(self.at);
        let step = Inward::Shown(Step::Index(self.at));
        let key = pair.map(|(key, _)| seed.deserialize(Of(key)));
        key.transpose().map_err(|f| f.within(step))
    }

    fn next_value_seed<S: DeserializeSeed<'a>>(&mut self, seed: S) -> Result<S::Value, Fault> {
        let Some((_, value)) = self.pairs.get(self.at) else {
            return Err(Fault::custom("a key without a value"));
        };
        let step = Inward::Shown(Step::Index(self.at));
        self.at += 1;
        seed.deserialize(Of(value)).map_err(|f| f.within(step))
    }
}

/// A choice, perhaps with something in its brackets.
struct Choice<'a> {
    of: Of<'a>,
    word: &'a str,
}

impl<'a> Choice<'a> {
    fn items(&self) -> Option<&'a [Item]> {
        match &self.of.0.value {
            Value::Group(_, items) => Some(items),
            _ => None,
        }
    }

    fn wants(&self, what: &str) -> Fault {
        let word = self.word;
        let how = format!("write {word}({what})");
        Fault::new(
            Wrong::Value(format!("`{word}` is written {word}({what})")),
            Some(how),
        )
    }
}

impl<'a> EnumAccess<'a> for Choice<'a> {
    type Error = Fault;
    type Variant = Self;

    fn variant_seed<S: DeserializeSeed<'a>>(self, seed: S) -> Result<(S::Value, Self), Fault> {
        let variant = seed.deserialize(StrDeserializer::<Fault>::new(self.word))?;
        Ok((variant, self))
    }
}

impl<'a> VariantAccess<'a> for Choice<'a> {
    type Error = Fault;

    fn unit_variant(self) -> Result<(), Fault> {
        match self.items() {
            None => Ok(()),
            Some(_) => {
                let word = self.word;
                let words = format!("`{word}` has nothing in brackets");
                Err(Fault::new(
                    Wrong::Value(words),
                    Some(format!("write {word}")),
                ))
            }
        }
    }

    fn newtype_variant_seed<S: DeserializeSeed<'a>>(self, seed: S) -> Result<S::Value, Fault> {
        match self.items() {
            Some([Item { name: None, node }]) => {
                let made = seed.deserialize(Of(node));
                made.map_err(|f| f.within(WRAPPED))
            }
            _ => Err(self.wants("value")),
        }
    }

    fn tuple_variant<V: Visitor<'a>>(self, _: usize, visitor: V) -> Result<V::Value, Fault> {
        match self.items() {
            Some(items) => self.of.row(items, visitor),
            None => Err(self.wants("value, ...")),
        }
    }

    fn struct_variant<V: Visitor<'a>>(
        self,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Fault> {
        match self.items() {
            Some(items) => self.of.fields(items, visitor),
            None => Err(self.wants("name: value, ...")),
        }
    }
}

fn snippet(found: &str) -> String {
    const SHOWN: usize = 24;
    let line = found.lines().next().unwrap_or("");
    if line.chars().count() > SHOWN || found.lines().count() > 1 {
        line.chars().take(SHOWN).chain("...".chars()).collect()
    } else {
        line.to_owned()
    }
}
