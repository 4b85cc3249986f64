//! What must hold for every solid, checked before anything is made from it.

use super::{Solid, Step, measure};
use crate::stack::StackError;

/// Volume by faces and by slabs may differ by rounding only: relative.
const VOLUME_AGREEMENT: f64 = 1e-10;

/// Closed and oriented (every edge is used once in each direction), one body without bubbles, no
/// vertex at which two sheets touch; Euler's formula then gives the number of through holes.
pub(super) fn check_shell(solid: &mut Solid) -> Result<(), StackError> {
    let mut users = vec![[usize::MAX; 2]; solid.edges.len()];
    for (f, face) in solid.faces.iter().enumerate() {
        for step in face.borders.iter().flatten() {
            let user = &mut users[step.edge][usize::from(step.forward)];
            if *user != usize::MAX {
                return Err(StackError::Unsound(format!("edge {} has more than two faces", step.edge)));
            }
            *user = f;
        }
    }
    if let Some(edge) = users.iter().position(|u| u.contains(&usize::MAX)) {
        return Err(StackError::Unsound(format!("edge {edge} is open")));
    }
    one_body(solid, &users)?;
    no_pinched_vertex(solid)?;
    let holes_in_faces: usize = solid.faces.iter().map(|f| f.borders.len() - 1).sum();
    let plus = solid.vertices.len() + solid.faces.len();
    let minus = solid.edges.len() + holes_in_faces;
    // V - E + F - H = 2 - 2g
    let Some(twice) = (2 + minus).checked_sub(plus).filter(|t| t % 2 == 0) else {
        return Err(StackError::Unsound(format!("Euler number {plus} - {minus}")));
    };
    solid.through_holes = twice / 2;
    Ok(())
}

/// All faces hang together over shared edges. If not, a part of positive volume is a body of its
/// own, one of negative volume a bubble.
fn one_body(solid: &Solid, users: &[[usize; 2]]) -> Result<(), StackError> {
    let mut shell = vec![usize::MAX; solid.faces.len()];
    let mut volumes = Vec::new();
    for start in 0..solid.faces.len() {
        if shell[start] != usize::MAX {
            continue;
        }
        let mut todo = vec![start];
        shell[start] = volumes.len();
        let mut volume = 0.0;
        while let Some(face) = todo.pop() {
            volume += measure::of_face(solid, &solid.faces[face]).0;
            for step in solid.faces[face].borders.iter().flatten() {
                for next in users[step.edge] {
                    if shell[next] == usize::MAX {
                        shell[next] = volumes.len();
                        todo.push(next);
                    }
                }
            }
        }
        volumes.push(volume);
    }
    match volumes.iter().filter(|v| **v > 0.0).count() {
        1 if volumes.len() == 1 => Ok(()),
        0 | 1 => Err(StackError::Bubble),
        pieces => Err(StackError::Pieces { pieces }),
    }
}

/// Round every vertex the faces form one closed fan.
fn no_pinched_vertex(solid: &Solid) -> Result<(), StackError> {
    let mut corners: Vec<Vec<(usize, usize)>> = vec![Vec::new(); solid.vertices.len()];
    for border in solid.faces.iter().flat_map(|f| &f.borders) {
        for (i, step) in border.iter().enumerate() {
            let next: Step = border[(i + 1) % border.len()];
            corners[solid.step_end(*step)].push((step.edge, next.edge));
        }
    }
    for (vertex, fan) in corners.iter().enumerate() {
        let Some(&(first, mut at)) = fan.first() else { continue };
        let mut seen = 1;
        while at != first && seen < fan.len() {
            // The next face round the vertex is the other one that arrives by this edge.
            let Some(&(_, out)) = fan.iter().find(|(arriving, _)| *arriving == at) else { break };
            at = out;
            seen += 1;
        }
        if seen != fan.len() || at != first {
            return Err(StackError::Unsound(format!("two sheets touch in vertex {vertex}")));
        }
    }
    Ok(())
}

/// The volume is the same by faces and by slabs.
pub(super) fn check_volume(solid: &Solid, by_slabs: f64) -> Result<(), StackError> {
    let difference = (solid.volume - by_slabs).abs();
    if difference > VOLUME_AGREEMENT * by_slabs.abs().max(1.0) {
        let (a, b) = (solid.volume, by_slabs);
        return Err(StackError::Unsound(format!("volume {a} mm³ by faces, {b} mm³ by slabs")));
    }
    Ok(())
}
