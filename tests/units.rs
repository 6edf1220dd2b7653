//! Quantities as they are typed and said, held against published factors.

use proptest::prelude::*;
use tackfree::units::{
    Celsius, Coverage, CubicMetresPerHour, GramsPerLitre, Humidity, Litres, Measured, Millimetres,
    Shown, SquareCentimetres, System, Typed, Warmer,
};

#[track_caller]
fn metric<Q: Measured>(text: &str) -> f64 {
    let typed: Typed<Q> = text.parse().unwrap_or_else(|error| panic!("{text}: {error}"));
    typed.in_shop(System::Metric).unwrap().into()
}

#[track_caller]
fn near(found: f64, published: f64) {
    assert!((found / published - 1.0).abs() < 1e-6, "{found}, not {published}");
}

/// NIST Handbook 44 (2024), appendix C: the inch, the US liquid measures, the pound; NIST SP 811 (2008), B.8: °F. From
/// memory, each to seven digits or exact.
#[test]
fn factors_are_the_published_ones() {
    near(metric::<Millimetres>("1 in"), 25.4);
    near(metric::<Millimetres>("3\""), 76.2);
    near(metric::<SquareCentimetres>("1 sq in"), 6.4516);
    near(metric::<Litres>("1 fl oz"), 0.029_573_53);
    near(metric::<Litres>("1 pt"), 0.473_176_5);
    near(metric::<Litres>("1 qt"), 0.946_352_9);
    near(metric::<Litres>("1 gal"), 3.785_412);
    near(metric::<Litres>("500ml"), 0.5);
    near(metric::<GramsPerLitre>("1 lb/gal"), 119.826_4);
    // SP 811: a square foot is 0.092 903 04 m².
    near(metric::<Coverage>("400 ft2/gal"), 400.0 * 0.092_903_04 / 3.785_412);
    for (fahrenheit, celsius) in [("32 F", 0.0), ("68F", 20.0), ("77 °F", 25.0), ("-40 F", -40.0)]
    {
        assert!((metric::<Celsius>(fahrenheit) - celsius).abs() < 1e-9, "{fahrenheit}");
    }
}

#[test]
fn the_trade_figure_of_the_reference_is_that_of_its_gallon() {
    // reference/finishes.txt gives 9.8 m² a litre for "400 sq ft a US gallon".
    assert_eq!(format!("{:.1}", metric::<Coverage>("400 sq ft per gal")), "9.8");
}

#[test]
fn a_unit_is_found_however_it_is_written() {
    for text in ["14.2", "14.2C", "14,2 °C", " 14.2 deg C "] {
        assert!((metric::<Celsius>(text) - 14.2).abs() < 1e-9, "{text}");
    }
    for text in ["18 m2/L", "18 m²/l", "18 m² per litre"] {
        assert!((metric::<Coverage>(text) - 18.0).abs() < 1e-9, "{text}");
    }
    assert!((metric::<Humidity>("55 % RH") - 55.0).abs() < 1e-9);
    for (text, said) in [
        ("warm", "isn't a number"),
        ("68 K", "\"K\" in \"68 K\" isn't a unit for this: expected one of °C, °F"),
        ("1-2 C", "isn't a number"),
    ] {
        let error = text.parse::<Typed<Celsius>>().unwrap_err().to_string();
        assert!(error.contains(said), "{error}");
    }
}

#[test]
fn a_bare_number_is_in_the_shops_units_or_asked_for_its_own() {
    let bare: Typed<Celsius> = "68".parse().unwrap();
    let warm: f64 = bare.in_shop(System::Us).unwrap().into();
    assert!((warm - 20.0).abs() < 1e-9);
    assert!(bare.in_shop(System::Metric).unwrap_err().to_string().contains("-40 to 60 °C"));
    assert!(bare.unmistakable(System::Us).unwrap_err().to_string().contains("has no unit"));
    // Both systems have one per cent, and nothing is nothing.
    assert!("55".parse::<Typed<Humidity>>().unwrap().unmistakable(System::Us).is_ok());
    assert!("0".parse::<Typed<Millimetres>>().unwrap().unmistakable(System::Us).is_ok());
}

proptest! {
    #[test]
    fn any_text_is_answered(text in any::<String>()) {
        drop(text.parse::<Typed<Celsius>>().map(|typed| typed.in_shop(System::Us)));
    }

    #[test]
    fn what_is_said_in_any_unit_reads_back(warm in -40.0..60.0_f64, wide in 0.0..1000.0_f64) {
        let warm = Celsius::new(warm).unwrap();
        for unit in Celsius::UNITS {
            let text = format!("{} {}", warm.number_in(unit), unit.symbol);
            prop_assert!((metric::<Celsius>(&text) - warm.get()).abs() < 1e-9, "{}", text);
        }
        let wide = Millimetres::new(wide).unwrap();
        for unit in Millimetres::UNITS {
            let text = format!("{} {}", wide.number_in(unit), unit.symbol);
            prop_assert!((metric::<Millimetres>(&text) - wide.get()).abs() < 1e-6, "{}", text);
        }
    }
}

/// What a US shop reads, held against the printed conversions of NIST SP 811 (2008): B.8 for the square foot, the cubic foot
/// and the US liquid measures, B.9 for °F. From memory, each to seven digits or exact; what is rounded is a choice.
#[test]
fn a_us_shop_reads_published_conversions() {
    let us = |celsius: f64| Shown::new(Celsius::new(celsius).unwrap(), System::Us).to_string();
    for (celsius, fahrenheit) in
        [(0.0, "32 °F"), (20.0, "68 °F"), (-40.0, "-40 °F"), (-17.9, "0 °F")]
    {
        assert_eq!(us(celsius), fahrenheit);
    }
    // A difference has no zero to move: 3 °C are 5.4 °F.
    assert_eq!(Shown::new(Warmer::new(3.0).unwrap(), System::Us).to_string(), "5.4 °F");
    let coverage = Coverage::new(9.8).unwrap();
    assert_eq!(Shown::new(coverage, System::Us).to_string(), "400 sq ft a gallon");
    let airflow = |hour: f64| Shown::new(CubicMetresPerHour::new(hour).unwrap(), System::Us);
    // 1 ft³/min is 4.719 474 E-04 m³/s.
    assert_eq!(
        airflow(750.0 * 4.719_474e-4 * 3600.0).to_string(),
        "750 cu ft of fresh air a minute"
    );
}

/// The fluid ounce of SP 811 is 29.573 53 ml, the quart 0.946 352 9 L, the gallon 3.785 412 L.
#[test]
fn volumes_are_rounded_as_a_person_would() {
    let said = |litres: f64, system| Shown::new(Litres::new(litres).unwrap(), system);
    for (litres, metric, us) in [
        (0.0, "0 ml", "0 fl oz"),
        (0.001, "1 ml", "0.03 fl oz"),
        (0.031, "31 ml", "1 fl oz"),
        (0.142, "140 ml", "4.8 fl oz"),
        (0.62, "620 ml", "21 fl oz"),
        (0.999, "1 L", "1.1 qt"),
        (1.25, "1.25 L", "1.3 qt"),
    ] {
        assert_eq!(said(litres, System::Metric).to_string(), metric);
        assert_eq!(said(litres, System::Us).to_string(), us);
    }
    for (litres, metric, us) in [
        (0.5, "500 ml", "16.9 fl oz"),
        (0.946_352_9, "946 ml", "1 qt"),
        (3.785_412, "3.785 L", "1 gal"),
    ] {
        assert_eq!(said(litres, System::Metric).on_tin(), metric);
        assert_eq!(said(litres, System::Us).on_tin(), us);
    }
}

proptest! {
    /// What is laid out is never less than what is needed, and never a whole step more.
    #[test]
    fn what_is_needed_is_rounded_up(litres in 1e-4..50.0_f64, us in any::<bool>()) {
        let system = if us { System::Us } else { System::Metric };
        let said = Shown::new(Litres::new(litres).unwrap(), system).up().replace(" L", " l");
        let read: f64 = said.parse::<Typed<Litres>>().unwrap().unmistakable(system).unwrap().into();
        prop_assert!(read >= litres * (1.0 - 1e-6) && read < litres * 1.2 + 1e-3, "{litres} {said}");
    }

    /// A shop's own unit never says more degrees than it can read back, to half of what it is rounded to.
    #[test]
    fn a_temperature_reads_back_to_its_rounding(celsius in -40.0..60.0_f64) {
        let typed = |said: String| said.parse::<Typed<Celsius>>().unwrap().in_shop(System::Us).map(f64::from);
        let shown = |system| Shown::new(Celsius::new(celsius).unwrap(), system).to_string();
        for (system, half) in [(System::Metric, 0.0501), (System::Us, 0.278)] {
            let Ok(read) = typed(shown(system)) else { continue };
            prop_assert!((read - celsius).abs() < half, "{celsius} as {}", shown(system));
        }
    }
}
