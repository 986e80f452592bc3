package quantity

// Dimension holds the exponents of a quantity's base units. The zero value is
// dimensionless. Point marks an absolute temperature: 25 °C is a point, 25 K a
// difference, and the two are different dimensions.
//
// Step (a converter's least significant step, LSB), Digit (the last digit of a
// meter) and Money are bases of their own, so that none is taken for a number.
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
	ThermalConductivity   = Dimension{Length: 1, Mass: 1, Time: -3, Temperature: -1}
	Irradiance            = Dimension{Mass: 1, Time: -3}
	Irradiation           = Dimension{Mass: 1, Time: -2} // Wh/m², MJ/m²
	Speed                 = Dimension{Length: 1, Time: -1}
	Pressure              = Dimension{Length: -1, Mass: 1, Time: -2}
	MeltingIntegral       = Dimension{Current: 2, Time: 1} // A²s
)
