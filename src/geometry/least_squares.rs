//! Least squares with few unknowns: Levenberg–Marquardt with bounded steps, on a dense normal matrix.
//!
//! Given residuals with their slopes as a function of the unknowns; gives the unknowns at which the sum of the squared
//! residuals is least, and the normal matrix factored. What the residuals do not determine stays where it began, as
//! every step is damped: whether something is determined is for whoever asks, from [`Factored::variance`].

/// One residual and how it changes with some of the unknowns: (unknown, slope).
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Residual {
    /// Its value, in its own standard errors.
    pub value: f64,
    /// Its slopes.
    pub slopes: Vec<(usize, f64)>,
}

/// More rounds than a network that begins anywhere near its shape needs.
const ROUNDS: usize = 80;

/// A square, symmetric, positive definite matrix as its Cholesky factor.
pub(crate) struct Factored {
    lower: Vec<Vec<f64>>,
}

/// The unknowns with the least sum of squares, found from where they stand. No round moves any of them by more than `step`.
pub(crate) fn solve(mut at: Vec<f64>, step: f64, residuals: impl Fn(&[f64]) -> Vec<Residual>) -> Vec<f64> {
    let mut damping = 1e-3;
    let mut here = residuals(&at);
    for _ in 0..ROUNDS {
        let (mut normal, slope) = normal_of(&here, at.len());
        for (i, row) in normal.iter_mut().enumerate() {
            // A small part of its own holds what no residual knows of.
            row[i] += damping * row[i] + 1e-9;
        }
        let Some(factored) = Factored::of(normal) else { return at };
        let mut by = factored.solve(slope.iter().map(|s| -s).collect());
        let longest = by.iter().fold(0.0_f64, |most, b| most.max(b.abs()));
        if longest > step {
            by.iter_mut().for_each(|b| *b *= step / longest);
        }
        let tried: Vec<f64> = at.iter().zip(&by).map(|(a, b)| a + b).collect();
        let there = residuals(&tried);
        if squares(&there) < squares(&here) {
            (at, here) = (tried, there);
            damping = (damping / 10.0).max(1e-12);
        } else if longest < 1e-7 || damping > 1e12 {
            return at;
        } else {
            damping *= 10.0;
        }
    }
    at
}

/// Half the sum that is made least, but for the half.
pub(crate) fn squares(residuals: &[Residual]) -> f64 {
    residuals.iter().map(|r| r.value * r.value).sum()
}

/// The normal matrix of residuals, and the slope of half their squares.
pub(crate) fn normal_of(residuals: &[Residual], unknowns: usize) -> (Vec<Vec<f64>>, Vec<f64>) {
    let mut normal = vec![vec![0.0; unknowns]; unknowns];
    let mut slope = vec![0.0; unknowns];
    for r in residuals {
        for &(i, a) in &r.slopes {
            slope[i] += a * r.value;
            for &(j, b) in &r.slopes {
                normal[i][j] += a * b;
            }
        }
    }
    (normal, slope)
}

impl Factored {
    /// Factors a matrix; `None` where it is not positive definite.
    pub(crate) fn of(matrix: Vec<Vec<f64>>) -> Option<Factored> {
        let mut lower = matrix;
        for i in 0..lower.len() {
            for j in 0..=i {
                let sum: f64 = lower[i][..j].iter().zip(&lower[j][..j]).map(|(a, b)| a * b).sum();
                let rest = lower[i][j] - sum;
                match i == j {
                    true if rest > 0.0 && rest.is_finite() => lower[i][i] = rest.sqrt(),
                    true => return None,
                    false => lower[i][j] = rest / lower[j][j],
                }
            }
        }
        Some(Factored { lower })
    }

    /// The `x` of `matrix · x = right`.
    pub(crate) fn solve(&self, right: Vec<f64>) -> Vec<f64> {
        let mut x = self.forward(right);
        for i in (0..x.len()).rev() {
            let sum: f64 = (i + 1..x.len()).map(|j| self.lower[j][i] * x[j]).sum();
            x[i] = (x[i] - sum) / self.lower[i][i];
        }
        x
    }

    /// The variance of what has these slopes: `slopes · matrix⁻¹ · slopes`.
    pub(crate) fn variance(&self, slopes: &[(usize, f64)]) -> f64 {
        let mut right = vec![0.0; self.lower.len()];
        slopes.iter().for_each(|&(i, s)| right[i] += s);
        self.forward(right).iter().map(|y| y * y).sum()
    }

    fn forward(&self, mut right: Vec<f64>) -> Vec<f64> {
        for i in 0..right.len() {
            let sum: f64 = self.lower[i][..i].iter().zip(&right).map(|(l, x)| l * x).sum();
            right[i] = (right[i] - sum) / self.lower[i][i];
        }
        right
    }
}
