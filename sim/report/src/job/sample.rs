//! A made-up job for the tests of this room: plausible figures, a drifting analyser, a scrubber fan
//! that stops, a run lost to weather. It proves nothing about the physics.

use crate::*;
use deepstay_core::record::*;
use deepstay_core::units::Duty;
use deepstay_core::units::*;
use deepstay_rules::Status;

pub(super) const LIVING: CompartmentId = CompartmentId(0);
pub(super) const POT: CompartmentId = CompartmentId(1);
pub(super) const TRUNK: CompartmentId = CompartmentId(2);

/// Names of the made-up job.
pub fn subject() -> Subject {
    let vessel = |name: &str, kind| CompartmentLabel {
        name: name.into(),
        kind,
        canister_kg: None,
    };
    let bank = |name: &str, duty, label_o2: f64, helium: bool| BankLabel {
        name: name.into(),
        duty,
        label_o2,
        analysed_o2: Some(label_o2),
        helium,
    };
    Subject {
        harm: vec![HarmSource {
            meaning: "Low oxygen: the shortest useful time",
            source: "a made-up source".into(),
            status: Status::HouseRule,
        }],
        scenario: "sample".into(),
        title: "Six men at 118 msw, a made-up job".into(),
        spread: "DSV Invented Lantern".into(),
        rule_set: "demonstration".into(),
        rules_taken: None,
        warnings: Vec::new(),
        seed: 7,
        log_every_s: 1800,
        working_msw: 123.0,
        time: VesselTime {
            start_unix_s: 1_803_873_600,
            utc_offset_s: 7200,
        },
        compartments: vec![
            vessel("Chamber 1", CompartmentKind::Living),
            vessel("Wet pot", CompartmentKind::Transfer),
            vessel("Trunk", CompartmentKind::Trunk),
            vessel("Bell", CompartmentKind::Bell),
        ],
        doors: vec!["Chamber 1 inner door".into(), "trunk clamp".into()],
        door_of: vec![LIVING, TRUNK],
        banks: vec![
            bank("H-1", Duty::BottomMix, 0.02, true),
            bank("O-1", Duty::Oxygen, 1.0, false),
            bank("D-1", Duty::DiverGas, 0.06, true),
            bank("A-1", Duty::Air, 0.2095, false),
        ],
        crew: ["AB", "CD", "EF", "GH", "JK", "LM"]
            .map(String::from)
            .into(),
        watches: vec!["NP".into(), "QR".into()],
        accepted: vec!["demo.rest".into()],
        planned: Vec::new(),
        weather_share: None,
        faults: Vec::new(),
        rule_rows: Vec::new(),
        hot_water: Vec::new(),
        made_from: Vec::new(),
    }
}

/// A made-up job with everything a report needs.
pub struct Sample {
    /// Names.
    pub subject: Subject,
    /// Record.
    pub record: Recorder,
    /// End.
    pub outcome: Outcome,
    /// What the judge says.
    pub working: deepstay_rota::Verdict,
    /// What is posted.
    pub posted: crate::job::posted::PostedSummary,
    /// Rules.
    pub provenance: Vec<ProvenanceRow>,
    /// Limits.
    pub limits: Vec<LimitBand>,
    /// Units.
    pub units: Units,
}

impl Sample {
    /// A job of this many days.
    pub fn days(days: i64) -> Sample {
        let subject = subject();
        let mut record = Recorder::new(subject.time.second_of_day(0));
        let end_s = days * 86_400;
        super::sample_job::entries(end_s)
            .into_iter()
            .for_each(|e| record.take(e));
        Sample {
            subject,
            record,
            outcome: Outcome {
                complete: true,
                broken: false,
                ended_s: end_s,
                reason: "all divers at the surface".into(),
                seconds_evaluated: 41_234,
                taken_up: None,
                work: deepstay_rota::WorkDone::default(),
                planned_gas: Vec::new(),
            },
            working: deepstay_rota::Verdict::default(),
            posted: Default::default(),
            provenance: provenance(),
            limits: limits(end_s),
            units: Units::Metric,
        }
    }

    /// As the report takes it.
    pub fn inputs(&self) -> Inputs<'_> {
        Inputs {
            subject: &self.subject,
            record: &self.record,
            outcome: &self.outcome,
            working: &self.working,
            posted: &self.posted,
            posted_shown: &self.posted,
            provenance: &self.provenance,
            limits: &self.limits,
            units: self.units,
        }
    }
}

fn provenance() -> Vec<ProvenanceRow> {
    let row = |id: &str, what: &str, figures: &str, document: &str, status| ProvenanceRow {
        id: id.into(),
        what: what.into(),
        figures: figures.into(),
        document: document.into(),
        status,
    };
    vec![
        row(
            "demo.ppo2",
            "oxygen in storage",
            "0.44 to 0.48 ata",
            "US Navy Diving Manual, 15-14",
            Status::Seen,
        ),
        row(
            "demo.ppco2",
            "carbon dioxide",
            "under 0.005 ata",
            "US Navy Diving Manual, 15-14",
            Status::SecondHand,
        ),
        row(
            "demo.rest",
            "rest between runs",
            "12 h",
            "common practice, no source",
            Status::Recalled,
        ),
        row(
            "demo.heat",
            "temperature in storage",
            "28 to 32 degC",
            "invented for this sample",
            Status::HouseRule,
        ),
    ]
}

fn limits(end_s: i64) -> Vec<LimitBand> {
    let band = |compartment, quantity, bound, value, label: &str| LimitBand {
        name: LimitName {
            compartment,
            quantity,
            aspect: Aspect::Inside,
            bound,
            severity: Severity::Limit,
            by: LimitBy::Row(RuleRowId(0)),
        },
        value,
        from_s: 8 * 3600,
        to_s: end_s - 3600,
        label: label.into(),
        source: "invented for this sample; house rule".into(),
    };
    let graver = |band: LimitBand| LimitBand {
        name: LimitName {
            severity: Severity::Emergency,
            ..band.name
        },
        ..band
    };
    let of = |c| {
        [
            band(
                c,
                Quantity::PpO2,
                Bound::High,
                0.48,
                "ppO2 in storage, high",
            ),
            band(c, Quantity::PpO2, Bound::Low, 0.36, "ppO2 in storage, low"),
            band(
                c,
                Quantity::PpCo2,
                Bound::High,
                0.005,
                "carbon dioxide, action",
            ),
            graver(band(
                c,
                Quantity::PpCo2,
                Bound::High,
                0.02,
                "carbon dioxide, masks",
            )),
            band(
                c,
                Quantity::Temperature,
                Bound::High,
                306.15,
                "comfort, high",
            ),
            band(c, Quantity::Temperature, Bound::Low, 301.15, "comfort, low"),
            band(c, Quantity::Humidity, Bound::High, 0.7, "comfort, high"),
        ]
    };
    [LIVING, POT].into_iter().flat_map(of).collect()
}
