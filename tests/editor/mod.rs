//! The journal behind the keyboard.

mod following;
