//! Whether a call makes sense: whoever is called is there, and what is said means something to him.

use super::owner::in_question;
use crate::handles::handles;
use deepstay_core::record::{Called, Callee, Phrase, Refused, Station, Whereabouts};
use deepstay_core::units::*;
use deepstay_crew::Crew;
use deepstay_plant::Steel;

/// Whether a station can say something to somebody.
///
/// # Errors
/// [`Refused::NoSuchThing`] for who or what is not on board, [`Refused::NotThere`] for a diver on deck, whom no
/// speaker reaches, [`Refused::NotForHim`] for what makes no sense to him.
pub fn makes_sense(
    station: Station,
    to: Callee,
    phrase: Phrase,
    steel: &Steel,
    crew: &Crew,
) -> Result<(), Refused> {
    let Some(own) = station.callee() else {
        return Err(Refused::NoSuchThing);
    };
    match to {
        Callee::Diver(d) if d.index() >= crew.len() => return Err(Refused::NoSuchThing),
        Callee::Diver(d) if crew.whereabouts(d) == Whereabouts::Deck => {
            return Err(Refused::NotThere);
        }
        Callee::Place(c) => {
            let plate = steel.compartments.get(c.index());
            if !plate.is_some_and(|p| p.kind.people_go_into()) {
                return Err(Refused::NoSuchThing);
            }
        }
        _ => {}
    }
    if to == own || !to.understands(phrase.kind()) {
        return Err(Refused::NotForHim);
    }
    let is_there = match phrase {
        Phrase::LeaveFor(c) => {
            let plate = steel.compartments.get(c.index());
            plate.is_some_and(|p| p.kind.people_go_into())
        }
        Phrase::CheckValve(valve) => {
            let plates = (0u8..).map(CompartmentId).zip(&steel.compartments);
            plates
                .flat_map(|(c, plate)| handles(steel, c, plate))
                .any(|v| v == valve)
        }
        Phrase::ReadBank(bank) => bank.index() < steel.banks.len(),
        Phrase::ReadYourGauge(quantity) => {
            return match quantity {
                Quantity::FO2 | Quantity::SeaDepth => Err(Refused::NotForHim),
                Quantity::Depth
                | Quantity::PpO2
                | Quantity::PpCo2
                | Quantity::Temperature
                | Quantity::Humidity
                | Quantity::GaugePressure => Ok(()),
            };
        }
        Phrase::Ask(request) => {
            if to.called() == Called::Station && to.station() != Some(request.owner()) {
                return Err(Refused::NotForHim);
            }
            in_question(request, steel, crew.len())
        }
        Phrase::HowAreYou
        | Phrase::Listen
        | Phrase::HeadCount
        | Phrase::BibsOn
        | Phrase::BibsOff
        | Phrase::ComeBack
        | Phrase::OnBoardGas
        | Phrase::BailOut
        | Phrase::StandBy
        | Phrase::RequestGranted
        | Phrase::Wait
        | Phrase::TreatmentAdvice
        | Phrase::Abandon
        | Phrase::Weather
        | Phrase::Position
        | Phrase::GasDelivery
        | Phrase::Inform => true,
    };
    is_there.then_some(()).ok_or(Refused::NoSuchThing)
}
