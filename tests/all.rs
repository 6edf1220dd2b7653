//! All tests, one binary, one module a subject.

mod time;
mod setup_file;
mod remind;
