//! The ledger's file: never changed, proved whole, and refused where it is not ours to write.

mod backup;
#[cfg(target_os = "linux")]
mod faults;
mod file;
mod golden;
mod kills;
mod power;
mod proof;
mod rot;
#[cfg(target_os = "linux")]
mod work;
