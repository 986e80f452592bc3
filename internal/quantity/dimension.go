package quantity

import "math"

// Dimension holds the exponents of a quantity's base units. The zero value is
// dimensionless. Point marks an absolute temperature: 25 °C is a point, 25 K a
// difference, and the two are different dimensions.
//
// Step (a converter's least significant step, LSB), Digit (the last digit of a
// meter) and Money are bases of their own, so that none is taken for a number.
// Angle is one too, so that a tilt is not taken for a ratio.
type Dimension struct {
	Length, Mass, Time, Current, Temperature int8
	Angle, Step, Digit, Money                int8
	Point                                    bool
}

// The dimensions that files and calculators ask for.
var (
	Ratio                 = Dimension{}
	Length                = Dimension{Length: 1}
	Area                  = Dimension{Length: 2}
	Volume                = Dimension{Length: 3}
	Mass                  = Dimension{Mass: 1}
	Time                  = Dimension{Time: 1}
	Frequency             = Dimension{Time: -1} // also a rate: 1/h, 1/year
	Current               = Dimension{Current: 1}
	Charge                = Dimension{Current: 1, Time: 1}
	TemperaturePoint      = Dimension{Temperature: 1, Point: true}
	TemperatureDifference = Dimension{Temperature: 1}
	PerKelvin             = Dimension{Temperature: -1}
	Angle                 = Dimension{Angle: 1}
	Step                  = Dimension{Step: 1}
	Digit                 = Dimension{Digit: 1}
	Money                 = Dimension{Money: 1}
	MoneyPerTime          = Dimension{Money: 1, Time: -1}
	Power                 = Dimension{Length: 2, Mass: 1, Time: -3}
	Energy                = Dimension{Length: 2, Mass: 1, Time: -2}
	Voltage               = Dimension{Length: 2, Mass: 1, Time: -3, Current: -1}
	Resistance            = Dimension{Length: 2, Mass: 1, Time: -3, Current: -2}
	Capacitance           = Dimension{Length: -2, Mass: -1, Time: 4, Current: 2}
	Inductance            = Dimension{Length: 2, Mass: 1, Time: -2, Current: -2}
	VoltagePerKelvin      = Dimension{Length: 2, Mass: 1, Time: -3, Current: -1, Temperature: -1}
	CurrentPerKelvin      = Dimension{Current: 1, Temperature: -1}
	ThermalResistance     = Dimension{Length: -2, Mass: -1, Time: 3, Temperature: 1}
	ThermalConductance    = Dimension{Length: 2, Mass: 1, Time: -3, Temperature: -1}
	ThermalConductivity   = Dimension{Length: 1, Mass: 1, Time: -3, Temperature: -1}
	HeatTransfer          = Dimension{Mass: 1, Time: -3, Temperature: -1} // W/(m²·K)
	HeatCapacity          = Dimension{Length: 2, Mass: 1, Time: -2, Temperature: -1}
	Irradiance            = Dimension{Mass: 1, Time: -3}
	Irradiation           = Dimension{Mass: 1, Time: -2} // Wh/m², MJ/m²
	Speed                 = Dimension{Length: 1, Time: -1}
	Pressure              = Dimension{Length: -1, Mass: 1, Time: -2}
	Force                 = Dimension{Length: 1, Mass: 1, Time: -2}
	MeltingIntegral       = Dimension{Current: 2, Time: 1} // A²s
)

// Mul returns the dimension of a product of quantities of d and e. A temperature
// that enters a product counts in kelvin, so Point is lost. Exponents stop at ±127.
func (d Dimension) Mul(e Dimension) Dimension { return d.combine(e, 1) }

// Div returns the dimension of d's quantity divided by e's; see Mul.
func (d Dimension) Div(e Dimension) Dimension { return d.combine(e, -1) }

// Pow returns the dimension of d's quantity to the power n; see Mul.
func (d Dimension) Pow(n int) Dimension {
	n = min(max(n, -math.MaxInt8), math.MaxInt8)
	return Dimension{}.combine(d, n)
}

// Root returns the dimension of the n-th root of d's quantity, n > 0; ok is false
// if an exponent is no multiple of n.
func (d Dimension) Root(n int) (root Dimension, ok bool) {
	if n < 1 {
		return Dimension{}, false
	}
	from, to := d.exponents(), [bases]int8{}
	for i, x := range from {
		if int(x)%n != 0 {
			return Dimension{}, false
		}
		to[i] = int8(int(x) / n)
	}
	return fromExponents(to), true
}

func (d Dimension) combine(e Dimension, n int) Dimension {
	sum, other := d.exponents(), e.exponents()
	for i, x := range other {
		total := int(sum[i]) + n*int(x)
		sum[i] = int8(min(max(total, -math.MaxInt8), math.MaxInt8))
	}
	return fromExponents(sum)
}

// bases counts the base units, in the order of the fields of Dimension.
const bases = 9

func (d Dimension) exponents() [bases]int8 {
	return [bases]int8{d.Mass, d.Length, d.Time, d.Current, d.Temperature, d.Angle, d.Step, d.Digit, d.Money}
}

func fromExponents(x [bases]int8) Dimension {
	return Dimension{Mass: x[0], Length: x[1], Time: x[2], Current: x[3], Temperature: x[4],
		Angle: x[5], Step: x[6], Digit: x[7], Money: x[8]}
}

// difference returns the dimension of the difference of two quantities of d.
func (d Dimension) difference() Dimension {
	d.Point = false
	return d
}
