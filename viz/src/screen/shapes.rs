//! The screen among a graphics engine's things: a mesh for what is solid of a frame and one for what is soft, one camera,
//! and the panel over them.

use super::Screen;
use crate::drawing::{Drawing, Ink, Palette, Tessellator, Triangles};
use bevy::asset::RenderAssetUsages;
use bevy::camera::visibility::NoFrustumCulling;
use bevy::camera::{RenderTarget, ScalingMode};
use bevy::mesh::{Indices, PrimitiveTopology};
use bevy::prelude::*;
use bevy::sprite_render::AlphaMode2d;
use bevy_egui::{
    EguiContext, EguiGlobalSettings, EguiPlugin, EguiPrimaryContextPass, PrimaryEguiContext,
};
use std::time::Instant;

/// The screen, and what draws its shapes.
#[derive(Resource)]
pub struct Shown {
    /// The screen.
    pub screen: Screen,
    /// The picture of the last frame.
    pub drawing: Drawing,
    /// It is another than the one that the meshes are of.
    changed: bool,
    tessellator: Tessellator,
    meshes: [Handle<Mesh>; 2],
    /// Values of the inks, and pixels to a point, that the meshes are made with.
    made_with: (Palette, f32),
}

/// How far a mark lies over the one under it, as a camera sees it: some ten thousand of them lie before its farthest.
const LEVEL: f32 = 0.02;

/// What the camera draws into, where that is no window.
#[derive(Resource, Clone)]
pub struct Into(pub Handle<Image>);

/// Puts a screen into an application whose plugins are there already.
pub fn install(app: &mut App, screen: Screen) {
    app.add_plugins(EguiPlugin::default());
    app.world_mut()
        .resource_mut::<EguiGlobalSettings>()
        .auto_create_primary_context = false;
    let meshes = [(); 2].map(|()| {
        let mut meshes = app.world_mut().resource_mut::<Assets<Mesh>>();
        meshes.add(made(&Triangles::default(), Vec::new()))
    });
    app.insert_resource(Shown {
        screen,
        drawing: Drawing::new(0.0, 0.0),
        changed: true,
        tessellator: Tessellator::default(),
        meshes,
        made_with: (Palette::Calm, 1.0),
    });
    app.insert_resource(ClearColor(colour(Ink::Cut, Palette::Calm)));
    app.add_systems(Startup, begin);
    app.add_systems(EguiPrimaryContextPass, frame);
    app.add_systems(Last, shapes);
}

fn begin(
    mut commands: Commands,
    shown: Res<Shown>,
    into: Option<Res<Into>>,
    mut materials: ResMut<Assets<ColorMaterial>>,
) {
    let mut camera = commands.spawn((
        Camera2d,
        PrimaryEguiContext,
        Msaa::Off,
        Projection::Orthographic(OrthographicProjection {
            scaling_mode: ScalingMode::WindowSize,
            ..OrthographicProjection::default_2d()
        }),
    ));
    if let Some(into) = into {
        camera.insert(RenderTarget::from(into.0.clone()));
    }
    for (mesh, alpha_mode) in shown
        .meshes
        .iter()
        .zip([AlphaMode2d::Opaque, AlphaMode2d::Blend])
    {
        let material = ColorMaterial {
            color: Color::WHITE,
            alpha_mode,
            ..default()
        };
        commands.spawn((
            Mesh2d(mesh.clone()),
            MeshMaterial2d(materials.add(material)),
            NoFrustumCulling,
        ));
    }
}

fn frame(mut contexts: Query<&mut EguiContext>, shown: Option<ResMut<Shown>>) {
    let Some(mut shown) = shown else {
        return;
    };
    let Ok(mut context) = contexts.single_mut() else {
        return;
    };
    let context = context.get_mut().clone();
    let drawing = shown.screen.frame(&context, Instant::now());
    if drawing != shown.drawing {
        shown.drawing = drawing;
        shown.changed = true;
    }
}

/// The drawing of the frame as triangles, its corner at the camera's upper left.
fn shapes(
    shown: Option<ResMut<Shown>>,
    mut contexts: Query<(&mut EguiContext, &Camera)>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut clear: ResMut<ClearColor>,
    mut places: Query<&mut Transform, With<Mesh2d>>,
) {
    let Some(mut shown) = shown else {
        return;
    };
    let Ok((mut context, camera)) = contexts.single_mut() else {
        return;
    };
    let shown = &mut *shown;
    let palette = shown.screen.palette();
    let per_point = context.get_mut().pixels_per_point();
    let window_scale = camera.target_scaling_factor().unwrap_or(1.0);
    let scale = per_point / window_scale;
    let size = camera.logical_viewport_size().unwrap_or(Vec2::ONE);
    for mut place in &mut places {
        place.translation = Vec3::new(-0.5 * size.x, 0.5 * size.y, 0.0);
        place.scale = Vec3::new(scale, scale, 1.0);
    }
    let with = (palette, per_point);
    // While time stands the picture does too.
    if !std::mem::take(&mut shown.changed) && with == shown.made_with {
        return;
    }
    shown.made_with = with;
    clear.0 = colour(Ink::Cut, palette);
    let triangles = shown
        .tessellator
        .triangles(&shown.drawing, palette, per_point);
    // What is solid is drawn from the highest down: nothing is drawn where something higher covers it.
    let down = triangles.solid.rchunks_exact(3).flatten().copied();
    let orders = [down.collect(), triangles.soft.clone()];
    for (mesh, indices) in shown.meshes.iter().zip(orders) {
        if let Some(mut mesh) = meshes.get_mut(mesh) {
            *mesh = made(&triangles, indices);
        }
    }
}

fn colour(ink: Ink, palette: Palette) -> Color {
    let (r, g, b) = ink.rgb(palette);
    Color::srgb_u8(r, g, b)
}

fn made(triangles: &Triangles, indices: Vec<u32>) -> Mesh {
    let corners: Vec<[f32; 3]> = triangles
        .corners
        .iter()
        .map(|[x, y, level]| [*x, -*y, LEVEL * level])
        .collect();
    let inks: Vec<[f32; 4]> = triangles
        .inks
        .iter()
        .map(|[r, g, b, share]| Color::srgba(*r, *g, *b, *share).to_linear().to_f32_array())
        .collect();
    let mut mesh = Mesh::new(
        PrimitiveTopology::TriangleList,
        RenderAssetUsages::default(),
    );
    mesh.insert_attribute(Mesh::ATTRIBUTE_POSITION, corners);
    mesh.insert_attribute(Mesh::ATTRIBUTE_COLOR, inks);
    mesh.insert_indices(Indices::U32(indices));
    mesh
}
