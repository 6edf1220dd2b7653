//! All tests, one binary, one module a subject.

mod engine;
