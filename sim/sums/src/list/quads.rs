//! Pressures, what quads hold and yield, mixing, and the gas status against a reserve.

use crate::convention::Choice;
use crate::formulas::{equalised, part_full, topped_mol, topped_share};
use crate::name::Name;
use crate::sum::{Formulas, MIX, NITROGEN, SURFACE, Sum, TEMPERATURE, need};
use deepstay_core::Status;
use deepstay_core::gas::{Species, state};

/// The deck of school exercises.
pub(super) const SCHOOL: &str =
    "published school exercises with answers (flash cards after a diving supervisor's manual)";

pub(super) const SUMS: &[Sum] = &[
    Sum {
        name: "absolute-pressure",
        says: "absolute pressure at a depth",
        asks: &[need(Name::Depth), SURFACE],
        answers: &[Name::AbsolutePressure],
        choices: &[Choice::Pressure],
        handbook: &[],
        formula: Formulas {
            metric: "1 + D/10 (exact: p_surface + D/10)",
            imperial: "(D + 33)/33 (exact: p_surface + D by the unit table)",
            real: "",
        },
        document: SCHOOL,
        status: Status::Seen,
        work: |f| Ok(vec![f.absolute(Name::Depth)]),
        example: "depth=118msw",
        imperial_example: "depth=390fsw",
    },
    Sum {
        name: "gauge-to-absolute",
        says: "absolute pressure from what a gauge shows",
        asks: &[need(Name::Gauge), SURFACE],
        answers: &[Name::AbsolutePressure],
        choices: &[Choice::Pressure],
        handbook: &[],
        formula: Formulas {
            metric: "p + 1 (exact: p + p_surface)",
            imperial: "p/14.7 + 1 (exact: p/14.696 + p_surface)",
            real: "",
        },
        document: "US Navy Diving Manual, 2-12: 2,000 psi is 137 ata",
        status: Status::Seen,
        work: |f| Ok(vec![f.absolute_of(Name::Gauge)]),
        example: "gauge=164bar",
        imperial_example: "gauge=2350psi",
    },
    Sum {
        name: "quad-contents",
        says: "free gas in a quad",
        asks: &[
            need(Name::Bottles),
            need(Name::BottleVolume),
            need(Name::Gauge),
            MIX,
            NITROGEN,
            TEMPERATURE,
            SURFACE,
        ],
        answers: &[Name::Gas],
        choices: &[Choice::Gas, Choice::PlusOne],
        handbook: &[],
        formula: Formulas {
            metric: "N V p",
            imperial: "N FV p/14.7",
            real: "N V (r(p) - r(0)) by the density virial; with one bar added N V r(p)",
        },
        document: SCHOOL,
        status: Status::Seen,
        work: |f| {
            let drawn = f.drawn(f.n(Name::Gauge), 0.0, Name::Mix)?;
            let left = if f.real() {
                let t_k = f.si(Name::Temperature);
                f.free(state::total_moles(
                    &f.mix(Name::Mix)?,
                    f.surface_pa(),
                    f.floodable_m3(),
                    t_k,
                ))
            } else {
                f.si(Name::Bottles) * f.n(Name::BottleVolume) * f.litre()
            };
            Ok(vec![drawn + f.plus_one() * left])
        },
        example: "bottles=48 volume=50L gauge=164bar",
        imperial_example: "bottles=16 volume=1.6ft3 gauge=2350psi",
    },
    Sum {
        name: "gas-available",
        says: "free gas of a quad above its change-over pressure",
        asks: &[
            need(Name::Bottles),
            need(Name::BottleVolume),
            need(Name::Gauge),
            need(Name::ChangeOver),
            MIX,
            NITROGEN,
            TEMPERATURE,
            SURFACE,
        ],
        answers: &[Name::Gas],
        choices: &[Choice::Gas],
        handbook: &[],
        formula: Formulas {
            metric: "N V (p - p_change-over)",
            imperial: "N FV (p - p_change-over)/14.7",
            real: "N V (r(p) - r(p_change-over)) by the density virial",
        },
        document: SCHOOL,
        status: Status::Seen,
        work: |f| {
            let gas = f.available()?;
            Ok(vec![gas])
        },
        example: "bottles=48 volume=50L gauge=164bar change-over=35bar",
        imperial_example: "bottles=16 volume=1.6ft3 gauge=2350psi change-over=450psi",
    },
    Sum {
        name: "part-full-quad",
        says: "free gas in a quad that is rated at a full pressure, from what its gauge shows",
        asks: &[
            need(Name::Rated),
            need(Name::Full),
            need(Name::Gauge),
            MIX,
            NITROGEN,
            TEMPERATURE,
        ],
        answers: &[Name::Gas],
        choices: &[Choice::Gas],
        handbook: &[],
        formula: Formulas {
            metric: "rated p/p_full",
            imperial: "rated p/p_full",
            real: "rated r(p)/r(p_full) by the density virial",
        },
        document: SCHOOL,
        status: Status::Seen,
        work: |f| {
            if f.real() {
                let mix = f.mix(Name::Mix)?;
                let at = |gauge: Name| {
                    let pa = f.si(gauge) + f.surface_pa();
                    state::density_mol_m3(&mix, pa, f.si(Name::Temperature))
                };
                return Ok(vec![part_full(
                    f.n(Name::Rated),
                    at(Name::Full),
                    at(Name::Gauge),
                )]);
            }
            Ok(vec![part_full(
                f.n(Name::Rated),
                f.n(Name::Full),
                f.n(Name::Gauge),
            )])
        },
        example: "rated=480m3 full=200bar gauge=164bar",
        imperial_example: "rated=6400ft3 full=3000psi gauge=2350psi",
    },
    Sum {
        name: "quad-filling",
        says: "free gas that fills a quad from one pressure to another",
        asks: &[
            need(Name::Bottles),
            need(Name::BottleVolume),
            need(Name::Gauge),
            need(Name::Final),
            MIX,
            NITROGEN,
            TEMPERATURE,
            SURFACE,
        ],
        answers: &[Name::Gas],
        choices: &[Choice::Gas],
        handbook: &[],
        formula: Formulas {
            metric: "N V (p_final - p)",
            imperial: "N FV (p_final - p)/14.7",
            real: "N V (r(p_final) - r(p)) by the density virial",
        },
        document: SCHOOL,
        status: Status::Seen,
        work: |f| {
            f.not_above(Name::Gauge, Name::Final, "filling raises the pressure")?;
            let gas = f.drawn(f.n(Name::Final), f.n(Name::Gauge), Name::Mix)?;
            Ok(vec![gas])
        },
        example: "bottles=16 volume=50L gauge=30bar final=190bar",
        imperial_example: "bottles=16 volume=1.6ft3 gauge=400psi final=2800psi",
    },
    Sum {
        name: "gas-status",
        says: "free gas of a quad beside what is reserved: below nothing is no-go against that reserve",
        asks: &[
            need(Name::Bottles),
            need(Name::BottleVolume),
            need(Name::Gauge),
            need(Name::ChangeOver),
            need(Name::Reserve),
            MIX,
            NITROGEN,
            TEMPERATURE,
            SURFACE,
        ],
        answers: &[Name::Free, Name::Gas],
        choices: &[Choice::Gas],
        handbook: &[],
        formula: Formulas {
            metric: "N V (p - p_change-over) - reserve",
            imperial: "N FV (p - p_change-over)/14.7 - reserve",
            real: "N V (r(p) - r(p_change-over)) - reserve",
        },
        document: "bookkeeping over gas-available",
        status: Status::Derived,
        work: |f| {
            let gas = f.available()?;
            Ok(vec![gas - f.n(Name::Reserve), gas])
        },
        example: "bottles=48 volume=50L gauge=164bar change-over=35bar reserve=220m3",
        imperial_example: "bottles=16 volume=1.6ft3 gauge=2350psi change-over=450psi reserve=2500ft3",
    },
    Sum {
        name: "mixing",
        says: "oxygen in a quad after topping it, or after two gases one upon the other",
        asks: &[
            need(Name::HeldMix),
            need(Name::Held),
            need(Name::TopMix),
            need(Name::Final),
            TEMPERATURE,
            SURFACE,
        ],
        answers: &[Name::FinalMix],
        choices: &[Choice::Gas, Choice::PlusOne],
        handbook: &[],
        formula: Formulas {
            metric: "(f1 p1 + f2 (p - p1))/p; re-analyse",
            imperial: "(f1 p1 + f2 (p - p1))/p; re-analyse",
            real: "oxygen over all moles of the density virial, heliox at one temperature; re-analyse",
        },
        document: "Dalton's law; method named in US Navy Diving Manual, 16-2",
        status: Status::Derived,
        work: |f| {
            f.not_above(Name::Held, Name::Final, "topping raises the pressure")?;
            let (held, top) = (f.si(Name::HeldMix), f.si(Name::TopMix));
            if f.real() {
                let t_k = f.si(Name::Temperature);
                let surface = f.plus_one() * f.surface_pa();
                let (p1, p) = (f.si(Name::Held) + surface, f.si(Name::Final) + surface);
                let first = f.mix(Name::HeldMix)?;
                let first = first.scaled(state::total_moles(&first, p1, 1.0, t_k));
                let second = f.mix(Name::TopMix)?;
                let total = topped_mol(&first, &second, p, 1.0, t_k);
                let share = total[Species::O2] / total.total();
                return Ok(vec![f.share("the final mix", share)?]);
            }
            let one = f.plus_one();
            let share = topped_share(
                held,
                f.atmospheres(Name::Held) + one,
                top,
                f.atmospheres(Name::Final) + one,
            );
            Ok(vec![f.share("the final mix", share)?])
        },
        example: "held-mix=12% held=60bar top-mix=2% final=190bar",
        imperial_example: "held-mix=12% held=900psi top-mix=2% final=2800psi",
    },
    Sum {
        name: "equalising",
        says: "pressure and oxygen of two quads opened to each other",
        asks: &[
            need(Name::FirstVolume),
            need(Name::FirstGauge),
            need(Name::FirstMix),
            need(Name::SecondVolume),
            need(Name::SecondGauge),
            need(Name::SecondMix),
            TEMPERATURE,
            SURFACE,
        ],
        answers: &[Name::Final, Name::FinalMix],
        choices: &[Choice::Gas],
        handbook: &[],
        formula: Formulas {
            metric: "(V1 p1 + V2 p2)/(V1 + V2); (V1 p1 f1 + V2 p2 f2)/(V1 p1 + V2 p2)",
            imperial: "(V1 p1 + V2 p2)/(V1 + V2); (V1 p1 f1 + V2 p2 f2)/(V1 p1 + V2 p2)",
            real: "all moles of both in both volumes by the density virial, heliox at one temperature",
        },
        document: "Boyle's and Dalton's laws",
        status: Status::Derived,
        work: |f| {
            if f.real() {
                let t_k = f.si(Name::Temperature);
                let surface = f.surface_pa();
                let moles = |mix: Name, gauge: Name, volume: Name| {
                    let mix = f.mix(mix)?;
                    let n = state::total_moles(&mix, f.si(gauge) + surface, f.si(volume), t_k);
                    Ok(mix.scaled(n))
                };
                let first = moles(Name::FirstMix, Name::FirstGauge, Name::FirstVolume)?;
                let second = moles(Name::SecondMix, Name::SecondGauge, Name::SecondVolume)?;
                let both = first.plus(&second);
                let volume = f.si(Name::FirstVolume) + f.si(Name::SecondVolume);
                let gauge_pa = state::pressure_pa(&both, volume, t_k) - surface;
                return Ok(vec![
                    crate::kind::Kind::Gauge.unit(f.units).number(gauge_pa),
                    100.0 * both[Species::O2] / both.total(),
                ]);
            }
            let of = |volume: Name, gauge: Name, mix: Name| (f.n(volume), f.n(gauge), f.si(mix));
            let (gauge, share) = equalised(
                of(Name::FirstVolume, Name::FirstGauge, Name::FirstMix),
                of(Name::SecondVolume, Name::SecondGauge, Name::SecondMix),
            );
            Ok(vec![gauge, 100.0 * share])
        },
        example: "first-volume=2400L first-gauge=180bar first-mix=10% second-volume=800L second-gauge=40bar second-mix=2%",
        imperial_example: "first-volume=80ft3 first-gauge=2600psi first-mix=10% second-volume=26ft3 second-gauge=600psi second-mix=2%",
    },
];
