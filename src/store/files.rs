//! The one way in which a file is written beside the database: whole or not at all, never over what is of another kind,
//! and for nobody else to read unless it was so before.

use std::fs::{self, File};
use std::io::{self, Read as _, Write as _};
use std::path::{Path, PathBuf};

use tempfile::{Builder, NamedTempFile};

/// What stands beside a database and belongs to it.
const BESIDE: [&str; 5] = ["", "-journal", "-wal", "-shm", super::backup::LAST];

/// As many links to links as are followed.
const LINKS: usize = 32;

/// What may be replaced.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Over {
    Nothing,
    /// A file that begins with these words, or an empty one.
    Kind(&'static str),
}

#[derive(Debug, thiserror::Error)]
pub(crate) enum NotWritten {
    #[error("{0} is the shop's database, or belongs to it")]
    Database(PathBuf),
    #[error("{0} is there already")]
    There(PathBuf),
    #[error("{0} is there already and holds something else")]
    OtherKind(PathBuf),
    #[error("{0} isn't a file")]
    NotAFile(PathBuf),
    #[error("{0} can't be written: {1}")]
    Io(PathBuf, io::Error),
}

/// Writes a file for a shop with that database. A link is written through; what can't be written whole leaves nothing.
pub(crate) fn write(
    path: &Path,
    octets: &[u8],
    over: Over,
    database: &Path,
) -> Result<(), NotWritten> {
    let refuse = |source| NotWritten::Io(path.to_owned(), source);
    let target = target(path).map_err(refuse)?;
    if BESIDE.iter().any(|end| same(&target, &with_end(database, end))) {
        return Err(NotWritten::Database(path.to_owned()));
    }
    let there = match fs::metadata(&target) {
        Ok(there) if !there.is_file() => return Err(NotWritten::NotAFile(path.to_owned())),
        Ok(there) => Some(there),
        Err(error) if error.kind() == io::ErrorKind::NotFound => None,
        Err(error) => return Err(refuse(error)),
    };
    if there.is_some() {
        let Over::Kind(kind) = over else { return Err(NotWritten::There(path.to_owned())) };
        if !begins_with(&target, kind).map_err(refuse)? {
            return Err(NotWritten::OtherKind(path.to_owned()));
        }
    }
    let mut draft = draft_beside(&target).map_err(refuse)?;
    if let Some(there) = there {
        draft.as_file().set_permissions(there.permissions()).map_err(refuse)?;
    }
    draft.write_all(octets).and_then(|()| draft.as_file().sync_all()).map_err(refuse)?;
    let kept = match over {
        Over::Nothing => draft.persist_noclobber(&target),
        Over::Kind(_) => draft.persist(&target),
    };
    kept.map_err(|error| refuse(error.error))?;
    sync_folder(&target).map_err(refuse)
}

/// Makes a folder, and those above it, for nobody else to look into.
pub(crate) fn make_folder(folder: &Path) -> io::Result<()> {
    let mut builder = fs::DirBuilder::new();
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.recursive(true).create(folder)
}

/// A file of no name that anybody looks for, gone again unless it is kept.
pub(super) fn draft_beside(target: &Path) -> io::Result<NamedTempFile> {
    Builder::new().prefix(".tackfree-").suffix(".new").tempfile_in(folder(target))
}

/// Has the disk know of what was renamed in a file's folder.
pub(super) fn sync_folder(target: &Path) -> io::Result<()> {
    // Only Unix opens a folder as a file; elsewhere the rename is as durable as the system makes it.
    if cfg!(unix) { File::open(folder(target))?.sync_all() } else { Ok(()) }
}

/// The folder a file is in: "." for a bare name.
pub(super) fn folder(path: &Path) -> &Path {
    match path.parent() {
        Some(parent) if parent != Path::new("") => parent,
        _ => Path::new("."),
    }
}

/// A path with an ending put to its file's name.
pub(super) fn with_end(path: &Path, end: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(end);
    PathBuf::from(name)
}

/// Where a path leads: through links, to what may not be there yet.
fn target(path: &Path) -> io::Result<PathBuf> {
    let mut target = path.to_owned();
    for _ in 0..LINKS {
        match fs::read_link(&target) {
            Ok(link) => target = folder(&target).join(link),
            Err(_) => return Ok(target),
        }
    }
    Err(io::Error::other("it is a link to a link to a link, without an end"))
}

/// Whether two paths are of one file, by whichever names, or would be.
fn same(one: &Path, other: &Path) -> bool {
    let named =
        |path: &Path| Some((folder(path).canonicalize().ok()?, path.file_name()?.to_owned()));
    named(one) == named(other) && named(one).is_some() || same_file(one, other)
}

#[cfg(unix)]
fn same_file(one: &Path, other: &Path) -> bool {
    use std::os::unix::fs::MetadataExt as _;
    let number = |path: &Path| fs::metadata(path).map(|file| (file.dev(), file.ino())).ok();
    number(one).is_some_and(|one| Some(one) == number(other))
}

#[cfg(not(unix))]
fn same_file(one: &Path, other: &Path) -> bool {
    one.canonicalize().is_ok_and(|one| other.canonicalize().is_ok_and(|other| one == other))
}

fn begins_with(path: &Path, kind: &str) -> io::Result<bool> {
    let mut start = Vec::new();
    File::open(path)?.take(kind.len() as u64).read_to_end(&mut start)?;
    Ok(start.is_empty() || start == kind.as_bytes())
}
