//! Points around their mean: what a line of least squares through them is made of.

/// The mean of points, and the sums of the squares and products of how far they lie off it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Scatter {
    pub(crate) mean: (f64, f64),
    pub(crate) xx: f64,
    pub(crate) xy: f64,
    pub(crate) yy: f64,
}

impl Scatter {
    #[expect(clippy::cast_precision_loss, reason = "far fewer points than 2^52")]
    pub(crate) fn of(points: &[(f64, f64)]) -> Self {
        let count = points.len() as f64;
        let mean_x = points.iter().map(|p| p.0).sum::<f64>() / count;
        let mean_y = points.iter().map(|p| p.1).sum::<f64>() / count;
        let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
        for (x, y) in points {
            let (dx, dy) = (x - mean_x, y - mean_y);
            xx += dx * dx;
            xy += dx * dy;
            yy += dy * dy;
        }
        Self { mean: (mean_x, mean_y), xx, xy, yy }
    }
}
