//! stub
/// nearest
pub fn nearest<'a>(_n: &str, _c: impl IntoIterator<Item = &'a str>) -> Option<&'a str> { None }
