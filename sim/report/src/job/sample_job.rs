//! The entries of the made-up job that this room's tests report on.

use super::sample::{LIVING, POT, TRUNK};
use deepstay_core::gas::Amounts;
use deepstay_core::record::*;
use deepstay_core::units::*;

const BELL: CompartmentId = CompartmentId(3);
const BOTTOM_MIX: BankId = BankId(0);
const OXYGEN: BankId = BankId(1);
const DIVERS: BankId = BankId(2);
const DEPTH: f64 = 118.0;
const HALF_HOUR: i64 = 1800;

/// The entries of the made-up job, in order of time.
pub fn entries(end_s: i64) -> Vec<Entry> {
    let mut writer = Writer::new(end_s);
    writer.run();
    writer.out.sort_by_key(|e| e.at);
    writer.out
}

struct Writer {
    out: Vec<Entry>,
    end_s: i64,
    places: std::collections::BTreeMap<Place, Amounts>,
    start: std::collections::BTreeMap<Place, f64>,
    noise: u64,
    run: u16,
}

impl Writer {
    fn new(end_s: i64) -> Writer {
        Writer {
            out: Vec::new(),
            end_s,
            places: Default::default(),
            start: Default::default(),
            noise: 1,
            run: 0,
        }
    }

    fn say(&mut self, at: i64, what: What) {
        self.out.push(Entry { at, what });
    }

    /// A number between -1 and 1 (a plain linear congruence, for looks only).
    fn jitter(&mut self) -> f64 {
        self.noise = self
            .noise
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.noise >> 40) as f64 / (1u64 << 23) as f64 - 1.0
    }

    fn move_gas(&mut self, at: i64, from: Place, to: Place, purpose: Purpose, moles: Amounts) {
        for (place, sign) in [(from, -1.0), (to, 1.0)] {
            let held = self.places.entry(place).or_default();
            *held = held.plus(&moles.scaled(sign));
        }
        self.say(
            at,
            What::Moved {
                from,
                to,
                purpose,
                moles,
            },
        );
    }

    fn run(&mut self) {
        let banks = [
            (BOTTOM_MIX, Amounts::heliox(0.02), 120_000.0),
            (OXYGEN, Amounts::oxygen(), 30_000.0),
            (DIVERS, Amounts::heliox(0.051), 400_000.0),
            (BankId(3), Amounts::air(), 5_000.0),
        ];
        let rooms =
            [LIVING, POT, TRUNK, BELL].map(|c| (Place::Compartment(c), Amounts::air(), 800.0));
        let all = banks.map(|(b, mix, mol)| (Place::Bank(b), mix, mol));
        for (place, mix, mol) in all.into_iter().chain(rooms) {
            let moles = mix.scaled(mol);
            self.places.insert(place, moles);
            self.start.insert(place, mol);
            self.say(0, What::Opening { place, moles });
        }
        for diver in (0..6).map(DiverId) {
            self.say(
                0,
                What::Diver {
                    diver,
                    to: Whereabouts::In(LIVING),
                },
            );
        }
        for (at, phase) in [
            (0, Phase::Compression),
            (8 * 3600, Phase::Storage),
            (self.end_s - 20 * 3600, Phase::Decompression),
            (self.end_s - 600, Phase::Surface),
        ] {
            self.say(
                at,
                What::Phase {
                    compartment: LIVING,
                    phase,
                },
            );
        }
        let mut t = HALF_HOUR;
        while t <= self.end_s {
            self.half_hour(t);
            t += HALF_HOUR;
        }
        for (place, moles) in self.places.clone() {
            if !matches!(place, Place::Bank(_) | Place::Compartment(_)) {
                continue;
            }
            self.say(self.end_s, What::Closing { place, moles });
        }
        for diver in (0..6).map(DiverId) {
            let (bell_s, water_s, pressure_s) = (30_000, 20_000, self.end_s - 600);
            let totals = What::DiverTotals {
                diver,
                bell_s,
                water_s,
                pressure_s,
                o2_mol: 61.0,
                co2_mol: 52.5,
                uptd: 310.0,
            };
            self.say(self.end_s, totals);
        }
    }

    fn depth(&self, t: i64) -> f64 {
        let down = (t as f64 / (6.0 * 3600.0)).min(1.0);
        let up = ((self.end_s - 600 - t) as f64 / (19.5 * 3600.0)).clamp(0.0, 1.0);
        DEPTH * down.min(up)
    }

    fn half_hour(&mut self, t: i64) {
        let hour = t / 3600;
        let second_of_day = (t + 6 * 3600).rem_euclid(86_400);
        let clock = |h: i64| second_of_day == h * 3600;
        if self.depth(t) > self.depth(t - HALF_HOUR) {
            let mix = Amounts::heliox(0.02).scaled(6000.0);
            self.move_gas(
                t,
                Place::Bank(BOTTOM_MIX),
                Place::Compartment(LIVING),
                Purpose::BlowDown,
                mix,
            );
        }
        if self.depth(t) < self.depth(t - HALF_HOUR) {
            let gas = self.places[&Place::Compartment(LIVING)].scaled(0.06);
            self.move_gas(
                t,
                Place::Compartment(LIVING),
                Place::Atmosphere,
                Purpose::Bleed,
                gas,
            );
            self.say(
                t,
                What::Step {
                    compartment: LIVING,
                    to_msw: self.depth(t),
                },
            );
        }
        self.move_gas(
            t,
            Place::Bank(OXYGEN),
            Place::Compartment(LIVING),
            Purpose::Oxygen,
            Amounts::oxygen().scaled(3.0),
        );
        self.say(
            t,
            What::Valve {
                valve: ValveName::Oxygen(LIVING),
                opening: 1.0,
            },
        );
        let burnt = Amounts([0.0, 2.6, 0.0, 0.0, 0.0, 0.0]);
        self.move_gas(
            t,
            Place::Compartment(LIVING),
            Place::Body,
            Purpose::Metabolism,
            burnt,
        );
        let given = Amounts([0.0, 0.0, 0.0, 2.3, 4.0, 0.0]);
        self.move_gas(
            t,
            Place::Body,
            Place::Compartment(LIVING),
            Purpose::Metabolism,
            given,
        );
        let taken = Amounts([0.0, 0.0, 0.0, 2.29, 3.9, 0.0]);
        self.move_gas(
            t,
            Place::Compartment(LIVING),
            Place::Absorbent(LIVING),
            Purpose::Absorption,
            taken,
        );
        let leak = self.places[&Place::Compartment(LIVING)]
            .fractions()
            .scaled(4.0);
        self.move_gas(
            t,
            Place::Compartment(LIVING),
            Place::Atmosphere,
            Purpose::Leak,
            leak,
        );
        self.move_gas(
            t,
            Place::Bank(BOTTOM_MIX),
            Place::Compartment(LIVING),
            Purpose::MakeUp,
            Amounts::heliox(0.02).scaled(9.0),
        );
        for h in [7, 12, 19] {
            if clock(h) {
                self.say(
                    t - 600,
                    What::Routine {
                        compartment: LIVING,
                        routine: Routine::Meal,
                        diver: None,
                    },
                );
                let lost = self.places[&Place::Compartment(LIVING)]
                    .fractions()
                    .scaled(40.0);
                self.move_gas(
                    t - 600,
                    Place::Compartment(LIVING),
                    Place::Atmosphere,
                    Purpose::LockRun,
                    lost,
                );
            }
        }
        if clock(6) || clock(18) {
            self.say(
                t,
                What::Handover {
                    station: Station::Saturation,
                },
            );
        }
        if clock(10) && self.depth(t) >= DEPTH {
            self.bell_run(t);
        }
        self.trouble(t, hour);
        self.row(t, hour);
    }

    fn trouble(&mut self, t: i64, hour: i64) {
        let co2 = |value: f64, outside, truth| What::Limit {
            name: past(Quantity::PpCo2),
            limit: 0.005,
            value,
            truth,
            outside,
        };
        let alarm = |state| What::Alarm {
            name: past(Quantity::PpCo2),
            state,
            value: 0.0051,
            setting: AlarmSetting {
                set_point: 0.005,
                delay_s: 1,
                sounds: [SoundsAt::SaturationControl].into_iter().collect(),
                latches: false,
            },
        };
        let o2 = |outside| What::Limit {
            name: past(Quantity::PpO2),
            limit: 0.48,
            value: 0.481,
            truth: Truth::True,
            outside,
        };
        match (hour, t % 3600) {
            (20, 0) => {
                self.say(
                    t,
                    What::Fault {
                        fault: 0,
                        active: true,
                    },
                );
                self.say(t + 900, co2(0.005, true, Truth::True));
                self.say(t + 960, co2(0.005, true, Truth::Shown));
                self.say(t + 961, alarm(AlarmState::Unacknowledged));
                self.say(t + 1000, alarm(AlarmState::Acknowledged));
            }
            (22, 0) => {
                self.say(
                    t,
                    What::Fault {
                        fault: 0,
                        active: false,
                    },
                );
                self.say(
                    t + 100,
                    What::Canister {
                        compartment: LIVING,
                        hours: 14.0,
                        moles: 60.0,
                    },
                );
                self.say(t + 300, co2(0.0049, false, Truth::True));
                self.say(t + 360, co2(0.0049, false, Truth::Shown));
                self.say(t + 361, alarm(AlarmState::Normal));
            }
            (34, 0) => self.say(t, o2(true)),
            (38, 0) => {
                self.say(
                    t,
                    What::Calibrated {
                        instrument: InstrumentId(0),
                        quantity: Quantity::PpO2,
                        compartment: LIVING,
                        as_found: 0.385,
                        as_left: 0.44,
                    },
                );
                self.say(t + 1200, o2(false));
            }
            _ => {}
        }
    }

    fn row(&mut self, t: i64, hour: i64) {
        let depth = self.depth(t);
        for (c, lag) in [(LIVING, 0.0), (POT, 0.4), (TRUNK, 0.2), (BELL, 0.3)] {
            let deep = if c == BELL && self.noise.is_multiple_of(5) {
                depth + 5.0
            } else {
                depth
            };
            let drift = if c == LIVING && (26..38).contains(&hour) {
                0.006 * (hour - 26) as f64
            } else {
                0.0
            };
            let settled = 1.0 - libm::exp(-(t as f64) / 9000.0);
            let ppo2 = 0.21 + 0.21 * settled + 0.012 * self.jitter() + drift;
            let stopped = if c == LIVING && (20..22).contains(&hour) {
                0.006
            } else {
                0.0
            };
            let ppco2 = 0.0022 * settled + 0.0004 * self.jitter() + stopped;
            let kelvin = 303.0 + 0.7 * self.jitter() + lag;
            let humid = 0.48 + 0.06 * self.jitter();
            let truth = [
                (Quantity::Depth, deep, 0.05),
                (Quantity::PpO2, ppo2, 0.002),
                (Quantity::FO2, ppo2 / (1.013 + deep / 10.0), 0.0),
                (Quantity::PpCo2, ppco2.max(0.0), 0.00005),
                (Quantity::Temperature, kelvin, 0.1),
                (Quantity::Humidity, humid, 0.005),
            ];
            self.say(
                t,
                What::Target {
                    compartment: c,
                    depth_msw: depth,
                },
            );
            for (quantity, value, error) in truth {
                let logged = |channel, truth, value| What::Logged {
                    compartment: c,
                    quantity,
                    channel,
                    truth,
                    value,
                };
                let shown = if quantity == Quantity::PpO2 {
                    value - drift
                } else {
                    value
                };
                let (e, f) = (error * self.jitter(), error * self.jitter());
                self.say(t, logged(Channel::Primary, Truth::True, value));
                self.say(t, logged(Channel::Primary, Truth::Shown, shown + e));
                self.say(t, logged(Channel::Secondary, Truth::Shown, value + f));
            }
            self.say(
                t,
                What::Headcount {
                    compartment: c,
                    divers: if c == LIVING { 6 } else { 0 },
                },
            );
            if c != TRUNK {
                self.say(
                    t,
                    What::ScrubberLogged {
                        compartment: c,
                        fan: true,
                        hours: (hour % 14) as f64,
                    },
                );
            }
        }
        for (bank, full) in [
            (BOTTOM_MIX, 190.0),
            (OXYGEN, 180.0),
            (DIVERS, 200.0),
            (BankId(3), 200.0),
        ] {
            let moles = self.places[&Place::Bank(bank)];
            let gauge_bar = full * moles.total() / self.start[&Place::Bank(bank)];
            self.say(
                t,
                What::BankLogged {
                    bank,
                    gauge_bar,
                    moles,
                },
            );
        }
        self.say(t, What::LogRow);
    }

    fn bell_run(&mut self, t: i64) {
        self.run += 1;
        let (run, bell) = (self.run, BELL);
        if run % 6 == 3 {
            self.say(
                t,
                What::Weather {
                    hs_m: 4.6,
                    stopped: true,
                },
            );
            self.say(
                t + 60,
                What::BellStopped {
                    bell,
                    run,
                    why: Stopped::Weather,
                },
            );
            self.say(
                t + 1700,
                What::Weather {
                    hs_m: 2.1,
                    stopped: false,
                },
            );
            return;
        }
        use BellPhase::*;
        let broken = run % 11 == 5;
        let minutes = [
            (Checks, 30),
            (Transfer, 20),
            (Seal, 5),
            (TrunkVented, 12),
            (Lowering, 14),
            (DoorOpen, 15),
            (FirstOut, if broken { 40 } else { 175 }),
            (FirstBack, 12),
            (SecondOut, 170),
            (SecondBack, 12),
            (BottomSeal, 6),
            (Recovery, 15),
            (Mating, 10),
            (TrunkPressed, 8),
            (TransferBack, 20),
        ];
        let pair = [
            DiverId((run % 3) as u8 * 2),
            DiverId((run % 3) as u8 * 2 + 1),
        ];
        let mut at = t;
        for (phase, length) in minutes {
            if broken && matches!(phase, SecondOut | SecondBack) {
                continue;
            }
            self.say(at, What::BellPhase { bell, run, phase });
            if phase == Transfer {
                for diver in pair {
                    self.say(
                        at,
                        What::Diver {
                            diver,
                            to: Whereabouts::In(bell),
                        },
                    );
                }
            }
            let wet = match phase {
                FirstOut => Some(pair[0]),
                SecondOut => Some(pair[1]),
                _ => None,
            };
            if let Some(diver) = wet {
                self.say(
                    at,
                    What::Diver {
                        diver,
                        to: Whereabouts::Water(bell),
                    },
                );
            }
            at += length * 60;
            if let Some(diver) = wet {
                let gas = Amounts::heliox(0.051).scaled(length as f64 * 20.0);
                self.move_gas(at, Place::Bank(DIVERS), Place::Sea, Purpose::DiverGas, gas);
                self.say(
                    at,
                    What::Diver {
                        diver,
                        to: Whereabouts::In(bell),
                    },
                );
            }
            if phase == TrunkVented {
                let gas = self.places[&Place::Compartment(TRUNK)].scaled(0.5);
                self.move_gas(
                    at,
                    Place::Compartment(TRUNK),
                    Place::Atmosphere,
                    Purpose::TrunkVent,
                    gas,
                );
            }
            if phase == TrunkPressed {
                let gas = Amounts::heliox(0.02).scaled(500.0);
                self.move_gas(
                    at,
                    Place::Bank(BOTTOM_MIX),
                    Place::Compartment(TRUNK),
                    Purpose::BellAndTrunk,
                    gas,
                );
            }
        }
        for diver in pair {
            self.say(
                at,
                What::Diver {
                    diver,
                    to: Whereabouts::In(LIVING),
                },
            );
        }
        self.say(
            at,
            What::BellPhase {
                bell,
                run,
                phase: Done,
            },
        );
        if broken {
            self.say(
                at,
                What::BellStopped {
                    bell,
                    run,
                    why: Stopped::Diver,
                },
            );
        }
    }
}

fn past(quantity: Quantity) -> LimitName {
    LimitName {
        compartment: LIVING,
        quantity,
        aspect: Aspect::Inside,
        bound: Bound::High,
        severity: Severity::Limit,
        by: LimitBy::Row(RuleRowId(0)),
    }
}
