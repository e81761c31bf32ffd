"""The scalar types of the documents. Each reads its text by what the key expects, never by how it looks."""

from __future__ import annotations

# IMPLEMENTED BY the documents/quantities work: every name below is an Annotated type whose validator takes a
# Scalar (or str) and gives the Python value named in the comment. Errors name the units that would do.
#   Name      str matching [a-z][a-z0-9_-]*          Text      str, characters as written
#   Ref       str, a reference such as control.3, battery.starter, block-rear.1, stick.3
#   YesNo     bool (yes/no/true/false)               Count     int >= 0
#   Number    float, no unit                         Ratio     float > 0, no unit
#   Share     float 0..1 from "70 %"                 Fraction  float from 1/2, 0.25, 0  (exact fractions.Fraction)
#   Length m  Mass kg  Current A  Voltage V  Resistance ohm  Power W  Charge Ah  Duration s  Temperature degC
#   Angle deg  Intensity cd  Flux lm  Frequency Hz  SoundLevel dB  Speed m/s  Force N  Torque Nm  Volume m3
#   Density kg/m3  Pressure Pa  Money int cents  GaugeText quantities.Gauge  Energy Wh  Rpm float (bare number or "700 rpm")
