package rating

import (
	"hindwatt/internal/hardware"
	"hindwatt/internal/quantity"
)

// A Value is one input.
type Value = quantity.Written

// Input is all that the study rests on. A nil Value is not given.
type Input struct {
	Design hardware.Design

	Label        *Value // A, the current that the label names: where conditions name none, drops and temperatures are told at it
	Battery      *Value // V, at which it charges; nil: 14.4 V for every 12 V of the label
	Resistance   *Value // Ω, of the battery; nil: 10 mΩ for every 12 V
	Altitude     *Value // m; nil: sea level
	StandbyDay   *Value // A, as the folder states it; nil: what the netlist adds up to
	StandbyNight *Value // A, likewise

	Others []hardware.Component // other mosfets and diodes of the folder, by their data sheets, to be tried in place of those there

	Conditions Conditions
	Quantities []string // wanted; empty: all
	Seed       uint64

	Outer int // draws of what is merely unknown; 0: 50
	Inner int // units for each of them; 0: 40
}

// Conditions are those that a promise names, as values or ranges; of a range the worst counts.
type Conditions struct {
	Ambient     *Value // nil: 25 °C
	Current     *Value // A, out of the panel; nil: Input.Label
	LoadCurrent *Value // A; nil: no load, and for the drop to the load that of Current
	Mounted     string // "free", "wood" or "metal"; "": as the enclosure says
}

// Samples of a run: 2,000 units.
const (
	outerDraws = 50
	innerUnits = 40
)

const (
	zeroCelsius = 273.15
	usualAir    = zeroCelsius + 25 // K
	cell12      = 12.0             // V that battery values below are for
	charging12  = 14.4             // V, of a 12 V lead battery near the end of its charge (MODELS D1 [M])
	resting12   = 13.0             // V, of a full 12 V lead battery at rest at night; common practice
	resistance  = 10e-3            // Ω for every 12 V, of a battery in good order; estimate
)

// An aim is one quantity of the study.
type aim struct {
	name   string
	dim    quantity.Dimension
	unit   string
	higher bool // more is better
	words  string
	axis   string
}

var aims = []aim{
	{"current", quantity.Current, "A", true, "the largest continuous current", "largest continuous current"},
	{"drop", quantity.Voltage, "V", false, "the drop from panel to battery", "voltage lost between panel and battery"},
	{"load-drop", quantity.Voltage, "V", false, "the drop from battery to load", "voltage lost between battery and load"},
	{"touch-temperature", quantity.TemperaturePoint, "°C", false, "the outside of the case", "hottest outside of the case"},
	{"loss", quantity.Power, "W", false, "the loss", "heat of the whole controller"},
	{"standby", quantity.Current, "mA", false, "what it takes at night", "current from the battery at night"},
	{"standby-by-day", quantity.Current, "mA", false, "what it takes by day", "current from the battery by day"},
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
	a, ok := findAim(name)
	return a.dim, a.unit, a.axis, ok
}

func findAim(name string) (aim, bool) {
	for _, a := range aims {
		if a.name == name {
			return a, true
		}
	}
	return aim{}, false
}
