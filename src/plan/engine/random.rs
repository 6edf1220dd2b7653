//! Chance that is the same on every machine and in every version.

/// `SplitMix64` (Steele, Lea, Flood 2014): the same stream for the same seed, for good.
#[derive(Debug, Clone)]
pub(in crate::plan) struct Chance(u64);

impl Chance {
    pub(in crate::plan) const fn new(seed: u64) -> Self {
        Self(seed)
    }

    pub(in crate::plan) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A whole number below `n`; 0 for 0.
    pub(in crate::plan) fn below(&mut self, n: usize) -> usize {
        let wide = u128::from(self.next()) * (n as u128);
        usize::try_from(wide >> 64).unwrap_or(0)
    }

    /// A share of 1,024, as a whole number below 1,024.
    pub(super) fn share(&mut self) -> i64 {
        i64::try_from(self.next() >> 54).unwrap_or(0)
    }
}

#[cfg(test)]
mod tests {
    use super::Chance;

    /// The first values of the published reference implementation for seed 1234567.
    #[test]
    fn the_stream_is_the_published_one() {
        let mut chance = Chance::new(1_234_567);
        let drawn: Vec<u64> = (0..3).map(|_| chance.next()).collect();
        assert_eq!(
            drawn,
            [6_457_827_717_110_365_317, 3_203_168_211_198_807_973, 9_817_491_932_198_370_423]
        );
    }
}
