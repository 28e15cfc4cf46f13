//! Physical constants, each with its unit in the name and its source.

/// Standard acceleration of gravity, m/s2. Source: ISO 80000-3 (exact by definition).
pub const STANDARD_GRAVITY_M_S2: f64 = 9.806_65;

/// Von Karman constant used in the sluice model. Common value of open-channel hydraulics.
pub const VON_KARMAN: f64 = 0.40;

/// Troy ounce, kg. Source: International Yard and Pound Agreement 1959 (exact).
pub const TROY_OUNCE_KG: f64 = 0.031_103_476_8;
