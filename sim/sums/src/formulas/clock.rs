//! The decompression clock: steps, legs at their rates, and the rest that stands between them.

/// A leg of a decompression: at a rate up to a depth, msw and msw/s or any other depth and time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leg {
    /// Rate of ascent.
    pub rate: f64,
    /// Depth to which it holds.
    pub to: f64,
}

/// Time of one step of a travel: `d/r`.
///
/// US Navy Diving Manual, 15-23 (seen): 6 ft/h in steps of a foot is a step every ten minutes.
pub fn step_time(step: f64, rate: f64) -> f64 {
    step / rate
}

/// Time to come up at a rate a minute, min, raised to the next whole minute.
///
/// US Navy Diving Manual, Revision 4, p. 8-3, seen: 190 fsw at 30 ft/min: 6 min 20 s, taken as 7.
pub fn ascent_min(depth: f64, a_minute: f64) -> f64 {
    step_time(depth, a_minute).ceil()
}

/// Time of travel between two depths by legs, deepest first: the sum of `(D1 - D2)/r`; none where the legs end too deep.
pub fn travel_time(from: f64, to: f64, legs: &[Leg]) -> Option<f64> {
    let (mut depth, mut time) = (from, 0.0);
    for leg in legs {
        let end = leg.to.max(to);
        if depth > end {
            time += step_time(depth - end, leg.rate);
            depth = end;
        }
    }
    (depth <= to).then_some(time)
}

/// Time that a travel takes with its rests, where so much of each day is travel: `t 24 h/h`.
///
/// US Navy Diving Manual, 15-23 (seen): 16 h of travel in 24. An average: the clock at the start decides which rest falls in.
pub fn with_rests(travel: f64, hours_of_24: f64) -> f64 {
    travel * 24.0 / hours_of_24
}
