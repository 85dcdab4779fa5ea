//! Hullwire: a small vessel's AC installation as a single-line diagram that computes itself.
//!
//! The rooms, each of which may use those above it: [`units`], [`tables`], [`installation`], [`network`], `loads`,
//! [`survey`], [`diagram`], `sheets`, `store`, then `app` (the window) and `cli` side by side.
//! The program computes; it never approves. What it prints is for a licensed marine electrician to check and sign.

// Of the program alone: a test may fail loudly.
#![warn(clippy::unwrap_used, clippy::expect_used)]

#[cfg(feature = "window")]
pub mod app;
pub mod cli;
pub mod diagram;
pub mod installation;
pub mod loads;
pub mod network;
pub mod sheets;
pub mod store;
pub mod survey;
pub mod tables;
pub mod units;
