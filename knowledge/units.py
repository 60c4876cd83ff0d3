"""What the end of a quantity's name says: its unit, how it is printed and how it is spoken."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated, Any

import numpy as np
from numpy.typing import NDArray

Quantity = float | NDArray[np.float64] | Any
"""A float, or an array of floats worked out element by element. (`Any`: numpy's ufuncs return it.)"""


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: the ending that states it, pint's name for it, the printed symbol and the spoken words."""

    ending: str
    pint: str
    symbol: str
    spoken: str
    spoken_one: str


def _units(rows: str) -> dict[str, Unit]:
    units = {}
    for row in rows.strip().splitlines():
        ending, pint, symbol, spoken, one = (cell.strip() for cell in row.split("|"))
        units[ending] = Unit(ending, pint, symbol, spoken, one)
    return units


UNITS = _units(
    """
    mm       | millimetre              | mm      | millimetres                 | millimetre
    cm       | centimetre              | cm      | centimetres                 | centimetre
    m        | metre                   | m       | metres                      | metre
    km       | kilometre               | km      | kilometres                  | kilometre
    in       | inch                    | in      | inches                      | inch
    um       | micrometre              | µm      | thousandths of a millimetre | thousandth of a millimetre
    mm2      | millimetre**2           | mm²     | square millimetres          | square millimetre
    cm2      | centimetre**2           | cm²     | square centimetres          | square centimetre
    m2       | metre**2                | m²      | square metres               | square metre
    mm3      | millimetre**3           | mm³     | cubic millimetres           | cubic millimetre
    ml       | millilitre              | ml      | millilitres                 | millilitre
    l        | litre                   | l       | litres                      | litre
    mm4      | millimetre**4           | mm⁴     | millimetres to the fourth   | millimetre to the fourth
    kg       | kilogram                | kg      | kilos                       | kilo
    g        | gram                    | g       | grams                       | gram
    mg       | milligram               | mg      | milligrams                  | milligram
    kg_m3    | kilogram/metre**3       | kg/m³   | kilos a cubic metre         | kilo a cubic metre
    kg_m     | kilogram/metre          | kg/m    | kilos a metre               | kilo a metre
    s        | second                  | s       | seconds                     | second
    min      | minute                  | min     | minutes                     | minute
    h        | hour                    | h       | hours                       | hour
    days     | day                     | days    | days                        | day
    months   | month                   | months  | months                      | month
    years    | year                    | years   | years                       | year
    deg      | degree                  | °       | degrees                     | degree
    rad      | radian                  | rad     | radians                     | radian
    rpm      | revolution/minute       | rpm     | turns a minute              | turn a minute
    hz       | hertz                   | Hz      | hertz                       | hertz
    n        | newton                  | N       | newtons                     | newton
    kn       | kilonewton              | kN      | kilonewtons                 | kilonewton
    kgf      | kilogram_force          | kgf     | kilos of pull               | kilo of pull
    n_m      | newton*metre            | N·m     | newton metres               | newton metre
    n_mm     | newton/millimetre       | N/mm    | newtons a millimetre        | newton a millimetre
    n_s_m    | newton*second/metre     | N·s/m   | newton seconds a metre      | newton second a metre
    n_per_m  | newton/metre            | N/m     | newtons a metre             | newton a metre
    kpa      | kilopascal              | kPa     | kilopascals                 | kilopascal
    mpa      | megapascal              | MPa     | megapascals                 | megapascal
    gpa      | gigapascal              | GPa     | gigapascals                 | gigapascal
    kpa_day  | kilopascal/day          | kPa/day | kilopascals a day           | kilopascal a day
    mpa_s    | millipascal*second      | mPa·s   | millipascal seconds         | millipascal second
    degc     | degC                    | °C      | degrees Celsius             | degree Celsius
    k        | kelvin                  | K       | degrees                     | degree
    per_k    | 1/kelvin                | 1/K     | per degree                  | per degree
    k_s      | kelvin/second           | K/s     | degrees a second            | degree a second
    j        | joule                   | J       | joules                      | joule
    kj       | kilojoule               | kJ      | kilojoules                  | kilojoule
    w        | watt                    | W       | watts                       | watt
    w_k      | watt/kelvin             | W/K     | watts a degree              | watt a degree
    w_m2_k   | watt/metre**2/kelvin    | W/(m²·K)| watts a square metre a degree | watt a square metre a degree
    j_kg_k   | joule/kilogram/kelvin   | J/(kg·K)| joules a kilo a degree      | joule a kilo a degree
    kmh      | kilometre/hour          | km/h    | kilometres an hour          | kilometre an hour
    m_s      | metre/second            | m/s     | metres a second             | metre a second
    m_s2     | metre/second**2         | m/s²    | metres a second squared     | metre a second squared
    pct      | percent                 | %       | per cent                    | per cent
    mm2_s    | millimetre**2/second    | mm²/s   | centistokes                 | centistoke
    mrev     | 1                       | million revolutions | million turns   | million turns
    per_in   | 1/inch                  | per inch| threads to the inch         | thread to the inch
    db       | 1                       | dB      | decibels                    | decibel
    teeth    | 1                       | teeth   | teeth                       | tooth
    speeds   | 1                       | speeds  | speeds                      | speed
    links    | 1                       | links   | links                       | link
    half_links | 1                     | half-links | half-links               | half-link
    clicks   | 1                       | clicks  | clicks                      | click
    spokes   | 1                       | spokes  | spokes                      | spoke
    crosses  | 1                       | crosses | crosses                     | cross
    strokes  | 1                       | strokes | strokes                     | stroke
    count    | 1                       |         |                             |
    gears    | 1                       | gears   | gears                       | gear
    money    | 1                       | in your money | in your money         | in your money
    money_1000km | 1 | money per 1,000 km | in your money per thousand kilometres | in your money per thousand kilometres
    """
)
PURE = Unit("", "1", "", "", "")


@lru_cache(maxsize=4096)
def unit_of(name: str) -> Unit:
    """The unit that ends a quantity's name; a pure number where no ending is one.

    >>> unit_of("rim_inner_width_mm").symbol
    'mm'
    >>> unit_of("viscosity_40_mm2_s").symbol
    'mm²/s'
    >>> unit_of("actuation_ratio").symbol
    ''
    """
    words = name.split("_")
    for start in range(1, len(words)):
        ending = "_".join(words[start:])
        if ending in UNITS:
            return UNITS[ending]
    return UNITS.get(name, PURE)


Pure = Annotated[Quantity, ""]
Word = Annotated[str, "word"]
Mm = Annotated[Quantity, "mm"]
Cm = Annotated[Quantity, "cm"]
M = Annotated[Quantity, "m"]
Km = Annotated[Quantity, "km"]
Inch = Annotated[Quantity, "in"]
Um = Annotated[Quantity, "µm"]
Mm2 = Annotated[Quantity, "mm²"]
Cm2 = Annotated[Quantity, "cm²"]
M2 = Annotated[Quantity, "m²"]
Mm3 = Annotated[Quantity, "mm³"]
Mm4 = Annotated[Quantity, "mm⁴"]
Ml = Annotated[Quantity, "ml"]
Litre = Annotated[Quantity, "l"]
Kg = Annotated[Quantity, "kg"]
G = Annotated[Quantity, "g"]
KgM3 = Annotated[Quantity, "kg/m³"]
KgM = Annotated[Quantity, "kg/m"]
S = Annotated[Quantity, "s"]
Minute = Annotated[Quantity, "min"]
H = Annotated[Quantity, "h"]
Days = Annotated[Quantity, "days"]
Months = Annotated[Quantity, "months"]
Deg = Annotated[Quantity, "°"]
Rad = Annotated[Quantity, "rad"]
Rpm = Annotated[Quantity, "rpm"]
Hz = Annotated[Quantity, "Hz"]
N = Annotated[Quantity, "N"]
Kn = Annotated[Quantity, "kN"]
Kgf = Annotated[Quantity, "kgf"]
NM = Annotated[Quantity, "N·m"]
NMm = Annotated[Quantity, "N/mm"]
NPerM = Annotated[Quantity, "N/m"]
Kpa = Annotated[Quantity, "kPa"]
KpaDay = Annotated[Quantity, "kPa/day"]
Mpa = Annotated[Quantity, "MPa"]
Gpa = Annotated[Quantity, "GPa"]
MpaS = Annotated[Quantity, "mPa·s"]
DegC = Annotated[Quantity, "°C"]
K = Annotated[Quantity, "K"]
PerK = Annotated[Quantity, "1/K"]
J = Annotated[Quantity, "J"]
Kj = Annotated[Quantity, "kJ"]
W = Annotated[Quantity, "W"]
WM2K = Annotated[Quantity, "W/(m²·K)"]
JKgK = Annotated[Quantity, "J/(kg·K)"]
Kmh = Annotated[Quantity, "km/h"]
MS = Annotated[Quantity, "m/s"]
MS2 = Annotated[Quantity, "m/s²"]
Pct = Annotated[Quantity, "%"]
Mm2S = Annotated[Quantity, "mm²/s"]
Mrev = Annotated[Quantity, "million revolutions"]
PerInch = Annotated[Quantity, "per inch"]
Teeth = Annotated[Quantity, "teeth"]
Speeds = Annotated[Quantity, "speeds"]
Links = Annotated[Quantity, "links"]
HalfLinks = Annotated[Quantity, "half-links"]
Clicks = Annotated[Quantity, "clicks"]
Spokes = Annotated[Quantity, "spokes"]
Crosses = Annotated[Quantity, "crosses"]
Strokes = Annotated[Quantity, "strokes"]
Gears = Annotated[Quantity, "gears"]
Money1000Km = Annotated[Quantity, "money per 1,000 km"]
Money = Annotated[Quantity, "in your money"]
