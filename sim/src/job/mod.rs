//! Keeps time: runs plant, crew and watch through events, weather and faults, and emits entries.
