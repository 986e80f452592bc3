package figures

import "hindwatt/internal/quantity"

// Scale is how many SI units a unit is, of a temperature how many kelvins; 1 for one that is not of the dimension.
func Scale(dim quantity.Dimension, unit string) float64 {
	if is, scale, ok := quantity.UnitDimension(unit); ok && is == dim {
		return scale
	}
	return 1
}

const zeroCelsius = 273.15 // K

// Number is a value in SI units as a number in a unit, of a temperature in °C.
func Number(v float64, dim quantity.Dimension, unit string) float64 {
	if dim.Point && unit == "°C" {
		return v - zeroCelsius
	}
	return v / Scale(dim, unit)
}

// SI is a number in a unit as a value in SI units: Number the other way round.
func SI(number float64, dim quantity.Dimension, unit string) float64 {
	if dim.Point && unit == "°C" {
		return number + zeroCelsius
	}
	return number * Scale(dim, unit)
}
