//! Completions and man pages, as `setup shell` writes them.

use std::fs;
use std::path::PathBuf;
use std::process::Command;

use crate::harness::{TestShop, here};

fn shop() -> TestShop {
    let shop = TestShop::open();
    for line in [
        "can open 'house oil' --name K7",
        "batch open salt --recipe 'three coats' --pieces 40",
        "lot start salt --pieces 20",
        "lot start salt --pieces 20",
        "setup shell --out shells",
    ] {
        shop.run(line).ok();
    }
    shop
}

/// What bash puts in the place of the last of those words.
fn completed(shop: &TestShop, words: &[&str]) -> Vec<String> {
    let quoted: Vec<String> = words.iter().map(|word| format!("'{word}'")).collect();
    let script = format!(
        "source shells/completions/tackfree.bash\n\
         tackfree() {{ {program} \"$@\"; }}\n\
         COMP_WORDS=({words}); COMP_CWORD={last}; COMP_TYPE=9\n\
         _clap_complete_tackfree tackfree {current} ''\n\
         printf '%s\\n' \"${{COMPREPLY[@]}}\"",
        program = env!("CARGO_BIN_EXE_tackfree"),
        words = quoted.join(" "),
        last = words.len() - 1,
        current = quoted.last().unwrap(),
    );
    let mut command = shop.command("");
    let environment: Vec<_> = command
        .get_envs()
        .filter_map(|(name, value)| Some((name.to_owned(), value?.to_owned())))
        .collect();
    command = Command::new("bash");
    command.args(["-c", &script]).current_dir(shop.folder()).env_clear().envs(environment);
    let output = command.output().unwrap();
    assert!(output.status.success(), "{output:?}");
    let said = String::from_utf8(output.stdout).unwrap();
    said.lines().filter(|line| !line.is_empty()).map(str::to_owned).collect()
}

#[test]
fn bash_completes_the_shop_s_own_names() {
    if !here(&["bash"]) {
        return;
    }
    let shop = shop();
    for (words, expected) in [
        (&["tackfree", "done", ""][..], &["salt-1", "salt-2"][..]),
        (&["tackfree", "done", "salt-1", "--can", ""], &["K7"]),
        (&["tackfree", "begin", "salt-1", "--rack", "dri"], &["drip-1", "drip-2"]),
        (&["tackfree", "batch", "show", "s"], &["salt"]),
        (&["tackfree", "promise", "--recipe", "three"], &["three\\ coats"]),
        (&["tackfree", "--db", "none.tackfree", "lot", "show", ""], &[]),
        (&["tackfree", "--db=none.tackfree", "lot", "show", ""], &[]),
        (&["tackfree", "cali"], &[]),
        (&["tackfree", "cale"], &["calendar"]),
    ] {
        let completed = completed(&shop, words);
        let names: Vec<&str> =
            completed.iter().map(String::as_str).filter(|name| !name.starts_with('-')).collect();
        assert_eq!(names, expected, "{words:?}");
    }
}

#[test]
fn every_shell_has_its_script_and_every_command_its_page() {
    let shop = shop();
    for (file, has) in [
        ("tackfree.bash", "complete -o nospace"),
        ("_tackfree", "#compdef tackfree"),
        ("tackfree.fish", "complete "),
        ("tackfree.ps1", "Register-ArgumentCompleter"),
    ] {
        let script = shop.read(&format!("shells/completions/{file}"));
        assert!(script.contains(has) && script.contains("TACKFREE_COMPLETE"), "{script}");
    }
    let pages: Vec<PathBuf> = fs::read_dir(shop.folder().join("shells/man/man1"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    let helps = include_str!("snapshots/help.txt").matches("\n$ tackfree ").count();
    assert!(pages.len() >= helps, "{} pages, {helps} commands", pages.len());
    for page in &pages {
        let text = fs::read_to_string(page).unwrap();
        for part in
            [".TH ", ".SH NAME", ".SH SYNOPSIS", ".SH DESCRIPTION", ".SH OPTIONS", ".SH EXAMPLE"]
        {
            assert!(text.contains(part), "{} has no {part}", page.display());
        }
    }
    // Written again over what is there, and over nothing else.
    shop.run("setup shell --out shells").ok();
    shop.write("shells/completions/tackfree.fish", "my own\n");
    assert!(shop.run("setup shell --out shells").fails(2).contains("holds something else"));
    if !here(&["groff"]) {
        return;
    }
    let output = Command::new("groff")
        .args(["-man", "-Kutf8", "-Tutf8", "-ww"])
        .args(&pages)
        .output()
        .unwrap();
    let complaints = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(output.status.success() && complaints.is_empty(), "{complaints}");
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(said.contains("tackfree lot start salt"), "{said}");
}
