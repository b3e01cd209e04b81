//! What is still to be sprayed: the rounds that programs have left, simulated as if they were done and judged by the same
//! checks as what was done; what they take from the shelf; and what a supposition would change. Journals are never
//! written: what is planned is text in memory.

mod batches;
mod desk;
mod due;
mod obstacles;
mod season_plan;
mod shopping;
mod simulate;
mod suppose;
mod text;
mod volume;
mod what_if;

pub use batches::batches_in_the_way;
pub use desk::{Checked, Desk, Like};
pub use due::{Ended, Outlook, Phase, Waits, Window, outlooks};
pub use obstacles::{Conflict, Obstacle};
pub use season_plan::{Line, Pick, Plan, PlannedRound, Request, State, plan};
pub use shopping::{Cost, Need, Shopping};
pub use suppose::{SupposeTrouble, Supposed, suppose};
pub use volume::{Planned, VolumeFrom, Wetting, agreed, outputs, wetting};
pub use what_if::{Broken, Moved, NeedChange, WhatIf, what_if};
