//! The site: depth, sea, and where the waves come from.

use super::Part;
use crate::file::SiteFile;
use crate::weather::Tables;
use crate::{Site, Weather};
use deepstay_core::units::fixed_short;
use deepstay_read::{Diagnostics, Wrong};

/// The site.
pub fn site(site: &Part<SiteFile>, tables: &dyn Tables, diagnostics: &mut Diagnostics) -> Site {
    let Part { file, section } = site;
    let mut within = |value: f64, (low, high): (f64, f64), path: &str, what: &str| {
        if !(low..=high).contains(&value) {
            diagnostics.add(
                section,
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
            fixed_short(file.working_depth.0),
            fixed_short(file.seabed.0)
        );
        diagnostics.add(section, "working_depth", Wrong::Contradiction(words));
    }
    Site {
        seabed_msw: file.seabed.0,
        working_msw: file.working_depth.0,
        tide_amplitude_m: file.tide_amplitude.0,
        sea_t_k: file.sea_temperature.0,
        launch_limit_hs_m: file.launch_limit.0,
        weather: waves(site, tables, diagnostics),
    }
}

fn waves(site: &Part<SiteFile>, tables: &dyn Tables, diagnostics: &mut Diagnostics) -> Weather {
    match tables.waves(&site.file.weather) {
        Ok(weather) => weather,
        Err((wrong, remedy)) => {
            diagnostics.add_with(&site.section, "weather", wrong, remedy);
            Weather::Calm
        }
    }
}
