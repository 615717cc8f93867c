//! How far the line stays off the bent blank.

use super::curve::Curve;
use super::{Plane, cross, dot};

/// Halvings of the bracket around the nearest place; each shortens it to 0.62 of its length.
const SEARCHES: usize = 40;

/// The least distance from a straight span of line to the surface of the blank between the nodes at
/// its ends, and where. The blank is the envelope of discs of its diameter along its axis, which on
/// a taper of 1 in 100 differs from its surface by less than a hundred-thousandth of the diameter.
///
/// Below zero where the line lies inside, or on the side away from the guide at the tip end.
pub(super) fn least_clearance(curve: &Curve, ends: [Plane; 2], nodes: [usize; 2]) -> (f64, f64) {
    let span = [ends[1][0] - ends[0][0], ends[1][1] - ends[0][1]];
    let long = span[0].hypot(span[1]);
    let along = [span[0] / long, span[1] / long];
    let off_axis = |node: usize, ring: Plane| {
        let (axis, slope) = curve.axis(curve.node(node));
        cross([slope.cos(), slope.sin()], [ring[0] - axis[0], ring[1] - axis[1]])
    };
    let height = off_axis(nodes[1], ends[1]);
    // A ring on the axis stands on the side of the other.
    let height = if height.abs() > 1e-9 { height } else { off_axis(nodes[0], ends[0]) };
    let side = if height < 0.0 { -1.0 } else { 1.0 };
    let clearance = |s: f64| {
        let axis = curve.axis(s).0;
        let to = [ends[0][0] - axis[0], ends[0][1] - axis[1]];
        let aside = cross(along, to);
        // Beyond the ends of the span the ring itself is nearest.
        let foot = -dot(along, to);
        let past = (foot - long).max(-foot).max(0.0);
        side * aside.signum() * aside.hypot(past) - curve.diameter(s) / 2.0
    };
    let mut nearest = nodes[0];
    let mut least = f64::INFINITY;
    for node in nodes[0]..=nodes[1] {
        let here = clearance(curve.node(node));
        if here < least {
            (nearest, least) = (node, here);
        }
    }
    let mut at = curve.node(nearest);
    let mut low = curve.node(nearest.saturating_sub(1).max(nodes[0]));
    let mut high = curve.node((nearest + 1).min(nodes[1]));
    // Golden section (Kiefer 1953): the clearance has one least value this close to its least node.
    let golden = (5.0_f64.sqrt() - 1.0) / 2.0;
    let (mut a, mut b) = (high - golden * (high - low), low + golden * (high - low));
    let (mut at_a, mut at_b) = (clearance(a), clearance(b));
    for _ in 0..SEARCHES {
        if at_a <= at_b {
            (high, b, at_b) = (b, a, at_a);
            a = high - golden * (high - low);
            at_a = clearance(a);
        } else {
            (low, a, at_a) = (a, b, at_b);
            b = low + golden * (high - low);
            at_b = clearance(b);
        }
    }
    for (place, here) in [(a, at_a), (b, at_b)] {
        if here < least {
            (at, least) = (place, here);
        }
    }
    (least, at)
}
