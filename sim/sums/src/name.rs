//! The names of what goes into a sum and comes out of it: the words of the trade, one meaning each.

use crate::kind::Kind;

macro_rules! names {
    ($($id:ident $text:literal $kind:ident $says:literal;)*) => {
        /// A quantity of a sum by its name.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Name {
            $(#[doc = $says] $id,)*
        }

        impl Name {
            /// Every name.
            pub const ALL: &'static [Name] = &[$(Name::$id),*];

            /// As it is written.
            pub fn text(self) -> &'static str {
                match self { $(Name::$id => $text),* }
            }

            /// What kind of quantity it is.
            pub fn kind(self) -> Kind {
                match self { $(Name::$id => Kind::$kind),* }
            }

            /// What it means.
            pub fn says(self) -> &'static str {
                match self { $(Name::$id => $says),* }
            }
        }
    };
}

names! {
    Depth "depth" Depth "depth of the divers, the bell or the chamber";
    From "from" Depth "depth at the start";
    To "to" Depth "depth at the end";
    Surface "surface" Absolute "pressure at the surface";
    AbsolutePressure "absolute" Absolute "absolute pressure";
    Bottles "bottles" Count "number of bottles";
    BottleVolume "volume" Bottle "floodable volume of one bottle or flask";
    Gauge "gauge" Gauge "what the gauge shows";
    ChangeOver "change-over" Gauge "change-over pressure (heel): below it nothing is drawn";
    Final "final" Gauge "gauge pressure at the end";
    Rated "rated" Gas "free gas that the quad holds when full";
    Full "full" Gauge "gauge pressure at which the quad is full";
    Gas "gas" Gas "free gas";
    Helium "helium" Gas "helium of it, which is to be replaced";
    Reserve "reserve" Gas "free gas that is spoken for";
    Free "free" Gas "free gas left beside the reserve";
    Divers "divers" Count "number of divers";
    People "people" Count "number of people";
    Breathing "breathing" Breathing "breathing of one, at depth";
    Time "time" Time "length of time";
    Travel "travel" Time "time of travel without rests";
    SupplyFlow "flow" Flow "flow of free gas";
    Mix "mix" Share "oxygen in the mix";
    Nitrogen "nitrogen" Share "nitrogen in the mix; the rest is helium";
    Temperature "temperature" Temperature "temperature of the gas";
    Warmer "temperature-2" Temperature "temperature of the gas afterwards";
    PpO2 "ppo2" Partial "oxygen partial pressure";
    Before "before" Partial "oxygen partial pressure at the start";
    Target "target" Partial "oxygen partial pressure that is wanted";
    Rise "rise" Partial "by how much oxygen partial pressure is raised";
    Chamber "chamber" Chamber "gas volume of the chamber";
    Oxygen "oxygen" Litres "free oxygen to add";
    OxygenUsed "oxygen-used" Gas "free oxygen that people take up";
    OxygenRate "oxygen-rate" Flow "oxygen of one person, free gas";
    Co2Rate "co2-rate" Flow "carbon dioxide of one person, free gas";
    PpCo2 "ppco2" Co2 "carbon dioxide partial pressure";
    Earlier "earlier" Co2 "carbon dioxide partial pressure of the earlier reading, or at the start";
    Limit "limit" Co2 "carbon dioxide partial pressure at which absorbent is changed";
    Apart "apart" Time "time between the two readings";
    Sev "sev" Share "surface equivalent value";
    Mercury "mercury" Mercury "the same in millimetres of mercury";
    Absorbent "absorbent" Mass "mass of absorbent";
    Capacity "capacity" Capacity "carbon dioxide that the absorbent takes up";
    Used "used" Time "time for which it was used already";
    Held "held" Gauge "gauge pressure of the quad before it is topped";
    HeldMix "held-mix" Share "oxygen in it before it is topped";
    TopMix "top-mix" Share "oxygen in what it is topped with";
    FinalMix "final-mix" Share "oxygen in it at the end";
    FirstVolume "first-volume" Bottle "floodable volume of the first quad";
    FirstGauge "first-gauge" Gauge "gauge pressure of the first quad";
    FirstMix "first-mix" Share "oxygen in the first quad";
    SecondVolume "second-volume" Bottle "floodable volume of the second quad";
    SecondGauge "second-gauge" Gauge "gauge pressure of the second quad";
    SecondMix "second-mix" Share "oxygen in the second quad";
    OverBottom "over-bottom" Gauge "supply pressure over ambient";
    Reading "reading" Gauge "what the supply gauge must read";
    Allowance "allowance" Gauge "regulator allowance over ambient";
    Low "low" Partial "least oxygen partial pressure";
    High "high" Partial "greatest oxygen partial pressure";
    Shallowest "shallowest" Depth "shallowest depth at which the mix may be breathed";
    Deepest "deepest" Depth "deepest depth at which the mix may be breathed";
    Share "share" Share "oxygen by volume at which one takes over from the other";
    Step "step" Depth "how far a step goes";
    Rate "rate" Rate "rate of travel";
    Rates "rates" Rates "rates of travel with the depths to which they hold";
    HoursADay "hours-a-day" Time "hours of travel in a day";
    Lock "lock" Chamber "gas volume of the lock or trunk";
    Runs "runs" Count "number of runs";
    ShareADay "share-a-day" Share "share of its gas that the chamber leaks in a day";
    PpN2Before "ppn2-before" Partial "nitrogen partial pressure at the start";
    PpN2 "ppn2" Partial "nitrogen partial pressure left";
    BottomTime "bottom-time" Time "time at depth";
    AscentRate "ascent-rate" Rate "rate of ascent";
    Least "least" Gauge "least pressure at which the supply delivers";
    Exhaust "exhaust" Breathing "flow of the exhaust at chamber pressure";
    InnerLock "inner-lock" Chamber "gas volume of the inner lock";
    OuterLock "outer-lock" Chamber "gas volume of the outer lock";
    Primary "primary" Gas "air of the primary supply";
    Secondary "secondary" Gas "air of the secondary supply";
    Barometer "barometer" Absolute "pressure of the air at the place";
    Altitude "altitude" Height "height above the sea";
    Equivalent "equivalent" Depth "depth at sea level that it is worth";
    Bell "bell" Chamber "gas volume of the open bell at the start";
    GasLeft "gas-volume" Chamber "gas volume at the end";
}

impl Name {
    /// The name that is written so.
    pub fn written(text: &str) -> Option<Name> {
        Name::ALL.iter().copied().find(|n| n.text() == text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_told_apart() {
        for (i, a) in Name::ALL.iter().enumerate() {
            assert_eq!(*a as usize, i, "a name is its place");
            assert!(
                Name::ALL[..i]
                    .iter()
                    .all(|b| b.text() != a.text() && b.says() != a.says())
            );
            assert_eq!(Name::written(a.text()), Some(*a));
        }
    }
}
