//! Means, standard deviations and standard errors with sums in a fixed order.

/// Values taken together before the moments are merged; part of the result's identity, so never changed by thread count.
pub const CHUNK: usize = 1024;

/// Count, mean and sum of squared deviations of a set of values; sets are merged without loss of digits.
///
/// Merging in a fixed order (chunk 0, 1, 2 ...) gives the same bits for any number of threads.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Moments {
    count: u64,
    mean: f64,
    /// Sum of (x - mean)^2.
    squares: f64,
}

impl Moments {
    /// Moments of all values, by chunks of [`CHUNK`] merged in order.
    pub fn of(values: &[f64]) -> Self {
        values.chunks(CHUNK).map(Self::of_chunk).fold(Self::default(), Self::merge)
    }

    /// Moments of one chunk, by two passes: the mean first, then the deviations from it.
    fn of_chunk(values: &[f64]) -> Self {
        let n = values.len() as f64;
        if values.is_empty() {
            return Self::default();
        }
        let mean = values.iter().sum::<f64>() / n;
        let squares = values.iter().map(|x| (x - mean) * (x - mean)).sum();
        Self { count: values.len() as u64, mean, squares }
    }

    /// Moments of both sets together.
    ///
    /// With d = mean_B - mean_A: mean = mean_A + d n_B/n; squares = S_A + S_B + d^2 n_A n_B/n. Source: Chan, Golub and
    /// LeVeque 1979 (from memory).
    #[must_use]
    pub fn merge(self, next: Self) -> Self {
        if self.count == 0 {
            return next;
        }
        if next.count == 0 {
            return self;
        }
        let (a, b) = (self.count as f64, next.count as f64);
        let gap = next.mean - self.mean;
        Self {
            count: self.count + next.count,
            mean: self.mean + gap * (b / (a + b)),
            squares: self.squares + next.squares + gap * gap * (a * b / (a + b)),
        }
    }

    /// Number of values.
    pub fn count(&self) -> u64 {
        self.count
    }

    /// Mean; NaN without values.
    pub fn mean(&self) -> f64 {
        if self.count == 0 { f64::NAN } else { self.mean }
    }

    /// Variance of the values (divided by n - 1); NaN below two values.
    pub fn variance(&self) -> f64 {
        if self.count < 2 { f64::NAN } else { self.squares / (self.count - 1) as f64 }
    }

    /// Standard deviation of the values; NaN below two values.
    pub fn standard_deviation(&self) -> f64 {
        self.variance().sqrt()
    }

    /// Standard error of the mean for independent values: s/sqrt(n); NaN below two values.
    pub fn standard_error(&self) -> f64 {
        (self.variance() / self.count as f64).sqrt()
    }
}

/// Sum by halves down to blocks of 64, always cut in the same places: rounding error grows as ln n, not n.
///
/// Source: pairwise summation, Higham 1993 (from memory).
pub fn pairwise_sum(values: &[f64]) -> f64 {
    if values.len() <= 64 {
        return values.iter().sum();
    }
    let (left, right) = values.split_at(values.len() / 2);
    pairwise_sum(left) + pairwise_sum(right)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn property_chunks_do_not_change_the_moments() {
        let values: Vec<f64> = (0..10_000).map(|i| 1e6 + washgraph_units::math::sin(f64::from(i))).collect();
        let all = Moments::of(&values);
        let mean = pairwise_sum(&values) / 1e4;
        let variance = values.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>() / 9999.0;
        assert!((all.mean() - mean).abs() < 1e-9);
        assert!((all.variance() / variance - 1.0).abs() < 1e-9);
        let joined = Moments::of(&values[..777]).merge(Moments::of(&values[777..]));
        assert!((joined.variance() / all.variance() - 1.0).abs() < 1e-9);
        assert_eq!(joined.count(), 10_000);
        assert!((all.standard_error() - all.standard_deviation() / 100.0).abs() < 1e-12);
        assert!(Moments::default().mean().is_nan() && Moments::of(&[1.0]).variance().is_nan());
    }
}
