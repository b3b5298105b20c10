//! Writes files into a folder, and never over something it did not make.
//!
//! A list of what was written, with a checksum of each, stands in the folder. A file that exists
//! and is not in that list as it stands is somebody's own, and is left alone.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::end::Failure;

const LIST: &str = ".footrose-files";

/// Writes all files, or none when one of them is somebody's own.
pub fn write(folder: &Path, files: &[(&str, &[u8])]) -> Result<Vec<PathBuf>, Failure> {
    let failure = |path: &Path, why: String| Failure::File { path: path.to_owned(), why };
    std::fs::create_dir_all(folder).map_err(|e| {
        failure(folder, format!("the folder cannot be made ({e}); choose another with --out"))
    })?;
    let list_path = folder.join(LIST);
    let mut list = read_list(&list_path);
    for (name, content) in files {
        let path = folder.join(name);
        match std::fs::read(&path) {
            Ok(there) => {
                let ours = list.get(*name).is_some_and(|sum| *sum == checksum(&there)) || there == *content;
                if !ours {
                    return Err(failure(
                        &path,
                        "is already there and was not made here, or was changed since; nothing was written; \
                         move it away or choose another folder with --out"
                            .to_owned(),
                    ));
                }
            }
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => {}
            Err(e) => {
                return Err(failure(
                    &path,
                    format!("cannot be read ({e}); choose another folder with --out"),
                ));
            }
        }
    }
    let mut written = Vec::new();
    for (name, content) in files {
        let path = folder.join(name);
        std::fs::write(&path, content).map_err(|e| failure(&path, format!("cannot be written ({e})")))?;
        list.insert((*name).to_owned(), checksum(content));
        written.push(path);
    }
    let text: String = list.iter().map(|(name, sum)| format!("{sum:016x} {name}\n")).collect();
    std::fs::write(&list_path, text).map_err(|e| failure(&list_path, format!("cannot be written ({e})")))?;
    Ok(written)
}

fn read_list(path: &Path) -> BTreeMap<String, u64> {
    let text = std::fs::read_to_string(path).unwrap_or_default();
    text.lines()
        .filter_map(|line| line.split_once(' '))
        .filter_map(|(sum, name)| Some((name.to_owned(), u64::from_str_radix(sum, 16).ok()?)))
        .collect()
}

/// FNV-1a, 64 bits: tells whether a file is as it was left, not whether somebody forged it.
fn checksum(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}
