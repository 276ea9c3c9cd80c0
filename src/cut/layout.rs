//! From a chosen cut to sections, rips, leaves and strips with their places.

use crate::cut::board::BoardCuts;
use crate::cut::value::Cut;
use crate::length::Length;
use crate::plan::{Edge, Face};

/// A section with its rips laid out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LaidSection {
    /// From the marked end.
    pub from: Length,
    /// From the marked end.
    pub to: Length,
    /// What was done about crook.
    pub edge: Edge,
    /// What was done about bow.
    pub face: Face,
    /// Rips from the reference edge on.
    pub rips: Vec<LaidRip>,
}

/// A rip with its leaves laid out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LaidRip {
    /// Side nearer to the reference edge.
    pub near: Length,
    /// Side farther from the reference edge.
    pub far: Length,
    /// Strips are laid on their side.
    pub turned: bool,
    /// Leaves from the marked face down.
    pub leaves: Vec<LaidLeaf>,
}

/// A leaf with its strips laid out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LaidLeaf {
    /// Through the board's thickness, as the only leaf of its rip.
    pub alone: Length,
    /// The same beside other leaves.
    pub resawn: Length,
    /// Strips from the marked end on: index of the board's item, from, to.
    pub strips: Vec<(usize, Length, Length)>,
}

impl BoardCuts {
    /// Lays a cut out.
    pub fn lay(&self, cut: &Cut) -> Vec<LaidSection> {
        let lay_section = |chosen: &crate::cut::value::ChosenSection| {
            let section = &self.sections[chosen.section as usize];
            let graph = &self.graphs[section.graph as usize];
            let lay_rip = |rip: &crate::cut::value::ChosenRip| {
                let near = graph.points[rip.point as usize].at;
                let row = &graph.rows[graph.arcs[rip.arc as usize].row as usize];
                let form = &self.served.forms[usize::from(row.form)];
                let lay_leaf = |&(leaf, profile, entry): &(usize, u32, u32)| LaidLeaf {
                    alone: form.leaves[leaf].thickness,
                    resawn: form.leaves[leaf].resawn,
                    strips: self.profiles[profile as usize]
                        .strips(entry as usize)
                        .into_iter()
                        .map(|(item, from, to)| (usize::from(item), from, to))
                        .collect(),
                };
                LaidRip {
                    near,
                    far: near + form.width_in(graph.follows),
                    turned: form.turned,
                    leaves: rip.leaves.iter().map(lay_leaf).collect(),
                }
            };
            LaidSection {
                from: section.from,
                to: section.to,
                edge: section.mode.edge(),
                face: section.mode.face(),
                rips: chosen.rips.iter().map(lay_rip).collect(),
            }
        };
        cut.iter().map(lay_section).collect()
    }
}
