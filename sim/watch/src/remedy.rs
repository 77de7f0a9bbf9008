//! What would make possible what was refused: said beside the reason, wherever an act can be refused.

use deepstay_core::record::Refused;

/// What to do first, or instead.
pub fn remedy(why: Refused) -> &'static str {
    match why {
        Refused::DoorUnderPressure => "equalise across it first",
        Refused::ClampInterlock => "shut the doors on both sides and vent the trunk first",
        Refused::OtherDoorOpen => "shut the door on the other side first",
        Refused::NoSuchThing => {
            "the page of the vessel shows what it has, the list of alarms which there are"
        }
        Refused::NoSupply => "line up a bank with more pressure than is there",
        Refused::Rating => "stay within what the steel is rated for",
        Refused::NotThere => "bring him, or it, where it can be done first",
        Refused::OutOfRange => "give a value within its range",
        Refused::Unfit => "send somebody who is well to him",
        Refused::CauseStands => "it can be reset once its cause is gone",
        Refused::NotYours => "`ask` asks the other station for it",
        Refused::NotForHim => {
            "Tab after `call` shows who can be called and what can be said to him; what is yours you order"
        }
        Refused::NothingAsked => "what is asked stands under what needs you",
        Refused::Busy => "wait until a run is over",
        Refused::EndOfScrew => {
            "analyse the bottle, or take another; a second analyser says which is wrong"
        }
        Refused::HoldsNone => "`calibrate` brings calibration gas of its own",
        Refused::NoStop => {
            "what leaks without a stop is left: people out, the door behind them shut"
        }
        Refused::UnderWater => "line up a bank with more pressure than the sea's to its supply",
        Refused::NoSampleLine => "a depth gauge is set against the standard: `calibrate`",
    }
}
