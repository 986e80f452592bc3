package hardware

import "hindwatt/internal/physics/heat"

// Outside is the world at the six terminals and around the case.
type Outside struct {
	Ambient    float64 // K, air
	Irradiance float64 // W/m², sun on the case; 0 in the shade
	Altitude   float64 // m
	Panel      Panel
	Battery    Battery
	Load       Load
}

// Panel is the source at pv+ and pv-: a held current, or a single-diode panel where Photocurrent is set.
type Panel struct {
	Current float64 // A, held at any voltage below Open
	Open    float64 // V, of the open panel; 0: 1.8 times the nominal voltage, as of a usual panel of 36 cells for 12 V

	// Single-diode model at its irradiance and temperature: I = Photocurrent − Saturation·(exp((V+I·Series)/A)−1) − (V+I·Series)/Shunt.
	Photocurrent, Saturation, A, Series, Shunt float64 // A, A, V, Ω, Ω
}

// Battery is what stands at bat+ and bat-.
type Battery struct {
	EMF        float64 // V
	Resistance float64 // Ω
}

// Load is what stands at load+ and load-: a current that it draws, or a resistance.
type Load struct {
	Current    float64 // A
	Resistance float64 // Ω; 0: none
}

// State is what the control does.
type State struct {
	Duty   float64 // share of the cycle in which the battery is charged: 1 full conduction, 0 stopped
	LoadOn bool    // the load switch conducts
	Night  bool    // the control sleeps
}

// Loss is the heat of one part, W, mean of the cycle.
type Loss struct {
	Conduction float64 // while the current flows, body diodes included
	Switching  float64 // at the edges: ½·V·I·(tr+tf)·f and the gate's charge
	Clamping   float64 // energy of the leads at each turn-off, as avalanche or in a clamp
	Leakage    float64 // in reverse, or off
}

// Sum is all of it.
func (l Loss) Sum() float64 { return l.Conduction + l.Switching + l.Clamping + l.Leakage }

// A Limit is one thing that a part must not exceed.
type Limit struct {
	Of    string  // "junction", "contact", "insulation", "capacitor", "board": K; "current": A; "power": W
	Value float64 // what it is here
	Max   float64 // what it may be
	From  string  // file:line of Max, or what it rests on
}

// Part is one component at its operating point.
type Part struct {
	Name      string
	Mean, RMS float64 // A through its two ends, From to To; of a mosfet drain to source
	Drop      float64 // V from its first end to its second while the battery is charged
	Loss      Loss
	At        float64 // K, its hottest place
	Limits    []Limit // none: nothing is stated
	Tightest  int     // index of the limit that is nearest, −1 for none
}

// Case is one enclosure at the operating point.
type Case struct {
	Name    string
	Surface float64 // K, outside
	Inner   float64 // K, of the air or the filling inside
	Board   float64 // K, mean of the board
	Heat    float64 // W, through its wall
}

// Point is the controller at rest at these conditions.
type Point struct {
	Parts []Part // as Design.Components
	Cases []Case // as Design.Enclosures

	Loss float64 // W, of all parts
	In   float64 // W, inside enclosures

	PanelCurrent   float64 // A, mean, out of the panel
	BatteryCurrent float64 // A, mean, into the battery
	LoadCurrent    float64 // A, mean
	Standby        float64 // A, what the panel gives and neither battery nor load gets: with a dark panel what the controller itself draws; in the sun the current of a shunt counts
	Drive          float64 // W, that the control gives the gates; off the loss of the first control, if there is one

	PanelDrop float64 // V lost between panel and battery terminals while the battery is charged
	LoadDrop  float64 // V lost between battery and load terminals; 0 while the load is off

	PanelPower, BatteryPower, LoadPower float64 // W at the terminals, mean: out of the panel, into the battery, into the load

	Warnings []Warning  // doubt, each with its remedy
	Outlying []Outlying // faces whose correlation of free convection is used outside its range
}

// An Outlying is such a face: which, by how much, and what it means for the temperatures.
type Outlying = heat.Outlying

// Warning is a doubt about a point.
type Warning struct{ At, Text, Remedy string }

// Rating is the largest held panel current at which every limit holds.
type Rating struct {
	Current float64 // A
	Part    string  // that stops it
	Of      string  // its limit: "junction", "contact", "current" …; "runaway"
	Bound   bool    // false: nothing stops it below Most
	Point   *Point  // at Current; nil where Full was not asked
}

// Find says how Largest looks.
type Find struct {
	Most float64 // A, upper end of the search; 0: 1000 A
	Load bool    // the load draws the same current as the panel gives, through the load switch
	Full bool    // with the whole Point at the end
}
