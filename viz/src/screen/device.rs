//! The graphics device: which one draws, and what to install where there is none.

use bevy::tasks::block_on;
use thiserror::Error;
use wgpu::{Backends, Instance, InstanceDescriptor, RequestAdapterOptions};

/// Ways to the device that are used: older ones ask for a display even where none is wanted.
pub const BACKENDS: Backends = Backends::PRIMARY;

/// Nothing can be drawn.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum NoDevice {
    /// No driver.
    #[error(
        "no graphics driver was found; install one for your graphics card, or the package `mesa-vulkan-drivers`, which draws without one"
    )]
    NoDriver,
    /// No display for a window.
    #[error(
        "no display for a window: DISPLAY is not set; `--shot FILE` draws a picture without one, and `deepstay watch` sits on a terminal"
    )]
    NoDisplay,
    /// The display cannot be used.
    #[error(
        "no window on this display: {0}; the packages `libx11-6 libxcursor1 libxi6 libxrandr2 libxkbcommon-x11-0` have what one needs"
    )]
    NoWindow(String),
}

/// The name of the device that draws.
///
/// # Errors
/// [`NoDevice::NoDriver`].
pub fn adapter() -> Result<String, NoDevice> {
    let instance = Instance::new(InstanceDescriptor {
        backends: BACKENDS,
        ..InstanceDescriptor::new_without_display_handle_from_env()
    });
    let found = block_on(instance.request_adapter(&RequestAdapterOptions::default()));
    match found {
        Ok(adapter) => Ok(adapter.get_info().name),
        Err(_) => Err(NoDevice::NoDriver),
    }
}
