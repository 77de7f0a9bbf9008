//! The figures of a summary by their ids: the path in the file, with rows by their names. A name is written with
//! letters, digits, points and dashes alone, so that an id needs no quotes in a shell.

use super::folder::Kind;
use super::id::in_id;
use serde_json::Value;

/// A number in a summary.
pub(super) struct Found<'a> {
    /// Its id, such as `job/gas/banks/M-1/end_mol`.
    pub id: String,
    /// The number as it is printed.
    pub written: String,
    /// Its value.
    pub value: f64,
    /// Where it is in the file, as a JSON pointer.
    pub pointer: String,
    /// The names along its path, as they are.
    pub names: Vec<String>,
    /// The rows of lists that it lies in, outermost first.
    pub rows: Vec<&'a Value>,
}

impl Found<'_> {
    /// A field of the innermost row that has it, as text; a point leads into a field.
    pub fn field(&self, name: &str) -> Option<String> {
        let inside = |row: &'_ Value| {
            name.split('.')
                .try_fold(row.clone(), |at, f| at.get(f).cloned())
        };
        let of = |row: &&Value| match inside(row)? {
            Value::String(text) => Some(text),
            Value::Number(number) => Some(number.to_string()),
            _ => None,
        };
        self.rows.iter().rev().find_map(of)
    }
}

/// By which fields the rows of a list are told apart; those of other lists by their place, from 1.
const NAMED_BY: [(&str, &[&str]); 28] = [
    ("banks", &["bank"]),
    ("species", &["species"]),
    ("people_unwell", &["diver"]),
    (
        "limits_crossed",
        &["compartment", "quantity", "side", "severity", "by"],
    ),
    ("attentions", &["compartment", "quantity", "side", "by"]),
    ("absorbent", &["compartment"]),
    ("canisters", &["canister"]),
    ("lock_runs", &["lock", "what"]),
    ("decompressions", &["compartment"]),
    ("positions", &["diver"]),
    ("work", &["task"]),
    ("divers", &["diver"]),
    ("rules", &["rule"]),
    ("under", &["rule_set"]),
    ("wishes", &["wish"]),
    ("gases", &["gas"]),
    ("rank_correlation", &["assumption"]),
    ("others", &["what"]),
    ("what_if", &["gas"]),
    ("minimums", &["of"]),
    ("posted", &["of"]),
    ("planned", &["bank", "purpose"]),
    ("answers", &["question"]),
    ("limits", &["question"]),
    ("load", &["item"]),
    ("least_numbers", &["rule"]),
    ("rates", &["rate"]),
    ("units", &["unit"]),
];

/// Rows of plain numbers by what they are.
const IN_ORDER: [(&str, &[&str]); 2] = [
    ("sleepiness", &["least", "middle", "most"]),
    ("jobs_asked", &["first", "end"]),
];

/// Every number of a summary, in the order of the file.
pub(super) fn all(kind: Kind, root: &Value) -> Vec<Found<'_>> {
    let mut walk = Walk {
        id: vec![kind.word().to_owned()],
        pointer: Vec::new(),
        names: Vec::new(),
        rows: Vec::new(),
        all: Vec::new(),
    };
    walk.value(root);
    walk.all
}

struct Walk<'a> {
    id: Vec<String>,
    pointer: Vec<String>,
    names: Vec<String>,
    rows: Vec<&'a Value>,
    all: Vec<Found<'a>>,
}

impl<'a> Walk<'a> {
    fn value(&mut self, value: &'a Value) {
        match value {
            Value::Number(number) => self.all.push(Found {
                id: self.id.join("/"),
                written: number.to_string(),
                value: number.as_f64().unwrap_or(f64::NAN),
                pointer: self.pointer.iter().map(|p| format!("/{p}")).collect(),
                names: self.names.clone(),
                rows: self.rows.clone(),
            }),
            Value::Object(fields) => {
                for (name, value) in fields {
                    let step = name.replace('~', "~0").replace('/', "~1");
                    self.into(step, name.clone(), in_id(name), value);
                }
            }
            Value::Array(rows) => self.list(rows),
            Value::Null | Value::Bool(_) | Value::String(_) => {}
        }
    }

    fn list(&mut self, rows: &'a [Value]) {
        let list = self.names.last().cloned().unwrap_or_default();
        let mut used: Vec<String> = Vec::new();
        for (i, row) in rows.iter().enumerate() {
            let name = row_name(&list, i, row);
            let plain = in_id(&name);
            let again = used.iter().filter(|u| **u == plain).count();
            used.push(plain.clone());
            let id = match again {
                0 => plain,
                n => format!("{plain}-{}", n + 1),
            };
            // What a pair says of its name is the second of it.
            match row.as_array() {
                Some(pair) if list == "purposes_m3_free" => {
                    if let Some(value) = pair.get(1) {
                        self.into(format!("{i}/1"), name, id, value);
                    }
                }
                _ => {
                    self.rows.push(row);
                    self.into(i.to_string(), name, id, row);
                    self.rows.pop();
                }
            }
        }
    }

    fn into(&mut self, step: String, name: String, id: String, value: &'a Value) {
        self.pointer.push(step);
        self.id.push(id);
        self.names.push(name);
        self.value(value);
        self.pointer.pop();
        self.id.pop();
        self.names.pop();
    }
}

fn row_name(list: &str, at: usize, row: &Value) -> String {
    let text = |value: &Value| match value {
        Value::String(text) => Some(text.clone()),
        Value::Number(number) => Some(number.to_string()),
        _ => None,
    };
    if list == "purposes_m3_free" {
        return row.get(0).and_then(text).unwrap_or_default();
    }
    if list == "quantiles" {
        let p = row.get("p").and_then(Value::as_f64).unwrap_or(f64::NAN);
        return format!("P{:.0}", p * 100.0);
    }
    if list == "chance" {
        let day = row.get("day").and_then(Value::as_u64);
        return day.map_or_else(String::new, |day| format!("day {day}"));
    }
    if let Some((_, names)) = IN_ORDER.iter().find(|(of, _)| *of == list) {
        return names.get(at).map_or_else(String::new, |n| (*n).to_owned());
    }
    let fields = NAMED_BY.iter().find(|(of, _)| *of == list);
    let parts: Vec<String> = fields
        .map(|(_, fields)| *fields)
        .unwrap_or_default()
        .iter()
        .filter_map(|field| row.get(field).and_then(text))
        .collect();
    match parts.is_empty() {
        true => (at + 1).to_string(),
        false => parts.join(" "),
    }
}

/// What was asked for, as an id is written.
pub(super) fn asked(figure: &str) -> String {
    let parts = figure.split('/').map(str::trim).filter(|p| !p.is_empty());
    parts.map(in_id).collect::<Vec<_>>().join("/")
}

/// The figure of an id; the name of the file may be left out.
pub(super) fn named<'f, 'a>(
    all: &'f [Found<'a>],
    kind: Kind,
    asked: &str,
) -> Option<&'f Found<'a>> {
    let whole = format!("{}/{asked}", kind.word());
    all.iter().find(|f| f.id == asked || f.id == whole)
}

/// Whether an id is the prefix or lies below it.
pub(super) fn is_below(id: &str, prefix: &str) -> bool {
    let below = |id: &str| {
        let rest = id.strip_prefix(prefix);
        rest.is_some_and(|rest| prefix.is_empty() || rest.is_empty() || rest.starts_with('/'))
    };
    below(id) || id.split_once('/').is_some_and(|(_, rest)| below(rest))
}

/// The nearest id, judged without regard to capitals: of those that are near, one that begins with the same names.
pub(super) fn nearest_to(asked: &str, ids: &[String]) -> Option<String> {
    let asked = asked.to_lowercase();
    let near = |id: &String| {
        let whole = id.to_lowercase();
        let short = whole.split_once('/').map_or("", |(_, rest)| rest);
        let of = |text: &str| {
            let pairs = asked.split('/').zip(text.split('/'));
            let shared = pairs.take_while(|(a, b)| a == b).count();
            let alike = strsim::normalized_damerau_levenshtein(&asked, text);
            (shared, (alike * 1e6) as u64)
        };
        let (whole, short) = (of(&whole), of(short));
        (whole.0.max(short.0), whole.1.max(short.1))
    };
    let near_enough = ids.iter().filter(|id| near(id).1 > 400_000);
    near_enough.max_by_key(|id| near(id)).cloned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_id_is_plain_and_its_rows_go_by_their_names() {
        let root = serde_json::json!({
            "gas": { "banks": [{ "bank": "M-1", "end_mol": 3.5 }, { "bank": "O 2", "end_mol": 4 }] },
            "decompressions": [{ "compartment": "Living", "hours": 1 }, { "compartment": "Living", "hours": 2 }],
            "purposes": { "divers' gas": { "He": { "mol": 7 } } },
        });
        let found = all(Kind::Job, &root);
        let ids: Vec<&str> = found.iter().map(|f| f.id.as_str()).collect();
        assert_eq!(
            ids,
            [
                "job/decompressions/Living/hours",
                "job/decompressions/Living-2/hours",
                "job/gas/banks/M-1/end_mol",
                "job/gas/banks/O-2/end_mol",
                "job/purposes/divers-gas/He/mol",
            ]
        );
        let by_hand = asked("gas/banks/O 2/end_mol");
        assert_eq!(
            named(&found, Kind::Job, &by_hand).map(|f| f.value),
            Some(4.0)
        );
    }

    #[test]
    fn what_lies_below_ends_where_a_name_ends() {
        assert!(is_below("job/gas/banks/M-1/end_mol", "job/gas"));
        assert!(is_below("job/gas/banks/M-1/end_mol", "gas/banks/M-1"));
        assert!(!is_below("job/gas/banks/M-10/end_mol", "gas/banks/M-1"));
        assert!(is_below("job/seed", ""));
    }

    #[test]
    fn the_nearest_is_found_and_nothing_near_is_said() {
        let ids = ["job/alarms/count", "job/bell_runs/in_water_h"].map(String::from);
        assert_eq!(
            nearest_to("job/bell_run/in_water", &ids).as_deref(),
            Some("job/bell_runs/in_water_h")
        );
        assert_eq!(nearest_to("xyzzy", &ids), None);
        let ids = ["job/gas/oxygen_m3", "job/alarms/flood_min", "job/oxygn"].map(String::from);
        assert_eq!(
            nearest_to("job/gas/oxygn", &ids).as_deref(),
            Some("job/gas/oxygen_m3")
        );
    }
}
