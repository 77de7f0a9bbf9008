//! Decompression: the questions asked of a set, and the timetables that answer them.

use super::bleeding_table::DecompressionScheme;
use super::edge;
use super::{
    DecompressionPlan, DecompressionStep, Missing, MissingRow, Question, RuleRefusal, RuleSet,
    Source, StartRule, StorageChange,
};

impl RuleSet {
    /// The whole timetable from a storage depth, msw, to the surface, for a start at a second of the
    /// ship's day.
    ///
    /// # Errors
    /// A refusal that names the rows which do not reach, were not seen or are not accepted.
    pub fn decompression(
        &self,
        from_msw: f64,
        start_second_of_day: i64,
        accepted: &[String],
    ) -> Result<DecompressionPlan, RuleRefusal> {
        self.come_up(
            Question::Decompression,
            from_msw,
            0.0,
            start_second_of_day,
            accepted,
        )
    }

    /// The way up in need, where the normal way takes longer than there is.
    ///
    /// # Errors
    /// As [`RuleSet::decompression`].
    pub fn emergency_decompression(
        &self,
        from_msw: f64,
        start_second_of_day: i64,
        accepted: &[String],
    ) -> Result<DecompressionPlan, RuleRefusal> {
        self.come_up(
            Question::Emergency,
            from_msw,
            0.0,
            start_second_of_day,
            accepted,
        )
    }

    /// The way back when pressing is aborted at a depth: the people count as saturated there, and
    /// come up by the set's own decompression. No printed rule for the case was seen.
    ///
    /// # Errors
    /// As [`RuleSet::decompression`].
    pub fn abort_compression(
        &self,
        at_msw: f64,
        start_second_of_day: i64,
        accepted: &[String],
    ) -> Result<DecompressionPlan, RuleRefusal> {
        self.decompression(at_msw, start_second_of_day, accepted)
    }

    /// A move from one storage depth to another, msw: deeper by the compression rates, shallower by
    /// the decompression's (its last stop and share of oxygen apply only on the way to the surface).
    ///
    /// # Errors
    /// As [`RuleSet::compression`] and [`RuleSet::decompression`].
    pub fn change_storage(
        &self,
        from_msw: f64,
        to_msw: f64,
        start_second_of_day: i64,
        accepted: &[String],
    ) -> Result<StorageChange, RuleRefusal> {
        if to_msw > from_msw {
            self.press(from_msw, to_msw, accepted)
                .map(StorageChange::Press)
        } else if to_msw < from_msw {
            self.come_up(
                Question::Decompression,
                from_msw,
                to_msw,
                start_second_of_day,
                accepted,
            )
            .map(StorageChange::Bleed)
        } else {
            Ok(StorageChange::None)
        }
    }

    /// How a decompression may start: with an upward excursion or not, and the holds.
    ///
    /// # Errors
    /// A refusal where the set says nothing of it or the row is not accepted.
    pub fn decompression_start(&self, accepted: &[String]) -> Result<StartRule, RuleRefusal> {
        let row = self.first(
            Question::DecompressionStart,
            &self.decompression_start,
            accepted,
        )?;
        let feet = self.feet();
        let figures = &row.figures;
        Ok(StartRule {
            upward_excursion: figures.upward_excursion,
            travel_msw_s: figures.travel.map(|rate| rate.plain(feet)),
            hold: figures
                .hold
                .map(|(depth, hold)| (depth.plain(feet), hold.get() as i64)),
            hold_after_dive_s: figures.hold_after_dive.map_or(0, |hold| hold.get() as i64),
            id: row.id.clone(),
            source: row.source.clone(),
        })
    }

    /// Hold after an upward excursion from a storage depth, msw, before travel goes on, s.
    ///
    /// # Errors
    /// As [`RuleSet::decompression_start`].
    pub fn post_excursion_hold_s(
        &self,
        storage_msw: f64,
        accepted: &[String],
    ) -> Result<i64, RuleRefusal> {
        let start = self.decompression_start(accepted)?;
        Ok(start
            .hold
            .filter(|&(at_most, _)| edge::to(storage_msw, at_most))
            .map_or(0, |(_, hold)| hold))
    }

    /// A decompression that starts with an upward excursion to a depth, msw, by the set's limit, rate
    /// and hold, where the set allows that. `deepest_msw` is the deepest any diver was in the last 48 h.
    ///
    /// # Errors
    /// A refusal where the set does not allow it, the excursion is too far, or a row is missing.
    pub fn decompression_by_excursion(
        &self,
        (storage_msw, deepest_msw, to_msw): (f64, f64, f64),
        start_second_of_day: i64,
        accepted: &[String],
    ) -> Result<DecompressionPlan, RuleRefusal> {
        let start = self.decompression_start(accepted)?;
        let refuse = |why: &str| {
            let why = Missing::OutOfRange(why.to_owned());
            self.refuse(
                Question::DecompressionStart,
                vec![MissingRow {
                    id: start.id.clone(),
                    why,
                }],
            )
        };
        if !start.upward_excursion {
            return Err(refuse("allows no upward excursion at the start"));
        }
        let rate = start
            .travel_msw_s
            .ok_or_else(|| refuse("gives no rate of travel"))?;
        let excursion = self.excursion(deepest_msw, to_msw, accepted)?;
        let travel_s = edge::whole_s((storage_msw - to_msw) / rate);
        let hold_s = self.post_excursion_hold_s(storage_msw, accepted)?;
        let lead_s = travel_s + hold_s;
        let second = (start_second_of_day + lead_s).rem_euclid(86_400);
        let mut plan = self.decompression(to_msw, second, accepted)?;
        for step in &mut plan.steps {
            step.start_s += lead_s;
            step.by_s += lead_s;
        }
        plan.steps.insert(
            0,
            DecompressionStep {
                start_s: 0,
                to_msw,
                by_s: travel_s,
            },
        );
        plan.total_s += lead_s;
        plan.rows.push(start.id);
        plan.rows.extend(excursion.rows);
        Ok(plan)
    }

    fn come_up(
        &self,
        question: Question,
        from_msw: f64,
        to_msw: f64,
        start_second_of_day: i64,
        accepted: &[String],
    ) -> Result<DecompressionPlan, RuleRefusal> {
        let feet = self.feet();
        let schemes = if question == Question::Emergency {
            &self.emergency
        } else {
            &self.decompression
        };
        let mut missing = Vec::new();
        let mut found: Option<&DecompressionScheme> = None;
        for scheme in schemes {
            let gaps = scheme.gaps(from_msw, feet, accepted);
            if gaps.is_empty() {
                found = Some(scheme);
                break;
            }
            missing.extend(gaps);
        }
        let scheme = found.ok_or_else(|| self.refuse(question, missing))?;
        let steps = scheme
            .timetable(from_msw, to_msw, start_second_of_day, feet)
            .steps();
        let source: Source = scheme.rates.source.clone();
        let total_s = steps.last().map_or(0, |step| step.by_s);
        let mut rows = scheme.ids();
        rows.extend(self.feet.as_ref().map(|row| row.id.clone()));
        Ok(DecompressionPlan {
            steps,
            total_s,
            oxygen: scheme.oxygen_bands(feet),
            source,
            rows,
        })
    }
}
