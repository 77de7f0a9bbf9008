//! What a job leaves behind: CSV files, a summary, and one self-contained HTML report.
//!
//! All of it is made from the record of a run, and names from its scenario. The caution stands
//! wherever limits, schedules, gas or oxygen are spoken of.

mod bell_chart;
mod ending;
mod fault_words;
mod frame;
mod gas_chart;
mod gas_status;
mod inputs;
mod log_table;
mod page;
mod remarks;
mod rota_board;
mod rota_calendar;
mod rota_cells;
mod rota_chart;
mod rota_clock;
mod rota_csv;
mod rota_inputs;
mod rota_job;
mod rota_judged;
mod rota_line;
mod rota_page;
mod rota_read;
#[cfg(test)]
mod rota_sample;
mod rota_screen;
mod rota_sections;
mod rota_strip;
mod rota_summary;
#[cfg(test)]
mod rota_tests;
mod rota_wet;
mod rota_write;
#[cfg(test)]
mod sample;
#[cfg(test)]
mod sample_job;
mod say;
mod screen;
mod section_alarms;
mod sections;
mod sections_gas;
mod stock_axes;
mod stock_chance;
mod stock_csv;
mod stock_demand;
mod stock_fan;
mod stock_gauges;
mod stock_inputs;
mod stock_load;
mod stock_load_csv;
mod stock_load_parts;
#[cfg(test)]
mod stock_load_tests;
mod stock_papers;
mod stock_posting;
mod stock_reserve;
mod stock_risk;
mod stock_screen;
mod stock_summary;
mod stock_today;
mod stock_why;
mod stock_words;
mod stock_workbook;
mod stock_workbook_parts;
mod style;
mod summary;
mod summary_make;
mod svg;
mod tables;
mod tables_used;
mod trend;
mod trend_parts;
mod words;
mod write;

pub use ending::Ending;
pub use gas_status::gas_status_csv;
pub use inputs::*;
pub use log_table::log_csv;
pub use page::html;
pub use rota_board::board_html;
pub use rota_calendar::{calendar_of_all, calendar_of_diver};
pub use rota_clock::{Strange, Written, read as read_time};
pub use rota_csv::{Column, rota_csv};
pub use rota_inputs::{MadeBy, RotaInputs, Under, UnderRota};
pub use rota_page::rota_html;
pub use rota_read::{ReadRota, read_rota};
pub use rota_screen::{rota_screen, under_screen};
pub use rota_summary::*;
pub use rota_write::*;
pub use say::{FREE, FREE_WORDS, Scale};
pub use screen::screen;
pub use stock_chance::chance;
pub use stock_fan::fan;
pub use stock_gauges::read_gauges;
pub use stock_inputs::{StockInputs, Today, WhatIf, gas_name};
pub use stock_load::{StockLoadInputs, gas_words, stock_load_section};
pub use stock_load_csv::stock_load_csv;
pub use stock_papers::{STOCK_FILES, StockPapers, check_stock_target, stock_html, write_stock};
pub use stock_posting::posting_html;
pub use stock_reserve::{beside_section, reserve_csv, reserve_html, reserve_sections};
pub use stock_screen::stock_screen;
pub use stock_summary::StockSummary;
pub use stock_why::{pulls, swings};
pub use stock_workbook::stock_workbook;
pub use summary::*;
pub use tables::{alarms_csv, bell_csv, divers_csv, ledger_csv};
pub use tables_used::*;
pub use words::Words;
pub use write::*;

#[cfg(test)]
mod tests {
    use super::sample::Sample;
    use super::*;

    #[test]
    fn the_sample_closes_and_its_summary_fits_a_screen() {
        for days in [3, 30] {
            let sample = Sample::days(days);
            let summary = Summary::of(&sample.inputs());
            assert!(summary.ledger.closes, "{:?}", summary.ledger);
            assert!(summary.bell_runs.made > 0 && summary.crossed_limits());
            let text = screen(&summary, 80);
            assert!(
                text.lines().count() < 24 && text.lines().all(|l| l.chars().count() <= 80),
                "{text}"
            );
            assert!(text.contains("it prescribes nothing"));
            let json: serde_json::Value =
                serde_json::from_str(&summary.json().expect("json")).expect("reads back");
            assert_eq!(json["complete"], true);
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
            "RECALLED from memory",
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
                .contains("depth shown (fsw)")
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
                .join(format!("../target/sample-{days}"));
            write_all(&dir, &sample.inputs(), true).expect("written");
            println!("{days} days written in {:?}", before.elapsed());
            println!("{}", screen(&Summary::of(&sample.inputs()), 80));
        }
    }
}
