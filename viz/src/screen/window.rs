//! The screen in a window.

use super::pictures::drawn_by;
use super::shapes::{Shown, install};
use super::{NoDevice, Screen, adapter};
use crate::settings::Settings;
use bevy::log::LogPlugin;
use bevy::prelude::*;
use bevy::window::{ExitCondition, PresentMode, PrimaryWindow, WindowResolution};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, Mutex};

/// What is left of the screen when its window is shut.
#[derive(Resource, Clone, Default)]
struct Kept(Arc<Mutex<Option<Screen>>>);

/// Whether there is a display for a window, and a device to draw it: to be asked before a journal is begun.
///
/// # Errors
/// [`NoDevice`]: what is missing, and which package has it.
pub fn possible() -> Result<(), NoDevice> {
    if std::env::var_os("DISPLAY").is_none_or(|display| display.is_empty()) {
        return Err(NoDevice::NoDisplay);
    }
    adapter().map(|_| ())
}

/// Shows the screen in a window until somebody leaves; the screen comes back.
///
/// # Errors
/// [`NoDevice`]: what is missing, and which package has it.
pub fn live(screen: Screen) -> Result<Option<Screen>, NoDevice> {
    possible()?;
    let kept = Kept::default();
    let title = screen.stage.title();
    let (width, height) = screen.settings.window;
    let to = kept.clone();
    // The engine has no other way to say that a window cannot be opened than to panic.
    let before = std::panic::take_hook();
    std::panic::set_hook(Box::new(|_| {}));
    let opened = catch_unwind(AssertUnwindSafe(move || {
        let mut app = App::new();
        app.add_plugins(
            DefaultPlugins
                .set(WindowPlugin {
                    primary_window: Some(Window {
                        title,
                        resolution: WindowResolution::new(width, height),
                        present_mode: PresentMode::AutoVsync,
                        ..default()
                    }),
                    exit_condition: ExitCondition::OnPrimaryClosed,
                    ..default()
                })
                .set(drawn_by(false))
                .disable::<LogPlugin>(),
        );
        install(&mut app, screen);
        app.insert_resource(to);
        app.add_systems(Update, remember);
        app.add_systems(Last, leave);
        app
    }));
    std::panic::set_hook(before);
    let mut app = match opened {
        Ok(app) => app,
        Err(fault) => {
            let words = fault
                .downcast_ref::<String>()
                .cloned()
                .or_else(|| fault.downcast_ref::<&str>().map(|s| (*s).to_owned()));
            return Err(NoDevice::NoWindow(words.unwrap_or_default()));
        }
    };
    app.run();
    let screen = kept.0.lock().ok().and_then(|mut kept| kept.take());
    Ok(screen)
}

/// The window's size is remembered.
fn remember(shown: Option<ResMut<Shown>>, windows: Query<&Window, With<PrimaryWindow>>) {
    if let (Some(mut shown), Ok(window)) = (shown, windows.single()) {
        let size = (
            window.physical_width().max(1),
            window.physical_height().max(1),
        );
        if shown.screen.settings.window != size {
            shown.screen.settings.window = size;
        }
    }
}

/// Whoever leaves takes the screen with him: the journal is closed by whoever opened it.
fn leave(world: &mut World) {
    let leaves = world
        .get_resource::<Shown>()
        .is_some_and(|shown| shown.screen.leaves());
    let mut closed = world.query_filtered::<Entity, With<PrimaryWindow>>();
    let gone = closed.iter(world).next().is_none();
    if !leaves && !gone {
        return;
    }
    if let Some(shown) = world.remove_resource::<Shown>() {
        if let Some(file) = Settings::file() {
            // A folder that cannot be written to is no reason not to leave.
            let _ = shown.screen.settings.keep(&file);
        }
        let kept = world.resource::<Kept>().clone();
        if let Ok(mut kept) = kept.0.lock() {
            *kept = Some(shown.screen);
        }
    }
    world.write_message(AppExit::Success);
}
