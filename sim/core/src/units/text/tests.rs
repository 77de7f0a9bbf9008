//! Texts that are right, texts that are wrong, and what is said of them.

use proptest::prelude::*;

use super::*;
use crate::units::{ATM_PA, Quantity, Units};
use approx::assert_relative_eq;

#[test]
fn right_texts() {
    macro_rules! same {
        ($($kind:ident $text:literal = $value:expr;)*) => {$(
            assert_relative_eq!($text.parse::<$kind>().unwrap().0, $value, max_relative = 1e-12);
        )*};
    }
    same! {
        Depth "118 msw" = 118.0;
        Depth "1000 fsw" = 306.43;
        Partial "0.42 bar" = 42e3;
        Partial "0.44 ata" = 0.44 * ATM_PA;
        Partial "400 mbar" = 40e3;
        Partial "45.6 mmHg" = 0.06 * ATM_PA;
        Gauge "200 bar" = 2e7;
        Gauge "3000 psi" = 3000.0 * 6_894.757_293_168_361;
        Absolute "14.695948775513 psia" = 101_325.0;
        Temperature "7 degC" = 280.15;
        Temperature "-2degC" = 271.15;
        Temperature "85 degF" = 302.594_444_444_444_4;
        Temperature "32 °F" = 273.15;
        Temperature "300 K" = 300.0;
        TemperatureSpan "1.5 K" = 1.5;
        Volume "20 m3" = 20.0;
        Volume "425 ft3" = 425.0 * 0.028_316_846_592;
        Volume "50 L" = 0.05;
        FreeVolume "1500 scf" = 1500.0 * 0.028_316_846_592;
        DepthRate "6 fsw/h" = 6.0 * 0.30643 / 3600.0;
        DepthRate "3 m/min" = 0.05;
        DepthRate "3 msw/min" = 0.05;
        Speed "0.5 m/s" = 0.5;
        Speed "1 kt" = 1852.0 / 3600.0;
        ActualFlow "35 L/min" = 35e-3 / 60.0;
        ActualFlow "1 m3/min" = 1.0 / 60.0;
        FreeFlow "0.5 L/min" = 0.5e-3 / 60.0;
        Share "4 %" = 0.04;
        Share "4%" = 0.04;
        Share "0.04" = 0.04;
        Share "400 ppm" = 4e-4;
        Leak "1 %/d" = 0.01 / 86_400.0;
        Mass "12 kg" = 12.0;
        Mass "20 t" = 20e3;
        Capacity "153 L/kg" = 0.153;
        Bore "12.7 mm" = 0.0127;
        Bore "0.5 in" = 0.0127;
        Conductance "100 W/K" = 100.0;
        Power "3 kW" = 3e3;
        Length "2 m" = 2.0;
        Area "45 m2" = 45.0;
        Mass "1.5e2 kg" = 150.0;
        Mass "+.5 kg" = 0.5;
    }
}

#[test]
fn right_times_and_bottles() {
    let seconds = |text: &str| text.parse::<Duration>().map(|d| d.0);
    assert_eq!(seconds("25 d"), Ok(2_160_000));
    assert_eq!(seconds("6 h"), Ok(21_600));
    assert_eq!(seconds("90 min"), Ok(5400));
    assert_eq!(seconds("1.5 h"), Ok(5400));
    assert_eq!(seconds("1 h 30 min"), Ok(5400));
    assert_eq!(seconds("1h30min"), Ok(5400));
    assert_eq!(seconds("2d 06:30"), Ok(196_200));
    assert_eq!(seconds("06:30"), Ok(23_400));
    assert_eq!(seconds("06:30:15"), Ok(23_415));
    assert_eq!(seconds("36:00"), Ok(129_600));
    assert_eq!("06:30".parse::<TimeOfDay>(), Ok(TimeOfDay(23_400)));
    assert_eq!("23:59:59".parse::<TimeOfDay>(), Ok(TimeOfDay(86_399)));

    let quads: Bottles = "64 x 50 L at 200 bar".parse().unwrap();
    assert_eq!((quads.count, quads.pressure.0), (64, 2e7));
    assert_relative_eq!(quads.total_m3(), 3.2, max_relative = 1e-12);
    assert_eq!("64×50 L at 200 bar".parse::<Bottles>(), Ok(quads));
}

fn complaint<T: std::str::FromStr<Err = TextError>>(text: &str) -> String {
    match text.parse::<T>() {
        Ok(_) => panic!("{text} was taken"),
        Err(e) => e.to_string(),
    }
}

#[test]
fn complaints_say_what_would_be_right() {
    let cases = [
        (complaint::<Depth>("118 mws"), "did you mean \"msw\"?"),
        (complaint::<Depth>("118 MSW"), "did you mean \"msw\"?"),
        (
            complaint::<Depth>("118"),
            "has no unit; a depth is given in msw or fsw",
        ),
        (
            complaint::<Depth>("118 m"),
            "a unit of a length, but this is a depth, given in msw",
        ),
        (
            complaint::<Depth>("12 bar"),
            "a unit of an absolute pressure, but this is a depth",
        ),
        (complaint::<Depth>("deep"), "does not begin with a number"),
        (
            complaint::<Depth>(" "),
            "nothing is written where a depth belongs",
        ),
        (
            complaint::<Depth>("NaN msw"),
            "does not begin with a number",
        ),
        (
            complaint::<Depth>("inf msw"),
            "does not begin with a number",
        ),
        (complaint::<Depth>("1e999 msw"), "out of range"),
        (complaint::<Depth>("-3 msw"), "between 0 msw and 1000 msw"),
        (complaint::<Depth>("1,5 msw"), "write a decimal point"),
        (complaint::<Depth>("1.2.3 msw"), "unknown unit \".3 msw\""),
        (
            complaint::<Gauge>("1 ata"),
            "a unit of an absolute pressure, but this is a gauge",
        ),
        (
            complaint::<Gauge>("200 zorkmids"),
            "unknown unit \"zorkmids\"; a gauge pressure is given",
        ),
        (
            complaint::<Temperature>("-300 degC"),
            "between -73.15 degC and 226.9 degC",
        ),
        (complaint::<Share>("4"), "between 0 and 1"),
        (
            complaint::<ActualFlow>("20 scfm"),
            "a unit of a free gas flow",
        ),
        (complaint::<Duration>("6 m"), "write \"min\""),
        (complaint::<Duration>("6"), "has no unit of time"),
        (complaint::<Duration>("6 h 2 d"), "units out of order"),
        (complaint::<Duration>("-6 h"), "is negative"),
        (complaint::<Duration>("99999 d"), "longer than ten years"),
        (
            complaint::<Duration>("0.3 s"),
            "not a whole number of seconds",
        ),
        (complaint::<Duration>("2d 25:00"), "more than 23 hours"),
        (complaint::<Duration>("06:61"), "no HH:MM"),
        (
            complaint::<Duration>("6 fortnights"),
            "unknown unit of time",
        ),
        (complaint::<TimeOfDay>("24:00"), "past the end of the day"),
        (complaint::<TimeOfDay>("6.30"), "is no HH:MM"),
        (
            complaint::<Bottles>("64 x 50 L"),
            "does not say \"at\" which pressure",
        ),
        (
            complaint::<Bottles>("50 L at 200 bar"),
            "how many \"x\" which volume",
        ),
        (
            complaint::<Bottles>("0 x 50 L at 200 bar"),
            "whole number from 1",
        ),
        (
            complaint::<Bottles>("-4 x 50 L at 200 bar"),
            "whole number from 1",
        ),
        (
            complaint::<Bottles>("64 x 50 kg at 200 bar"),
            "a unit of a mass, but this is a volume",
        ),
    ];
    for (said, wanted) in cases {
        assert!(said.contains(wanted), "{said}\n  lacks: {wanted}");
    }
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct Chamber {
    depth: Depth,
    at: Duration,
}

#[test]
fn a_file_reports_the_place_of_a_bad_quantity() {
    let good: Chamber = ron::from_str("(depth: \"118 msw\", at: \"2d 06:30\")").unwrap();
    assert_eq!((good.depth.0, good.at.0), (118.0, 196_200));
    let bad =
        ron::from_str::<Chamber>("(\n    depth: \"118 mws\",\n    at: \"6 h\",\n)").unwrap_err();
    assert_eq!(bad.span.start.line, 2, "{bad}");
    assert!(bad.to_string().contains("did you mean \"msw\"?"), "{bad}");
}

macro_rules! never_panics_and_reads_back {
    ($($test:ident: $kind:ident $range:expr;)*) => {proptest! {$(
        #[test]
        fn $test(value in $range, noise in "\\PC{0,24}", digits in "[-+]?[0-9.,e:]{0,9} ?[a-zA-Z%/0-9]{0,7}") {
            let _ = noise.parse::<$kind>();
            let _ = digits.parse::<$kind>();
            let read: $kind = $kind(value).to_string().parse().unwrap();
            prop_assert!((read.0 - value).abs() <= 1e-12 * value.abs(), "{} {}", read.0, value);
        }
    )*}};
}

never_panics_and_reads_back! {
    depth: Depth 0.0..1000.0_f64;
    absolute: Absolute 0.0..1e8_f64;
    gauge: Gauge 0.0..1e8_f64;
    partial: Partial 0.0..1e7_f64;
    temperature: Temperature 200.0..499.9_f64;
    volume: Volume 0.0..1e5_f64;
    free_volume: FreeVolume 0.0..1e7_f64;
    depth_rate: DepthRate 0.0..9.99_f64;
    flow: ActualFlow 0.0..99.0_f64;
    share: Share 0.0..1.0_f64;
    leak: Leak 0.0..1e-4_f64;
    mass: Mass 0.0..1e8_f64;
    bore: Bore 0.0..4.99_f64;
    power: Power 0.0..9.9e7_f64;
}

proptest! {
    #[test]
    fn times_read_back(seconds in 0..3653_i64 * 86_400, noise in "\\PC{0,24}", digits in "[0-9:. dhmins-]{0,16}") {
        let _ = noise.parse::<Duration>();
        let _ = digits.parse::<Duration>();
        let _ = digits.parse::<TimeOfDay>();
        prop_assert_eq!(Duration(seconds).to_string().parse::<Duration>(), Ok(Duration(seconds)));
        let day = TimeOfDay(seconds % 86_400);
        prop_assert_eq!(day.to_string().parse::<TimeOfDay>(), Ok(day));
    }

    #[test]
    fn bottles_read_back(count in 1..100_000_u32, litres in 0.1..3000.0_f64, bar in 0.0..300.0_f64, noise in "[0-9]{0,3} ?[x×]?[ -~]{0,8}( at )?[ -~]{0,8}") {
        let _ = noise.parse::<Bottles>();
        let set = Bottles { count, each: Volume(litres * 1e-3), pressure: Gauge(bar * 1e5) };
        let read: Bottles = set.to_string().parse().unwrap();
        prop_assert_eq!(read.count, count);
        prop_assert!((read.each.0 / set.each.0 - 1.0).abs() < 1e-12);
        prop_assert!((read.pressure.0 - set.pressure.0).abs() <= 1e-12 * set.pressure.0);
    }

    #[test]
    fn what_is_shown_reads_back_to_the_figures_shown(depth in 0.0..900.0_f64) {
        for units in [Units::Metric, Units::Imperial] {
            let shown = units.scale(Quantity::Depth).plain_text(depth);
            let read: Depth = shown.parse().unwrap();
            prop_assert!((read.0 - depth).abs() < 0.051);
        }
    }
}
