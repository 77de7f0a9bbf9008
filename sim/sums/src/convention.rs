//! The conventions under which a sum is made: each choice between two, with its words, so that an answer can show what it
//! would be under the other.

use deepstay_core::units::Units;

/// Something about which two conventions differ.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Choice {
    /// Gas by hand (bar times floodable volume) or real gas.
    Gas,
    /// 10 msw a bar (33 fsw an atmosphere), or the pressure at the surface as it is.
    Pressure,
    /// Whether an atmosphere is added to what the gauge shows.
    PlusOne,
    /// Whether the regulator's allowance is taken off.
    Allowance,
    /// Whether the handbook's rounding up is done.
    Rounding,
    /// Whether the gauge is sealed (reads over the surface) or open to ambient.
    SealedGauge,
    /// Whether litres are counted at the chamber's temperature and 1 bar, or at 0 degC and 1 atm, dry.
    Litres,
}

impl Choice {
    /// Every choice.
    pub const ALL: [Choice; 7] = [
        Choice::Gas,
        Choice::Pressure,
        Choice::PlusOne,
        Choice::Allowance,
        Choice::Rounding,
        Choice::SealedGauge,
        Choice::Litres,
    ];

    /// Its name, and the words of its two sides: first the hand's, then the other.
    pub fn spelling(self) -> (&'static str, [&'static str; 2]) {
        match self {
            Choice::Gas => ("gas-law", ["hand", "real"]),
            Choice::Pressure => ("pressure", ["ten", "exact"]),
            Choice::PlusOne => ("plus-one", ["no", "yes"]),
            Choice::Allowance => ("regulator", ["yes", "no"]),
            Choice::Rounding => ("round", ["up", "no"]),
            Choice::SealedGauge => ("gauge-type", ["sealed", "ambient"]),
            Choice::Litres => ("litres", ["chamber", "standard"]),
        }
    }
}

/// On which side of each choice a sum is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Convention([Side; Choice::ALL.len()]);

/// A side of a choice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// The school's and the handbook's.
    Hand,
    /// The other.
    Other,
}

impl Side {
    /// The other side.
    pub fn flipped(self) -> Side {
        match self {
            Side::Hand => Side::Other,
            Side::Other => Side::Hand,
        }
    }
}

impl Convention {
    /// Every choice as the school makes it.
    pub const HAND: Convention = Convention([Side::Hand; Choice::ALL.len()]);

    /// The side of a choice.
    pub fn side(self, choice: Choice) -> Side {
        self.0[choice as usize]
    }

    /// Whether a choice is made as the school does.
    pub fn is_hand(self, choice: Choice) -> bool {
        self.side(choice) == Side::Hand
    }

    /// The same with one choice on a side.
    pub fn with(mut self, choice: Choice, side: Side) -> Convention {
        self.0[choice as usize] = side;
        self
    }

    /// The same with one choice on its other side.
    pub fn flipped(self, choice: Choice) -> Convention {
        self.with(choice, self.side(choice).flipped())
    }

    /// What a choice says in words.
    pub fn words(self, choice: Choice, units: Units) -> &'static str {
        let metric = units == Units::Metric;
        match (choice, self.side(choice)) {
            (Choice::Gas, Side::Hand) if metric => {
                "by hand: bar times floodable volume, free gas at 1 bar, one temperature"
            }
            (Choice::Gas, Side::Hand) => {
                "by hand: psi/14.7 times floodable volume, one temperature"
            }
            (Choice::Gas, Side::Other) if metric => {
                "real gas (density virial), counted at 15 degC and 1 bar"
            }
            (Choice::Gas, Side::Other) => "real gas (density virial), counted at 59 degF and 1 ata",
            (Choice::Pressure, Side::Hand) if metric => "10 msw = 1 bar, surface 1 bar",
            (Choice::Pressure, Side::Hand) => "33 fsw = 1 ata, surface 1 ata",
            (Choice::Pressure, Side::Other) if metric => {
                "exact: surface as given (1.013 bar), 1 msw = 0.1 bar"
            }
            (Choice::Pressure, Side::Other) => {
                "exact: surface as given (1 ata), 1 fsw = 0.30643 msw, 14.696 psi = 1 ata"
            }
            (Choice::PlusOne, Side::Hand) => "gauge pressure, no atmosphere added",
            (Choice::PlusOne, Side::Other) => "one atmosphere added to the gauge pressure",
            (Choice::Allowance, Side::Hand) => "regulator allowance taken off",
            (Choice::Allowance, Side::Other) => "no regulator allowance",
            (Choice::Rounding, Side::Hand) => "rounded up to whole minutes and psi",
            (Choice::Rounding, Side::Other) => "not rounded",
            (Choice::SealedGauge, Side::Hand) => "sealed gauge: reads over the surface",
            (Choice::SealedGauge, Side::Other) => {
                "gauge open to ambient: reads over the bell's depth"
            }
            (Choice::Litres, Side::Hand) if metric => {
                "litres at 1 bar and the chamber's temperature"
            }
            (Choice::Litres, Side::Hand) => "cubic feet at 1 ata and the chamber's temperature",
            (Choice::Litres, Side::Other) if metric => {
                "litres at 0 degC and 1.013 bar (STPD), chamber at its temperature"
            }
            (Choice::Litres, Side::Other) => {
                "cubic feet at 32 degF and 1 ata (STPD), chamber at its temperature"
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_choice_has_its_place_and_two_words() {
        for (i, choice) in Choice::ALL.into_iter().enumerate() {
            assert_eq!(choice as usize, i);
            let other = Convention::HAND.flipped(choice);
            assert_eq!(other.flipped(choice), Convention::HAND);
            for units in [Units::Metric, Units::Imperial] {
                assert_ne!(
                    Convention::HAND.words(choice, units),
                    other.words(choice, units)
                );
            }
        }
    }
}
