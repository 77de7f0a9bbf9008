//! Pictures without a display: the screen drawn into an image, frame by frame, as whoever asks for it drives it.

use super::device::BACKENDS;
use super::shapes::{Into, Shown, install};
use super::{NoDevice, Screen, adapter};
use crate::drawing::Drawing;
use crate::whole::write_whole;
use bevy::app::SubApps;
use bevy::asset::RenderAssetUsages;
use bevy::image::Image;
use bevy::log::LogPlugin;
use bevy::prelude::*;
use bevy::render::RenderPlugin;
use bevy::render::render_resource::{
    Extent3d, PollType, TextureDimension, TextureFormat, TextureUsages,
};
use bevy::render::renderer::RenderDevice;
use bevy::render::settings::WgpuSettings;
use bevy::render::view::screenshot::{Screenshot, ScreenshotCaptured};
use bevy::window::ExitCondition;
use bevy::winit::WinitPlugin;
use bevy_egui::input::EguiInputEvent;
use bevy_egui::{PrimaryEguiContext, egui};
use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use image::{ExtendedColorType, ImageEncoder, RgbImage};
use std::path::Path;
use std::sync::{Arc, Mutex};
use thiserror::Error;

/// Frames until a picture that was asked for is there.
const PATIENCE: usize = 24;
/// Frames after which fonts, shapes and shaders are all there.
const SETTLED: usize = 3;

/// Why there is no picture.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum NoPicture {
    /// Nothing can be drawn.
    #[error(transparent)]
    Device(#[from] NoDevice),
    /// The device has not given the picture back.
    #[error("the graphics device gave no picture back")]
    NotCaptured,
    /// It cannot be written.
    #[error("{path}: {why}")]
    NotWritten {
        /// Where.
        path: String,
        /// What the system said.
        why: String,
    },
}

/// A screen that is drawn into an image.
pub struct Pictures {
    apps: SubApps,
    target: Handle<Image>,
    /// The device's name.
    pub device: String,
}

impl Pictures {
    /// Of a screen, so large.
    ///
    /// # Errors
    /// [`NoPicture::Device`].
    pub fn new(screen: Screen, (width, height): (u32, u32)) -> Result<Pictures, NoPicture> {
        let device = adapter()?;
        let mut app = App::new();
        app.add_plugins(
            DefaultPlugins
                .set(WindowPlugin {
                    primary_window: None,
                    exit_condition: ExitCondition::DontExit,
                    ..default()
                })
                .set(drawn_by(true))
                // What the engine says of itself is no news to whoever looks.
                .disable::<LogPlugin>()
                .disable::<WinitPlugin>(),
        );
        let size = Extent3d {
            width,
            height,
            depth_or_array_layers: 1,
        };
        let mut image = Image::new_uninit(
            size,
            TextureDimension::D2,
            TextureFormat::Rgba8UnormSrgb,
            RenderAssetUsages::RENDER_WORLD,
        );
        image.texture_descriptor.usage |= TextureUsages::RENDER_ATTACHMENT;
        let target = app.world_mut().resource_mut::<Assets<Image>>().add(image);
        app.insert_resource(Into(target.clone()));
        install(&mut app, screen);
        app.finish();
        app.cleanup();
        let mut pictures = Pictures {
            apps: std::mem::take(app.sub_apps_mut()),
            target,
            device,
        };
        (0..SETTLED).for_each(|_| pictures.frame());
        Ok(pictures)
    }

    /// The screen.
    pub fn screen(&mut self) -> &mut Screen {
        let world = self.apps.main.world_mut();
        &mut world.resource_mut::<Shown>().into_inner().screen
    }

    /// The marks of the last frame, words and shapes, as they were drawn.
    pub fn drawing(&self) -> &Drawing {
        &self.apps.main.world().resource::<Shown>().drawing
    }

    /// Draws one frame.
    pub fn frame(&mut self) {
        self.apps.update();
        let device = self.apps.main.world().resource::<RenderDevice>();
        let all = PollType::Wait {
            submission_index: None,
            timeout: None,
        };
        // A device that is lost gives no picture back, which whoever waits for one is told.
        let _ = device.wgpu_device().poll(all);
    }

    /// Somebody presses a key, or moves the pointer.
    pub fn happens(&mut self, event: egui::Event) {
        let world = self.apps.main.world_mut();
        let mut contexts = world.query_filtered::<Entity, With<PrimaryEguiContext>>();
        if let Ok(context) = contexts.single(world) {
            world.write_message(EguiInputEvent { context, event });
        }
    }

    /// The picture of the screen as it now is.
    ///
    /// # Errors
    /// [`NoPicture::NotCaptured`].
    pub fn picture(&mut self) -> Result<RgbImage, NoPicture> {
        // What has just changed is in the panel with this frame, and among the shapes with the next.
        (0..2).for_each(|_| self.frame());
        let got: Arc<Mutex<Option<Image>>> = Arc::default();
        let to = Arc::clone(&got);
        self.apps
            .main
            .world_mut()
            .spawn(Screenshot::image(self.target.clone()))
            .observe(move |captured: On<ScreenshotCaptured>| {
                if let Ok(mut to) = to.lock() {
                    *to = Some(captured.image.clone());
                }
            });
        for _ in 0..PATIENCE {
            self.frame();
            let image = got.lock().ok().and_then(|mut got| got.take());
            if let Some(image) = image {
                let dynamic = image.try_into_dynamic();
                return dynamic
                    .map(|image| image.to_rgb8())
                    .map_err(|_| NoPicture::NotCaptured);
            }
        }
        Err(NoPicture::NotCaptured)
    }

    /// Writes the picture of the screen as it now is, PNG.
    ///
    /// # Errors
    /// [`NoPicture`]; what was there before is left.
    pub fn shot(&mut self, path: &Path) -> Result<(), NoPicture> {
        let picture = self.picture()?;
        let not = |why: String| NoPicture::NotWritten {
            path: path.display().to_string(),
            why,
        };
        let bytes = png(&picture).map_err(|error| not(error.to_string()))?;
        write_whole(path, &bytes).map_err(|error| not(error.to_string()))
    }

    /// The screen back.
    pub fn into_screen(mut self) -> Option<Screen> {
        let world = self.apps.main.world_mut();
        world.remove_resource::<Shown>().map(|shown| shown.screen)
    }
}

/// A picture as a PNG file, by whichever of the format's filters makes it smallest.
///
/// # Errors
/// What the encoder says.
pub fn png(picture: &RgbImage) -> Result<Vec<u8>, image::ImageError> {
    let (width, height) = picture.dimensions();
    let by = |filter| -> Result<Vec<u8>, image::ImageError> {
        let mut bytes = Vec::new();
        let encoder = PngEncoder::new_with_quality(&mut bytes, CompressionType::Best, filter);
        encoder.write_image(picture.as_raw(), width, height, ExtendedColorType::Rgb8)?;
        Ok(bytes)
    };
    let mut smallest = by(FilterType::Adaptive)?;
    for filter in [
        FilterType::NoFilter,
        FilterType::Sub,
        FilterType::Up,
        FilterType::Paeth,
    ] {
        let other = by(filter)?;
        if other.len() < smallest.len() {
            smallest = other;
        }
    }
    Ok(smallest)
}

/// The engine's part that draws. Of a picture everything is there from its first frame on.
pub(super) fn drawn_by(whole_at_once: bool) -> RenderPlugin {
    RenderPlugin {
        synchronous_pipeline_compilation: whole_at_once,
        render_creation: WgpuSettings {
            backends: Some(BACKENDS),
            ..default()
        }
        .into(),
        ..default()
    }
}
