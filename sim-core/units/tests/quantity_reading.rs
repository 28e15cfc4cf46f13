//! What is read, what is refused, and in which words.

use washgraph_units::quantity::{Basis, Dimension as D, QuantityError, System, parse, us_number_mm};

#[expect(clippy::panic, reason = "a helper of tests")]
fn si(text: &str, dimension: D) -> f64 {
    match parse(text, dimension) {
        Ok(p) => p.si,
        Err(e) => panic!("`{text}`: {e}; {}", e.help),
    }
}

#[expect(clippy::panic, reason = "a helper of tests")]
fn refused(text: &str, dimension: D) -> QuantityError {
    match parse(text, dimension) {
        Ok(p) => panic!("`{text}` was read as {} {}", p.si, p.unit.symbol()),
        Err(e) => {
            assert!(text.get(e.span.clone()).is_some(), "`{text}`: span {:?}", e.span);
            assert!(!e.message.is_empty() && !e.help.is_empty(), "`{text}`: {e:?}");
            e
        }
    }
}

fn near(text: &str, dimension: D, expected: f64) {
    let got = si(text, dimension);
    assert!((got - expected).abs() <= 1e-12 * expected.abs(), "`{text}`: {got}, expected {expected}");
}

fn all_near(texts: &[&str], dimension: D, expected: f64) {
    for text in texts {
        near(text, dimension, expected);
    }
}

const GAL: f64 = 3.785_411_784e-3;
const IMP: f64 = 4.546_09e-3;
const YD3: f64 = 0.764_554_857_984;
const FT3: f64 = 0.028_316_846_592;
const LB: f64 = 0.453_592_37;
const OZT: f64 = 0.031_103_476_8;

#[test]
fn identity_lengths_as_written_in_the_shop() {
    let half_inch = [
        "1/2 in",
        "1/2in",
        "1/2\"",
        "0.5 in",
        ".5 in",
        "½ in",
        "½″",
        "1/2 inch",
        "0.5 Inches",
        "½\u{a0}in.",
        "500 thou",
        "1⁄2 in",
        "12.7 mm",
        "12.7mm",
        "12.7 MM",
        "1.27 cm",
        "12700 um",
        "12700 µm",
        "12,700 μm",
        "12700 microns",
        "1.27e-2 m",
        "12.7×10⁻³ m",
        "12.7 x 10^-3 m",
        "  1/2 in  ",
        "+0.5 in",
    ];
    all_near(&half_inch, D::Length, 0.0127);
    all_near(&["1 1/2 in", "1-1/2\"", "1½ in", "1 ½\"", "1.5\"", "1.5''", "1.5 ”"], D::Length, 0.0381);
    let foot_and_a_half = [
        "1 ft 6 in",
        "1' 6\"",
        "1'6\"",
        "1'-6\"",
        "1ft6in",
        "1 ft, 6 in",
        "1 ft and 6 in",
        "18 in",
        "1′ 6″",
        "1.5 ft",
        "0.5 yd",
        "1 foot 6 inches",
        "1’ 6”",
    ];
    all_near(&foot_and_a_half, D::Length, 0.4572);
    near("1' 6 1/2\"", D::Length, 0.4699);
    near("-1 ft 6 in", D::Length, -0.4572);
    near("5/8\"", D::Length, 0.015_875);
    near("2 h 30 min", D::Time, 9000.0);
}

#[test]
fn identity_sieve_numbers_with_their_series() {
    let sieve_0p6_mm = [
        "30 mesh US",
        "US 30",
        "No. 30",
        "#30",
        "no 30",
        "US mesh 30",
        "30 US mesh",
        "30 mesh (US)",
        "U.S. No. 30",
        "ASTM No. 30",
        "28 mesh Tyler",
        "Tyler 28 mesh",
        "Tyler 28",
    ];
    for text in sieve_0p6_mm {
        let p = parse(text, D::SieveSize).unwrap();
        assert_eq!((p.si, p.note), (0.0006, None), "{text}");
    }
    assert_eq!(parse("30 mesh US", D::SieveSize).unwrap().unit.system(), System::Us);
    for text in ["28 mesh", "28#"] {
        assert!(refused(text, D::SieveSize).help.contains("25 and 30"));
    }
    let bare = parse("35 mesh", D::SieveSize).unwrap();
    assert_eq!(bare.si, 0.0005);
    assert!(bare.note.unwrap().contains("as Tyler mesh it would be 0.425 mm"));
    assert!(parse("30#", D::SieveSize).unwrap().note.is_some());
    near("3/8 in", D::SieveSize, 0.009_525);
    near("150 um", D::SieveSize, 150e-6);
    near("No. 3½", D::SieveSize, 0.0056);
    assert!(refused("30 mesh BSS", D::SieveSize).message.contains("bss"));
    assert!(refused("30 mesh", D::Length).message.contains("sieve size"));
    refused("30", D::SieveSize);
    assert_eq!(us_number_mm(f64::NAN), None);
}

#[test]
fn identity_gravel_rates_loose_and_bank() {
    let sixty = [
        "60 yd3/h",
        "60 yd³/h",
        "60 yd^3/h",
        "60 cu yd/h",
        "60 cubic yards per hour",
        "60 yd3 per hr",
        "60 yd3 h-1",
        "60 yd³·h⁻¹",
        "60 CY/H",
        "1 yd3/min",
        "60 yards per hour",
        "60 cu. yd. / hr",
    ];
    all_near(&sixty, D::GravelRate, 60.0 * YD3 / 3600.0);
    let loose = [
        "60 yd3/h loose",
        "60 loose yd3/h",
        "60 lcy/h",
        "60 LCY/hr",
        "60 loose cubic yards per hour",
        "60 yd3 loose/h",
        "60 yd3/h (loose)",
    ];
    for text in loose {
        let p = parse(text, D::GravelRate).unwrap();
        assert_eq!(p.basis, Some(Basis::Loose), "{text}");
        near(text, D::GravelRate, 60.0 * YD3 / 3600.0);
    }
    for (text, m3_h) in [("30 BCM/h", 30.0), ("30 m3/h bank", 30.0), ("30 bank m³/h", 30.0), ("30 bcy/h", 30.0 * YD3)]
    {
        let p = parse(text, D::GravelRate).unwrap();
        assert_eq!(p.basis, Some(Basis::Bank), "{text}");
        near(text, D::GravelRate, m3_h / 3600.0);
    }
    assert!(parse("60 yards/h", D::GravelRate).unwrap().note.unwrap().contains("cubic"));
}

#[test]
fn identity_water() {
    let us = [
        "450 US gpm",
        "450 USgpm",
        "450 US GPM",
        "450 gpm US",
        "450 gpm (US)",
        "450 US gal/min",
        "450 gal (US)/min",
        "450 U.S. gallons per minute",
        "27,000 US gal/h",
    ];
    all_near(&us, D::Flow, 450.0 * GAL / 60.0);
    let imperial = ["450 imp gpm", "450 igpm", "450 imperial gallons per minute", "450 UK gal/min"];
    all_near(&imperial, D::Flow, 450.0 * IMP / 60.0);
    all_near(&["30 L/s", "1800 l/min", "1,800 litres per minute"], D::Flow, 0.03);
    near("1 cfs", D::Flow, FT3);
    let half_cfs = [
        "20 miner's inch CA",
        "20 miner’s inches (California)",
        "20 miners inch CA",
        "20 Miner's inches CA",
        "25 miner's inches Idaho",
        "25 miner's inches of North Dakota",
    ];
    all_near(&half_cfs, D::Flow, 0.5 * FT3);
    near("5 US gpm per short ton/h", D::WaterPerMass, 5.0 * GAL * 60.0 / (2000.0 * LB));
    near("5 US gpm/(short ton/h)", D::WaterPerMass, 5.0 * GAL * 60.0 / (2000.0 * LB));
    near("1.5 m3/t", D::WaterPerMass, 1.5e-3);
    near("193 US gpm/ft", D::FlowPerWidth, 193.0 * GAL / 60.0 / 0.3048);
    near("40 ft", D::Head, 12.192);
    near("40 ft of water", D::Head, 12.192);
    let ten_feet =
        ["10 ft of water", "10 ft H2O", "10 feet of water", "10 ftWC", "10 ft H₂O", "10 ft water", "10 ft of head"];
    all_near(&ten_feet, D::Pressure, 3.048 * 9806.65);
    all_near(&["20 psi", "20 lb/sq in", "20 PSI", "20 lbf/in²"], D::Pressure, 20.0 * LB * 9.80665 / 0.0254 / 0.0254);
    near("1 MPa", D::Pressure, 1e6);
}

#[test]
fn identity_weights_and_grades() {
    near("48 t/h", D::MassRate, 48.0 / 3.6);
    all_near(&["1 metric ton", "1 tonne", "1 t", "1000 KG", "1 Mg"], D::Mass, 1000.0);
    near("1 mg", D::Mass, 1e-6);
    near("1 ton (short)", D::Mass, 2000.0 * LB);
    near("2 long tons", D::Mass, 4480.0 * LB);
    all_near(&["1 oz troy", "1 troy oz", "1 ozt", "20 dwt", "480 grains"], D::Mass, OZT);
    near("16 oz avdp", D::Mass, LB);
    near("24 lb/day", D::MassRate, LB / 3600.0);
    assert_eq!(parse("250 mg/bcy", D::Grade).unwrap().basis, Some(Basis::Bank));
    near("0.2 g/lcy", D::Grade, 0.0002 / YD3);
    near("0.01 troy oz per cubic yard", D::Grade, 0.01 * OZT / YD3);
    near("250 mg/m³", D::Grade, 250e-6);
    refused("250 MG/M3", D::Grade);
}

#[test]
fn identity_the_machine() {
    near("16 rpm", D::RotationSpeed, 16.0 / 60.0);
    near("1 rad/s", D::RotationSpeed, 0.5 / std::f64::consts::PI);
    for text in ["40 % of critical", "40% critical", "40 % of the critical speed", "0.4 of critical", "40 % Nc"] {
        let p = parse(text, D::RotationSpeed).unwrap();
        assert!(p.of_critical && (p.si - 0.4).abs() < 1e-15, "{text}");
    }
    refused("40 of critical", D::RotationSpeed);
    let one_twelfth = [
        "1 in/ft",
        "1 in per ft",
        "1 inch per foot",
        "1 in 12",
        "1:12",
        "1 : 12",
        "1/12",
        "6 in per 6 ft",
        "1\"/ft",
        "6 in / 6 ft",
    ];
    all_near(&one_twelfth, D::Slope, 1.0 / 12.0);
    near("6 in per 12 ft", D::Slope, 0.5 / 12.0);
    all_near(&["45 deg", "45°", "100 %", "1", "1 m/m"], D::Slope, 1.0);
    near("180 °", D::Angle, std::f64::consts::PI);
    for text in
        ["50 °F", "50 F", "50 deg F", "50 degrees Fahrenheit", "10 C", "10 ℃", "10 °C", "283.15 K", "10 celsius"]
    {
        assert!((si(text, D::Temperature) - 10.0).abs() < 1e-12, "{text}");
    }
    all_near(&["900 lbf ft", "900 ft-lb", "900 lb ft"], D::Torque, 900.0 * LB * 9.80665 * 0.3048);
    all_near(&["900 N·m", "900 Nm", "900 N m", "0.9 kN m"], D::Torque, 900.0);
    all_near(&["1 PS", "1 metric hp"], D::Power, 735.498_75);
    all_near(&["1 mPa·s", "1 cP", "0.001 Pa s"], D::Viscosity, 1e-3);
    near("1.3 cSt", D::KinematicViscosity, 1.3e-6);
    all_near(&["160 cc/rev", "160 cm³", "0.16 L/rev"], D::Displacement, 160e-6);
    near("0.27 L/kWh", D::FuelPerEnergy, 0.27e-3 / 3.6e6);
    near("0.5 kWh/t", D::EnergyPerMass, 1800.0);
    all_near(&["3 /min", "3/min", "3 per min", "3 1/min", "3 min⁻¹"], D::PerTime, 0.05);
    all_near(&["12 %", "12 per cent", "120 ‰", "0.12", "12%"], D::Fraction, 0.12);
}

#[test]
fn identity_share_above_one_is_noted() {
    assert!(parse("12", D::Fraction).unwrap().note.unwrap().contains("1200 %"));
    assert_eq!(parse("0.12", D::Fraction).unwrap().note, None);
    assert_eq!(parse("120 %", D::Fraction).unwrap().note, None);
}

#[test]
fn identity_money() {
    let amounts = ["1,250,000.5", "$ 1,250,000.5", "1250000.5 USD", "US$1250000.5", "€ 1250000.5"];
    all_near(&amounts, D::Money, 1_250_000.5);
    assert_eq!(parse("12 CAD", D::Money).unwrap().currency, Some("CAD"));
    assert_eq!(parse("12", D::Money).unwrap().currency, None);
    let rates = ["$ 450/h", "450 $/h", "450 dollars per hour", "450 USD/h", "450/h"];
    all_near(&rates, D::MoneyPerTime, 0.125);
    let strip = parse("$ 2.50 per bank yd3", D::MoneyPerVolume).unwrap();
    assert_eq!((strip.basis, strip.currency), (Some(Basis::Bank), Some("$")));
    near("$7.50/lcy", D::MoneyPerVolume, 7.5 / YD3);
    all_near(&["3000 $/ozt", "3000 USD per troy ounce", "$3,000/ozt"], D::MoneyPerMass, 3000.0 / OZT);
}

#[test]
fn identity_ambiguous_words_are_refused_with_the_choices() {
    for (text, dimension, choices) in [
        ("2 ton", D::Mass, ["`t`", "`short ton`", "`long ton`"]),
        ("2 tons", D::Mass, ["`t`", "`short ton`", "`long ton`"]),
        ("50 ton/h", D::MassRate, ["`t/h`", "`short ton/h`", "`long ton/h`"]),
        ("50 tph", D::MassRate, ["`t/h`", "`short ton/h`", "`long ton/h`"]),
        ("450 gpm", D::Flow, ["which gallon", "`US gpm`", "`imp gpm`"]),
        ("5 gallons", D::Volume, ["which gallon", "`US gal`", "`imp gal`"]),
        ("20 gpm/ft", D::FlowPerWidth, ["which gallon", "`US gpm/ft`", "`imp gpm/ft`"]),
        ("3 oz", D::Mass, ["which ounce", "`ozt`", "`oz avdp`"]),
        ("0.01 oz/yd3", D::Grade, ["which ounce", "`ozt/yd3`", "oz avdp"]),
        ("3000 $/oz", D::MoneyPerMass, ["which ounce", "`$/ozt`", "oz avdp"]),
        ("$ 3000/oz", D::MoneyPerMass, ["which ounce", "`$/ozt`", "oz avdp"]),
        ("20 miner's inches", D::Flow, ["which miner's inch", "AZ CA MT NV OR (1/40", "BC (0.028"]),
        ("5 gpm per short ton/h", D::WaterPerMass, ["which gallon", "`US gpm per short ton/h`", "imp gal"]),
    ] {
        let e = refused(text, dimension);
        for choice in choices {
            assert!(format!("{e} {}", e.help).contains(choice), "`{text}`: {e}; {}", e.help);
        }
    }
}

#[test]
fn identity_wrong_kinds_and_misspellings_are_explained() {
    let e = refused("20 psi", D::Length);
    assert_eq!(e.message, "`psi` is a pressure, here a length is wanted");
    assert_eq!((e.span, e.help.as_str()), (3..6, "e.g. `1/2 in`"));
    assert!(refused("48 t/h", D::GravelRate).help.contains("bulk density"));
    assert!(refused("30 ft", D::Pressure).help.contains("ft of water"));
    assert!(refused("2 gallons", D::Length).message.contains("volume"));
    assert!(refused("3 m3", D::Length).message.contains("volume"));
    assert!(refused("1.2 g/t", D::Grade).help.contains("by weight"));
    assert!(refused("20 psi loose", D::Pressure).message.contains("loose"));
    assert!(refused("20 lcy bank", D::Volume).message.contains("at once"));
    assert!(refused("20 rpm", D::PerTime).message.contains("speed of turning"));
    assert!(refused("40 %", D::RotationSpeed).help.contains("of critical"));
    for (text, dimension, meant) in [
        ("20 pis", D::Pressure, "`psi`"),
        ("35 yd3/huor", D::GravelRate, "`yd3/hour`"),
        ("35 ydd3/h loose", D::GravelRate, "`yd3/h loose`"),
        ("3 inhces", D::Length, "`inches`"),
        ("450 US gmp", D::Flow, "`US gpm`"),
        ("16 rmp", D::RotationSpeed, "`rpm`"),
        ("5 kpaa", D::Pressure, "`kPa`"),
    ] {
        let e = refused(text, dimension);
        assert!(e.help.contains("did you mean") && e.help.contains(meant), "`{text}`: {e}; {}", e.help);
    }
    let e = refused("12 blorps", D::Length);
    assert_eq!((e.span, e.message.as_str()), (3..9, "unknown unit `blorps`"));
    assert!(e.help.contains("mm"));
}

#[test]
fn identity_numbers_that_are_refused() {
    assert!(refused("1,5 in", D::Length).help.contains("`1.5`"));
    assert!(refused("12,34 m", D::Length).message.contains("comma"));
    near("1,500 m", D::Length, 1500.0);
    let wrong = [
        "0,500 m",
        "1,5000 m",
        "1.500,5 m",
        "",
        "   ",
        "nan",
        "NaN m",
        "inf",
        "-inf m",
        "infinity m",
        "1e999 m",
        "1e-999 m",
        "1e400 m",
        "m",
        "in",
        "~5 m",
        "<5 m",
        "5 ± 1 m",
        "5 +- 1 m",
        "5-6 m",
        "5 to 6 m",
        "1/0 m",
        "1 3/2 in",
        "5",
        "5 5",
        "5 m 6",
        "5 in 1 ft",
        "--5 m",
        "5 m²",
        "5 €",
        "5 m; 6 m",
        "1 M",
    ];
    for text in wrong {
        refused(text, D::Length);
    }
    assert!(refused("5-6 m", D::Length).message.contains("range"));
    assert!(refused("1e300 yd3/h", D::Number).message.contains("rate of gravel"));
    assert!(refused("1e308 km", D::Length).message.contains("too large"));
    refused("90 deg", D::Slope);
    refused("-300 C", D::Temperature);
    refused("1 in 0", D::Slope);
    refused("1 in 12 ft", D::Slope);
    refused(&"9".repeat(500), D::Number);
}
