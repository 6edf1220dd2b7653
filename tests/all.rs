//! All tests, one binary, one module a subject.

mod setup_file;
mod time;
