//! Depth changes of a chamber, what locks and leaks cost, and the nitrogen that lock runs flush out.

use super::oxygen::BEFORE;
use crate::convention::Choice;
use crate::error::SumError;
use crate::formulas::{
    chamber_primary_air_scf, chamber_secondary_air_scf, exhaust_time, exhaust_time_exact, flushed,
    gas_for_rise, leaked, pp_after_ascent, ppo2_after_pressing, topped_mol,
};
use crate::frame::Frame;
use crate::kind::Kind;
use crate::name::Name;
use crate::sum::{Ask, Formulas, How, SURFACE, Sum, TEMPERATURE, need, usual};
use deepstay_core::Status;
use deepstay_core::gas::{Amounts, Species, state};
use deepstay_core::units::{ATM_PA, BAR_PA, Units};

/// The oxygen of the gas that is lost, and its nitrogen: the rest is helium to be replaced.
const LOST_MIX: Ask = usual(Name::Mix, "0 %", "0 %", "taken to be helium");
/// See there.
const LOST_NITROGEN: Ask = usual(Name::Nitrogen, "0 %", "0 %", "taken to be heliox");

/// Gas that is lost, and the helium of it.
fn with_helium(f: &Frame, gas: f64) -> Result<Vec<f64>, SumError> {
    Ok(vec![gas, gas * f.mix(Name::Mix)?[Species::He]])
}

pub(super) const SUMS: &[Sum] = &[
    Sum {
        name: "blow-down",
        says: "free gas for a depth change of a chamber, and the oxygen partial pressure that it brings",
        asks: &[
            need(Name::Chamber),
            need(Name::To),
            need(Name::Mix),
            usual(Name::From, "0 msw", "0 fsw", "from the surface"),
            BEFORE,
            TEMPERATURE,
            SURFACE,
        ],
        answers: &[Name::Gas, Name::PpO2],
        choices: &[Choice::Gas, Choice::Pressure],
        handbook: &[],
        formula: Formulas {
            metric: "V (D2 - D1)/10; p + f (D2 - D1)/10",
            imperial: "V (D2 - D1)/33; p + f (D2 - D1)/33",
            real: "moles of the density virial that press V from P1 to P2 at one temperature",
        },
        document: "Boyle's and Dalton's laws",
        status: Status::Derived,
        work: |f| {
            f.not_above(
                Name::From,
                Name::To,
                "blow-down goes deeper; `bleed` comes up",
            )?;
            f.within(Name::Before, f.absolute(Name::From))?;
            let rise = f.span(Name::From, Name::To);
            if f.real() {
                let (t_k, v) = (f.si(Name::Temperature), f.si(Name::Chamber));
                let (p1, p2) = (f.absolute_pa(Name::From), f.absolute_pa(Name::To));
                let held = Amounts::heliox(f.si(Name::Before) / p1);
                let held = held.scaled(state::total_moles(&held, p1, v, t_k));
                let all = topped_mol(&held, &f.mix(Name::Mix)?, p2, v, t_k);
                let unit_pa = if f.metric() { BAR_PA } else { ATM_PA };
                let ppo2 = all[Species::O2] / all.total() * p2 / unit_pa;
                return Ok(vec![f.free(all.total() - held.total()), ppo2]);
            }
            Ok(vec![
                gas_for_rise(f.n(Name::Chamber), rise),
                ppo2_after_pressing(f.n(Name::Before), f.si(Name::Mix), rise),
            ])
        },
        example: "chamber=18m3 from=90msw to=118msw mix=2% before=0.42bar",
        imperial_example: "chamber=640ft3 from=300fsw to=390fsw mix=2% before=0.44ata",
    },
    Sum {
        name: "bleed",
        says: "oxygen partial pressure that coming up leaves, the oxygen that restores it, and the gas let out",
        asks: &[
            need(Name::Chamber),
            need(Name::From),
            need(Name::To),
            need(Name::Before),
            Ask {
                name: Name::Target,
                how: How::As(Name::Before),
            },
            SURFACE,
        ],
        answers: &[Name::PpO2, Name::Oxygen, Name::Gas],
        choices: &[Choice::Pressure],
        handbook: &[],
        formula: Formulas {
            metric: "p P2/P1; V (target - p P2/P1); V (D1 - D2)/10",
            imperial: "p P2/P1; V (target - p P2/P1); V (D1 - D2)/33",
            real: "",
        },
        document: "Dalton's law",
        status: Status::Derived,
        work: |f| {
            f.not_above(
                Name::To,
                Name::From,
                "a bleed comes up; `blow-down` goes deeper",
            )?;
            let (from, to) = (f.absolute(Name::From), f.absolute(Name::To));
            f.within(Name::Before, from)?;
            f.within(Name::Target, to)?;
            let left = pp_after_ascent(f.n(Name::Before), from, to);
            let restore = (f.n(Name::Target) - left).max(0.0);
            Ok(vec![
                left,
                gas_for_rise(f.n(Name::Chamber), restore) / f.litre(),
                gas_for_rise(f.n(Name::Chamber), -f.span(Name::From, Name::To)),
            ])
        },
        example: "chamber=18m3 from=118msw to=112msw before=0.42bar",
        imperial_example: "chamber=640ft3 from=390fsw to=370fsw before=0.44ata",
    },
    Sum {
        name: "lock-losses",
        says: "free gas that runs of a medical lock or a trunk lose, and the helium of it that is to be replaced",
        asks: &[
            need(Name::Lock),
            need(Name::Depth),
            usual(Name::Runs, "1", "1", "one run"),
            LOST_MIX,
            LOST_NITROGEN,
        ],
        answers: &[Name::Gas, Name::Helium],
        choices: &[Choice::PlusOne],
        handbook: &[],
        formula: Formulas {
            metric: "n V D/10 (one bar added: what the lock holds), of it helium (1 - f_O2 - f_N2)",
            imperial: "n V D/33 (one atmosphere added: what the lock holds), of it helium (1 - f_O2 - f_N2)",
            real: "",
        },
        document: "Boyle's law",
        status: Status::Derived,
        work: |f| {
            let gauge = f.absolute(Name::Depth) - f.absolute_at(0.0) + f.plus_one();
            with_helium(f, gas_for_rise(f.n(Name::Lock), gauge) * f.si(Name::Runs))
        },
        example: "lock=0.06m3 depth=118msw runs=24",
        imperial_example: "lock=2.2ft3 depth=390fsw runs=24",
    },
    Sum {
        name: "leak",
        says: "free gas that a chamber leaks in a time, and the helium of it that is to be replaced",
        asks: &[
            need(Name::Chamber),
            need(Name::Depth),
            need(Name::ShareADay),
            usual(Name::Time, "24 h", "24 h", "a day"),
            LOST_MIX,
            LOST_NITROGEN,
            SURFACE,
        ],
        answers: &[Name::Gas, Name::Helium],
        choices: &[Choice::Pressure],
        handbook: &[],
        formula: Formulas {
            metric: "k V P t, of it helium (1 - f_O2 - f_N2)",
            imperial: "k V P t, of it helium (1 - f_O2 - f_N2)",
            real: "",
        },
        document: "bookkeeping; the share is yours, no measurement is public",
        status: Status::Derived,
        work: |f| {
            let days = f.si(Name::Time) / 86_400.0;
            let gas = leaked(
                f.n(Name::Chamber),
                f.absolute(Name::Depth),
                f.si(Name::ShareADay),
                days,
            );
            with_helium(f, gas)
        },
        example: "chamber=54m3 depth=118msw share-a-day=0.6%",
        imperial_example: "chamber=1900ft3 depth=390fsw share-a-day=0.6%",
    },
    Sum {
        name: "nitrogen-left",
        says: "nitrogen partial pressure left after lock runs made up with helium",
        asks: &[
            need(Name::PpN2Before),
            need(Name::Chamber),
            need(Name::Lock),
            need(Name::Runs),
        ],
        answers: &[Name::PpN2],
        choices: &[],
        handbook: &[],
        formula: Formulas {
            metric: "p (1 - v/V)^n",
            imperial: "p (1 - v/V)^n",
            real: "",
        },
        document: "US Navy Diving Manual, 15-14, says that nitrogen falls so; the algebra is derived",
        status: Status::Derived,
        work: |f| {
            f.not_above(
                Name::Lock,
                Name::Chamber,
                "a lock is smaller than its chamber",
            )?;
            Ok(vec![flushed(
                f.n(Name::PpN2Before),
                f.n(Name::Lock),
                f.n(Name::Chamber),
                f.si(Name::Runs),
            )])
        },
        example: "ppn2-before=0.8bar chamber=18m3 lock=0.06m3 runs=60",
        imperial_example: "ppn2-before=0.8ata chamber=640ft3 lock=2.2ft3 runs=60",
    },
    Sum {
        name: "exhaust-time",
        says: "time to let a chamber up through an exhaust of constant flow",
        asks: &[
            need(Name::Chamber),
            need(Name::From),
            need(Name::To),
            need(Name::Exhaust),
            SURFACE,
        ],
        answers: &[Name::Time],
        choices: &[Choice::Pressure],
        handbook: &[],
        formula: Formulas {
            metric: "V dD/(R (D_mean + 10)) (exact: V/R ln(P1/P2))",
            imperial: "V dD/(R (D_mean + 33)) (exact: V/R ln(P1/P2))",
            real: "",
        },
        document: "US Navy Diving Manual, Revision 4, p. 22-17",
        status: Status::Seen,
        work: |f| {
            f.not_above(Name::To, Name::From, "an exhaust lets the chamber up")?;
            let (volume, flow) = (f.n(Name::Chamber), f.n(Name::Exhaust) * f.litre());
            let (from, to) = (f.absolute(Name::From), f.absolute(Name::To));
            Ok(vec![match f.convention.is_hand(Choice::Pressure) {
                true => exhaust_time(volume, from, to, flow),
                false => exhaust_time_exact(volume, from, to, flow),
            }])
        },
        example: "chamber=18m3 from=12msw to=9msw exhaust=300L/min",
        imperial_example: "chamber=640ft3 from=40fsw to=30fsw exhaust=10ft3/min",
    },
    Sum {
        name: "treatment-air",
        says: "air of a treatment chamber's primary and secondary supply",
        asks: &[need(Name::InnerLock), need(Name::OuterLock)],
        answers: &[Name::Primary, Name::Secondary],
        choices: &[],
        handbook: &[],
        formula: Formulas {
            metric: "5 V_inner + 10 V_outer + 45,390 scf; 5 V_inner + 5 V_outer + 4,224 scf",
            imperial: "5 V_inner + 10 V_outer + 45,390; 5 V_inner + 5 V_outer + 4,224",
            real: "",
        },
        document: "US Navy Diving Manual, 22-4: the primary as printed; of the secondary the rate is, the sum is derived",
        status: Status::Seen,
        work: |f| {
            let ft3 = |name: Name| Kind::Chamber.unit(Units::Imperial).number(f.si(name));
            let (inner, outer) = (ft3(Name::InnerLock), ft3(Name::OuterLock));
            let out = |scf: f64| {
                let si = Kind::Gas.unit(Units::Imperial).si(scf);
                Kind::Gas.unit(f.units).number(si)
            };
            Ok(vec![
                out(chamber_primary_air_scf(inner, outer)),
                out(chamber_secondary_air_scf(inner, outer)),
            ])
        },
        example: "inner-lock=9m3 outer-lock=4m3",
        imperial_example: "inner-lock=320ft3 outer-lock=140ft3",
    },
];
