// Package quantity answers what a written value means: "10 kΩ ±1 % ±50 ppm/K" as a number
// in SI units with its dimension, the limits within which it lies, and how they drift.
//
// Inside, every number is a float64 in SI base units: volts, kelvins (also for °C), seconds,
// fractions for % and ppm, radians for °, currency units for money. A text is rounded once:
// number, unit and tolerance are combined as exact rationals, and only the result becomes
// the nearest float64. So the limits of "27.3 V ±0.2 V" are the float64 of 27.1 and 27.5, and what
// String writes is read back to the last bit, from as few digits as that takes.
//
// Dimensions are the SI's, with five bases more: angle, converter step, meter digit, money, and
// the point that an absolute temperature is: 25 °C is one, 5 K a difference; they do not mix.
//
// It holds opinions. A number without a unit is an error where a unit belongs, never a guess.
// A bare ± is a rectangular distribution (JCGM 100, 4.3.7). A month is a twelfth of a year of
// 365.25 days. Commas and grouped digits are refused, since they mean different numbers to
// different readers. W/m·K is refused, since it can be read in two ways.
//
// It leaves out how spreads combine (package statistics), logarithmic units, Fahrenheit and
// inches, and powers that are not whole.
//
// Sources: SI Brochure, 9th ed. (BIPM, 2019) for units and how they are written; NIST SP 811
// (2008) for the factors of those outside the SI; ISO 4217 for currencies; JCGM 100:2008.
package quantity
