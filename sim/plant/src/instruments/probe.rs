//! One instrument between what is true and what it shows: its lag from its anchor on, the gas on its way
//! through the sample line, its errors, and what can be read off.

use super::lag::{Decays, LONG_AGO, behind, cubic, lag};
use crate::steel::{Instrument, SamplePoint};
use deepstay_core::record::Adjusted;
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// How many past true values a probe keeps for its sample line.
const PAST: usize = 40;

/// An interval that a true value is followed over, s.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Interval {
    /// Its start.
    pub t_s: i64,
    /// Its length.
    pub h_s: i64,
}

/// State of an instrument at the anchor of the cluster it is connected to.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
pub(crate) struct Probe {
    /// Where it is really connected.
    connected: SamplePoint,
    /// Where its own line really leads, which a fault can change.
    own_line: SamplePoint,
    /// The vessel whose sample line it is turned to, where that is not its own.
    turned: Option<CompartmentId>,
    /// Lagged true value, in the quantity's unit.
    lagged: f64,
    /// Second of `lagged`.
    at_s: i64,
    /// True value over the interval as a cubic of its share, if it is followed.
    followed: Option<[f64; 4]>,
    /// Delay in the sample line over the interval, s, and the true value that was on its way out of it at the anchor.
    #[serde(skip)]
    leaving: Option<(f64, f64)>,
    errors: Errors,
    /// Shows this whatever happens.
    stuck: Option<f64>,
    /// Past true values, oldest overwritten.
    #[serde(with = "past")]
    past: [(i64, f64); PAST],
    newest: u8,
}

/// Errors of an instrument, and how they drift.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
struct Errors {
    /// At `since_s`.
    span: f64,
    zero: f64,
    span_per_s: f64,
    zero_per_s: f64,
    since_s: i64,
}

/// The gas of a bottle, led to an analyser, in the quantity's unit.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bottle {
    /// What it truly holds.
    pub truly: f64,
    /// What it is said to hold.
    pub said: f64,
    /// How far the zero can be turned.
    pub zero_most: f64,
}

/// How far the span of an analyser can be turned, as a share (house figure).
const SPAN_MOST: f64 = 0.25;

impl Errors {
    /// What it has drifted until a second is part of its errors.
    fn settle(&mut self, t_s: i64) {
        let since = (t_s - self.since_s) as f64;
        self.span += self.span_per_s * since;
        self.zero += self.zero_per_s * since;
        self.since_s = t_s;
    }

    fn on(&self, value: f64, t_s: i64) -> f64 {
        let since = (t_s - self.since_s) as f64;
        value * (1.0 + self.span + self.span_per_s * since) + self.zero + self.zero_per_s * since
    }
}

mod past {
    //! Arrays longer than 32 in serde, as a sequence.
    use super::PAST;
    use serde::{Deserialize, Deserializer, Serialize, Serializer};

    pub fn serialize<S: Serializer>(past: &[(i64, f64); PAST], s: S) -> Result<S::Ok, S::Error> {
        past.as_slice().serialize(s)
    }

    pub fn deserialize<'de, D: Deserializer<'de>>(d: D) -> Result<[(i64, f64); PAST], D::Error> {
        let list = Vec::<(i64, f64)>::deserialize(d)?;
        list.try_into()
            .map_err(|_| serde::de::Error::custom("wrong number of past values"))
    }
}

impl Probe {
    /// As it was made, at a second, and has shown a true value for long.
    pub fn new(ins: &Instrument, value: f64, at_s: i64) -> Probe {
        Probe {
            connected: ins.connected,
            own_line: ins.connected,
            turned: None,
            lagged: value,
            at_s,
            followed: None,
            leaving: None,
            errors: Errors {
                span: ins.span,
                zero: ins.zero,
                span_per_s: ins.span_drift_per_s,
                zero_per_s: ins.zero_drift_per_s,
                since_s: at_s,
            },
            stuck: None,
            past: [(at_s, value); PAST],
            newest: 0,
        }
    }

    /// Where it is really connected.
    #[inline]
    pub fn connected(&self) -> SamplePoint {
        self.connected
    }

    /// The vessel whose sample line it is turned to, where that is not its own.
    pub fn turned(&self) -> Option<CompartmentId> {
        self.turned
    }

    /// Turns it to the sample line of another vessel, or to its own; gives where it is to be connected then.
    pub fn turn(&mut self, to: Option<CompartmentId>) -> SamplePoint {
        self.turned = to;
        self.leads_to()
    }

    /// Its own line leads elsewhere; gives where it is to be connected then.
    pub fn lead_own_line(&mut self, to: SamplePoint) -> SamplePoint {
        self.own_line = to;
        self.leads_to()
    }

    fn leads_to(&self) -> SamplePoint {
        self.turned.map_or(self.own_line, SamplePoint::Compartment)
    }

    /// Connects it to something that has been at a value for long.
    pub fn connect(&mut self, to: SamplePoint, t_s: i64, here: f64) {
        self.connected = to;
        self.past = [(t_s, here); PAST];
        self.at_s = t_s;
        self.followed = None;
        self.leaving = None;
    }

    /// Connects it to something that it follows from what it shows now.
    pub fn reconnect(&mut self, to: SamplePoint) {
        self.connected = to;
    }

    /// True value at an earlier second, between the values kept.
    fn past(&self, t_s: f64) -> f64 {
        let mut later = self.past[usize::from(self.newest)];
        if t_s >= later.0 as f64 {
            return later.1;
        }
        for earlier in self.backwards().skip(1) {
            if earlier.0 >= later.0 {
                break;
            }
            if t_s >= earlier.0 as f64 {
                let share = (t_s - earlier.0 as f64) / (later.0 - earlier.0) as f64;
                return earlier.1 + share * (later.1 - earlier.1);
            }
            later = earlier;
        }
        later.1
    }

    /// True values between two earlier times, at both and wherever they turn: all that came between lies among them.
    pub fn turns(&self, from_s: f64, to_s: f64) -> impl Iterator<Item = f64> {
        let between = self
            .backwards()
            .skip_while(move |(t_s, _)| *t_s as f64 >= to_s)
            .take_while(move |(t_s, _)| *t_s as f64 > from_s);
        let ends = [self.past(from_s), self.past(to_s)];
        ends.into_iter().chain(between.map(|(_, value)| value))
    }

    /// The true values kept, with their seconds, from the newest on.
    fn backwards(&self) -> impl Iterator<Item = (i64, f64)> {
        let newest = usize::from(self.newest);
        (0..PAST).map(move |back| self.past[(newest + PAST - back) % PAST])
    }

    /// Follows a true value over an interval, given at its start, its thirds and its end; or none.
    pub fn follow(&mut self, thirds: Option<[f64; 4]>) {
        self.followed = thirds.map(cubic);
    }

    /// Its sample line has a delay over the interval, s.
    pub fn take_from_line(&mut self, delay_s: f64) {
        self.leaving = Some((delay_s, self.past(self.at_s as f64 - delay_s)));
    }

    /// Lagged value at a second where it follows the true value over an interval, if it does. At its anchor it is what
    /// it is there, whatever has been opened or shut since and has no interval yet.
    pub fn on_course(
        &self,
        ins: &Instrument,
        over: Interval,
        t_s: i64,
        decays: &Decays,
    ) -> Option<f64> {
        if t_s == self.at_s {
            return Some(self.lagged);
        }
        let course = self.followed.as_ref()?;
        let within = over.t_s..=over.t_s + over.h_s;
        if !within.contains(&self.at_s) || !within.contains(&t_s) {
            return None;
        }
        let h_s = over.h_s as f64;
        let settled = |t_s: i64| behind(course, (t_s - over.t_s) as f64 / h_s, h_s, ins.lag_s);
        let dt = (t_s - self.at_s) as f64;
        let gone = dt > LONG_AGO * ins.lag_s;
        let left = if gone {
            0.0
        } else {
            (self.lagged - settled(self.at_s)) * decays.left(dt / ins.lag_s)
        };
        Some(settled(t_s) + left)
    }

    /// Lagged value at a second, given the true value then and the delay in the sample line, s.
    pub fn along_chord(
        &self,
        ins: &Instrument,
        delay_s: f64,
        here: f64,
        t_s: i64,
        decays: &Decays,
    ) -> f64 {
        let dt = (t_s - self.at_s) as f64;
        let at = |t: f64| {
            let newest = self.past[usize::from(self.newest)];
            if t <= newest.0 as f64 || t_s <= newest.0 {
                self.past(t)
            } else {
                newest.1 + (here - newest.1) * (t - newest.0 as f64) / (t_s - newest.0) as f64
            }
        };
        let x1 = if delay_s > 0.0 {
            at(t_s as f64 - delay_s)
        } else {
            here
        };
        let x0 = match self.leaving {
            Some((of_s, x0)) if of_s == delay_s => x0,
            _ => at(self.at_s as f64 - delay_s),
        };
        lag(self.lagged, (x0, x1), dt, ins.lag_s, decays)
    }

    /// Moves its anchor to a second, with the lagged and the true value there.
    pub fn settle(&mut self, t_s: i64, lagged: f64, here: f64) {
        self.lagged = lagged;
        self.at_s = t_s;
        self.leaving = None;
        if self.past[usize::from(self.newest)].0 < t_s {
            self.newest = (self.newest + 1) % PAST as u8;
        }
        self.past[usize::from(self.newest)] = (t_s, here);
    }

    /// A lagged true value with the instrument's errors on it.
    pub fn with_errors(&self, lagged: f64, t_s: i64) -> f64 {
        self.stuck.unwrap_or_else(|| self.errors.on(lagged, t_s))
    }

    /// What can be read off of a value.
    pub fn rounded(&self, ins: &Instrument, value: f64) -> f64 {
        if self.stuck.is_some() {
            return value;
        }
        let value = if ins.resolution > 0.0 {
            (value / ins.resolution).round() * ins.resolution
        } else {
            value
        };
        // The pointer of a bank's gauge rests on its pin at nothing, no air is drier than dry, and the scale of a
        // hygrometer ends at what is saturated.
        let value = match ins.quantity {
            Quantity::GaugePressure => value.max(0.0),
            Quantity::Humidity => value.clamp(0.0, 1.0),
            _ => value,
        };
        // What is no number stays none, and is not taken for the end of the scale.
        if value > ins.ceiling {
            ins.ceiling
        } else {
            value
        }
    }

    /// Sets its errors at the start, and how they drift.
    pub fn set_errors(&mut self, span: f64, zero: f64, span_per_s: f64, zero_per_s: f64) {
        let errors = &mut self.errors;
        (errors.span, errors.zero) = (span, zero);
        (errors.span_per_s, errors.zero_per_s) = (span_per_s, zero_per_s);
    }

    /// It drifts otherwise from now on; what it has drifted stays.
    pub fn drift(&mut self, t_s: i64, span_per_s: f64, zero_per_s: f64) {
        let errors = &mut self.errors;
        errors.settle(t_s);
        errors.span_per_s = span_per_s;
        errors.zero_per_s = zero_per_s;
    }

    /// It keeps showing a value, or lives again.
    pub fn stick(&mut self, shows: Option<f64>) {
        self.stuck = shows;
    }

    /// Sets it against a standard; gives what it showed of it before, and what it shows then.
    pub fn calibrate(&mut self, t_s: i64, standard: f64) -> (f64, f64) {
        let as_found = self.with_errors(standard, t_s);
        (self.errors.span, self.errors.zero) = (0.0, 0.0);
        self.errors.since_s = t_s;
        (as_found, self.with_errors(standard, t_s))
    }

    /// Turns its zero or its span until it shows `wanted` of a true value, as far as the screw goes; gives what it
    /// showed before, and what it shows then. None, and nothing turned, where the screw ends before.
    pub fn adjust(&mut self, t_s: i64, part: Adjusted, gas: &Bottle) -> Option<(f64, f64)> {
        let Bottle {
            truly,
            said,
            zero_most,
        } = *gas;
        let as_found = self.with_errors(truly, t_s);
        let mut errors = self.errors;
        errors.settle(t_s);
        match part {
            Adjusted::Zero => errors.zero = said - truly * (1.0 + errors.span),
            Adjusted::Span => errors.span = (said - errors.zero) / truly - 1.0,
        }
        // Where the bottle holds none of it the span comes to no number, and that is within nothing.
        let within = errors.span.abs() <= SPAN_MOST && errors.zero.abs() <= zero_most;
        if !within {
            return None;
        }
        self.errors = errors;
        Some((as_found, self.with_errors(truly, t_s)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn instrument(lag_s: f64) -> Instrument {
        Instrument {
            name: "ppO2".into(),
            quantity: Quantity::PpO2,
            labelled: SamplePoint::Compartment(CompartmentId(0)),
            connected: SamplePoint::Compartment(CompartmentId(0)),
            channel: Channel::Primary,
            lag_s,
            line_m3: 0.0,
            line_mol_s: 0.0,
            let_down_at_penetrator: false,
            span: 0.02,
            zero: -0.01,
            span_drift_per_s: 1e-6,
            zero_drift_per_s: 2e-6,
            accuracy: 0.0,
            resolution: 0.01,
            ceiling: 2.0,
        }
    }

    /// The lag by itself: tau y' = x - y, by many small steps of the midpoint rule.
    fn integrated(x: impl Fn(f64) -> f64, y0: f64, tau_s: f64, end_s: f64) -> f64 {
        let steps = 200_000;
        let h = end_s / f64::from(steps);
        let mut y = y0;
        for k in 0..steps {
            let t = f64::from(k) * h;
            let half = y + 0.5 * h * (x(t) - y) / tau_s;
            y += h * (x(t + 0.5 * h) - half) / tau_s;
        }
        y
    }

    #[test]
    fn it_follows_a_cubic_as_the_equation_of_its_lag_says() {
        let ins = instrument(9.0);
        let x = |t: f64| 0.4 + 2e-3 * t - 3e-5 * t * t + 2e-7 * t * t * t;
        let mut probe = Probe::new(&ins, x(0.0), 0);
        probe.settle(0, 0.37, x(0.0));
        probe.follow(Some([0.0, 40.0, 80.0, 120.0].map(x)));
        let over = Interval { t_s: 0, h_s: 120 };
        for t_s in [1, 7, 30, 120] {
            let ours = probe
                .on_course(&ins, over, t_s, &Decays::default())
                .expect("within");
            let exact = integrated(x, 0.37, 9.0, t_s as f64);
            assert!(
                (ours - exact).abs() < 1e-9,
                "{t_s} s: {ours} against {exact}"
            );
        }
        assert_eq!(probe.on_course(&ins, over, 121, &Decays::default()), None);
    }

    /// What has just been joined to something else has no interval yet: its length is nothing.
    #[test]
    fn at_its_anchor_it_shows_what_it_is_there() {
        let ins = instrument(2.0);
        let mut probe = Probe::new(&ins, 0.4, 0);
        probe.follow(Some([0.4, 0.41, 0.43, 0.46]));
        probe.settle(60, 0.455, 0.46);
        let none = Interval { t_s: 60, h_s: 0 };
        assert_eq!(
            probe.on_course(&ins, none, 60, &Decays::default()),
            Some(0.455)
        );
    }

    #[test]
    fn gas_on_its_way_through_the_line_shows_late() {
        // A ramp of 0.001 a second, seen 20 s late by an instrument without lag of its own.
        let ins = instrument(0.0);
        let mut probe = Probe::new(&ins, 0.4, 0);
        for t_s in [10, 20, 30, 40] {
            probe.settle(t_s, 0.4, 0.4 + 1e-3 * t_s as f64);
        }
        let ours = probe.along_chord(&ins, 20.0, 0.45, 50, &Decays::default());
        assert!((ours - 0.43).abs() < 1e-12, "{ours}");
    }

    #[test]
    fn whatever_turned_on_its_way_through_the_line_is_known() {
        let mut probe = Probe::new(&instrument(0.0), 0.40, 0);
        for (t_s, here) in [(10, 0.40), (20, 0.30), (30, 0.42), (40, 0.41)] {
            probe.settle(t_s, 0.4, here);
        }
        // At both ends, by hand, and the dip and the peak between them.
        let mut turns: Vec<f64> = probe.turns(15.0, 35.0).collect();
        turns.sort_by(f64::total_cmp);
        let by_hand = [0.30, 0.35, 0.415, 0.42];
        assert_eq!(turns.len(), by_hand.len());
        for (turn, by_hand) in turns.iter().zip(by_hand) {
            assert!((turn - by_hand).abs() < 1e-12, "{turns:?}");
        }
    }

    #[test]
    fn errors_drift_stay_and_are_taken_away_by_the_standard() {
        // By hand: span 0.02 + 1e-6 x 10 000 = 0.03, zero -0.01 + 2e-6 x 10 000 = 0.01.
        let mut probe = Probe::new(&instrument(0.0), 0.4, 0);
        assert!((probe.with_errors(0.5, 10_000) - (0.5 * 1.03 + 0.01)).abs() < 1e-12);
        probe.drift(10_000, 0.0, 0.0);
        assert!((probe.with_errors(0.5, 90_000) - (0.5 * 1.03 + 0.01)).abs() < 1e-12);
        let (as_found, as_left) = probe.calibrate(90_000, 0.4);
        assert!((as_found - (0.4 * 1.03 + 0.01)).abs() < 1e-12);
        assert_eq!(as_left, 0.4);
        assert_eq!(probe.with_errors(0.5, 90_000), 0.5);
    }

    /// By hand: of 0.20 bar it shows 0.20 x 1.02 - 0.01 = 0.194. With its zero turned by that bottle to 0.20 it is
    /// 0.004 off the other way, and of 0.60 bar shows 0.60 x 1.02 - 0.004 = 0.608; its span then turned by a bottle
    /// of 0.60, it shows 0.60 of it, and of 0.20 (0.60 + 0.004) / 0.60 x 0.20 - 0.004 = 0.19733.
    #[test]
    fn zero_and_span_are_two_screws() {
        let mut probe = Probe::new(&instrument(0.0), 0.4, 0);
        probe.drift(0, 0.0, 0.0);
        let bottle = |bar: f64| Bottle {
            truly: bar,
            said: bar,
            zero_most: 0.1,
        };
        let (found, left) = probe
            .adjust(60, Adjusted::Zero, &bottle(0.20))
            .expect("within");
        assert!((found - 0.194).abs() < 1e-12 && (left - 0.20).abs() < 1e-12);
        let (found, left) = probe
            .adjust(90, Adjusted::Span, &bottle(0.60))
            .expect("within");
        assert!((found - 0.608).abs() < 1e-12 && (left - 0.60).abs() < 1e-12);
        assert!((probe.with_errors(0.20, 90) - 0.197_333_333).abs() < 1e-9);
    }

    #[test]
    fn a_screw_ends_and_then_nothing_is_turned() {
        let mut probe = Probe::new(&instrument(0.0), 0.4, 0);
        probe.drift(0, 0.0, 0.0);
        let shows = probe.with_errors(0.5, 60);
        for (part, truly, said) in [
            (Adjusted::Span, 0.40, 0.60),
            (Adjusted::Span, 0.0, 0.40),
            (Adjusted::Span, 0.0, -0.01),
            (Adjusted::Zero, 0.40, 0.60),
        ] {
            let gas = Bottle {
                truly,
                said,
                zero_most: 0.1,
            };
            assert_eq!(
                probe.adjust(60, part, &gas),
                None,
                "{part:?} {truly} {said}"
            );
        }
        assert_eq!(probe.with_errors(0.5, 60), shows);
    }

    /// The needle of a frozen instrument does not move, whatever is turned: that is what is written down.
    #[test]
    fn a_frozen_one_is_found_and_left_as_it_stands() {
        let mut probe = Probe::new(&instrument(0.0), 0.4, 0);
        probe.stick(Some(0.43));
        assert_eq!(probe.calibrate(60, 0.4), (0.43, 0.43));
        let gas = Bottle {
            truly: 0.4,
            said: 0.4,
            zero_most: 0.1,
        };
        assert_eq!(probe.adjust(60, Adjusted::Span, &gas), Some((0.43, 0.43)));
    }

    #[test]
    fn what_is_read_off_is_rounded_capped_and_stuck() {
        let ins = instrument(0.0);
        let mut probe = Probe::new(&ins, 0.4, 0);
        assert!((probe.rounded(&ins, 0.4263) - 0.43).abs() < 1e-12);
        assert_eq!(probe.rounded(&ins, 3.0), 2.0);
        probe.stick(Some(0.4263));
        assert_eq!(probe.with_errors(1.0, 50), 0.4263);
        assert_eq!(probe.rounded(&ins, 0.4263), 0.4263);
    }

    /// The scale of a hygrometer goes from dry to saturated, whatever its error says.
    #[test]
    fn no_hygrometer_shows_more_than_saturated() {
        let mut ins = instrument(0.0);
        (ins.quantity, ins.resolution, ins.ceiling) = (Quantity::Humidity, 0.01, f64::INFINITY);
        let probe = Probe::new(&ins, 0.5, 0);
        assert_eq!(probe.rounded(&ins, 1.09), 1.0);
        assert_eq!(probe.rounded(&ins, 0.994), 0.99);
        assert_eq!(probe.rounded(&ins, -0.02), 0.0);
    }
}
