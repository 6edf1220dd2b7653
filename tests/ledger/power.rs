//! The power is cut at the moment of an answer: what was acknowledged is on the disk.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use tempfile::TempDir;

use crate::harness::{TestShop, folder};

/// The shim that keeps what a disk would have: see `power.c`.
pub(super) fn shim(folder: &Path) -> PathBuf {
    let library = folder.join("power.so");
    let source = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/ledger/power.c");
    let mut compiler = Command::new("cc");
    compiler.args(["-shared", "-fPIC", "-O1", "-o"]).arg(&library).arg(source).arg("-ldl");
    assert!(compiler.status().unwrap().success());
    library
}

/// What the disk has, as files of a new folder.
fn after_the_cut(image: &Path) -> TempDir {
    let disk = folder();
    for line in fs::read_to_string(image.join("names")).unwrap().lines() {
        let (number, name) = line.split_once(' ').unwrap();
        // A name whose file was never synced is an empty file.
        let bytes = fs::read(image.join(number)).unwrap_or_default();
        fs::write(disk.path().join(name), bytes).unwrap();
    }
    disk
}

#[test]
#[cfg(target_os = "linux")]
fn what_was_acknowledged_is_there_after_a_power_cut() {
    let tools = folder();
    let library = shim(tools.path());
    let shop = TestShop::bare();
    shop.write("shop.toml", crate::harness::SORREL_LANE);
    let folder = shop.database().parent().unwrap().to_owned();
    let mut acknowledged = 0;
    for line in [
        "setup load shop.toml",
        "can open 'house oil' --name K7",
        "batch open salt --recipe 'three coats' --pieces 12",
        "lot start salt --pieces 6 --from 6",
        "climate add 'oil room' --temp 18",
        "done salt-1 --rack drip-1 --anyway dry",
        "lot start salt --pieces 6",
        "undo",
    ] {
        let mut command = shop.command(line);
        command.env("LD_PRELOAD", &library).env("WATCHED", &folder).env("IMAGE", tools.path());
        let output = command.output().unwrap();
        assert!(output.status.success(), "{output:?}");
        acknowledged += 1;
        let disk = after_the_cut(tools.path());
        let database = disk.path().join("shop.tackfree");
        let check = shop.json(&format!("--db '{}' ledger check", database.display()));
        assert_eq!((&check["entries"], &check["whole"]), (&acknowledged.into(), &true.into()));
    }
}
