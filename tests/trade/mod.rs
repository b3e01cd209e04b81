//! The arithmetic of the trade.

mod element;
mod slip;
