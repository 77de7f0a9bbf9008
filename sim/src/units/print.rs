//! Numbers as text for a person, metric or imperial by one switch.
