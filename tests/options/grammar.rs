//! The fields of the grammar by its JSON Schema, and those that a path goes through. A rule set, the figures of harm and
//! the voices are left out: their rows have tests of their own.

use deepstay::scenario::{SchemaOf, schema};
use serde_json::Value;
use std::collections::BTreeSet;

/// A definition (with the choice of it), and a field.
pub type Field = (String, String);

pub struct Grammar(Value);

impl Grammar {
    pub fn of_a_job() -> Grammar {
        Grammar(serde_json::to_value(schema(SchemaOf::Job)).expect("a schema is JSON"))
    }

    /// What a value may be: each with the name it goes by.
    fn forms<'a>(&'a self, name: &str, node: &'a Value) -> Vec<(String, &'a Value)> {
        if let Some(of) = node["$ref"].as_str() {
            let of = of.rsplit('/').next().expect("a name");
            if ["RuleSet", "HarmFile", "VoicesFile"].contains(&of) {
                return Vec::new();
            }
            return self.forms(of, &self.0["$defs"][of]);
        }
        let mut found = Vec::new();
        for choices in ["anyOf", "oneOf", "allOf"] {
            for choice in node[choices].as_array().into_iter().flatten() {
                found.extend(self.forms(name, choice));
            }
        }
        let Some(fields) = node["properties"].as_object() else {
            if node["type"] == "array" || node["type"][0] == "array" {
                found.push((name.to_owned(), node));
            }
            return found;
        };
        // A choice with something in it is an object of one field that begins with a capital.
        match fields.iter().next() {
            Some((choice, inner)) if choice.starts_with(|c: char| c.is_ascii_uppercase()) => {
                found.extend(self.forms(&format!("{name}::{choice}"), inner));
            }
            _ => found.push((name.to_owned(), node)),
        }
        found
    }

    fn inside(form: &Value) -> Vec<&Value> {
        let fixed = form["prefixItems"].as_array().into_iter().flatten();
        fixed.chain(form.get("items")).collect()
    }

    /// Every field.
    pub fn fields(&self) -> BTreeSet<Field> {
        let mut found = BTreeSet::new();
        self.gather("JobFile", &self.0, &mut BTreeSet::new(), &mut found);
        found
    }

    fn gather<'a>(
        &'a self,
        name: &str,
        node: &'a Value,
        been: &mut BTreeSet<*const Value>,
        found: &mut BTreeSet<Field>,
    ) {
        for (name, form) in self.forms(name, node) {
            if !been.insert(std::ptr::from_ref(form)) {
                continue;
            }
            for (field, inner) in form["properties"].as_object().into_iter().flatten() {
                found.insert((name.clone(), field.clone()));
                self.gather(&name, inner, been, found);
            }
            for inner in Grammar::inside(form) {
                self.gather(&name, inner, been, found);
            }
        }
    }

    /// The fields that a path goes through.
    pub fn along(&self, path: &str) -> Vec<Field> {
        let (mut found, mut here) = (Vec::new(), vec![("JobFile".to_owned(), &self.0)]);
        for step in path.split('.') {
            let (field, elements) = step.split_once('[').map_or((step, 0), |(field, rest)| {
                (field, 1 + rest.matches('[').count())
            });
            let mut next = Vec::new();
            for (name, form) in here.iter().flat_map(|(name, node)| self.forms(name, node)) {
                if let Some(inner) = form["properties"].get(field) {
                    found.push((name.clone(), field.to_owned()));
                    next.push((name, inner));
                }
            }
            for _ in 0..elements {
                next = next
                    .iter()
                    .flat_map(|(name, node)| self.forms(name, node))
                    .flat_map(|(name, form)| {
                        Grammar::inside(form)
                            .into_iter()
                            .map(move |i| (name.clone(), i))
                    })
                    .collect();
            }
            here = next;
        }
        found
    }
}
