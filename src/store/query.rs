//! Queries whose rows are read whole, column by column.

use rusqlite::{Connection, OptionalExtension as _, Params, Row};

use crate::store::Error;
use crate::store::index::Reader;

/// What a row is read as.
pub(super) trait Columns: for<'r> TryFrom<&'r Row<'r>, Error = rusqlite::Error> {}

impl<T> Columns for T where T: for<'r> TryFrom<&'r Row<'r>, Error = rusqlite::Error> {}

/// All rows.
pub(super) fn all<T: Columns, All: FromIterator<T>>(
    connection: &Connection,
    sql: &str,
    with: impl Params,
) -> rusqlite::Result<All> {
    connection.prepare_cached(sql)?.query_map(with, |row| row.try_into())?.collect()
}

/// The first row, where there is one.
pub(super) fn one<T: Columns>(
    connection: &Connection,
    sql: &str,
    with: impl Params,
) -> rusqlite::Result<Option<T>> {
    connection.prepare_cached(sql)?.query_row(with, |row| row.try_into()).optional()
}

impl Reader<'_> {
    pub(super) fn all<T: Columns, All: FromIterator<T>>(
        &self,
        sql: &str,
        with: impl Params,
    ) -> Result<All, Error> {
        all(self.connection, sql, with).map_err(|source| self.failed(source))
    }

    pub(super) fn one<T: Columns>(&self, sql: &str, with: impl Params) -> Result<Option<T>, Error> {
        one(self.connection, sql, with).map_err(|source| self.failed(source))
    }
}
