//! What holds after any run of accepted entries, whatever was done in the shop and in whatever order.

mod agree;
mod kept;
mod operations;
mod stored;
