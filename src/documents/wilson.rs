//! How far a share counted in a sample may be from the share in the block.

/// The 95 % Wilson score interval of `found` of `of`, as fractions of one; `None` when nothing was looked at.
///
/// Source: E. B. Wilson, "Probable inference, the law of succession, and statistical inference", Journal of the American
/// Statistical Association 22 (1927) 209-212; NIST/SEMATECH e-Handbook of Statistical Methods, section 7.2.4.1. It takes
/// the leaves or shoots as picked at random and independent of each other.
pub fn wilson(found: u32, of: u32) -> Option<(f64, f64)> {
    if of == 0 || found > of {
        return None;
    }
    /// The 97.5 % point of the normal distribution.
    const Z: f64 = 1.959_963_984_540_054;
    let (n, share) = (f64::from(of), f64::from(found) / f64::from(of));
    let centre = share + Z * Z / (2.0 * n);
    let half = Z * (share * (1.0 - share) / n + Z * Z / (4.0 * n * n)).sqrt();
    let scale = 1.0 + Z * Z / n;
    // At none and at all of them the formula gives 0 and 1 but for rounding.
    let low = if found == 0 { 0.0 } else { (centre - half) / scale };
    let high = if found == of { 1.0 } else { (centre + half) / scale };
    Some((low.max(0.0), high.min(1.0)))
}
