//! The pages, each by the question it answers.

pub mod alarms;
pub mod all;
pub mod bell;
pub mod gas;
pub mod handover;
pub mod help;
pub mod one;
pub mod readings;
mod said;
pub mod sheets;
mod shown;
mod trend;
