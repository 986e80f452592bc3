package fault

// A State is what sun, battery and control are doing when it happens.
type State struct {
	Name string // "full sun, charging"
	Text string // the same as a clause: "in full sun, while it charges"

	sun     float64 // of the short-circuit current
	full    bool    // the battery
	holding bool    // the control pulses, to hold the battery full
	silent  bool    // the control is not powered yet
	night   bool
	lasts   float64 // s, how long the sun stays so; 0: as long as is followed
}

// fullSun is the place among States of full sun, while it charges.
const fullSun = 2

// States are those in which every case is looked at.
func States() []State {
	return []State{
		{Name: "dark", Text: "in the dark", full: true, night: true},
		{Name: "weak sun, battery low", Text: "in weak sun, with a low battery", sun: 0.05},
		{Name: "full sun, charging", Text: "in full sun, while it charges", sun: 1},
		{Name: "full sun, holding", Text: "in full sun, while it holds a full battery", sun: 1, full: true, holding: true},
		{Name: "1.25 Isc", Text: "at 1.25 times the short-circuit current", sun: 1.25},
		{Name: "edge of a cloud", Text: "at the edge of a cloud", sun: 1.5, full: true, lasts: 60},
		{Name: "unpowered", Text: "in full sun, before the control has woken", sun: 1, full: true, silent: true},
	}
}
