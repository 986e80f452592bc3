package hardware

// Data sheets, by kind. Units are SI; a nil Value is not given.

// Resistor is a part of that kind.
type Resistor struct {
	Resistance        *Value // Ω
	Power             *Value // W
	ThermalResistance *Value // K/W, to its surroundings
}

// Wire is a conductor.
type Wire struct {
	Area, Length *Value // m², m
	Class        int    // 2 or 5 of IEC 60228; 0: not given
	Insulation   string // "pvc", "xlpe", "silicone" or ""
	Inductance   *Value // H/m, of a pair
}

// Track is a conductor on a circuit board.
type Track struct {
	Width, Length, Copper *Value // m
	Layer                 string // "outer" (default) or "inner"
}

// Contact is a terminal, a clip, a solder joint.
type Contact struct {
	Resistance     *Value // Ω
	Current        *Value // A
	MaxTemperature *Value // K
}

// A Drop is a forward voltage at a current and a temperature.
type Drop struct{ Current, Voltage, Temperature float64 }

// Diode is a part of that kind.
type Diode struct {
	Drops                                    []Drop
	DropsFrom                                string // where they stand
	Tempco                                   *Value // V/K
	Series                                   *Value // Ω
	Leakage, LeakageVoltage, LeakageExponent *Value // A at V and 25 °C; 1/K
	ReverseVoltage                           *Value // V
	Current, SurgeCurrent                    *Value // A
	JunctionToCase, JunctionToAmbient        *Value // K/W
	MaxJunction                              *Value // K
}

// A Stage is one stage of a thermal step response.
type Stage struct{ Resistance, Time float64 }

// Mosfet is a part of that kind; its values are magnitudes for either channel.
type Mosfet struct {
	Channel                                             string // "n" (default) or "p"
	OnResistance, OnResistanceDrive, OnResistanceTempco *Value // Ω at 25 °C, V, 1/K
	Drive, Threshold                                    *Value // V, gate to source
	DrainVoltage, GateVoltage                           *Value // V
	Current                                             *Value // A
	GateCharge, GateDrainCharge                         *Value // C
	GateResistance                                      *Value // Ω
	Plateau, BodyDrop                                   *Value // V
	Leakage                                             *Value // A at 25 °C
	AvalancheEnergy                                     *Value // J, one pulse
	JunctionToCase, JunctionToAmbient                   *Value // K/W
	MaxJunction                                         *Value // K
	Stages                                              []Stage
}

// A Melting is a point of a fuse's curve.
type Melting struct{ Current, Time float64 }

// Fuse is a part of that kind.
type Fuse struct {
	Rating                    *Value // A
	Resistance                *Value // Ω
	MeltingIntegral           *Value // A²s
	Voltage, BreakingCapacity *Value // V, A
	Points                    []Melting
	ContinuousShare           *Value // of the rating for ever at 25 °C; nil: 0.75 to 0.8
	Derating                  *Value // 1/K, of that above 25 °C; nil: 0.2 to 0.3 %/K
}

// Clamp is a part that takes surges.
type Clamp struct {
	Standoff, Breakdown, Clamping *Value // V
	ClampingCurrent               *Value // A
	Power, Energy                 *Value // W, J
}

// Capacitor is a part of that kind.
type Capacitor struct {
	Capacitance    *Value // F
	Voltage        *Value // V
	Series         *Value // Ω
	RippleCurrent  *Value // A
	MaxTemperature *Value // K
	Life           *Value // s, at MaxTemperature
}

// Thermistor is a part of that kind.
type Thermistor struct {
	Resistance *Value // Ω at 25 °C
	Beta       *Value // K
}

// Reference is a voltage reference of two ends.
type Reference struct {
	Voltage *Value // V
}

// Regulator makes a supply.
type Regulator struct {
	Output            *Value // V
	InputMax          *Value // V
	Quiescent         *Value // A
	JunctionToAmbient *Value // K/W
	MaxJunction       *Value // K
}

// Control is the control circuit.
type Control struct {
	Supply                *Value // V
	Current, SleepCurrent *Value // A, awake and by night
	InputMax              *Value // V
}

// Lamp is an indicator's lamp.
type Lamp struct {
	Current *Value // A
	Drop    *Value // V
}
