//! `deepstay man`: the manual pages, made from the command itself.

use super::exit::Exit;
use super::say;
use super::topics::Topic;
use crate::aside::write_aside;
use clap::CommandFactory;
use clap::builder::PossibleValuesParser;
use clap_mangen::Man;
use clap_mangen::roff::{Roff, roman};
use std::io;
use std::path::PathBuf;

/// Prints a manual page, or writes all of them into a folder
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// Of which command; without it, of deepstay itself
    #[arg(value_name = "COMMAND", value_parser = PossibleValuesParser::new(super::VERBS))]
    of: Option<String>,
    /// Write every page into this folder instead
    #[arg(long, value_name = "DIR", conflicts_with = "of")]
    out: Option<PathBuf>,
    /// Write over pages that are already in the folder
    #[arg(long, requires = "out")]
    replace: bool,
}

pub fn act(arguments: &Arguments) -> Exit {
    let Some(folder) = &arguments.out else {
        let name = page_name(arguments.of.as_deref());
        let found = pages().map(|all| all.into_iter().find(|page| page.name == name));
        return match found {
            Ok(Some(page)) => say::out(page.text.trim_end()),
            Ok(None) => say::bad_input(format!("there is no page {name}")),
            Err(e) => say::not_written(format!("the page could not be made: {e}")),
        };
    };
    let write = || -> io::Result<usize> {
        std::fs::create_dir_all(folder)?;
        let all = pages()?;
        for page in &all {
            let path = folder.join(&page.name);
            write_aside(&path, page.text.as_bytes(), arguments.replace)
                .map_err(io::Error::other)?;
        }
        Ok(all.len())
    };
    match write() {
        Ok(count) => say::out(&format!(
            "{count} pages are written into {}",
            folder.display()
        )),
        Err(e) => say::bad_input(format!("{}: {e}", folder.display())),
    }
}

/// A manual page.
struct Page {
    name: String,
    text: String,
}

fn page_name(verb: Option<&str>) -> String {
    match verb {
        Some(verb) => format!("deepstay-{verb}.1"),
        None => "deepstay.1".to_owned(),
    }
}

/// The page of the command with its topics, and one of each verb.
fn pages() -> io::Result<Vec<Page>> {
    let mut command = super::Arguments::command();
    command.build();
    let mut whole = Vec::new();
    Man::new(command.clone()).render(&mut whole)?;
    for topic in Topic::ALL {
        section(topic, &mut whole)?;
    }
    let mut all = vec![page(page_name(None), whole)?];
    for verb in command.get_subcommands() {
        let name = verb.get_name();
        let mut text = Vec::new();
        let titled = verb.clone().display_name(format!("deepstay-{name}"));
        Man::new(titled).render(&mut text)?;
        all.push(page(page_name(Some(name)), text)?);
    }
    Ok(all)
}

fn page(name: String, text: Vec<u8>) -> io::Result<Page> {
    let text = String::from_utf8(text).map_err(io::Error::other)?;
    Ok(Page { name, text })
}

/// A topic as a section of its own.
fn section(topic: Topic, to: &mut Vec<u8>) -> io::Result<()> {
    let mut roff = Roff::new();
    let title = topic.words().0.to_uppercase().replace('-', " ");
    roff.control("SH", [title.as_str()]);
    for line in topic.lines() {
        let row = line.starts_with("  ");
        roff.control(if row { "IP" } else { "PP" }, []);
        roff.text([roman(line.trim_start())]);
    }
    roff.to_writer(to)
}
