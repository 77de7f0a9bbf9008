//! What somebody has set for himself: letters, contrast, movement, units, and how large the window was. It is kept in his
//! configuration folder, as the XDG base directory specification has it (0.8), and what cannot be read there is as if it
//! were not.

use crate::drawing::GasColours;
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};

/// How small and how large letters may be made, as a share of what they are.
pub const SCALES: (f32, f32) = (1.0, 2.0);
/// The least window, points: what is shown in it says so.
pub const LEAST: (f32, f32) = (960.0, 600.0);

/// The settings.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Settings {
    /// How large letters are, as a share of 15 points.
    pub scale: f32,
    /// High contrast.
    pub contrast: bool,
    /// What moves stands still.
    pub still: bool,
    /// Feet and psi.
    pub imperial: bool,
    /// Which colours stand for which gas.
    pub gases: GasColours,
    /// The panel stands beside the picture.
    pub panel: bool,
    /// Size of the window, px.
    pub window: (u32, u32),
}

impl Default for Settings {
    fn default() -> Settings {
        Settings {
            scale: 1.0,
            contrast: false,
            still: false,
            imperial: false,
            gases: GasColours::En1089,
            panel: true,
            window: (1280, 720),
        }
    }
}

impl Settings {
    /// The file in the user's configuration folder; none where there is no such folder.
    pub fn file() -> Option<PathBuf> {
        let absolute = |variable| {
            let path = PathBuf::from(std::env::var_os(variable)?);
            path.is_absolute().then_some(path)
        };
        let folder =
            absolute("XDG_CONFIG_HOME").or_else(|| Some(absolute("HOME")?.join(".config")));
        Some(folder?.join("deepstay").join("visualiser.ron"))
    }

    /// What a file says; what is out of range is brought into it.
    pub fn read(path: &Path) -> Settings {
        let text = std::fs::read_to_string(path).unwrap_or_default();
        let read: Settings = ron::from_str(&text).unwrap_or_default();
        let (least, most) = SCALES;
        let scale = if read.scale.is_finite() {
            read.scale.clamp(least, most)
        } else {
            1.0
        };
        let (width, height) = read.window;
        Settings {
            scale,
            window: (width.clamp(320, 16_384), height.clamp(200, 16_384)),
            ..read
        }
    }

    /// Keeps them in a file.
    ///
    /// # Errors
    /// What the system says where it cannot be written; the file is then as it was.
    pub fn keep(&self, path: &Path) -> std::io::Result<()> {
        if let Some(folder) = path.parent() {
            std::fs::create_dir_all(folder)?;
        }
        let text = ron::ser::to_string_pretty(self, ron::ser::PrettyConfig::default())
            .map_err(std::io::Error::other)?;
        crate::whole::write_whole(path, text.as_bytes())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn settings_come_back_as_they_were_kept() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("deepstay/visualiser.ron");
        let ours = Settings {
            scale: 1.25,
            imperial: true,
            gases: GasColours::UsNavy,
            window: (1920, 1080),
            ..Settings::default()
        };
        ours.keep(&path).expect("written");
        assert_eq!(Settings::read(&path), ours);
    }

    #[test]
    fn what_cannot_be_used_is_as_if_it_were_not_there() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("visualiser.ron");
        assert_eq!(Settings::read(&path), Settings::default());
        for bad in ["", "(scale: 1.5", "(colour: true)", "(scale: \"large\")"] {
            std::fs::write(&path, bad).expect("written");
            assert_eq!(Settings::read(&path), Settings::default(), "{bad}");
        }
        std::fs::write(&path, "(scale: 40.0, window: (0, 9))").expect("written");
        let read = Settings::read(&path);
        assert_eq!((read.scale, read.window), (2.0, (320, 200)));
    }
}
