"""Writes reference-units.csv: the size of every unit of ours that the `pint` units library knows, as an exact fraction.

    pip install pint==0.25.3
    python tests/quantity/reference_units.py > tests/quantity/reference-units.csv

The registry works in fractions, so nothing is rounded. Our name, its name, and the base unit both are measured in.
"""

from fractions import Fraction
from importlib.metadata import version

from pint import UnitRegistry

UNITS = [
    ("millilitre", [
        ("gal", "gallon"), ("qt", "quart"), ("pt", "pint"), ("cup", "cup"), ("fl oz", "fluid_ounce"),
        ("tbsp", "tablespoon"), ("tsp", "teaspoon"), ("dry pt", "dry_pint"), ("dry qt", "dry_quart"),
        ("peck", "peck"), ("bushel", "bushel"), ("imp gal", "imperial_gallon"), ("imp qt", "imperial_quart"),
        ("imp pt", "imperial_pint"), ("imp fl oz", "imperial_fluid_ounce"), ("mL", "millilitre"),
        ("dL", "decilitre"), ("L", "litre"), ("hL", "hectolitre"), ("m3", "metre**3"),
        ("cu ft", "foot**3"),
    ]),
    ("gram", [
        ("oz wt", "ounce"), ("lb", "pound"), ("ton", "ton"), ("long ton", "long_ton"), ("mg", "milligram"),
        ("g", "gram"), ("kg", "kilogram"), ("tonne", "tonne"),
    ]),
    ("metre**2", [
        ("acre", "acre"), ("sq ft", "foot**2"), ("sq yd", "yard**2"), ("ha", "hectare"), ("m2", "metre**2"),
    ]),
    ("metre", [
        ("in", "inch"), ("ft", "foot"), ("yd", "yard"), ("mile", "mile"), ("um", "micrometre"), ("mm", "millimetre"),
        ("cm", "centimetre"), ("m", "metre"), ("km", "kilometre"),
    ]),
    ("second", [("s", "second"), ("min", "minute"), ("h", "hour"), ("day", "day"), ("week", "week")]),
    ("delta_degree_Celsius", [("F", "delta_degree_Fahrenheit"), ("C", "delta_degree_Celsius")]),
    ("kilopascal", [
        ("psi", "psi"), ("bar", "bar"), ("mbar", "millibar"), ("hPa", "hectopascal"), ("kPa", "kilopascal"),
        ("MPa", "megapascal"),
    ]),
    ("metre/second", [
        ("mph", "mile/hour"), ("ft/min", "foot/minute"), ("ft/s", "foot/second"), ("km/h", "kilometre/hour"),
        ("m/s", "metre/second"), ("kn", "knot"),
    ]),
    ("dimensionless", [("%", "percent")]),
    ("gram/millilitre", [("mg/L", "milligram/litre"), ("gpg", "grain/gallon")]),
]

registry = UnitRegistry(non_int_type=Fraction)
print(f"# Library: pint {version('pint')}, exact fractions. Written by reference_units.py; do not edit.")
print("unit,library name,base unit,numerator,denominator")
for base, units in UNITS:
    for ours, theirs in units:
        factor = registry.Quantity(Fraction(1), theirs).to(base).magnitude
        factor = Fraction(factor)
        print(f"{ours},{theirs},{base},{factor.numerator},{factor.denominator}")
