package charge

import (
	"hindwatt/internal/hardware"
	"hindwatt/internal/physics/sun/weather"
	"hindwatt/internal/quantity"
)

// A Value is one input.
type Value = quantity.Written

// Input is all that the study rests on: one installation of the product. A nil Value is not given.
type Input struct {
	Installation string // its name in the folder
	Place        string // in words

	Latitude, Longitude, Elevation *Value          // rad, rad, m
	Sun, Air                       []Value         // twelve each: J/m² a day on the level, K
	Swing                          *Value          // K, the day's highest less its lowest air temperature
	Weather                        *weather.Record // instead of Sun and Air; nil: from those
	WeatherFrom                    string
	MeanYear                       bool // every year meets the monthly means exactly

	Design     hardware.Design
	Label      *Value // A, of the label
	Panel      Panel
	Battery    Battery
	Loads      []Load
	Regulation Regulation

	Quantities []string // wanted; empty: all
	Seed       uint64
	Years      int // that are drawn, each with a unit of its own; 0: 40
}

// Panel is the source as its label says, and how it stands. A label counts for one panel.
type Panel struct {
	Part                                                           string
	ShortCircuit, OpenCircuit, PeakCurrent, PeakVoltage, PeakPower *Value // A, V, A, V, W
	CurrentTempco, VoltageTempco, NOCT, DarkShunt                  *Value // A/K, V/K, K, Ω
	Cells, Series, Parallel                                        int    // 0: by the open-circuit voltage; 1; 1
	Amorphous                                                      bool
	Tilt, Azimuth, Ground                                          *Value // rad, rad from north over east, –
	Soiling, Age                                                   *Value // –, s
	Key, From                                                      string // Key is that of a part's table, "part.NAME"; "" for what a run measured
}

// Battery is what is charged. Capacity, resistance and cells count for one block.
type Battery struct {
	Part, Chemistry                                             string
	Capacity, Resistance, SelfDischarge, Recombination, Gassing *Value // C, Ω, 1/s, –, A of 100 Ah
	LifeCycles, ProtectionHigh, ProtectionLow                   *Value // –, V, V
	Hours                                                       int    // of the capacity; 0: 20
	Cells, Series, Parallel                                     int    // 0: 6 (lead), 4 (lithium iron phosphate); 1; 1
	Age, Rise                                                   *Value // s, K above the air
	From                                                        string
}

// A Load draws a current or a power for a share of the time from one time of day to another, the clock being the sun's mean time.
type Load struct {
	Name           string
	Current, Power *Value  // A or W
	From, Until    float64 // s after midnight; equal: always
	Share          *Value  // nil: all of that time
	At             string
}

// Regulation is what the controller does.
type Regulation struct {
	Method                           string // "pwm" (default), "on-off" or "none": the panel straight on the battery
	Absorption, Float                *Value // V at 25 °C, whole battery
	AbsorptionTime                   *Value // s; nil: it never goes to float
	Hysteresis                       *Value // V
	Compensation, CompensationLimits *Value // V/K, K
	Equalise, EqualiseTime           *Value // V, s; nil: it never does. Each 30 days, common practice: there is no key for it
	LoadDisconnect, LoadReconnect    *Value // V
	LoadDelay                        *Value // s below LoadDisconnect before the load is cut off; nil: at once
	StandbyDay, StandbyNight         *Value // A, as stated; nil: what the circuit adds up to
	StopBelow, StopAbove             *Value // K of the battery, charging stops there
	Error                            *Value // V, by which a unit holds the battery off its target, normal from unit to unit; nil: not at all
}

// Samples and their warm-up.
const (
	usualYears = 40 // the next year lies between the least and the most of so many with 39/41 = 95 %
	warmUp     = 30 // days before the year begins
	ah         = 3600.0
	wh         = 3600.0
	zero       = 273.15 // K
	aYear      = 365.25 * 86400
	aMonth     = aYear / 12
)

// An aim is one quantity of the study.
type aim struct {
	name   string
	dim    quantity.Dimension
	unit   string
	words  string // "what the loads did not get"
	axis   string
	of     func(y *Year) float64
	load   bool // needs a load
	sealed int8 // 1: of sealed batteries only, -1 of those that can be topped up, 2 of lithium, 3 of lead
}

var aims = []aim{
	{name: "unmet", dim: quantity.Ratio, unit: "%", words: "what the loads asked for and did not get", axis: "share of the loads' charge that was not met", load: true, of: func(y *Year) float64 { return share(y.Unmet, y.Load) }},
	{name: "disconnections", dim: quantity.Ratio, words: "how often the loads were cut off", axis: "disconnections in a year", load: true, of: func(y *Year) float64 { return float64(y.Disconnects) }},
	{name: "minimum-charge", dim: quantity.Ratio, unit: "%", words: "the lowest state of charge", axis: "lowest state of charge in a year", of: func(y *Year) float64 { return y.Least }},
	{name: "mean-charge", dim: quantity.Ratio, unit: "%", words: "the mean state of charge", axis: "mean state of charge", of: func(y *Year) float64 { return y.StateTime / y.Time }},
	{name: "days-to-full", dim: quantity.Time, unit: "d", words: "the longest time without a full charge", axis: "longest time without a full charge", of: func(y *Year) float64 { return float64(y.Longest) * 86400 }},
	{name: "possible", dim: quantity.Energy, unit: "kWh", words: "what the panel could have given at the battery's voltage", axis: "energy possible in a year", of: func(y *Year) float64 { return y.ChargedEnergy + y.PathEnergy + y.SpilledEnergy }},
	{name: "taken", dim: quantity.Energy, unit: "kWh", words: "what the battery's side took", axis: "energy taken in a year", of: func(y *Year) float64 { return y.ChargedEnergy }},
	{name: "delivered", dim: quantity.Energy, unit: "kWh", words: "what the loads got", axis: "energy delivered in a year", load: true, of: func(y *Year) float64 { return y.LoadEnergy }},
	{name: "lost", dim: quantity.Energy, unit: "kWh", words: "what was lost between panel and battery", axis: "energy lost on the way in a year", of: func(y *Year) float64 { return y.PathEnergy }},
	{name: "spilled", dim: quantity.Ratio, unit: "%", words: "what regulation turned away", axis: "share of the possible charge that was spilled", of: func(y *Year) float64 { return share(y.Spilled, y.Charged) }},
	{name: "hours-gassing", dim: quantity.Time, unit: "h", words: "the time above gassing voltage", axis: "time above the gassing voltage in a year", sealed: 3, of: func(y *Year) float64 { return y.AboveGassing }},
	{name: "overcharge", dim: quantity.Charge, unit: "Ah", words: "the charge that made gas", axis: "charge that made gas in a year", sealed: 3, of: func(y *Year) float64 { return y.Gas }},
	{name: "water", dim: quantity.Mass, unit: "g", words: "the water a cell lost", axis: "water lost by a cell in a year", sealed: 3, of: func(y *Year) float64 { return y.Water }},
	{name: "topping-up", dim: quantity.Time, unit: "month", words: "the time until water has to be topped up", axis: "time until topping up", sealed: -1, of: func(y *Year) float64 { return y.ToppingUp }},
	{name: "hydrogen", dim: quantity.Volume, unit: "L", words: "the hydrogen given off", axis: "hydrogen given off in a year", sealed: 3, of: func(y *Year) float64 { return y.Hydrogen }},
	{name: "heat", dim: quantity.Energy, unit: "kWh", words: "the heat of overcharge", axis: "heat of overcharge in a year", sealed: 1, of: func(y *Year) float64 { return y.Heat }},
	{name: "cycles", dim: quantity.Ratio, words: "the cycles", axis: "full-equivalent cycles in a year", of: func(y *Year) float64 { return y.Cycles }},
	{name: "life", dim: quantity.Ratio, unit: "%", words: "the share of the battery's cycle life that was used", axis: "share of the cycle life used in a year", of: func(y *Year) float64 { return y.Wear }},
	{name: "highest-voltage", dim: quantity.Voltage, unit: "V", words: "the highest voltage", axis: "highest battery voltage in a year", of: func(y *Year) float64 { return y.Highest }},
	{name: "protection-open", dim: quantity.Time, unit: "h", words: "the time that the protection inside the battery is open", axis: "time with the battery's protection open in a year", sealed: 2, of: func(y *Year) float64 { return y.Opened }},
	{name: "cold-charge", dim: quantity.Charge, unit: "Ah", words: "the charge taken below 0 °C", axis: "charge taken below 0 °C in a year", sealed: 2, of: func(y *Year) float64 { return y.FrozenIn }},
}

func share(part, rest float64) float64 {
	if part <= 0 {
		return 0
	}
	return part / (part + rest)
}

// Quantities lists the quantities that a promise can name.
func Quantities() []string {
	var names []string
	for _, a := range aims {
		names = append(names, a.name)
	}
	return names
}

// Unit returns the dimension of a quantity, the unit to show it in and what it is called at an axis; ok is false if there is no
// such quantity.
func Unit(name string) (dim quantity.Dimension, unit, axis string, ok bool) {
	for _, a := range aims {
		if a.name == name {
			return a.dim, a.unit, a.axis, true
		}
	}
	return quantity.Dimension{}, "", "", false
}
