//! The site: depth, sea, and where the waves come from.

use super::Part;
use crate::complaint::{Wrong, did_you_mean, nearest};
use crate::file::{SiteFile, WeatherFile};
use crate::read::Desk;
use crate::weather::{self, Tables};
use crate::{Site, Weather};

/// The site.
pub fn site(site: &Part<SiteFile>, tables: &dyn Tables, desk: &mut Desk) -> Site {
    let Part { file, sheet } = site;
    let mut within = |value: f64, (low, high): (f64, f64), path: &str, what: &str| {
        if !(low..=high).contains(&value) {
            desk.complain(
                sheet,
                path,
                Wrong::Value(format!("{what} lies between {low} and {high}")),
            );
        }
    };
    within(
        file.tide_amplitude.0,
        (0.0, 10.0),
        "tide_amplitude",
        "half a tidal range, in m,",
    );
    within(
        file.launch_limit.0,
        (0.1, 20.0),
        "launch_limit",
        "a launch limit, in m,",
    );
    within(
        file.sea_temperature.0,
        (270.0, 308.0),
        "sea_temperature",
        "the sea's temperature, in K,",
    );
    if file.working_depth.0 > file.seabed.0 {
        let words = format!(
            "work at {} msw, but the sea bed is at {} msw",
            file.working_depth.0, file.seabed.0
        );
        desk.complain(sheet, "working_depth", Wrong::Contradiction(words));
    }
    Site {
        seabed_msw: file.seabed.0,
        working_msw: file.working_depth.0,
        tide_amplitude_m: file.tide_amplitude.0,
        sea_t_k: file.sea_temperature.0,
        launch_limit_hs_m: file.launch_limit.0,
        weather: waves(site, tables, desk),
    }
}

fn waves(site: &Part<SiteFile>, tables: &dyn Tables, desk: &mut Desk) -> Weather {
    let Part { file, sheet } = site;
    let read = match &file.weather {
        WeatherFile::Calm => return Weather::Calm,
        WeatherFile::Series(name) => tables
            .table(name)
            .map(|text| weather::series(&text).map(Weather::Series)),
        WeatherFile::Chain {
            table,
            season,
            step,
        } => tables
            .table(table)
            .map(|text| weather::chain(&text, season, step.0).map(Weather::Chain)),
    };
    match read {
        Ok(Ok(weather)) => return weather,
        Ok(Err(error)) => {
            let suggestion = match &error {
                weather::TableError::Season { seasons, .. } => {
                    let season = match &file.weather {
                        WeatherFile::Chain { season, .. } => season.as_str(),
                        _ => "",
                    };
                    did_you_mean(nearest(season, seasons.iter().map(String::as_str)))
                }
                _ => None,
            };
            desk.suggest(
                sheet,
                "weather",
                Wrong::Value(error.to_string()),
                suggestion,
            );
        }
        Err((wrong, suggestion)) => desk.suggest(sheet, "weather", wrong, suggestion),
    }
    Weather::Calm
}
