package setpoint

import "hindwatt/internal/quantity"

// A Value is one input.
type Value = quantity.Written

// A Choice is an input that is one of a few words.
type Choice struct{ Text, From string }

// A Count is an input that is a whole number; N is 0 where none is given.
type Count struct {
	N    int
	From string
}

// Input is all that the study rests on. A nil Value is not given: Run then leaves out what needs
// it and says so in Result.Lacks, or takes the value named here and says so in a caution.
type Input struct {
	Method  Choice // "pwm" or "on-off"
	Sampled Choice // "mean" (default), "on" or "off": when in the pwm cycle the converter looks
	Sensor  Choice // "battery" (default), "board" or "none": where the compensation's sensor sits

	Absorption, Float             *Value // V at 25 °C, whole battery
	LoadDisconnect, LoadReconnect *Value // V, not compensated
	Compensation                  *Value // V/K from 25 °C, whole battery; nil: none
	CompensationLimits            *Value // range of temperature beyond which the target stays; nil: none

	Top, Bottom       *Value // Ω, the divider
	Reference         *Value // V, of the converter
	ReferenceIsSupply bool   // Reference is the supply of the control circuit
	Bits              Count  // of the converter; 0: a comparator, without steps
	Offset            *Value // steps; nil: none
	Nonlinearity      *Value // steps; nil: none
	Leakage           *Value // A, into the converter's input; nil: none
	Ageing            *Value // relative change of the chain, from the trim to the age of Conditions; nil: none

	SensorError *Value // K; nil: none
	BoardRise   *Value // K above the ambient, in use; nil: none
	BatteryRise *Value // K above the ambient; nil: none

	Lead              *Lead  // nil: judged at the controller's own terminals
	BatteryResistance *Value // Ω

	CurrentAtAbsorption *Value // A, mean while holding
	CurrentAtFloat      *Value // A, mean while holding
	OnCurrent           *Value // A, while the switch is closed: the panel's
	LoadCurrent         *Value // A, at which the load is cut off

	Trim      *Trim       // nil: not trimmed
	Meter     *Instrument // best voltmeter of the bench, for what a trim would buy; nil: a usual one is assumed
	Indicator *Indicator  // nil: the product shows no voltage

	Unknown Unknown // inputs that are the same, unknown, for all units, beside the trim's meter

	Conditions   Conditions
	Quantities   []string // wanted; empty: the deviation at every level, and the display's
	Seed         uint64
	digitAssumed bool // of the trim's meter

	Outer int // draws of what is merely unknown; 0: 250
	Inner int // units for each of them; 0: 4000
}

// Unknown lists inputs by name (see Names) that do not vary from unit to unit but are the same,
// and unknown, for all of them.
type Unknown struct {
	Names []string
	From  string
}

// A Lead is the pair of conductors between controller and battery.
type Lead struct {
	Length   *Value // m, one way
	Area     *Value // m², of each conductor
	Contacts *Value // Ω, both together; nil: none
	From     string
}

// An Instrument is a voltmeter.
type Instrument struct {
	Name     string            // of bench/meters.toml; "" where only an accuracy is given
	Accuracy quantity.Accuracy // "±(0.5 % + 2 digits)"
	Digit    *Value            // V, last digit; nil: 10 mV where the accuracy counts digits
	From     string
}

// A Trim is how each unit is adjusted before it leaves.
type Trim struct {
	At          []Value    // V, one point or two
	Instrument  Instrument // that it is adjusted by; the same for all units
	Temperature *Value     // of the air and of the idle board while trimming; nil: 23 °C
	Method      Choice     // "gain" (default) or "offset", for one point
	Step        *Value     // V, smallest step of the trim at the battery; nil: one step of the converter
	From        string
}

// An Indicator shows the battery's voltage.
type Indicator struct {
	Kind       Choice  // "digits" or "lamps"
	Step       *Value  // V, of digits or of a lamp code that blinks a number
	Rounding   Choice  // "round" (default) or "truncate"
	Range      *Value  // V, that it shows; nil: from the lowest level to the highest
	Thresholds []Value // V, at which lamps change, in any order
	From       string
}

// Conditions are those that a promise names, as values or ranges; they are covered. What is not
// named is drawn from unit to unit, the ambient excepted: nil is 25 °C.
type Conditions struct {
	Ambient       *Value
	ChargeCurrent *Value // A, mean with pwm, at the moment of stop with on-off
	LoadCurrent   *Value // A
	Aged          bool   // the promise speaks of an age: Ageing counts
}
