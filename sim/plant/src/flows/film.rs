//! The gas film at a wall: properties that are dear to find, kept until they no longer hold.

use crate::state::node::Node;
use deepstay_core::gas::Amounts;
use deepstay_core::gas::transport::Plate;
use serde::{Deserialize, Serialize};

/// Height of the vertical plate that stands for a chamber wall, m.
pub const WALL_HEIGHT_M: f64 = 2.0;

/// Relative change of pressure that calls for new film properties.
const FILM_SHARE: f64 = 1e-3;
/// Change of a fraction that does.
const FILM_FRACTION: f64 = 3e-5;
/// Change of film temperature that does, K.
const FILM_K: f64 = 0.05;

/// Properties of the gas film at a wall, kept, and brought along by their powers, until pressure, temperature or
/// mixture has moved by more than makes a difference.
#[derive(Clone, Copy, Debug, Default, Serialize, Deserialize)]
pub(crate) struct Film {
    p_pa: f64,
    t_k: f64,
    x: [f64; 3],
    plate: Plate,
}

impl Film {
    /// The plate that stands for a wall in a state: the one kept if that still holds, or a new one.
    pub fn plate(&mut self, node: &Node, x: &Amounts, p_pa: f64) -> Plate {
        let t_k = 0.5 * (node.gas_k + node.wall_k);
        let (p_share, t_share) = ((p_pa - self.p_pa) / p_pa, (t_k - self.t_k) / t_k);
        let holds = p_share.abs() <= FILM_SHARE
            && (t_k - self.t_k).abs() <= FILM_K
            && self
                .x
                .iter()
                .zip(x.0)
                .all(|(a, b)| (a - b).abs() <= FILM_FRACTION);
        if holds {
            return self.plate.near(x, p_share, t_share);
        }
        let plate = Plate::new(x, p_pa, t_k, WALL_HEIGHT_M);
        *self = Film {
            p_pa,
            t_k,
            x: [x.0[0], x.0[1], x.0[2]],
            plate,
        };
        plate
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_film_that_is_kept_is_within_a_thousandth_of_a_new_one() {
        let x = Amounts::heliox(0.1);
        let node = |gas_k: f64| Node {
            gas_k,
            wall_k: gas_k - 2.0,
            ..Node::default()
        };
        let mut kept = Film::default();
        kept.plate(&node(303.0), &x, 1.0e6);
        for (gas_k, p_pa) in [(303.04, 1.0e6), (303.0, 1.0009e6), (303.2, 1.1e6)] {
            let ours = kept
                .plate(&node(gas_k), &x, p_pa)
                .w_m2_k(gas_k, gas_k - 2.0);
            let new = Plate::new(&x, p_pa, gas_k - 1.0, WALL_HEIGHT_M).w_m2_k(gas_k, gas_k - 2.0);
            assert!((ours / new - 1.0).abs() < 1e-3, "{ours} against {new}");
        }
    }
}
