//! The keys of the screen itself; those of the verbs stand with the verbs.

/// What a key of the screen does: key, words.
pub const SCREEN_KEYS: [(&str, &str); 14] = [
    ("space", "lets time pass, or stand"),
    ("[ ]", "time slower, faster: 1 to 600 times"),
    ("f", "holds the display; time goes on"),
    (
        "1 to 8",
        "pages: all vessels, one vessel, gas, bell and divers, alarms, log sheet, handover, check sheets",
    ),
    ("up, down", "chooses a vessel; on page 8 a sheet"),
    (
        "+ -",
        "trend of the next quantity, of a longer or shorter time: < >",
    ),
    ("PgUp, PgDn", "earlier, later on a page"),
    (":", "order line; Tab completes, up recalls, Esc leaves it"),
    (
        "c",
        "acknowledges all alarms that sound here, and silences them",
    ),
    (
        "J",
        "jumps back: to a time such as D02 14:00, or so long, such as 20 min",
    ),
    ("u", "the other units"),
    ("?", "this page"),
    ("Esc", "back to the first page"),
    ("Q", "leaves the watch; --resume goes on with it"),
];
