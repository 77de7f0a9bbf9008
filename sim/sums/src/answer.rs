//! A question asked of a sum and its answer: forwards where all inputs are given, backwards where an answer is given and
//! one input is not, with the answer under each other convention beside it.

use crate::convention::{Choice, Convention, Side};
use crate::error::SumError;
use crate::formulas::Leg;
use crate::frame::{Frame, Values};
use crate::kind::Kind;
use crate::name::Name;
use crate::oxygen_told;
use crate::solve::{Found, solve};
use crate::sum::{How, Sum};
use deepstay_core::gas::state;
use deepstay_core::units::{ATM_PA, Units};

/// Where a value comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum Origin {
    /// It was given.
    Given,
    /// It was taken from a job, of which part.
    Taken(String),
    /// A usual figure, with its source.
    Usual(&'static str),
}

/// A value with what it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// Which.
    pub name: Name,
    /// In the unit below.
    pub value: f64,
    /// The unit.
    pub unit: &'static str,
    /// In words, to four figures.
    pub words: String,
}

/// An input of an answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Input {
    /// It.
    pub figure: Figure,
    /// Where it comes from.
    pub origin: Origin,
}

/// The answer under another convention.
#[derive(Clone, Debug, PartialEq)]
pub struct Beside {
    /// About what it differs.
    pub choice: Choice,
    /// That convention in words.
    pub words: &'static str,
    /// The answer, or why there is none.
    pub outcome: Result<Figure, String>,
}

/// An answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// Name of the sum.
    pub sum: &'static Sum,
    /// In which units.
    pub units: Units,
    /// The answer first, then what stands beside it.
    pub figures: Vec<Figure>,
    /// What went in.
    pub inputs: Vec<Input>,
    /// The formula.
    pub formula: &'static str,
    /// The conventions in words.
    pub conventions: Vec<(Choice, &'static str)>,
    /// Under the others.
    pub beside: Vec<Beside>,
    /// What has to be said with it.
    pub notes: Vec<String>,
}

impl PartialEq for Sum {
    fn eq(&self, other: &Self) -> bool {
        self.name == other.name
    }
}

/// What is asked of a sum.
#[derive(Clone, Debug)]
pub struct Question {
    sum: &'static Sum,
    given: Vec<(Name, f64, Origin)>,
    legs: Vec<Leg>,
    wanted: Option<Name>,
    sides: Vec<(Choice, Side)>,
    units: Option<Units>,
    votes: Vec<Units>,
}

impl Question {
    /// A question of a sum of which nothing is given yet.
    pub fn of(sum: &'static Sum) -> Question {
        Question {
            sum,
            given: Vec::new(),
            legs: Vec::new(),
            wanted: None,
            sides: Vec::new(),
            units: None,
            votes: Vec::new(),
        }
    }

    /// Of which sum.
    pub fn sum(&self) -> &'static Sum {
        self.sum
    }

    /// In these units, whatever the inputs are written in.
    pub fn in_units(&mut self, units: Units) {
        self.units = Some(units);
    }

    /// One choice on a side.
    ///
    /// # Errors
    /// Where the sum does not depend on it.
    pub fn on_side(&mut self, choice: Choice, side: Side) -> Result<(), SumError> {
        if !self.sum.choices.contains(&choice) {
            let has = self.sum.choices.iter().map(|c| {
                let (name, [hand, other]) = c.spelling();
                format!("--{name} {hand} or {other}")
            });
            return Err(SumError::NoChoice {
                sum: self.sum.name,
                choice: choice.spelling().0,
                has: has.collect::<Vec<_>>().join(", "),
            });
        }
        self.sides.push((choice, side));
        Ok(())
    }

    /// Reads an input as it is written: `gauge=164bar`, or `gauge=?` for what is asked.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn read(&mut self, text: &str) -> Result<(), SumError> {
        let pair = text.split_once('=');
        let Some((name, value)) = pair.filter(|(name, _)| !name.trim().is_empty()) else {
            let mut pairs = self.sum.example.split(' ');
            let own = pairs
                .clone()
                .find(|p| p.split('=').next() == Some(text.trim()));
            let like = own.or_else(|| pairs.next()).unwrap_or_default();
            return Err(SumError::NoPair {
                text: text.to_owned(),
                like: like.to_owned(),
            });
        };
        let name = self.name(name.trim())?;
        let value = value.trim();
        if self.wanted == Some(name) || self.is_given(name) {
            return Err(SumError::Twice { name: name.text() });
        }
        if value == "?" {
            if let Some(first) = self.wanted {
                return Err(SumError::TwoAsked {
                    first: first.text(),
                    second: name.text(),
                });
            }
            self.wanted = Some(name);
            return Ok(());
        }
        if name.kind() == Kind::Rates {
            self.legs = self.read_legs(value)?;
            self.given
                .push((name, self.legs.len() as f64, Origin::Given));
            return Ok(());
        }
        let wrong = |wrong| SumError::Text {
            name: name.text(),
            wrong,
        };
        let (si, system) = name.kind().read(value).map_err(wrong)?;
        self.vote(system);
        self.given.push((name, si, Origin::Given));
        Ok(())
    }

    fn vote(&mut self, system: Option<Units>) {
        self.votes.extend(system);
    }

    fn read_legs(&mut self, text: &str) -> Result<Vec<Leg>, SumError> {
        let wrong = |e: deepstay_core::units::text::TextError| SumError::Rates(e.to_string());
        let mut legs: Vec<Leg> = Vec::new();
        for part in text.split(',') {
            let part = part.trim().replace("-to-", " to ");
            let (rate, to) = match part.split_once(" to ") {
                Some((rate, to)) => (rate, Some(to)),
                None => (part.as_str(), None),
            };
            let (rate, system) = Kind::Rate.read(rate).map_err(wrong)?;
            self.vote(system);
            let to = match to {
                Some(to) => Kind::Depth.read(to).map_err(wrong)?.0,
                None => 0.0,
            };
            if rate <= 0.0 {
                return Err(SumError::Rates("a rate of nothing arrives nowhere".into()));
            }
            if legs.last().is_some_and(|before| before.to <= to) {
                return Err(SumError::Rates(
                    "each holds to a shallower depth than the one before".into(),
                ));
            }
            legs.push(Leg { rate, to });
        }
        Ok(legs)
    }

    /// Takes a value of a job where the sum asks for it and it was not given.
    pub fn take(&mut self, name: Name, si: f64, from: &str) {
        let known = self.sum.names().any(|n| n == name);
        let has = self.wanted == Some(name) || self.is_given(name);
        if known && !has && si.is_finite() {
            self.given.push((name, si, Origin::Taken(from.to_owned())));
        }
    }

    /// What is asked for, where that was said.
    pub fn wanted(&self) -> Option<Name> {
        self.wanted
    }

    /// The answer that must be given for an input to be found, where one is asked for and none is given.
    pub fn answer_wanted(&self) -> Option<Name> {
        let input = self.wanted.filter(|n| !self.is_answer(*n))?;
        let given = !self.given_answers().is_empty() || self.missing() != [input];
        (!given).then_some(self.sum.answers[0])
    }

    /// Gives what was asked for.
    pub fn settle(&mut self, name: Name, si: f64) {
        if self.wanted == Some(name) {
            self.wanted = None;
        }
        self.take(name, si, "settled");
    }

    /// What must still be given for the sum to be made forwards.
    pub fn missing(&self) -> Vec<Name> {
        let values = self.values(self.units_meant());
        // What is as much as another comes with it.
        let asks = self
            .sum
            .asks
            .iter()
            .filter(|a| !matches!(a.how, How::As(_)));
        let names = asks.map(|a| a.name);
        names.filter(|n| values.get(*n).is_none()).collect()
    }

    fn name(&self, text: &str) -> Result<Name, SumError> {
        let known = || self.sum.names();
        if let Some(name) = known().find(|n| n.text() == text) {
            return Ok(name);
        }
        let mut all: Vec<&str> = known().map(Name::text).collect();
        all.dedup();
        Err(SumError::UnknownName {
            sum: self.sum.name,
            name: text.to_owned(),
            nearest: deepstay_read::nearest(text, known().map(Name::text)),
            known: all.join(", "),
        })
    }

    /// The units that most inputs are written in, the first where they are at odds; metric where they do not say.
    pub fn units_meant(&self) -> Units {
        let of = |units: Units| self.votes.iter().filter(|v| **v == units).count();
        let (metric, imperial) = (of(Units::Metric), of(Units::Imperial));
        let first = self.votes.first().copied().unwrap_or_default();
        self.units.unwrap_or(match metric.cmp(&imperial) {
            std::cmp::Ordering::Less => Units::Imperial,
            std::cmp::Ordering::Equal => first,
            std::cmp::Ordering::Greater => Units::Metric,
        })
    }

    fn convention(&self, units: Units) -> Convention {
        let mut convention = Convention::HAND;
        if units == Units::Imperial {
            for choice in self.sum.handbook {
                convention = convention.flipped(*choice);
            }
        }
        for (choice, side) in &self.sides {
            convention = convention.with(*choice, *side);
        }
        convention
    }

    /// Everything that is given or usual.
    fn values(&self, units: Units) -> Values {
        let mut values = Values::default();
        values.legs.clone_from(&self.legs);
        for (name, si, _) in &self.given {
            values.set(*name, *si);
        }
        for ask in self.sum.asks {
            let text = match ask.how {
                How::Usual {
                    metric, imperial, ..
                } => match units {
                    Units::Metric => metric,
                    Units::Imperial => imperial,
                },
                How::Needed | How::As(_) | How::AirAtSurface => continue,
            };
            if values.get(ask.name).is_none()
                && self.wanted != Some(ask.name)
                && let Ok((si, _)) = ask.name.kind().read(text)
            {
                values.set(ask.name, si);
            }
        }
        self.follow(&mut values, units);
        values
    }

    /// What follows from other values: as much as another, or the air at the surface.
    fn follow(&self, values: &mut Values, units: Units) {
        for ask in self.sum.asks {
            if self.wanted == Some(ask.name) || self.is_given(ask.name) {
                continue;
            }
            match ask.how {
                How::As(other) => {
                    if let Some(si) = values.get(other) {
                        values.set(ask.name, si);
                    }
                }
                How::AirAtSurface if values.get(Name::From) == Some(0.0) => {
                    let unit = Kind::Partial.unit(units);
                    values.set(ask.name, unit.si(AIR_PP));
                }
                How::AirAtSurface | How::Needed | How::Usual { .. } => {}
            }
        }
    }

    fn is_given(&self, name: Name) -> bool {
        self.given.iter().any(|g| g.0 == name)
    }

    fn given_answers(&self) -> Vec<(Name, f64)> {
        let answers = self.given.iter().filter(|g| self.is_answer(g.0));
        answers.map(|g| (g.0, g.1)).collect()
    }

    /// Something that comes out and does not go in as well.
    fn is_answer(&self, name: Name) -> bool {
        self.sum.answers.contains(&name) && self.sum.ask(name).is_none()
    }

    fn forwards(
        &self,
        values: &Values,
        units: Units,
        convention: Convention,
    ) -> Result<Vec<f64>, SumError> {
        let frame = Frame {
            values,
            units,
            convention,
        };
        for name in [Name::Surface, Name::Barometer] {
            frame.air(name)?;
        }
        let made = (self.sum.work)(&frame)?;
        if made.iter().all(|x| x.is_finite()) {
            return Ok(made);
        }
        Err(SumError::Impossible(format!(
            "{} has no value there: it is divided by {}",
            self.sum.name,
            self.nothing(values, units, convention)
        )))
    }

    /// What is nothing and would give a value if it were something.
    fn nothing(&self, values: &Values, units: Units, convention: Convention) -> String {
        let none = self.sum.asks.iter().map(|ask| ask.name);
        let none = none.filter(|name| values.get(*name) == Some(0.0));
        let to_blame = none.filter(|name| {
            let mut other = values.clone();
            other.set(*name, 1e-3 * name.kind().bounds().1);
            let values = &other;
            let frame = Frame {
                values,
                units,
                convention,
            };
            (self.sum.work)(&frame).is_ok_and(|made| made.iter().all(|x| x.is_finite()))
        });
        let words =
            to_blame.map(|n| format!("{}, which is {}", n.text(), n.kind().words(0.0, units)));
        let words: Vec<String> = words.collect();
        match words.is_empty() {
            true => "nothing".to_owned(),
            false => words.join(", and by "),
        }
    }

    /// What is given and does not enter under a convention.
    fn not_used(&self, convention: Convention) -> impl Iterator<Item = String> + '_ {
        let given = |name: Name| {
            let mut all = self.given.iter();
            all.any(|g| g.0 == name && g.2 == Origin::Given)
        };
        let real = !convention.is_hand(Choice::Gas);
        self.sum.asks.iter().filter_map(move |ask| {
            let How::Usual {
                only: Some(choice), ..
            } = ask.how
            else {
                return None;
            };
            // Real gas is counted from the pressure at the surface whatever depths are.
            let used = !convention.is_hand(choice) || real && ask.name == Name::Surface;
            let (option, [_, other]) = choice.spelling();
            (given(ask.name) && !used).then(|| {
                format!(
                    "{} is given and does not enter here: it does with --{option} {other}, which stands beside",
                    ask.name.text()
                )
            })
        })
    }

    /// The answer.
    ///
    /// # Errors
    /// What is missing, what contradicts itself, or what cannot be.
    pub fn answer(&self) -> Result<Answer, SumError> {
        let units = self.units_meant();
        let convention = self.convention(units);
        let missing: Vec<Name> = self.missing();
        let found = self.found(&missing, units, convention)?;
        let beside = self.sum.choices_in(units).map(|choice| {
            let other = convention.flipped(choice);
            let outcome = self.found(&missing, units, other);
            Beside {
                choice,
                words: other.words(choice, units),
                outcome: outcome
                    .map(|o| figure(o.name, o.si, units))
                    .map_err(|e| e.to_string()),
            }
        });
        let mut figures = vec![figure(found.name, found.si, units)];
        for (name, made) in self.sum.answers.iter().zip(&found.made) {
            if *name != found.name {
                let si = name.kind().unit(units).si(*made);
                figures.push(figure(*name, si, units));
            }
        }
        let real = !convention.is_hand(Choice::Gas);
        let mut notes = found.notes.clone();
        notes.extend(self.not_used(convention));
        let frame = Frame {
            values: &found.values,
            units,
            convention,
        };
        notes.extend(oxygen_told::notes(self.sum, &frame, &found.made));
        notes.extend(real.then(|| self.outside_fit(&found.values)).flatten());
        Ok(Answer {
            sum: self.sum,
            units,
            figures,
            inputs: self.inputs(&found, units, convention),
            formula: self.sum.formula_in(units, real),
            conventions: self
                .sum
                .choices_in(units)
                .map(|c| (c, convention.words(c, units)))
                .collect(),
            beside: beside.collect(),
            notes,
        })
    }

    fn inputs(&self, found: &FoundValue, units: Units, convention: Convention) -> Vec<Input> {
        let mut inputs = Vec::new();
        let asked = self.sum.names().filter(|n| *n != found.name);
        for name in asked {
            let given = self.given.iter().find(|g| g.0 == name);
            let (si, origin) = match (given, self.sum.ask(name).map(|a| a.how)) {
                (Some((_, si, origin)), _) => (Some(*si), origin.clone()),
                (
                    None,
                    Some(How::Usual {
                        source,
                        only: choice,
                        ..
                    }),
                ) if choice.is_none_or(|c| !convention.is_hand(c)) => {
                    (found.values.get(name), Origin::Usual(source))
                }
                (None, Some(How::As(other))) => {
                    (found.values.get(name), Origin::Usual(as_much_as(other)))
                }
                (None, Some(How::AirAtSurface)) => {
                    (found.values.get(name), Origin::Usual("air at the surface"))
                }
                (None, _) => (None, Origin::Given),
            };
            if let Some(si) = si
                && !inputs.iter().any(|i: &Input| i.figure.name == name)
            {
                let mut figure = figure(name, si, units);
                if name == Name::Rates {
                    figure.words = legs_words(&self.legs, units);
                }
                inputs.push(Input { figure, origin });
            }
        }
        inputs
    }

    /// That a quad stands above what the gas model was fitted to, if one does.
    fn outside_fit(&self, values: &Values) -> Option<String> {
        let gauges = self.sum.names().filter(|n| n.kind() == Kind::Gauge);
        let most = gauges.filter_map(|n| values.get(n)).fold(0.0, f64::max);
        let t_k = values.get(Name::Temperature).unwrap_or(288.15);
        state::warning(most + ATM_PA, t_k).map(|w| w.to_string())
    }

    fn found(
        &self,
        missing: &[Name],
        units: Units,
        convention: Convention,
    ) -> Result<FoundValue, SumError> {
        let given = self.given_answers();
        let unknown = match (self.wanted, missing) {
            (Some(name), _) if !self.is_answer(name) => Some(name),
            (Some(_), _) | (None, []) => None,
            (None, [one]) if !given.is_empty() => Some(*one),
            (None, _) => None,
        };
        let others: Vec<Name> = missing
            .iter()
            .copied()
            .filter(|n| Some(*n) != unknown)
            .collect();
        if !others.is_empty() {
            return Err(self.too_little(missing));
        }
        match unknown {
            Some(name) => self.backwards(name, &given, units, convention),
            None => self.straight(&given, units, convention),
        }
    }

    fn straight(
        &self,
        given: &[(Name, f64)],
        units: Units,
        convention: Convention,
    ) -> Result<FoundValue, SumError> {
        let values = self.values(units);
        let made = self.forwards(&values, units, convention)?;
        let name = match self.wanted {
            Some(name) => name,
            None => self.sum.answers[0],
        };
        for (answer, si) in given {
            self.agrees(*answer, *si, &made, units, convention)?;
        }
        let at = self.sum.place(name);
        Ok(FoundValue {
            name,
            si: name.kind().unit(units).si(made[at]),
            values,
            made,
            notes: Vec::new(),
        })
    }

    fn agrees(
        &self,
        answer: Name,
        si: f64,
        made: &[f64],
        units: Units,
        convention: Convention,
    ) -> Result<(), SumError> {
        const TO_FOUR_FIGURES: f64 = 1e-3;
        let at = self.sum.place(answer);
        let found = answer.kind().unit(units).si(made[at]);
        if (found - si).abs() <= TO_FOUR_FIGURES * found.abs().max(si.abs()) {
            return Ok(());
        }
        let mut choices = vec![(answer.text().to_owned(), answer.kind().words(found, units))];
        for ask in self.sum.asks {
            if ask.how != How::Needed || ask.name == Name::Rates {
                continue;
            }
            let mut without = self.clone();
            without
                .given
                .retain(|g| g.0 != ask.name && (g.0 == answer || !self.is_answer(g.0)));
            without.wanted = None;
            if let Ok(found) = without.backwards(ask.name, &[(answer, si)], units, convention) {
                let words = ask.name.kind().words(found.si, units);
                choices.push((ask.name.text().to_owned(), words));
            }
        }
        Err(SumError::Contradiction {
            name: answer.text(),
            given: answer.kind().words(si, units),
            found: answer.kind().words(found, units),
            choices,
        })
    }

    fn backwards(
        &self,
        name: Name,
        given: &[(Name, f64)],
        units: Units,
        convention: Convention,
    ) -> Result<FoundValue, SumError> {
        let answers = || {
            let texts = self.sum.answers.iter().map(|n| n.text());
            texts.collect::<Vec<_>>().join(" or ")
        };
        let (answer, si) = match given {
            [] => {
                return Err(SumError::NoAnswerGiven {
                    name: name.text(),
                    answers: answers(),
                });
            }
            [one] => *one,
            [first, second, ..] => {
                return Err(SumError::Impossible(format!(
                    "{} and {} are both given, and one of them says what {} is; give one of them",
                    first.0.text(),
                    second.0.text(),
                    name.text()
                )));
            }
        };
        if name == Name::Rates {
            return Err(self.too_little(&[name]));
        }
        let at = self.sum.place(answer);
        let wanted = answer.kind().unit(units).number(si);
        let base = {
            let mut asked = self.clone();
            asked.wanted = Some(name);
            asked.values(units)
        };
        let with = |x: f64| {
            let mut values = base.clone();
            values.set(name, x);
            self.follow(&mut values, units);
            values.set(name, x);
            values
        };
        let f = |x: f64| {
            let made = self.forwards(&with(x), units, convention).ok()?;
            Some(made[at])
        };
        let bounds = name.kind().bounds();
        let words = |x: f64| name.kind().words(x, units);
        let out = |y: f64| answer.kind().words(answer.kind().unit(units).si(y), units);
        let undetermined = |why: String| SumError::Undetermined {
            name: name.text(),
            answer: answer.text(),
            why,
        };
        match solve(f, bounds, wanted) {
            Found::Roots(roots) => {
                let [root] = roots[..] else {
                    let all: Vec<String> = roots.iter().map(|r| words(r.at)).collect();
                    return Err(undetermined(format!("{} all give it", all.join(", "))));
                };
                let values = with(root.at);
                let made = self.forwards(&values, units, convention)?;
                let step = root.step.map(|(a, b)| {
                    format!(
                        "the sum is rounded: there it steps from {} to {}",
                        out(a),
                        out(b)
                    )
                });
                Ok(FoundValue {
                    name,
                    si: root.at,
                    values,
                    made,
                    notes: step.into_iter().collect(),
                })
            }
            Found::Beyond(least, most) if least == most => Err(undetermined(format!(
                "under this convention {} does not enter",
                name.text()
            ))),
            Found::Beyond(least, most) => Err(SumError::Unreachable {
                name: name.text(),
                range: format!("from {} to {}", words(bounds.0), words(bounds.1)),
                answer: answer.text(),
                wanted: answer.kind().words(si, units),
                reach: format!("between {} and {}", out(least), out(most)),
            }),
            Found::Any(low, high) => Err(undetermined(format!(
                "every value from {} to {} gives it",
                words(low),
                words(high)
            ))),
            Found::Nowhere => match self.forwards(&with(bounds.1 * 0.5), units, convention) {
                Err(why) => Err(why),
                Ok(_) => Err(undetermined("no value was found".to_owned())),
            },
        }
    }

    /// What is missing, and what each choice would give.
    fn too_little(&self, missing: &[Name]) -> SumError {
        let list = |names: &[Name]| {
            let texts: Vec<&str> = names.iter().map(|n| n.text()).collect();
            match texts.split_last() {
                Some((last, [])) => (*last).to_owned(),
                Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
                None => String::new(),
            }
        };
        let answer = match self.wanted.filter(|n| self.is_answer(*n)) {
            Some(name) => name,
            None => self.sum.answers[0],
        };
        let mut choices = Vec::new();
        let given = self.given_answers();
        match given.first() {
            None => {
                choices.push((list(missing), answer.text().to_owned()));
                for name in missing.iter().filter(|n| **n != Name::Rates) {
                    let mut others: Vec<Name> =
                        missing.iter().copied().filter(|n| n != name).collect();
                    others.push(answer);
                    choices.push((list(&others), name.text().to_owned()));
                }
            }
            Some(_) => {
                for name in missing.iter().filter(|n| **n != Name::Rates) {
                    let others: Vec<Name> = missing.iter().copied().filter(|n| n != name).collect();
                    if !others.is_empty() {
                        choices.push((list(&others), name.text().to_owned()));
                    }
                }
            }
        }
        SumError::Missing {
            sum: self.sum.name,
            missing: list(missing),
            choices,
        }
    }
}

/// Oxygen partial pressure of the air at the surface by the school's and the handbook's sums, bar or ata.
const AIR_PP: f64 = 0.21;

struct FoundValue {
    name: Name,
    si: f64,
    values: Values,
    made: Vec<f64>,
    notes: Vec<String>,
}

fn figure(name: Name, si: f64, units: Units) -> Figure {
    let unit = name.kind().unit(units);
    Figure {
        name,
        value: unit.number(si),
        unit: unit.name,
        words: name.kind().words(si, units),
    }
}

fn as_much_as(other: Name) -> &'static str {
    match other {
        Name::Before => "as much as before",
        _ => "as much as at the start",
    }
}

fn legs_words(legs: &[Leg], units: Units) -> String {
    let words = legs.iter().map(|leg| {
        let rate = Kind::Rate.words(leg.rate, units);
        format!("{rate} to {}", Kind::Depth.words(leg.to, units))
    });
    words.collect::<Vec<_>>().join(", ")
}
