//! The reader held equal to the `ron` crate over generated texts, places, patches, and what is refused.

use super::*;
use ron::extensions::Extensions;
use serde::{Deserialize, Serialize};

/// As the files here are read by the crate that defines the notation.
fn by_ron<T: serde::de::DeserializeOwned>(text: &str) -> Result<T, ron::error::SpannedError> {
    let extensions = Extensions::IMPLICIT_SOME | Extensions::UNWRAP_NEWTYPES;
    ron::Options::default()
        .with_default_extension(extensions)
        .from_str(text)
}

fn read(text: &str) -> Document {
    Document::parse("my.ron", text).unwrap_or_else(|bad| panic!("{bad}\n{text}"))
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Probe {
    name: String,
    #[serde(default)]
    depth: Option<f64>,
    #[serde(default)]
    inside: Vec<Probe>,
    kind: Kind,
    pair: (u8, i64),
    open: bool,
    label: Label,
    mark: char,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
struct Label(String);

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
enum Kind {
    Alone,
    One(String),
    Two(u16, f64),
    Fields { x: f64, rest: Option<Box<Kind>> },
}

mod places {
    use super::*;

    const TEXT: &str = "(\n  format: 1, // a note (with brackets\n  crew: (divers: [\n    (initials: \"A)B\", team: 1),\n    (initials: \"CD\", what: Leak(bore: \"3 mm\")),\n  ]),\n  pair: (\"x\", 2),\n)";

    fn at(path: &str) -> (usize, usize) {
        let place = read(TEXT).place(&Path::of(path));
        (place.line, place.column)
    }

    #[test]
    fn values_are_found_by_their_path() {
        assert_eq!(at("format"), (2, 11));
        assert_eq!(at("crew.divers[0].initials"), (4, 16));
        assert_eq!(at("crew.divers[1].what.bore"), (5, 39));
        assert_eq!(at("pair[1]"), (7, 15));
        assert_eq!(at("crew.divers[7]"), at("crew.divers"));
        let document = read(TEXT);
        let node = |path: &str| document.root().at(&Path::of(path).0).expect("is there");
        assert_eq!(
            node("crew.divers[1].what").written(),
            "Leak(bore: \"3 mm\")"
        );
        assert_eq!(node("crew.divers").count(), 2);
        assert_eq!(node("crew.divers[0]").own_name(), Some("A)B"));
    }

    #[test]
    fn paths_read_back() {
        for path in ["crew.divers[3].initials", "pair[1]", "a.b.c", ""] {
            assert_eq!(Path::of(path).to_string(), path);
        }
        for path in ["", "a b", "a[", "a[]", "\u{e9}", "..", "a..b"] {
            assert!(
                matches!(PathPattern::parse(path), Err(PatchError::NoPath(_))),
                "{path}"
            );
        }
    }

    /// A remark within a remark is no value, whatever is written in it.
    #[test]
    fn nested_remarks_hide_what_is_in_them() {
        let text = "(format: 1, /* outer /* inner */ still, crew: (breathing: 9) */ crew: (breathing: 1.5))";
        let document = read(text);
        let breathing = document.root().at(&Path::of("crew.breathing").0);
        assert_eq!(breathing.map(Node::written), Some("1.5"));
        let patched = document.patched(
            &PathPattern::parse("crew.breathing").expect("a path"),
            &To::Text("2".into()),
        );
        assert_eq!(patched.expect("patched").text(), text.replace("1.5", "2"));
    }

    #[test]
    fn what_editors_and_typists_write_is_read() {
        let text = "\u{feff}#![enable(implicit_some)]\n(a: r#\"no \"end\" here\"#, b: '\\'', c: \"two\\nlines\", d: -1_000, e: r\"C:\\\", f: +.5e-1)";
        let document = read(text);
        let node = |field: &str| document.root().field(field).expect("is there");
        assert_eq!(node("a").text(), Some("no \"end\" here"));
        assert_eq!(node("b").written(), "'\\''");
        assert_eq!(node("c").text(), Some("two\nlines"));
        assert_eq!(node("d").written(), "-1_000");
        assert_eq!(node("e").text(), Some("C:\\"));
        assert_eq!(node("f").written(), "+.5e-1");
    }
}

mod refused {
    use super::*;

    fn broken(text: &str) -> Diagnostic {
        let mut bad = Document::parse("my.ron", text).expect_err("broken");
        assert_eq!(bad.all.len(), 1);
        bad.all.remove(0)
    }

    #[test]
    fn broken_texts_say_where_and_what_would_be_right() {
        for (text, line, column, remedy) in [
            (
                "(a: 1\n b: 2)",
                2,
                2,
                Some("a comma or `)` may be missing before this"),
            ),
            (
                "(a: [1, 2)",
                1,
                10,
                Some("a comma or `]` may be missing before this"),
            ),
            ("(a: \"x", 1, 5, Some("a quotation mark may be missing")),
            ("(a: 1, /* x", 1, 8, Some("close the remark with */")),
            (
                "(a: (b: 1)",
                1,
                11,
                Some("a bracket or a quotation mark may be open"),
            ),
            ("", 1, 1, Some("a bracket or a quotation mark may be open")),
            ("(a: 1, 2)", 1, 8, Some("a field is written name: value")),
            ("(a: 1))", 1, 7, None),
            ("(a: %)", 1, 5, None),
            (
                "#![enable(unwrap_variant_newtypes)]\n(a: 1)",
                1,
                1,
                Some("leave the line out"),
            ),
        ] {
            let told = broken(text);
            assert_eq!(
                (told.place.line, told.place.column),
                (line, column),
                "{text}: {told}"
            );
            assert_eq!(told.remedy.as_deref(), remedy, "{text}: {told}");
            assert_eq!(told.place.excerpt, text.lines().nth(line - 1).unwrap_or(""));
        }
    }

    #[test]
    fn brackets_without_end_are_too_deep() {
        for open in ["(", "[", "{", "(a:", "Some("] {
            let told = broken(&format!("(name: {}", open.repeat(100_000)));
            assert!(
                matches!(told.wrong, Wrong::TooDeep { most: DEEPEST }),
                "{told}"
            );
        }
        let deep = |n: usize| format!("{}1{}", "[".repeat(n), "]".repeat(n));
        assert!(Document::parse("my.ron", &deep(DEEPEST)).is_ok());
        assert!(Document::parse("my.ron", &deep(DEEPEST + 1)).is_err());
    }

    fn told(text: &str) -> Diagnostic {
        read(text)
            .typed::<Probe>()
            .expect_err("refused")
            .all
            .remove(0)
    }

    #[test]
    fn what_does_not_fit_is_told_at_the_very_value() {
        let good =
            "(name: \"a\", kind: One(\"x\"), pair: (1, -2),\n open: true, label: \"l\", mark: 'm')";
        assert!(read(good).typed::<Probe>().is_ok());
        for (from, to, path, mark) in [
            ("One(\"x\")", "One(7)", "kind", "7"),
            ("One(\"x\")", "One()", "kind", "One"),
            ("One(\"x\")", "\"One\"", "kind", "\"One\""),
            ("One(\"x\")", "Onne(\"x\")", "kind", "Onne"),
            ("One(\"x\")", "Alone()", "kind", "Alone"),
            ("One(\"x\")", "Fields(x: 1.5, y: 2)", "kind", "y:"),
            ("(1, -2)", "(1, -2, 3)", "pair", "(1, -2, 3)"),
            ("(1, -2)", "(1, 2.5)", "pair[1]", "2.5"),
            ("(1, -2)", "(256, 2)", "pair[0]", "256"),
            ("true", "yes", "open", "yes"),
            ("'m'", "\"m\"", "mark", "\"m\""),
            ("open: true", "opne: true", "", "opne"),
            ("open: true", "open: true, open: false", "", "false"),
            ("open: true,", "", "", "(name"),
            ("\"l\"", "(\"l\")", "label", "(\"l\")"),
        ] {
            let text = good.replacen(from, to, 1);
            let told = told(&text);
            let byte = text.find(mark).expect("the mark is there");
            let place = source::line_column(&text, byte);
            assert_eq!((told.place.line, told.place.column), place, "{to}: {told}");
            assert_eq!(told.place.path, path, "{to}: {told}");
        }
    }
}

mod patches {
    use super::*;

    const TEXT: &str = "(\n  crew: (divers: [(initials: \"AB\", mass: \"80 kg\"), (initials: \"CD\", mass: \"90 kg\")]),\n  stock: (reclaim: (recovery: \"88 % from 80 % to 95 %\")),\n  flushes: 6, end: \"24d 12:00\", banks: [(name: \"M-1\", bottles: \"64 x 50 L at 200 bar\")],\n)";

    fn patched(path: &str, to: To) -> Result<String, PatchError> {
        let document = read(TEXT).patched(&PathPattern::parse(path)?, &to)?;
        // What is written out is the same tree again.
        let again = read(&document.text());
        assert_eq!(
            format!("{:?}", values(again.root())),
            format!("{:?}", values(document.root()))
        );
        Ok(document.text())
    }

    /// A tree without places.
    fn values(node: &Node) -> ron::Value {
        by_ron(&node.rendered_value()).expect("is read")
    }

    fn becomes(path: &str, to: To, new: &str) {
        let text = patched(path, to).expect("patched");
        assert!(text.contains(new), "{text}");
    }

    #[test]
    fn an_input_becomes_what_is_said() {
        let text = |s: &str| To::Text(s.to_owned());
        becomes("stock.reclaim.recovery", text("0.8"), "recovery: \"0.8\"");
        becomes(
            "crew.divers[CD].mass",
            text("95 kg"),
            "\"CD\", mass: \"95 kg\"",
        );
        becomes(
            "crew.divers[0].mass",
            text("95 kg"),
            "\"AB\", mass: \"95 kg\"",
        );
        becomes("flushes", text("7"), "flushes: 7,");
        becomes(
            "crew.breathing",
            text("1.1"),
            "mass: \"90 kg\")], breathing: 1.1)",
        );
        becomes(
            "banks[M-1].bottles",
            text("2 x 50 L at 200 bar"),
            "\"2 x 50 L at 200 bar\"",
        );
    }

    #[test]
    fn numbers_are_multiplied_and_added_to_in_their_unit() {
        becomes(
            "crew.divers[*].mass",
            To::Times(0.5),
            "\"40 kg\"), (initials: \"CD\", mass: \"45 kg\")",
        );
        becomes("flushes", To::Times(1.5), "flushes: 9,");
        becomes("end", To::Plus("1 d".into()), "end: \"2203200 s\"");
        becomes("end", To::Plus("-12 h".into()), "end: \"2073600 s\"");
        becomes(
            "stock.reclaim.recovery",
            To::Times(1.1),
            "recovery: \"96.80000000000001 %\"",
        );
    }

    #[test]
    fn patches_add_up() {
        let pattern = |p| PathPattern::parse(p).expect("a path");
        let text = |s: &str| To::Text(s.to_owned());
        let mut document = read(TEXT);
        for (path, to) in [
            ("crew", text("(divers: [(initials: \"EF\")])")),
            ("crew.divers[EF].mass", text("70 kg")),
            ("crew.divers[EF].mass", To::Times(2.0)),
            ("crew.breathing", text("1.5")),
            ("flushes", To::Times(0.5)),
        ] {
            document = document.patched(&pattern(path), &to).expect("patched");
        }
        let crew = "crew: (divers: [(initials: \"EF\", mass: \"140 kg\")], breathing: 1.5)";
        assert!(document.text().contains(crew), "{}", document.text());
        assert!(document.text().contains("flushes: 3,"));
        // Places are those of the text as it would be written.
        let place = document.place(&Path::of("crew.divers[0].mass"));
        assert_eq!((place.line, place.column), (2, 42));
        assert!(place.excerpt.contains("140 kg"), "{place:?}");
    }

    #[test]
    fn what_cannot_be_is_refused_with_what_there_is() {
        let no = patched("crew.divers[EF].mass", To::Times(2.0)).expect_err("no such diver");
        assert!(
            matches!(no, PatchError::NoSuch { ref known, .. } if known == &["AB", "CD"]),
            "{no:?}"
        );
        let no =
            patched("stock.reclam.recovery", To::Text("0.8".into())).expect_err("no such field");
        assert!(
            matches!(no, PatchError::NoSuch { ref known, .. } if known == &["reclaim"]),
            "{no:?}"
        );
        assert!(matches!(
            patched("banks[0].bottles", To::Times(2.0)),
            Err(PatchError::NoNumber { .. })
        ));
        assert!(matches!(
            patched("flushes", To::Plus("1 d".into())),
            Err(PatchError::Units { .. })
        ));
        for text in ["7, more: 8", "(", "7)", "\"a\" \"b\""] {
            let no = patched("flushes", To::Text(text.into()));
            assert!(
                matches!(no, Err(PatchError::Notation { .. })),
                "{text}: {no:?}"
            );
        }
    }
}

mod equal_to_ron {
    use super::*;
    use proptest::prelude::*;

    /// Anything that may stand between two signs.
    const BETWEEN: [&str; 12] = [
        "",
        "",
        "",
        " ",
        "\n",
        "\t \r\n",
        "\u{85}",
        "// to the end ( \" [ /*\n",
        "/* plain */",
        "/* outer /* inner */ still, crew: (breathing: 9) */",
        "/*/**/ \" */",
        "/***/",
    ];

    /// Writes a value down in one of the many ways there are; `picks` decides which.
    struct Writer {
        picks: Vec<u8>,
        at: usize,
        text: String,
    }

    impl Writer {
        fn pick(&mut self, of: usize) -> usize {
            let pick = self.picks[self.at % self.picks.len()];
            self.at += 1;
            usize::from(pick) % of
        }

        fn sign(&mut self, sign: &str) {
            self.text.push_str(sign);
            let between = self.pick(BETWEEN.len());
            self.text.push_str(BETWEEN[between]);
        }

        fn comma(&mut self, last: bool) {
            if !last || self.pick(2) == 0 {
                self.sign(",");
            }
        }

        fn string(&mut self, s: &str) {
            let written = match self.pick(3) {
                0 if !s.contains("\"##") => format!("r##\"{s}\"##"),
                1 => {
                    let escape = |c: char| format!("\\u{{{:x}}}", u32::from(c));
                    format!("\"{}\"", s.chars().map(escape).collect::<String>())
                }
                _ => format!("{s:?}"),
            };
            self.sign(&written);
        }

        fn float(&mut self, x: f64) {
            let written = match self.pick(4) {
                0 => format!("{x:e}"),
                1 if x >= 0.0 => format!("+{x}"),
                2 => format!("{x:?}"),
                _ => format!("{x}"),
            };
            self.sign(&written);
        }

        fn field(&mut self, name: &str) {
            self.sign(name);
            self.sign(":");
        }

        fn kind(&mut self, kind: &Kind) {
            match kind {
                Kind::Alone => self.sign("Alone"),
                Kind::One(s) => {
                    self.sign("One");
                    self.sign("(");
                    self.string(s);
                    self.comma(true);
                    self.sign(")");
                }
                Kind::Two(n, x) => {
                    self.sign("Two");
                    self.sign("(");
                    let whole = match self.pick(3) {
                        0 => format!("0x{n:x}"),
                        1 => format!("0b{n:b}"),
                        _ => format!("{n}"),
                    };
                    self.sign(&whole);
                    self.comma(false);
                    self.float(*x);
                    self.comma(true);
                    self.sign(")");
                }
                Kind::Fields { x, rest } => {
                    self.sign("Fields");
                    self.sign("(");
                    self.field("x");
                    self.float(*x);
                    self.comma(rest.is_none());
                    match rest {
                        Some(rest) => {
                            self.field("rest");
                            let plainly = self.pick(2) == 0;
                            if !plainly {
                                self.sign("Some");
                                self.sign("(");
                            }
                            self.kind(rest);
                            if !plainly {
                                self.sign(")");
                            }
                            self.comma(true);
                        }
                        None if self.text.trim_end().ends_with(',') => {
                            self.field("rest");
                            self.sign("None");
                        }
                        None => {}
                    }
                    self.sign(")");
                }
            }
        }

        fn probe(&mut self, probe: &Probe) {
            if self.pick(3) == 0 {
                self.sign("Probe");
            }
            self.sign("(");
            self.field("name");
            self.string(&probe.name);
            self.comma(false);
            if let Some(depth) = probe.depth {
                self.field("depth");
                self.float(depth);
                self.comma(false);
            }
            if !probe.inside.is_empty() || self.pick(2) == 0 {
                self.field("inside");
                self.sign("[");
                for (i, inner) in probe.inside.iter().enumerate() {
                    self.probe(inner);
                    self.comma(i + 1 == probe.inside.len());
                }
                self.sign("]");
                self.comma(false);
            }
            self.field("kind");
            self.kind(&probe.kind);
            self.comma(false);
            self.field("pair");
            self.sign("(");
            self.sign(&probe.pair.0.to_string());
            self.comma(false);
            self.sign(&probe.pair.1.to_string());
            self.sign(")");
            self.comma(false);
            self.field("open");
            self.sign(&probe.open.to_string());
            self.comma(false);
            self.field("label");
            self.string(&probe.label.0);
            self.comma(false);
            self.field("mark");
            let mark = format!("{:?}", probe.mark);
            self.sign(&mark);
            self.comma(true);
            self.sign(")");
        }
    }

    fn words() -> impl Strategy<Value = String> {
        prop_oneof!["[ -~]{0,12}", "[a\"#\\\\(),:/*\u{e9}\n]{0,8}"]
    }

    fn floats() -> impl Strategy<Value = f64> {
        prop_oneof![
            -1e6..1e6_f64,
            Just(0.0),
            Just(118.0),
            Just(1e-9),
            Just(-2.5e20)
        ]
    }

    fn kinds() -> impl Strategy<Value = Kind> {
        let leaf = prop_oneof![
            Just(Kind::Alone),
            words().prop_map(Kind::One),
            (any::<u16>(), floats()).prop_map(|(n, x)| Kind::Two(n, x)),
        ];
        leaf.prop_recursive(3, 6, 1, |inner| {
            (floats(), proptest::option::of(inner)).prop_map(|(x, rest)| Kind::Fields {
                x,
                rest: rest.map(Box::new),
            })
        })
    }

    fn probes() -> impl Strategy<Value = Probe> {
        let one = |inside: BoxedStrategy<Vec<Probe>>| {
            (
                words(),
                proptest::option::of(floats()),
                inside,
                kinds(),
                (any::<u8>(), any::<i64>()),
                any::<bool>(),
                words(),
                prop_oneof![proptest::char::range(' ', '~'), Just('\n'), Just('\u{e9}')],
            )
                .prop_map(|(name, depth, inside, kind, pair, open, label, mark)| {
                    Probe {
                        name,
                        depth,
                        inside,
                        kind,
                        pair,
                        open,
                        label: Label(label),
                        mark,
                    }
                })
        };
        one(Just(Vec::new()).boxed())
            .boxed()
            .prop_recursive(2, 8, 3, move |inner| {
                one(proptest::collection::vec(inner, 0..3).boxed())
            })
    }

    fn texts() -> impl Strategy<Value = (Probe, String)> {
        (probes(), proptest::collection::vec(any::<u8>(), 64)).prop_map(|(probe, picks)| {
            let mut writer = Writer {
                picks,
                at: 0,
                text: String::new(),
            };
            writer.sign("");
            writer.probe(&probe);
            (probe, writer.text)
        })
    }

    /// Every value's own text is that value to the other reader as well.
    fn hold_places(node: &Node) {
        match &node.value {
            tree::Value::Text(text) => {
                assert_eq!(by_ron::<String>(node.written()).as_deref(), Ok(&**text));
            }
            tree::Value::Number => {
                assert!(
                    by_ron::<ron::Value>(node.written()).is_ok(),
                    "{}",
                    node.written()
                );
            }
            _ => assert!(
                by_ron::<ron::Value>(node.written()).is_ok(),
                "{}",
                node.written()
            ),
        }
        for i in 0..node.count() {
            hold_places(node.child(&Step::Index(i)).expect("is there"));
        }
    }

    /// What this reader leaves out of the notation, or reads more strictly.
    fn is_left_out(text: &str) -> bool {
        ["..", "b\"", "b'", "br\"", "br#", "f32", "#!"]
            .iter()
            .any(|sign| text.contains(sign))
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(400))]

        #[test]
        fn whatever_is_written((probe, text) in texts()) {
            let ours: Probe = read(&text).typed().unwrap_or_else(|bad| panic!("{bad}\n{text}"));
            let theirs: Probe = by_ron(&text).unwrap_or_else(|bad| panic!("{bad}\n{text}"));
            prop_assert_eq!(&ours, &theirs);
            prop_assert_eq!(&ours, &probe);
            hold_places(read(&text).root());
        }

        #[test]
        fn whatever_is_spoilt(
            (_, text) in texts(),
            at in any::<proptest::sample::Index>(),
            length in 0usize..6,
            put in prop_oneof![Just(""), Just("("), Just(")"), Just("\""), Just(","), Just("/*"), Just("*/"), Just("1"), Just("'"), Just("\\"), Just("-"), Just("[")],
        ) {
            let chars: Vec<char> = text.chars().collect();
            let from = at.index(chars.len());
            let to = (from + length).min(chars.len());
            let spoilt: String = chars[..from].iter().chain(put.chars().collect::<Vec<_>>().iter()).chain(&chars[to..]).collect();
            prop_assume!(!is_left_out(&spoilt));
            let ours = Document::parse("spoilt.ron", &spoilt).and_then(|d| d.typed::<Probe>());
            let theirs = by_ron::<Probe>(&spoilt);
            match (ours, theirs) {
                (Ok(ours), Ok(theirs)) => prop_assert_eq!(ours, theirs),
                (Err(_), Err(_)) => {}
                (ours, theirs) => panic!("{ours:?}\n{theirs:?}\n{spoilt}"),
            }
        }

        #[test]
        fn any_text_is_answered(text in "\\PC{0,60}") {
            let _ = Document::parse("any.ron", &text);
            let _ = Document::parse("any.ron", &format!("(format: 1, name: {text}"));
        }
    }
}
