//! What is embedded needs no network and carries its licence.

use tidy::{files, none, text};

/// Made by others and carried as it is: typefaces, and programs that were compiled elsewhere.
const FOREIGN: [&str; 5] = [".ttf", ".otf", ".woff", ".woff2", ".wasm"];

fn is_licence(path: &str) -> bool {
    let name = path.rsplit('/').next().unwrap_or(path);
    ["OFL", "LICENSE", "LICENCE"].iter().any(|word| name.starts_with(word))
}

#[test]
fn no_asset_and_no_template_names_an_outside_address() {
    let embedded = files("").into_iter().filter(|path| {
        let in_assets = path.starts_with("assets/");
        let template = [".typ", ".css", ".html", ".svg", ".js"].iter().any(|end| path.ends_with(end));
        (in_assets || template) && !is_licence(path)
    });
    // An SVG names its language by an address that nobody fetches.
    let allowed = ["http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink"];
    let complaints: Vec<String> = embedded
        .filter_map(|path| {
            let mut content = text(&path)?;
            for known in allowed {
                content = content.replace(known, "");
            }
            ["http://", "https://", "@preview/"]
                .iter()
                .find(|word| content.contains(*word))
                .map(|word| format!("`{path}` contains `{word}`"))
        })
        .collect();
    none("what is embedded must work without a network", &complaints);
}

#[test]
fn every_typeface_and_every_foreign_program_lies_beside_its_licence() {
    let all = files("assets");
    let foreign: Vec<&String> =
        all.iter().filter(|path| FOREIGN.iter().any(|end| path.ends_with(end))).collect();
    assert!(!foreign.is_empty(), "none found");
    let complaints: Vec<String> = foreign
        .into_iter()
        .filter(|one| {
            let folder = one.rsplit_once('/').map_or("", |(folder, _)| folder);
            !all.iter().any(|path| {
                path.rsplit_once('/').is_some_and(|(at, _)| at == folder)
                    && is_licence(path)
                    && text(path).is_some_and(|licence| licence.contains("Copyright"))
            })
        })
        .cloned()
        .collect();
    none("what others made travels with its licence and its copyright line", &complaints);
}
