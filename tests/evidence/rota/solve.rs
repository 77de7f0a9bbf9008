//! What the solver makes, under the printed rules of each country.
