//! Recovery data in the open PAR 2.0 format: written, read, and used to repair. The format's own words are
//! used: the file is cut into input slices of one size; recovery slices are sums of products over all of
//! them, and as many slices as there are recovery slices may be lost.

pub mod beside;
pub mod combine;
pub mod field;
pub mod locate;
pub mod make;
pub mod packet;
pub mod read;
pub mod repair;
pub mod solve;
pub mod write;

#[cfg(test)]
mod tests;
