//! Physical constants and sizes of units, each once, with its unit in the name and its source.

/// Standard acceleration of gravity, m/s2. Source: ISO 80000-3 (exact by definition).
pub const STANDARD_GRAVITY_M_S2: f64 = 9.806_65;

/// Von Karman constant used in the sluice model. Common value of open-channel hydraulics.
pub const VON_KARMAN: f64 = 0.40;

/// Hour, s (exact).
pub const S_PER_H: f64 = 3600.0;

/// Day, s (exact).
pub const S_PER_DAY: f64 = 86_400.0;

/// Inch, m. Source: International Yard and Pound Agreement 1959 (exact).
pub const INCH_M: f64 = 0.0254;

/// Foot, m. Source: International Yard and Pound Agreement 1959 (exact).
pub const FOOT_M: f64 = 0.3048;

/// Cubic yard, m3. Source: International Yard and Pound Agreement 1959 (0.9144 m cubed, exact).
pub const CUBIC_YARD_M3: f64 = 0.9144 * 0.9144 * 0.9144;

/// US gallon, m3. Source: US law, 231 cubic inches (exact).
pub const US_GALLON_M3: f64 = 3.785_411_784e-3;

/// US gallon a minute, m3/s (exact).
pub const US_GPM_M3_S: f64 = 6.309_019_64e-5;

/// Pound, kg. Source: International Yard and Pound Agreement 1959 (exact).
pub const POUND_KG: f64 = 0.453_592_37;

/// Troy ounce, kg. Source: International Yard and Pound Agreement 1959 (exact).
pub const TROY_OUNCE_KG: f64 = 0.031_103_476_8;

/// Milligrams in a kilogram.
pub const MG_PER_KG: f64 = 1.0e6;

/// One kilogram a second, g/h (exact).
pub const G_H_PER_KG_S: f64 = 3.6e6;

/// One tonne an hour, kg/s (exact).
pub const T_H_KG_S: f64 = 1.0 / 3.6;

/// Horsepower, W: 550 ft lbf/s.
pub const HORSEPOWER_W: f64 = 745.699_871_582_270_2;

/// Density of pure gold, kg/m3. Source: handbook value at 15-20 °C.
pub const GOLD_KG_M3: f64 = 19_300.0;

/// Density of pure silver, kg/m3. Source: handbook value at 15-20 °C.
pub const SILVER_KG_M3: f64 = 10_490.0;

/// Density of quartz and of most rock, of clay minerals and of rock fines too, kg/m3. From memory: rock 2650 to 2750, clay
/// 2600 to 2700.
pub const QUARTZ_KG_M3: f64 = 2_650.0;

/// Density of plain steel, kg/m3. From memory, handbooks agree within 0.5 %.
pub const STEEL_KG_M3: f64 = 7850.0;

/// Density of clean water at 10 °C, kg/m3. Source: water tables.
pub const WATER_10C_KG_M3: f64 = 999.7;
