//! The unit table against an outside table, its own printing, and arbitrary text.

use proptest::prelude::*;
use uom::si::f64 as q;
use uom::si::{
    area, dynamic_viscosity, energy, force, kinematic_viscosity, length, mass, mass_density, mass_rate, power,
    pressure, thermodynamic_temperature, time, torque, velocity, volume, volume_rate,
};
use washgraph_units::quantity::{
    Dimension as D, UnitChoice, all_units, convert_from, convert_to, format, parse, show, show_both, units_of,
};

const CHOICES: [UnitChoice; 3] = [UnitChoice::Us, UnitChoice::Imperial, UnitChoice::Metric];

macro_rules! oracle {
    ($($dimension:ident $unit:literal, $quantity:ident, $theirs:path, $si:path;)*) => {
        $({
            let theirs = q::$quantity::new::<$theirs>(3.7).get::<$si>();
            let ours = convert_from(3.7, D::$dimension, $unit).unwrap();
            // uom carries some factors with seven figures only.
            assert!((ours / theirs - 1.0).abs() < 1e-6, "{}: ours {ours}, theirs {theirs}", $unit);
        })*
    };
}

/// Against the independent crate uom.
#[test]
fn published_factors_agree_with_an_independent_table() {
    oracle! {
        Length "in", Length, length::inch, length::meter;
        Length "ft", Length, length::foot, length::meter;
        Length "yd", Length, length::yard, length::meter;
        Length "thou", Length, length::mil, length::meter;
        Length "um", Length, length::micrometer, length::meter;
        Area "ft2", Area, area::square_foot, area::square_meter;
        Area "in2", Area, area::square_inch, area::square_meter;
        Area "ha", Area, area::hectare, area::square_meter;
        Volume "yd3", Volume, volume::cubic_yard, volume::cubic_meter;
        Volume "ft3", Volume, volume::cubic_foot, volume::cubic_meter;
        Volume "in3", Volume, volume::cubic_inch, volume::cubic_meter;
        Volume "US gal", Volume, volume::gallon, volume::cubic_meter;
        Volume "imp gal", Volume, volume::gallon_imperial, volume::cubic_meter;
        Flow "US gpm", VolumeRate, volume_rate::gallon_per_minute, volume_rate::cubic_meter_per_second;
        Flow "ft3/s", VolumeRate, volume_rate::cubic_foot_per_second, volume_rate::cubic_meter_per_second;
        Mass "lb", Mass, mass::pound, mass::kilogram;
        Mass "ozt", Mass, mass::ounce_troy, mass::kilogram;
        Mass "oz avdp", Mass, mass::ounce, mass::kilogram;
        Mass "dwt", Mass, mass::pennyweight, mass::kilogram;
        Mass "grain", Mass, mass::grain, mass::kilogram;
        Mass "short ton", Mass, mass::ton_short, mass::kilogram;
        Mass "long ton", Mass, mass::ton_long, mass::kilogram;
        MassRate "lb/min", MassRate, mass_rate::pound_per_minute, mass_rate::kilogram_per_second;
        MassRate "short ton/h", MassRate, mass_rate::ton_short_per_hour, mass_rate::kilogram_per_second;
        Density "lb/ft3", MassDensity, mass_density::pound_per_cubic_foot, mass_density::kilogram_per_cubic_meter;
        Density "lb/yd3", MassDensity, mass_density::pound_per_cubic_yard, mass_density::kilogram_per_cubic_meter;
        Pressure "psi", Pressure, pressure::psi, pressure::pascal;
        Pressure "bar", Pressure, pressure::bar, pressure::pascal;
        Pressure "atm", Pressure, pressure::atmosphere, pressure::pascal;
        Force "lbf", Force, force::pound_force, force::newton;
        Force "kgf", Force, force::kilogram_force, force::newton;
        Torque "lbf ft", Torque, torque::pound_force_foot, torque::newton_meter;
        Power "hp", Power, power::horsepower, power::watt;
        Power "PS", Power, power::horsepower_metric, power::watt;
        Velocity "ft/s", Velocity, velocity::foot_per_second, velocity::meter_per_second;
        Velocity "ft/min", Velocity, velocity::foot_per_minute, velocity::meter_per_second;
        Time "day", Time, time::day, time::second;
        Pressure "in of water", Pressure, pressure::inch_of_water, pressure::pascal;
        Stress "lbf/ft2", Pressure, pressure::pound_force_per_square_foot, pressure::pascal;
        KinematicViscosity "cSt", KinematicViscosity, kinematic_viscosity::centistokes,
            kinematic_viscosity::square_meter_per_second;
        Viscosity "cP", DynamicViscosity, dynamic_viscosity::centipoise, dynamic_viscosity::pascal_second;
    }
    let celsius = q::ThermodynamicTemperature::new::<thermodynamic_temperature::degree_fahrenheit>(41.0)
        .get::<thermodynamic_temperature::degree_celsius>();
    assert!((convert_from(41.0, D::Temperature, "°F").unwrap() - celsius).abs() < 1e-9);
    let kwh = q::Energy::new::<energy::kilowatt_hour>(1.0).get::<energy::joule>();
    assert!((convert_from(1.0, D::EnergyPerMass, "kWh/t").unwrap() * 1000.0 / kwh - 1.0).abs() < 1e-12);
    // Units that are put together, from the parts of the other table.
    let pound = q::Mass::new::<mass::pound>(1.0).get::<mass::kilogram>();
    let short_ton = q::Mass::new::<mass::ton_short>(1.0).get::<mass::kilogram>();
    let pound_force = q::Force::new::<force::pound_force>(1.0).get::<force::newton>();
    let foot = q::Length::new::<length::foot>(1.0).get::<length::meter>();
    let hp = q::Power::new::<power::horsepower>(1.0).get::<power::watt>();
    let gpm = q::VolumeRate::new::<volume_rate::gallon_per_minute>(1.0).get::<volume_rate::cubic_meter_per_second>();
    for (dimension, unit, theirs) in [
        (D::EnergyPerMass, "ft lbf/lb", foot * pound_force / pound),
        (D::EnergyPerMass, "hp h/short ton", hp * 3600.0 / short_ton),
        (D::PowerPerMass, "hp/short ton", hp / short_ton),
        (D::FlowPerWidth, "US gpm/ft", gpm / foot),
        (D::WaterPerMass, "US gpm per short ton/h", gpm * 3600.0 / short_ton),
    ] {
        let ours = convert_from(1.0, dimension, unit).unwrap();
        assert!((ours / theirs - 1.0).abs() < 1e-6, "{unit}: ours {ours}, theirs {theirs}");
    }
}

/// Whether the unit stands for a continuous amount, so that any number of it can be printed and read again.
fn is_continuous(symbol: &str) -> bool {
    !symbol.starts_with("mesh") && symbol != "% of critical"
}

fn decade(digits: f64, power: i32) -> f64 {
    digits * washgraph_units::math::pow(10.0, f64::from(power))
}

proptest! {
    #[test]
    fn property_printing_and_reading_gives_the_value_back(digits in 1.0f64..10.0, power in -9i32..9) {
        let x = decade(digits, power);
        for unit in all_units().filter(|u| is_continuous(u.symbol())) {
            let (dimension, symbol) = (unit.dimension(), unit.symbol());
            if symbol == "deg" && dimension == D::Slope && x > 80.0 {
                continue;
            }
            let si = convert_from(x, dimension, symbol).unwrap();
            let text = format(si, dimension, symbol).unwrap();
            let again = parse(&text, dimension);
            prop_assert!(again.is_ok(), "{dimension:?} `{text}`: {again:?}");
            let again = again.unwrap();
            // A shifted zero costs digits near it.
            let scale = if dimension == D::Temperature { si.abs().max(300.0) } else { si.abs() };
            prop_assert!((again.si - si).abs() <= 1e-12 * scale, "{dimension:?} `{text}`: {} for {si}", again.si);
        }
    }

    #[test]
    fn property_shown_values_read_back_to_three_figures(digits in 1.0f64..10.0, power in -6i32..6) {
        let si = decade(digits, power);
        for dimension in D::ALL {
            for choice in CHOICES {
                let text = show(si, dimension, choice);
                let again = parse(&text, dimension);
                prop_assert!(again.is_ok(), "{dimension:?} {si}: `{text}`: {again:?}");
                let off = (again.unwrap().si / si - 1.0).abs();
                let coarse = dimension == D::Money && si < 100.0 || dimension == D::Temperature;
                prop_assert!(coarse || off < 0.0051, "{dimension:?} {si}: `{text}` off by {off}");
            }
        }
    }

    #[test]
    fn property_no_text_panics(text in "\\PC{0,24}") {
        for dimension in D::ALL {
            if let Err(e) = parse(&text, dimension) {
                prop_assert!(text.get(e.span.clone()).is_some(), "`{text}` {:?}", e.span);
            }
            let _ = convert_to(1.0, dimension, &text);
        }
    }

    #[test]
    fn property_no_text_like_a_quantity_panics(
        number in "[-+ ]{0,1}([0-9]{1,4}|[0-9]/[0-9]|½|1e[0-9]{1,3}|[$€])[ ,.'\"-]{0,2}",
        unit in "((US|imp|loose|cu|per|/|in|ft|gal|ton|yd|miner's|inch|m|s|h|°|C|µ|³|2|-1|\\(|\\)|mesh|#|%|of|critical|water|é|漢) ?){0,6}",
    ) {
        let text = format!("{number}{unit}");
        for dimension in D::ALL {
            match parse(&text, dimension) {
                Ok(p) => prop_assert!(p.si.is_finite(), "`{text}` {dimension:?}"),
                Err(e) => prop_assert!(text.get(e.span.clone()).is_some(), "`{text}` {:?}", e.span),
            }
        }
    }
}

#[test]
fn identity_listed_units_and_examples_read_as_themselves() {
    for dimension in D::ALL {
        assert!(parse(dimension.example(), dimension).is_ok(), "{dimension:?} example {}", dimension.example());
        assert_eq!(convert_from(2.0, dimension, dimension.si_symbol()), Some(2.0), "{dimension:?}");
        for symbol in units_of(dimension).filter(|s| is_continuous(s) && !matches!(*s, "1 in n" | "-")) {
            let text = if symbol.starts_with("1/") { symbol.to_owned() } else { format!("1 {symbol}") };
            match parse(&text, dimension) {
                Ok(p) => assert!(p.note.is_none(), "{text}"),
                Err(e) => panic!("{text}: {e}; {}", e.help),
            }
        }
        for choice in CHOICES {
            assert!(!show_both(0.5, dimension, choice).contains("no value"), "{dimension:?}");
        }
    }
    assert_eq!(format(0.0006, D::SieveSize, "mesh US").as_deref(), Some("30 mesh US"));
    assert_eq!(format(0.0006, D::SieveSize, "mesh Tyler").as_deref(), Some("28 mesh Tyler"));
    assert_eq!(format(0.00061, D::SieveSize, "mesh US"), None);
    assert_eq!(convert_to(1.0, D::Flow, "gpm"), None);
    assert_eq!(convert_to(1.0, D::Flow, "psi"), None);
}
