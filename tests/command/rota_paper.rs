//! The noticeboard on paper: how many sheets of A4 and of Letter it takes, printed by a browser without a
//! window. Where there is no such browser the test says so and proves nothing.

use super::{folder, run};
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

/// The browser, if there is one.
fn browser() -> Option<&'static str> {
    let there = |name: &&str| {
        let asked = Command::new(name)
            .arg("--version")
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .status();
        asked.is_ok_and(|s| s.success())
    };
    ["chromium", "chromium-browser", "google-chrome"]
        .into_iter()
        .find(there)
}

/// Pages of a page printed on paper of a size.
fn pages(browser: &str, folder: &Path, html: &str, paper: &str) -> usize {
    let sized = html.replacen(
        "</head>",
        &format!("<style>@page {{ size: {paper}; }}</style></head>"),
        1,
    );
    fs::write(folder.join("sized.html"), sized).expect("written");
    let pdf = folder.join("sized.pdf");
    let status = Command::new(browser)
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--no-pdf-header-footer",
        ])
        .arg(format!(
            "--user-data-dir={}",
            folder.join("browser").display()
        ))
        .arg(format!("--print-to-pdf={}", pdf.display()))
        .arg(format!("file://{}", folder.join("sized.html").display()))
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .expect("the browser starts");
    assert!(status.success());
    let bytes = fs::read(&pdf).expect("a PDF");
    let text = String::from_utf8_lossy(&bytes);
    // ISO 32000-1, table 30: each page is an object of type Page; the tree's nodes are of type Pages.
    text.matches("/Type /Page").count() - text.matches("/Type /Pages").count()
}

/// Smallest letters of the tables, points.
fn smallest_pt(html: &str) -> f64 {
    let sizes = html.split("<table style=\"font-size: ").skip(1);
    sizes
        .filter_map(|t| t.split("pt").next()?.parse::<f64>().ok())
        .fold(f64::INFINITY, f64::min)
}

#[test]
fn one_sheet_for_every_built_in_job() {
    let f = folder();
    let browser = browser();
    for job in ["six-man", "nine-man", "twelve-man", "short"] {
        let (code, _, err) = run(&f, &["rota", job, "--out", job, "--quiet"]);
        assert_eq!(code, 0, "{err}");
        let html =
            fs::read_to_string(f.path().join(job).join("noticeboard.html")).expect("readable");
        assert_eq!(html.matches("class=\"sheet\"").count(), 1, "{job}");
        assert!(smallest_pt(&html) >= 7.0, "{job}: {}", smallest_pt(&html));
        let Some(browser) = browser else {
            println!("skipped: there is no browser to print {job} with");
            continue;
        };
        for paper in ["A4", "letter"] {
            assert_eq!(
                pages(browser, f.path(), &html, paper),
                1,
                "{job} on {paper}"
            );
        }
    }
}

/// A hundred days are parted by weeks, and what is on each sheet can still be read.
#[test]
fn a_long_rota_goes_on_several_sheets() {
    let f = folder();
    let mut table = String::from("diver,leave,return,role\n");
    for day in 1..=100 {
        for (n, crew) in [["AB", "CD"], ["EF", "GH"], ["JK", "LM"]]
            .iter()
            .enumerate()
        {
            let leave = 1 + 8 * n;
            for who in crew {
                table += &format!(
                    "{who},D{day:02} {leave:02}:00,D{day:02} {:02}:00,diver\n",
                    leave + 6
                );
            }
        }
    }
    fs::write(
        f.path().join("r.csv"),
        table.replace("D01 01:00,D01 07:00", "D01 06:10,D01 07:00"),
    )
    .expect("written");
    let (code, _, err) = run(
        &f,
        &[
            "rota", "six-man", "--check", "r.csv", "--out", "o", "--quiet",
        ],
    );
    assert_eq!(code, 1, "{err}");
    let html = fs::read_to_string(f.path().join("o/noticeboard.html")).expect("readable");
    assert_eq!(html.matches("class=\"sheet\"").count(), 3);
    assert!(smallest_pt(&html) >= 7.0, "{}", smallest_pt(&html));
    // Every sheet but the last ends with a whole week.
    let lines: Vec<usize> = html
        .split("class=\"sheet\"")
        .skip(1)
        .map(|s| s.matches("class=\"day\"").count())
        .collect();
    assert_eq!(lines.iter().sum::<usize>(), 100);
    assert!(lines[..2].iter().all(|n| n % 7 == 0), "{lines:?}");
    let Some(browser) = browser() else {
        println!("skipped: there is no browser to print with");
        return;
    };
    for paper in ["A4", "letter"] {
        assert_eq!(pages(browser, f.path(), &html, paper), 3, "{paper}");
    }
}
