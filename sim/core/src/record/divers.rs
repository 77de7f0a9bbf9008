//! Each diver's hours: under pressure, in the bell, in the water, on masks, and his rest between runs.
//!
//! Counted from where he was said to be. The dose and the gas his body took come from the totals
//! that the crew gives at the end; they cannot be counted from places.

use super::kept::Kept;
use super::{BreathingPath, Entry, Phase, Sink, Spoken, What, Whereabouts};
use crate::units::{CompartmentId, DiverId};

/// One diver over the run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DiverRow {
    /// Who.
    pub diver: DiverId,
    /// Time out of his chamber for bell runs: in the bell or in the water from it, s.
    pub bell_s: i64,
    /// Time in the water, s.
    pub water_s: i64,
    /// Time under pressure, s.
    pub pressure_s: i64,
    /// Time on masks, s.
    pub bibs_s: i64,
    /// Times he left the bell for the water.
    pub lock_outs: u32,
    /// Stays in the bell that led to the water or below.
    pub bell_runs: u32,
    /// Longest stay in bell and water, s.
    pub longest_bell_s: i64,
    /// Shortest stay between two bell runs, s.
    pub shortest_rest_s: Option<i64>,
    /// Spoken reports of cold, heat, short breath or gas noise.
    pub complaints: u32,
    /// Oxygen his body took, mol, where the crew gave it.
    pub o2_mol: Option<f64>,
    /// Carbon dioxide his body gave, mol, where the crew gave it.
    pub co2_mol: Option<f64>,
    /// Unit pulmonary toxic dose, where the crew gave it. Shown, never prescribed.
    pub uptd: Option<f64>,
}

/// A diver's time in the water from a bell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wet {
    /// Who.
    pub diver: DiverId,
    /// From which bell.
    pub bell: CompartmentId,
    /// From when, s.
    pub from_s: i64,
    /// Until when, s; none while it lasts.
    pub to_s: Option<i64>,
}

/// A diver's time under pressure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pressed {
    /// Who.
    pub diver: DiverId,
    /// From when, s.
    pub from_s: i64,
    /// Until when, s; none while it lasts.
    pub to_s: Option<i64>,
    /// The chamber in which he came under pressure.
    pub first: CompartmentId,
    /// The chamber that he was in last, no bell.
    pub last: CompartmentId,
}

/// Most spans kept of either kind.
const MOST: usize = 100_000;
/// Out of pressure for no longer than this he has not surfaced, s: nobody is at the surface between two chambers under
/// pressure (house figure).
const SAME_S: i64 = 600;

#[derive(Clone, Copy, Debug)]
struct Track {
    row: DiverRow,
    place: Whereabouts,
    since: i64,
    bell_since: Option<i64>,
    bell_left: Option<i64>,
    was_wet: bool,
    bibs_since: Option<i64>,
    given: bool,
}

/// The sink that follows the divers.
#[derive(Clone, Debug, Default)]
pub struct Divers {
    tracks: Vec<Option<Track>>,
    bells: Vec<bool>,
    pressed: Vec<bool>,
    wet: Kept<Wet, MOST>,
    spans: Kept<Pressed, MOST>,
}

impl Divers {
    /// Each diver who was spoken of, in order, counted up to `end_s`.
    pub fn rows(&self, end_s: i64) -> Vec<DiverRow> {
        let close = |track: &Track| {
            let mut track = *track;
            if !track.given {
                self.count(&mut track, end_s);
                if let Some(from) = track.bell_since {
                    track.row.longest_bell_s = track.row.longest_bell_s.max(end_s - from);
                }
            }
            if let Some(from) = track.bibs_since {
                track.row.bibs_s += end_s - from;
            }
            track.row
        };
        self.tracks.iter().flatten().map(close).collect()
    }

    /// Times in the water, in order of beginning.
    pub fn wet(&self) -> &[Wet] {
        &self.wet
    }

    /// Times under pressure, in order of beginning.
    pub fn pressed(&self) -> &[Pressed] {
        &self.spans
    }

    /// Times in the water and under pressure that were counted and not kept.
    pub fn left_out(&self) -> u64 {
        self.wet.beyond() + self.spans.beyond()
    }

    /// Opens, carries on or closes the spans of a diver who is at a place from now on.
    fn follow(&mut self, at: i64, diver: DiverId, place: Whereabouts) {
        let mut wet = self.wet.iter_mut().rev();
        if let Some(open) = wet.find(|w| w.diver == diver && w.to_s.is_none()) {
            open.to_s = Some(at);
        }
        if let Whereabouts::Water(bell) = place {
            self.wet.keep(Wet {
                diver,
                bell,
                from_s: at,
                to_s: None,
            });
        }
        let under = self.under_pressure(place);
        let chamber = match place {
            Whereabouts::In(c) if !self.is_bell(c) => Some(c),
            _ => None,
        };
        let last = self.spans.iter_mut().rev().find(|p| p.diver == diver);
        match (under, last) {
            (true, Some(span)) if span.to_s.is_none_or(|to| at - to <= SAME_S) => {
                span.to_s = None;
                span.last = chamber.unwrap_or(span.last);
            }
            (true, _) => {
                let first = chamber.unwrap_or(CompartmentId(0));
                self.spans.keep(Pressed {
                    diver,
                    from_s: at,
                    to_s: None,
                    first,
                    last: first,
                });
            }
            (false, Some(span)) if span.to_s.is_none() => span.to_s = Some(at),
            _ => {}
        }
    }

    fn track(&mut self, at: i64, diver: DiverId) -> &mut Track {
        let index = diver.index();
        if index >= self.tracks.len() {
            self.tracks.resize(index + 1, None);
        }
        self.tracks[index].get_or_insert(Track {
            row: DiverRow {
                diver,
                bell_s: 0,
                water_s: 0,
                pressure_s: 0,
                bibs_s: 0,
                lock_outs: 0,
                bell_runs: 0,
                longest_bell_s: 0,
                shortest_rest_s: None,
                complaints: 0,
                o2_mol: None,
                co2_mol: None,
                uptd: None,
            },
            place: Whereabouts::Deck,
            since: at,
            bell_since: None,
            bell_left: None,
            was_wet: false,
            bibs_since: None,
            given: false,
        })
    }

    fn is_bell(&self, at: CompartmentId) -> bool {
        self.bells.get(at.index()).copied().unwrap_or(false)
    }

    fn in_bell(&self, place: Whereabouts) -> bool {
        match place {
            Whereabouts::Water(_) => true,
            Whereabouts::In(c) => self.is_bell(c),
            Whereabouts::Deck => false,
        }
    }

    fn under_pressure(&self, place: Whereabouts) -> bool {
        match place {
            Whereabouts::Deck => false,
            Whereabouts::Water(_) => true,
            Whereabouts::In(c) => {
                self.is_bell(c) || self.pressed.get(c.index()).copied().unwrap_or(false)
            }
        }
    }

    fn count(&self, track: &mut Track, at: i64) {
        let span = at - track.since;
        track.since = at;
        if matches!(track.place, Whereabouts::Water(_)) {
            track.row.water_s += span;
        }
        if self.in_bell(track.place) {
            track.row.bell_s += span;
        }
        if self.under_pressure(track.place) {
            track.row.pressure_s += span;
        }
    }

    fn go(&mut self, at: i64, diver: DiverId, to: Whereabouts) {
        if let Whereabouts::Water(bell) = to {
            set(&mut self.bells, bell, true);
        }
        let mut track = *self.track(at, diver);
        self.count(&mut track, at);
        let (was, will) = (self.in_bell(track.place), self.in_bell(to));
        if !was && will {
            track.bell_since = Some(at);
            track.was_wet = false;
        }
        if let Whereabouts::Water(_) = to {
            track.row.lock_outs += 1;
            if !track.was_wet {
                track.was_wet = true;
                track.row.bell_runs += 1;
                if let (Some(left), Some(into)) = (track.bell_left, track.bell_since) {
                    let rest = into - left;
                    track.row.shortest_rest_s = Some(
                        track
                            .row
                            .shortest_rest_s
                            .map_or(rest, |least| least.min(rest)),
                    );
                }
            }
        }
        if was && !will {
            if let Some(from) = track.bell_since.take() {
                track.row.longest_bell_s = track.row.longest_bell_s.max(at - from);
            }
            if track.was_wet {
                track.bell_left = Some(at);
            }
        }
        track.place = to;
        self.tracks[diver.index()] = Some(track);
        self.follow(at, diver, to);
    }

    /// A chamber came under pressure, or to the surface: those in it are counted up to now.
    fn press(&mut self, at: i64, chamber: CompartmentId, pressed: bool) {
        let mut tracks = std::mem::take(&mut self.tracks);
        for track in tracks.iter_mut().flatten() {
            self.count(track, at);
        }
        self.tracks = tracks;
        set(&mut self.pressed, chamber, pressed);
        let there: Vec<DiverId> = self
            .tracks
            .iter()
            .flatten()
            .filter(|track| track.place == Whereabouts::In(chamber))
            .map(|track| track.row.diver)
            .collect();
        for diver in there {
            self.follow(at, diver, Whereabouts::In(chamber));
        }
    }
}

fn set(list: &mut Vec<bool>, at: CompartmentId, value: bool) {
    if at.index() >= list.len() {
        list.resize(at.index() + 1, false);
    }
    list[at.index()] = value;
}

impl Sink for Divers {
    fn take(&mut self, entry: Entry) {
        let at = entry.at;
        match entry.what {
            What::BellPhase { bell, .. } => set(&mut self.bells, bell, true),
            What::Phase { compartment, phase } => {
                self.press(at, compartment, phase != Phase::Surface)
            }
            What::Diver { diver, to } => self.go(at, diver, to),
            What::Breathing { diver, path, .. } => {
                let track = self.track(at, diver);
                match (path == BreathingPath::Bibs, track.bibs_since) {
                    (true, None) => track.bibs_since = Some(at),
                    (false, Some(from)) => {
                        track.row.bibs_s += at - from;
                        track.bibs_since = None;
                    }
                    _ => {}
                }
            }
            What::Said { diver, report } if !matches!(report, Spoken::Well | Spoken::Seal) => {
                self.track(at, diver).row.complaints += 1;
            }
            What::DiverTotals {
                diver,
                bell_s,
                water_s,
                pressure_s,
                o2_mol,
                co2_mol,
                uptd,
            } => {
                let track = self.track(at, diver);
                track.given = true;
                track.row = DiverRow {
                    bell_s,
                    water_s,
                    pressure_s,
                    o2_mol: Some(o2_mol),
                    co2_mol: Some(co2_mol),
                    uptd: Some(uptd),
                    ..track.row
                };
            }
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::BellPhase;

    #[test]
    fn hours_are_counted_from_where_a_diver_is() {
        let (home, bell, diver) = (CompartmentId(0), CompartmentId(1), DiverId(0));
        let went = |to| What::Diver { diver, to };
        let mut divers = Divers::default();
        for (at, what) in [
            (0, went(Whereabouts::In(home))),
            (
                100,
                What::Phase {
                    compartment: home,
                    phase: Phase::Compression,
                },
            ),
            (
                1000,
                What::BellPhase {
                    bell,
                    run: 0,
                    phase: BellPhase::Checks,
                },
            ),
            (1000, went(Whereabouts::In(bell))),
            (1200, went(Whereabouts::Water(bell))),
            (1900, went(Whereabouts::In(bell))),
            (2000, went(Whereabouts::In(home))),
            (5000, went(Whereabouts::In(bell))),
            (5100, went(Whereabouts::Water(bell))),
            (5400, went(Whereabouts::In(bell))),
            (5500, went(Whereabouts::In(home))),
            (
                9000,
                What::Phase {
                    compartment: home,
                    phase: Phase::Surface,
                },
            ),
        ] {
            divers.take(Entry { at, what });
        }
        let row = divers.rows(9500)[0];
        assert_eq!(
            (row.bell_s, row.water_s, row.pressure_s),
            (1500, 1000, 8900)
        );
        assert_eq!(
            (row.bell_runs, row.lock_outs, row.longest_bell_s),
            (2, 2, 1000)
        );
        assert_eq!(row.shortest_rest_s, Some(3000));
        let wet: Vec<_> = divers.wet().iter().map(|w| (w.from_s, w.to_s)).collect();
        assert_eq!(wet, [(1200, Some(1900)), (5100, Some(5400))]);
        let pressed = divers.pressed();
        assert_eq!(pressed.len(), 1);
        assert_eq!((pressed[0].from_s, pressed[0].to_s), (100, Some(9000)));
        assert_eq!((pressed[0].first, pressed[0].last), (home, home));
    }
}
