//! What a job, a rota and a gas study leave behind: tables, summaries, calendars, workbooks, and pages that
//! stand alone.
//!
//! Everything is made from what it is handed, an `..Inputs` for each kind, and depends on nothing else: the
//! record of a run and names from its [`Subject`], a rota with its verdict, the answer of a study. The
//! caution stands wherever limits, schedules, gas or oxygen are spoken of.

mod effects_screen;
mod explain;
mod job;
mod kit;
mod made_from;
mod margins;
mod provenance;
mod rota;
mod scenario_screen;
mod stock;
mod subject;
mod sums;
mod working;

// What every kind of report speaks of.
pub use deepstay_core::CAUTION;
pub use deepstay_core::units::Units;
// Words for a terminal.
pub use effects_screen::{EffectsInputs, effects_screen};
pub use kit::folder::ReportError;
pub use kit::terminal::{folded, hung, wrap};
pub use made_from::{MadeFromSummary, VERSION};
pub use provenance::{ProvenanceRow, StatusWord, provenance, status_words};
pub use scenario_screen::scenario_screen;
pub use subject::{BankLabel, CompartmentLabel, HarmSource, HotWater, PlannedRun, Subject};
pub use working::{WorkBreach, WorkFigures, WorkLine, WorkingTimeSummary};

// The chain behind a figure.
pub use explain::{
    Again, Chain, ChainInput, ChainRule, ExplainError, Folder, Origin, Term, chain_screen, explain,
    explain_all, figures, figures_screen,
};

// A sum: its answer, what it takes, the list.
pub use sums::{
    BesideSummary, ChoiceDescribed, ConventionSummary, FigureSummary, InputDescribed, InputSummary,
    NameDescribed, SumDescribed, SumSummary, SumsDescribed, sum_page, sum_screen, sums_list,
};

// A job that was run: what is handed in, the whole folder, and each of its files by itself.
pub use job::ending::Ending;
pub use job::gas_status::gas_status_csv;
pub use job::hours::{DiverHours, DiverLimit};
pub use job::inputs::{Inputs, LEDGER_TOLERANCE, LimitBand, Outcome};
pub use job::log::log_csv;
pub use job::page::html;
pub use job::papers::JobPapers;
pub use job::planned::PlannedUse;
pub use job::posted::*;
pub use job::rests_on::limit_bands;
pub use job::screen::screen;
pub use job::summary::*;
pub use job::tables::{alarms_csv, bell_csv, divers_csv, ledger_csv};
pub use job::write::{FILES, check_target, write_all};

// A rota: the same. Its table is written and read by `deepstay_rota::table`.
pub use rota::board::board_html;
pub use rota::calendar::{calendar_of_all, calendar_of_diver};
pub use rota::inputs::RotaInputs;
pub use rota::known::RotaPapers;
pub use rota::page::rota_html;
pub use rota::rests_on::rota_provenance;
pub use rota::screen::{rota_screen, under_screen};
pub use rota::summary::*;
pub use rota::write::{ROTA_FILES, check_rota_target, is_of_a_rota, write_rota};

// A gas study: the same, with its charts, the minimums and what to load by themselves.
pub use stock::chance::chance;
pub use stock::endurance::{EnduranceSummary, SupplySummary, TermSummary, endurance_screen};
pub use stock::fan::fan;
pub use stock::inputs::{StockInputs, StockPapers};
pub use stock::load::csv::stock_load_csv;
pub use stock::load::inputs::{StockLoadInputs, gas_words};
pub use stock::load::section::stock_load_section;
pub use stock::load::workbook::stock_workbook;
pub use stock::outlook::{
    BankForecast, ForecastSummary, GasForecast, MinimumForecast, forecast_screen,
};
pub use stock::page::stock_html;
pub use stock::posting::posting_html;
pub use stock::reserve::{beside_section, reserve_csv, reserve_html, reserve_sections};
pub use stock::screen::stock_screen;
pub use stock::summary::StockSummary;
pub use stock::why::{pulls, swings};
pub use stock::words::gas_name;
pub use stock::write::{STOCK_FILES, check_stock_target, write_stock};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample::Sample;

    #[test]
    fn the_sample_closes_and_its_summary_is_folded_to_the_width() {
        for days in [3, 30] {
            let sample = Sample::days(days);
            let summary = Summary::of(&sample.inputs());
            assert!(summary.ledger.closes, "{:?}", summary.ledger);
            assert!(summary.bell_runs.made > 0 && summary.crossed_limits());
            let text = screen(&summary, 80);
            assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
            assert!(text.contains("it prescribes nothing"));
            let json: serde_json::Value =
                serde_json::from_str(&summary.json().expect("json")).expect("reads back");
            assert_eq!(json["complete"], !summary.lost_runs());
            let end = if summary.lost_runs() {
                "bell-runs-not-made"
            } else {
                "limits-crossed"
            };
            assert_eq!(json["how_it_ended"], end);
            assert_eq!(json["caution"], CAUTION);
        }
    }

    #[test]
    fn the_page_stands_alone_and_says_what_it_must() {
        let sample = Sample::days(3);
        let page = html(&sample.inputs(), &Summary::of(&sample.inputs()));
        for outside in ["<script", "src=", "href=", "@import", "url("] {
            assert!(!page.contains(outside), "{outside}");
        }
        for needed in [
            CAUTION,
            "FROM MEMORY, not verified",
            "SECOND-HAND",
            "EN 1089-3:2011",
            "▲ truly outside",
        ] {
            assert!(page.contains(needed), "{needed}");
        }
        for unit in ["msw", "mbar", "°C"] {
            assert!(page.contains(unit), "{unit}");
        }
    }

    #[test]
    fn one_switch_turns_the_units() {
        let mut sample = Sample::days(3);
        sample.units = Units::Imperial;
        let page = html(&sample.inputs(), &Summary::of(&sample.inputs()));
        for unit in ["fsw", "mmHg", "°F", "ft³", "psi", "ata"] {
            assert!(page.contains(unit), "{unit}");
        }
        assert!(!page.contains("°C</text>") && !page.contains(" mbar"));
        let log = String::from_utf8(log_csv(&sample.inputs()).expect("log")).expect("text");
        assert!(
            log.lines()
                .next()
                .expect("heads")
                .contains("depth indicated (fsw)")
        );
    }

    #[test]
    fn limits_are_printed_in_the_chosen_unit_with_its_digits() {
        // 0.005 bar of carbon dioxide is 5.00 mbar and 3.75 mmHg (1 mmHg = 133.322 Pa: NIST SP 811, appendix B).
        let mut sample = Sample::days(3);
        for (units, limit, alarm) in [
            (Units::Metric, "ppCO2 high 5.00 mbar", ",5.10,5.00,mbar,"),
            (Units::Imperial, "ppCO2 high 3.75 mmHg", ",3.83,3.75,mmHg,"),
        ] {
            sample.units = units;
            let text = screen(&Summary::of(&sample.inputs()), 80);
            assert!(text.contains(limit), "{text}");
            let alarms = String::from_utf8(alarms_csv(&sample.inputs()).expect("laid out"));
            let alarms = alarms.expect("text");
            assert!(alarms.contains(alarm), "{alarms}");
        }
    }

    #[test]
    fn every_table_has_as_many_cells_as_heads() {
        let sample = Sample::days(3);
        let inputs = sample.inputs();
        for table in [
            log_csv,
            ledger_csv,
            bell_csv,
            divers_csv,
            alarms_csv,
            gas_status_csv,
        ] {
            let bytes = table(&inputs).expect("laid out");
            let mut reader = csv::Reader::from_reader(bytes.as_slice());
            let heads = reader.headers().expect("heads").len();
            let rows: Vec<_> = reader.records().map(|r| r.expect("a row")).collect();
            assert!(!rows.is_empty() && rows.iter().all(|r| r.len() == heads));
        }
    }

    #[test]
    #[ignore = "writes a page to look at into target/"]
    fn writes_pages_to_look_at() {
        for days in [3, 30] {
            let sample = Sample::days(days);
            let before = std::time::Instant::now();
            let dir = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
                .join(format!("../../target/sample-{days}"));
            write_all(&dir, &sample.inputs(), true).expect("written");
            println!("{days} days written in {:?}", before.elapsed());
            println!("{}", screen(&Summary::of(&sample.inputs()), 80));
        }
    }
}
