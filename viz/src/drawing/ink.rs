//! Inks by what they mean. A ground of greys; three tints for what needs a person, from the set of Okabe and Ito (2008,
//! made to be told apart by colour-blind eyes; values from memory), each always beside a sign; and the colours of gas bottles,
//! approximated on a screen, only on chips, bottles and moving gas: those of EN 1089-3 (second-hand), or those of the US
//! Navy (from memory; its manual's current table decides). In one of them black is nitrogen and in the other air: which of
//! them is used is somebody's setting, stands on the picture, and no gas is without its letters.

use serde::{Deserialize, Serialize};

/// A set of values for the inks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Palette {
    /// Greys and pale blues.
    #[default]
    Calm,
    /// High contrast.
    Strong,
    /// As whoever sees no colour sees the calm one.
    Greys,
}

/// Which colours stand for which gas.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum GasColours {
    /// Oxygen white, helium brown, nitrogen black, carbon dioxide grey.
    #[default]
    En1089,
    /// Oxygen green, helium buff, nitrogen light grey, air black.
    UsNavy,
}

impl GasColours {
    /// What they are called.
    pub fn name(self) -> &'static str {
        match self {
            GasColours::En1089 => "EN 1089-3",
            GasColours::UsNavy => "US Navy",
        }
    }

    /// The others.
    pub fn next(self) -> GasColours {
        match self {
            GasColours::En1089 => GasColours::UsNavy,
            GasColours::UsNavy => GasColours::En1089,
        }
    }

    /// Oxygen, helium, nitrogen, and air in its two bands.
    fn inks(self) -> ([Ink; 3], [Ink; 2]) {
        match self {
            GasColours::En1089 => (
                [Ink::Oxygen, Ink::Helium, Ink::Nitrogen],
                [Ink::Oxygen, Ink::Nitrogen],
            ),
            GasColours::UsNavy => (
                [Ink::GreenOxygen, Ink::BuffHelium, Ink::GreyNitrogen],
                [Ink::BlackAir, Ink::BlackAir],
            ),
        }
    }

    /// What stands under a picture: a colour each, with its letters.
    pub fn key(self) -> Vec<(Ink, &'static str)> {
        let ([oxygen, helium, nitrogen], _) = self.inks();
        let mut key = vec![(oxygen, "O2"), (helium, "He"), (nitrogen, "N2")];
        key.push(match self {
            GasColours::En1089 => (Ink::CarbonDioxide, "CO2"),
            GasColours::UsNavy => (Ink::BlackAir, "air"),
        });
        key
    }

    /// The two bands of a chip for a gas, and its letters: oxygen and what carries it.
    pub fn chip(self, o2: f64, air: bool, helium_carries: bool) -> ([Ink; 2], String) {
        let percent = o2 * 100.0;
        let digits = usize::from(percent < 10.0 && percent.fract() > 0.05);
        let ([oxygen, helium, nitrogen], of_air) = self.inks();
        let (carrier, letters) = match helium_carries {
            true => (helium, "He"),
            false => (nitrogen, "N2"),
        };
        match () {
            () if air => (of_air, "air".to_owned()),
            () if o2 > 0.995 => ([oxygen, oxygen], "O2".to_owned()),
            () if helium_carries && o2 < 0.000_5 => ([helium, helium], "He".to_owned()),
            () => (
                [oxygen, carrier],
                format!("O2 {percent:.digits$} % {letters}"),
            ),
        }
    }
}

/// An ink.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Ink {
    /// Air over the sea.
    Sky,
    /// The sea at its surface.
    Shallow,
    /// The sea at its floor.
    Deep,
    /// The sea floor.
    Floor,
    /// Grains of the sea floor.
    Grain,
    /// Plates of the ship.
    Hull,
    /// Where the ship is cut.
    Cut,
    /// Walls of vessels.
    Wall,
    /// Gas that people live in.
    Room,
    /// A vessel with nobody in it.
    Empty,
    /// Lines and letters.
    Line,
    /// What is less.
    Faint,
    /// What is least: grids, things behind.
    Ghost,
    /// Light.
    Light,
    /// Attention.
    Attention,
    /// Limit.
    Limit,
    /// Emergency.
    Emergency,
    /// Oxygen.
    Oxygen,
    /// Helium.
    Helium,
    /// Nitrogen.
    Nitrogen,
    /// Carbon dioxide.
    CarbonDioxide,
    /// Oxygen, by the US Navy's colours.
    GreenOxygen,
    /// Helium, by the US Navy's colours.
    BuffHelium,
    /// Nitrogen, by the US Navy's colours.
    GreyNitrogen,
    /// Air, by the US Navy's colours.
    BlackAir,
    /// Divers' umbilicals.
    Umbilical,
}

impl Ink {
    /// All inks.
    pub const ALL: [Ink; 26] = [
        Ink::Sky,
        Ink::Shallow,
        Ink::Deep,
        Ink::Floor,
        Ink::Grain,
        Ink::Hull,
        Ink::Cut,
        Ink::Wall,
        Ink::Room,
        Ink::Empty,
        Ink::Line,
        Ink::Faint,
        Ink::Ghost,
        Ink::Light,
        Ink::Attention,
        Ink::Limit,
        Ink::Emergency,
        Ink::Oxygen,
        Ink::Helium,
        Ink::Nitrogen,
        Ink::CarbonDioxide,
        Ink::GreenOxygen,
        Ink::BuffHelium,
        Ink::GreyNitrogen,
        Ink::BlackAir,
        Ink::Umbilical,
    ];

    /// Red, green and blue, 0 to 255, of sRGB.
    pub fn rgb(self, palette: Palette) -> (u8, u8, u8) {
        match palette {
            Palette::Calm => self.calm(),
            Palette::Strong => self.strong(),
            Palette::Greys => {
                let (r, g, b) = self.calm();
                let grey = 0.2126 * f64::from(r) + 0.7152 * f64::from(g) + 0.0722 * f64::from(b);
                let grey = grey.round() as u8;
                (grey, grey, grey)
            }
        }
    }

    /// With high contrast: grounds are white, letters and lines black, and what is less is dark.
    fn strong(self) -> (u8, u8, u8) {
        match self {
            Ink::Sky | Ink::Hull | Ink::Cut | Ink::Room | Ink::Light | Ink::Shallow => {
                (255, 255, 255)
            }
            Ink::Empty => (244, 244, 244),
            Ink::Deep => (214, 226, 234),
            Ink::Floor => (196, 190, 172),
            Ink::Grain => (110, 104, 90),
            Ink::Wall => (96, 104, 110),
            Ink::Line => (0, 0, 0),
            Ink::Faint => (40, 46, 50),
            Ink::Ghost => (150, 156, 160),
            Ink::Umbilical => (150, 96, 0),
            other => other.calm(),
        }
    }

    fn calm(self) -> (u8, u8, u8) {
        match self {
            Ink::Sky => (236, 238, 238),
            Ink::Shallow => (208, 222, 230),
            Ink::Deep => (128, 152, 166),
            Ink::Floor => (163, 156, 138),
            Ink::Grain => (132, 125, 108),
            Ink::Hull => (216, 221, 223),
            Ink::Cut => (233, 236, 237),
            Ink::Wall => (138, 150, 158),
            Ink::Room => (249, 247, 243),
            Ink::Empty => (238, 239, 238),
            Ink::Line => (34, 48, 58),
            Ink::Faint => (84, 99, 110),
            Ink::Ghost => (188, 198, 204),
            Ink::Light => (244, 240, 222),
            Ink::Attention => (230, 159, 0),
            Ink::Limit => (213, 94, 0),
            Ink::Emergency => (204, 121, 167),
            Ink::Oxygen => (255, 255, 255),
            Ink::Helium => (125, 78, 42),
            Ink::Nitrogen => (16, 16, 16),
            Ink::CarbonDioxide => (128, 132, 134),
            Ink::GreenOxygen => (0, 112, 60),
            Ink::BuffHelium => (240, 220, 150),
            Ink::GreyNitrogen => (205, 208, 210),
            Ink::BlackAir => (16, 16, 16),
            Ink::Umbilical => (206, 150, 30),
        }
    }

    /// Its lightness as an eye weighs it, 0 to 1 (relative luminance of WCAG 2.1).
    pub fn luminance(self, palette: Palette) -> f64 {
        let (r, g, b) = self.rgb(palette);
        let linear = |c: u8| {
            let c = f64::from(c) / 255.0;
            if c <= 0.039_28 {
                c / 12.92
            } else {
                ((c + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b)
    }

    /// How far two inks stand apart: the contrast of WCAG 2.1, 1 to 21.
    pub fn contrast(self, other: Ink, palette: Palette) -> f64 {
        let (a, b) = (self.luminance(palette), other.luminance(palette));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Letters are read on every ground (WCAG 2.1, 1.4.3: 4.5 for text), and with high contrast as its stricter row asks
    /// (1.4.6: 7).
    #[test]
    fn letters_are_read_on_every_ground() {
        for ground in [
            Ink::Sky,
            Ink::Shallow,
            Ink::Hull,
            Ink::Cut,
            Ink::Room,
            Ink::Empty,
        ] {
            for palette in [Palette::Calm, Palette::Strong, Palette::Greys] {
                assert!(Ink::Line.contrast(ground, palette) >= 7.0, "{ground:?}");
                assert!(Ink::Faint.contrast(ground, palette) >= 4.5, "{ground:?}");
            }
            assert!(Ink::Faint.contrast(ground, Palette::Strong) >= 7.0);
        }
        assert!(Ink::Line.contrast(Ink::Deep, Palette::Calm) >= 4.0);
        assert!(Ink::Line.contrast(Ink::Attention, Palette::Calm) >= 4.5);
    }

    /// Without colour, each of the two bands of a mixture stands apart from the other and from its outline's ground.
    #[test]
    fn bands_of_a_chip_stand_apart_without_colour() {
        for [a, b] in [
            [Ink::Oxygen, Ink::Helium],
            [Ink::Oxygen, Ink::Nitrogen],
            [Ink::Oxygen, Ink::CarbonDioxide],
            [Ink::GreenOxygen, Ink::BuffHelium],
            [Ink::GreenOxygen, Ink::GreyNitrogen],
        ] {
            assert!(a.contrast(b, Palette::Greys) >= 3.0, "{a:?} {b:?}");
        }
    }

    /// Black and white are as far apart as can be, and an ink is no way from itself.
    #[test]
    fn contrast_is_that_of_the_recommendation() {
        let itself = Ink::Oxygen.contrast(Ink::Oxygen, Palette::Calm);
        assert!((itself - 1.0).abs() < 1e-12);
        let most = Ink::Oxygen.contrast(Ink::Nitrogen, Palette::Calm);
        assert!(most > 18.0 && most < 21.0, "{most}");
    }

    #[test]
    fn a_gas_has_two_bands_and_letters() {
        let (of, us) = (GasColours::En1089, GasColours::UsNavy);
        for (o2, air, helium, letters) in [
            (0.02, false, true, "O2 2 % He"),
            (0.0575, false, true, "O2 5.8 % He"),
            (1.0, false, false, "O2"),
            (0.21, true, false, "air"),
        ] {
            assert_eq!(of.chip(o2, air, helium).1, letters);
            assert_eq!(
                us.chip(o2, air, helium).1,
                letters,
                "the letters are the same"
            );
        }
        assert_eq!(of.chip(0.0, false, true).0, [Ink::Helium, Ink::Helium]);
        assert_eq!(of.chip(0.21, true, false).0, [Ink::Oxygen, Ink::Nitrogen]);
        assert_eq!(us.chip(0.21, true, false).0, [Ink::BlackAir, Ink::BlackAir]);
        assert_eq!(
            us.chip(0.02, false, true).0,
            [Ink::GreenOxygen, Ink::BuffHelium]
        );
        assert_eq!(us.next().next(), us);
    }
}
