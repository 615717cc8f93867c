//! The spans of line, each of which adds one rank to the matrix.

use super::inner::Inner;

/// How much each span of line answers to the step, and how many of the answers turn the energy
/// round (Woodbury's identity; the count by Haynsworth's additivity of inertia).
pub(super) fn coupled(
    diagonal: &[f64],
    right: &[f64],
    inner: &[Inner],
    columns: &[Vec<f64>],
    rings: &[usize],
    pulls: &[f64],
) -> (Vec<f64>, usize) {
    let spans = pulls.len();
    let mut matrix = vec![0.0; spans * spans];
    let mut answer = vec![0.0; spans];
    for k in 0..spans {
        for l in 0..=k {
            let mut sum = 0.0;
            for n in rings[k].max(1)..diagonal.len() {
                sum += columns[k][n] * columns[l][n] / diagonal[n];
            }
            matrix[k * spans + l] = sum;
        }
        for n in rings[k].max(1)..diagonal.len() {
            // The right side is the gradient with its sign turned.
            answer[k] += columns[k][n] * right[n] / diagonal[n];
        }
        for own in &inner[rings[k]..rings[k + 1]] {
            let [a, b] = own.solve(own.span);
            matrix[k * spans + k] += a * own.span[0] + b * own.span[1];
            answer[k] -= a * own.gradient[0] + b * own.gradient[1];
        }
        matrix[k * spans + k] += 1.0 / pulls[k];
    }
    // L D Lᵀ in place.
    let mut negative = 0;
    for k in 0..spans {
        for l in 0..k {
            let mut value = matrix[k * spans + l];
            for i in 0..l {
                value -= matrix[k * spans + i] * matrix[l * spans + i] * matrix[i * spans + i];
            }
            matrix[k * spans + l] = value / matrix[l * spans + l];
        }
        for i in 0..k {
            let by = matrix[k * spans + i];
            matrix[k * spans + k] -= by * by * matrix[i * spans + i];
            answer[k] -= by * answer[i];
        }
        negative += usize::from(matrix[k * spans + k] < 0.0);
    }
    for k in (0..spans).rev() {
        answer[k] /= matrix[k * spans + k];
        for l in k + 1..spans {
            answer[k] -= matrix[l * spans + k] * answer[l];
        }
    }
    (answer, negative)
}
