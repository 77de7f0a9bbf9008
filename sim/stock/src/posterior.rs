//! Laws of inputs conditioned on what is observed at the present: the linear Gaussian update of what was believed by what was
//! measured (R. E. Kalman, 1960, in the form of perturbed observations: G. Burgers, P. J. van Leeuwen and
//! G. Evensen, Monthly Weather Review 126, 1998, 1719; from memory). Inputs are reckoned in the normal score of
//! their laws, so that each keeps its ends.

use super::figures::{normal_score, share_below};
use deepstay_job::random::Draw;

/// What observations at the present do to the laws of inputs.
#[derive(Clone, Debug, PartialEq)]
pub struct Posterior {
    /// What each observation would be with every input in the middle of its law.
    pub middle: Vec<f64>,
    /// What each observation changes by, for one normal score of each source: a row an observation.
    pub answers: Vec<Vec<f64>>,
    /// What was observed.
    pub seen: Vec<f64>,
    /// Standard deviation of the error of each observation.
    pub error: Vec<f64>,
    /// How much of each observation's surprise each source takes: a row a source.
    gain: Vec<Vec<f64>>,
}

impl Posterior {
    /// The update; none where there is nothing to learn from, or an observation without error.
    pub fn new(
        middle: Vec<f64>,
        answers: Vec<Vec<f64>>,
        seen: Vec<f64>,
        error: Vec<f64>,
    ) -> Option<Posterior> {
        let count = seen.len();
        let same = middle.len() == count && answers.len() == count && error.len() == count;
        if count == 0 || !same || error.iter().any(|e| e.is_nan() || *e <= 0.0) {
            return None;
        }
        let sources = answers[0].len();
        // Covariance of the observations: H Ht + R.
        let mut covariance = vec![vec![0.0; count]; count];
        for (i, row) in covariance.iter_mut().enumerate() {
            for (j, cell) in row.iter_mut().enumerate() {
                *cell = answers[i].iter().zip(&answers[j]).map(|(a, b)| a * b).sum();
            }
            row[i] += error[i] * error[i];
        }
        let root = cholesky(covariance)?;
        let mut gain = vec![vec![0.0; count]; sources];
        for (source, row) in gain.iter_mut().enumerate() {
            let column: Vec<f64> = answers.iter().map(|a| a[source]).collect();
            *row = solve(&root, column);
        }
        Some(Posterior {
            middle,
            answers,
            seen,
            error,
            gain,
        })
    }

    /// Conditions the shares of the sources that were sampled for one job.
    pub fn condition(&self, shares: &mut [f64], draw: &mut Draw) {
        let scores: Vec<f64> = shares.iter().map(|s| normal_score(*s)).collect();
        let surprise: Vec<f64> = (0..self.seen.len())
            .map(|i| {
                let told: f64 = self.answers[i]
                    .iter()
                    .zip(&scores)
                    .map(|(h, z)| h * z)
                    .sum();
                self.seen[i] + draw.normal(0.0, self.error[i]) - self.middle[i] - told
            })
            .collect();
        for ((share, score), gain) in shares.iter_mut().zip(&scores).zip(&self.gain) {
            let by: f64 = gain.iter().zip(&surprise).map(|(k, d)| k * d).sum();
            *share = share_below(score + by).clamp(1e-12, 1.0 - 1e-12);
        }
    }

    /// Mean and standard deviation of each source's normal score after conditioning; before it they are 0 and 1.
    pub fn scores(&self) -> Vec<(f64, f64)> {
        let surprise: Vec<f64> = self
            .seen
            .iter()
            .zip(&self.middle)
            .map(|(s, m)| s - m)
            .collect();
        let each = |(source, gain): (usize, &Vec<f64>)| {
            let mean = gain.iter().zip(&surprise).map(|(k, d)| k * d).sum();
            let explained: f64 = gain
                .iter()
                .zip(&self.answers)
                .map(|(k, h)| k * h[source])
                .sum();
            (mean, (1.0 - explained).max(0.0).sqrt())
        };
        self.gain.iter().enumerate().map(each).collect()
    }
}

/// The lower root of a positive definite matrix.
fn cholesky(mut a: Vec<Vec<f64>>) -> Option<Vec<Vec<f64>>> {
    let n = a.len();
    for j in 0..n {
        for k in 0..j {
            let by = a[j][k];
            for row in a.iter_mut().skip(j) {
                row[j] -= row[k] * by;
            }
        }
        let root = a[j][j].sqrt();
        if root.is_nan() || root <= 0.0 {
            return None;
        }
        for row in a.iter_mut().skip(j) {
            row[j] /= root;
        }
    }
    Some(a)
}

/// What the matrix with this root maps to a column.
fn solve(root: &[Vec<f64>], mut column: Vec<f64>) -> Vec<f64> {
    let n = root.len();
    for i in 0..n {
        for k in 0..i {
            column[i] -= root[i][k] * column[k];
        }
        column[i] /= root[i][i];
    }
    for i in (0..n).rev() {
        for k in i + 1..n {
            column[i] -= root[k][i] * column[k];
        }
        column[i] /= root[i][i];
    }
    column
}

#[cfg(test)]
mod tests {
    use super::*;
    use deepstay_job::random::Streams;

    #[test]
    fn one_source_and_one_look_give_the_textbook_answer() {
        // Believed 0 with deviation 1, seen 2 with error 1: mean 1, deviation sqrt(1/2).
        let posterior =
            Posterior::new(vec![0.0], vec![vec![1.0]], vec![2.0], vec![1.0]).expect("a look");
        let (mean, sd) = posterior.scores()[0];
        assert!((mean - 1.0).abs() < 1e-12 && (sd - 0.5f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn jobs_are_dealt_as_the_answer_says() {
        let answers = vec![vec![2.0, 1.0, 0.0], vec![0.5, -1.0, 0.0]];
        let posterior = Posterior::new(vec![10.0, 3.0], answers, vec![12.0, 2.0], vec![0.5, 0.25])
            .expect("a look");
        let streams = Streams::of_study(7);
        let (mut sum, mut square, jobs) = ([0.0; 3], [0.0; 3], 20_000u64);
        for job in 0..jobs {
            let mut shares: Vec<f64> = (0..3)
                .map(|s| streams.named(&format!("s{s}"), job * 16).uniform())
                .collect();
            posterior.condition(&mut shares, &mut streams.named("look", job * 16));
            for (i, share) in shares.iter().enumerate() {
                let score = normal_score(*share);
                sum[i] += score;
                square[i] += score * score;
            }
        }
        for (i, (mean, sd)) in posterior.scores().into_iter().enumerate() {
            let found = sum[i] / jobs as f64;
            let deviation = (square[i] / jobs as f64 - found * found).sqrt();
            assert!(
                (found - mean).abs() < 4.0 * sd / (jobs as f64).sqrt(),
                "{i}: {found} {mean}"
            );
            assert!((deviation / sd - 1.0).abs() < 0.03, "{i}: {deviation} {sd}");
        }
        assert_eq!(
            posterior.scores()[2],
            (0.0, 1.0),
            "what nothing tells of stays as it was"
        );
    }

    #[test]
    fn a_look_without_error_or_without_anything_is_none() {
        assert!(Posterior::new(vec![], vec![], vec![], vec![]).is_none());
        assert!(Posterior::new(vec![0.0], vec![vec![1.0]], vec![1.0], vec![0.0]).is_none());
        assert!(Posterior::new(vec![0.0], vec![vec![1.0]], vec![1.0], vec![f64::NAN]).is_none());
    }
}
