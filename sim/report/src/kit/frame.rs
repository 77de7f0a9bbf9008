//! What the pages on a screen have in common: the frame around what they say, and the tiles at their head.

use super::style::STYLE;
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// A page of a title, with the style of all.
pub(crate) fn framed(title: &str, body: &Markup) -> String {
    framed_in(STYLE, title, body)
}

/// A page of a title, with a style of its own: sheets that are printed.
pub(crate) fn framed_in(style: &str, title: &str, body: &Markup) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) }
                style { (PreEscaped(style)) }
            }
            body { (body) }
        }
    };
    page.into_string()
}

/// A tile with where its figure comes from, opened in place.
pub(crate) fn tile_from(alert: bool, value: &str, what: &str, from: &Markup) -> Markup {
    html! {
        div.tile.alert[alert] { b { @if alert { "▲ " } (value) } span { (what) } (from) }
    }
}

/// A tile: a value and what it is; with its sign where a person should look.
pub(crate) fn tile(alert: bool, value: &str, what: &str) -> Markup {
    html! {
        div.tile.alert[alert] { b { @if alert { "▲ " } (value) } span { (what) } }
    }
}
