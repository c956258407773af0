//! The table of units and how their names are found.

use std::marker::PhantomData;

use uom::si::f64 as si;
use uom::si::{
    angle, area, electric_charge, electric_current, electric_potential, energy, force, frequency, length,
    linear_number_density, mass, power, pressure, ratio, surface_tension, thermodynamic_temperature as temperature,
    time, torque, velocity, volume,
};

use super::{Dimension, QuantityError, nearest, shown};

/// One row of the table of units.
pub(super) struct Unit {
    pub(super) symbol: &'static str,
    pub(super) also: &'static [&'static str],
    pub(super) dimension: Dimension,
    pub(super) to_si: fn(f64) -> f64,
    pub(super) from_si: fn(f64) -> f64,
}

impl PartialEq for Unit {
    fn eq(&self, other: &Unit) -> bool {
        self.symbol == other.symbol
    }
}

// Exact factors of the units that `uom` rounds to seven digits: NIST SP 811 (2008), appendix B.8.
const POUND: f64 = 0.453_592_37; // kg
const POUND_FORCE: f64 = 4.448_221_615_260_5; // N
const INCH: f64 = 0.0254; // m
const PSI: f64 = POUND_FORCE / (INCH * INCH); // Pa
const INCH_POUND: f64 = POUND_FORCE * INCH; // N.m
const FOOT_POUND: f64 = 12.0 * INCH_POUND; // N.m

/// A row of the table; the last argument is the size in the `uom` unit before it.
macro_rules! row {
    ($symbol:literal, $also:expr, $dimension:ident, $quantity:ident, $unit:path) => {
        row!($symbol, $also, $dimension, $quantity, $unit, 1.0)
    };
    ($symbol:literal, $also:expr, $dimension:ident, $quantity:ident, $unit:path, $size:expr) => {
        Unit {
            symbol: $symbol,
            also: &$also,
            dimension: Dimension::$dimension,
            to_si: |number| si::$quantity::new::<$unit>(number * $size).value,
            from_si: |value| si::$quantity { dimension: PhantomData, units: PhantomData, value }.get::<$unit>() / $size,
        }
    };
}

/// Spellings are compared without spaces, points, hyphens and asterisks: `N.m` is found as `Nm`.
pub(super) static UNITS: &[Unit] = &[
    row!("", [], Number, Ratio, ratio::ratio),
    row!("%", ["percent", "pct"], Share, Ratio, ratio::percent),
    row!("mm", ["millimetre", "millimetres", "millimeters"], Length, Length, length::millimeter),
    row!("cm", ["centimetre", "centimetres", "centimeters"], Length, Length, length::centimeter),
    row!("m", ["metre", "metres", "meters"], Length, Length, length::meter),
    row!("km", [], Length, Length, length::kilometer),
    row!("um", [], Length, Length, length::micrometer),
    row!("in", ["\"", "inch", "inches"], Length, Length, length::inch),
    row!("ft", ["foot", "feet"], Length, Length, length::foot),
    row!("kg", ["kilos", "kilograms"], Mass, Mass, mass::kilogram),
    row!("g", ["grams"], Mass, Mass, mass::gram),
    row!("lb", ["lbs", "pounds"], Mass, Mass, mass::kilogram, POUND),
    row!("s", ["sec", "second", "seconds"], Time, Time, time::second),
    row!("ms", [], Time, Time, time::millisecond),
    row!("min", ["mins", "minute", "minutes"], Time, Time, time::minute),
    row!("h", ["hr", "hour", "hours"], Time, Time, time::hour),
    row!("°C", ["C", "degC"], Temperature, ThermodynamicTemperature, temperature::degree_celsius),
    row!("°F", ["F", "degF"], Temperature, ThermodynamicTemperature, temperature::degree_fahrenheit),
    row!("K", [], Temperature, ThermodynamicTemperature, temperature::kelvin),
    row!("psi", ["lbf/in2"], Pressure, Pressure, pressure::pascal, PSI),
    row!("bar", ["bars"], Pressure, Pressure, pressure::bar),
    row!("kPa", [], Pressure, Pressure, pressure::kilopascal),
    row!("Pa", [], Pressure, Pressure, pressure::pascal),
    row!("MPa", [], Pressure, Pressure, pressure::megapascal),
    row!("kgf/cm2", [], Pressure, Pressure, pressure::kilogram_force_per_square_centimeter),
    row!("N", ["newton", "newtons"], Force, Force, force::newton),
    row!("kgf", [], Force, Force, force::kilogram_force),
    row!("lbf", [], Force, Force, force::newton, POUND_FORCE),
    row!("N.m", ["newtonmetres", "newtonmeters"], Torque, Torque, torque::newton_meter),
    row!("in-lbf", ["inlb", "inlbs", "lbfin", "lbin", "lbsin"], Torque, Torque, torque::newton_meter, INCH_POUND),
    row!("ft-lbf", ["ftlb", "ftlbs", "lbfft", "lbft", "lbsft"], Torque, Torque, torque::newton_meter, FOOT_POUND),
    row!("kgf.m", [], Torque, Torque, torque::kilogram_force_meter),
    row!("km/h", ["kmh", "kph"], Speed, Velocity, velocity::kilometer_per_hour),
    row!("mph", ["mi/h"], Speed, Velocity, velocity::mile_per_hour),
    row!("m/s", [], Speed, Velocity, velocity::meter_per_second),
    row!("Wh", [], Energy, Energy, energy::watt_hour),
    row!("kWh", [], Energy, Energy, energy::kilowatt_hour),
    row!("J", ["joules"], Energy, Energy, energy::joule),
    row!("W", ["watt", "watts"], Power, Power, power::watt),
    row!("kW", [], Power, Power, power::kilowatt),
    row!("V", ["volt", "volts"], Voltage, ElectricPotential, electric_potential::volt),
    row!("mV", [], Voltage, ElectricPotential, electric_potential::millivolt),
    row!("A", ["amp", "amps"], Current, ElectricCurrent, electric_current::ampere),
    row!("mA", [], Current, ElectricCurrent, electric_current::milliampere),
    row!("Ah", [], Charge, ElectricCharge, electric_charge::ampere_hour),
    row!("mAh", [], Charge, ElectricCharge, electric_charge::milliampere_hour),
    row!("°", ["deg", "degrees"], Angle, Angle, angle::degree),
    row!("rpm", [], Cadence, Frequency, frequency::cycle_per_minute),
    row!("N/mm", [], Stiffness, SurfaceTension, surface_tension::newton_per_meter, 1000.0),
    row!(
        "lbf/in",
        ["lb/in", "lbs/in"],
        Stiffness,
        SurfaceTension,
        surface_tension::newton_per_meter,
        POUND_FORCE / INCH
    ),
    row!("m2", [], Area, Area, area::square_meter),
    row!("cm2", [], Area, Area, area::square_centimeter),
    row!("cm3", ["ml", "cc"], Volume, Volume, volume::cubic_centimeter),
    row!("l", ["L", "litre", "litres"], Volume, Volume, volume::liter),
    row!("in3", [], Volume, Volume, volume::cubic_centimeter, 16.387_064),
    row!("Wh/km", [], Consumption, Force, force::newton, 3.6),
    row!("tpi", [], ThreadCount, LinearNumberDensity, linear_number_density::per_meter, 1.0 / INCH),
];

pub(super) fn find_unit(text: &str) -> Result<&'static Unit, QuantityError> {
    let key = spelling(text);
    if key.is_empty() && !text.trim().is_empty() {
        return Err(QuantityError::UnknownUnit { unit: shown(text.trim()), nearest: None });
    }
    let found = UNITS
        .iter()
        .find(|unit| unit.spellings().any(|known| known == key))
        .or_else(|| UNITS.iter().find(|unit| unit.is_meant_in_any_case(&key)));
    found.ok_or_else(|| {
        let near =
            nearest(&key, UNITS.iter().flat_map(|unit| std::iter::once(unit.symbol).chain(unit.also.iter().copied())));
        let nearest = near.and_then(|near| {
            UNITS.iter().find(|unit| unit.symbol == near || unit.also.contains(&near)).map(|unit| unit.symbol)
        });
        QuantityError::UnknownUnit { unit: shown(text.trim()), nearest }
    })
}

impl Unit {
    fn spellings(&self) -> impl Iterator<Item = String> {
        std::iter::once(spelling(self.symbol)).chain(self.also.iter().map(|&name| name.to_owned()))
    }

    /// `PSI` is psi, but `MV` is not mV: a changed prefix would change the size a thousand million times.
    fn is_meant_in_any_case(&self, key: &str) -> bool {
        let prefix_counts =
            matches!(self.dimension, Dimension::Pressure | Dimension::Voltage | Dimension::Current | Dimension::Charge);
        self.spellings().any(|known| {
            let same_start = known.chars().next() == key.chars().next();
            let changed_prefix = prefix_counts && key.starts_with(['m', 'M']) && !same_start;
            !changed_prefix && known.to_lowercase() == key.to_lowercase()
        })
    }
}

/// The unit without the marks that people set in different ways.
fn spelling(unit: &str) -> String {
    unit.trim()
        .chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '.' | '·' | '⋅' | '*' | '-'))
        .map(|c| match c {
            'µ' | 'μ' => 'u',
            'º' | '˚' => '°',
            '²' => '2',
            '³' => '3',
            other => other,
        })
        .collect::<String>()
        .replace("''", "\"")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_unit_is_found_by_all_its_spellings_and_no_two_share_one() {
        let mut seen = std::collections::BTreeMap::new();
        for unit in UNITS {
            for known in unit.spellings() {
                assert_eq!(spelling(&known), known, "written in the form that is compared");
                assert_eq!(find_unit(&known).unwrap().symbol, unit.symbol);
                assert_eq!(seen.insert(known.clone(), unit.symbol), None, "{known}");
            }
        }
    }
}
