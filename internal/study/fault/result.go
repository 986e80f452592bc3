package fault

import (
	"math"

	"hindwatt/internal/figure"
	"hindwatt/internal/money"
	"hindwatt/internal/page"
)

// An End is how a case ends; a worse one is greater.
type End = figure.FaultEnd

// The ends.
const (
	Unharmed = figure.Unharmed
	Recovers = figure.Recovers
	PartLost = figure.PartLost
	Harmed   = figure.Harmed
	Hazard   = figure.Hazard
)

// EndNamed finds an end by its words, as figure.FaultEnd writes them.
func EndNamed(words string) (End, bool) {
	for e := Unharmed; e <= Hazard; e++ {
		if e.String() == words {
			return e, true
		}
	}
	return 0, false
}

// Result is every case in every state that matters to it.
type Result struct {
	Input    Input
	Cases    []Case
	States   []State
	Outcomes []*Outcome // by case, then by state; a state that changes nothing for a case is left out, see Of
	Pairs    []*Outcome // of two cases in order, with Depth 2: only those that end worse than either of the two by itself
	Paired   int        // how many pairs were followed

	Rescues []Rescue // by case, the cheapest first
	Order   []Rank   // part failures, the worst first

	world    *world
	normal   []*trail // as engine.normal
	Lacks    []page.Lack
	Taken    []Taken
	Warnings []page.Note
	Cautions []page.Note // wherever an end is a hazard, and before any trial on the bench
}

// A Stage is a stretch of time in which nothing changes.
type Stage struct {
	From, Until float64    // s
	Flows       []float64  // A of each component of Design.Components, from its first end to its second, of a mosfet from drain to source; mean of a cycle
	Panel       float64    // A, out of the panel
	Battery     float64    // A, into the battery
	Load        float64    // A, through the load
	Wires       []float64  // A of each of Outcome.Wires, from its first end to its second
	Backward    []Backward // what flows through the silicon of regulators and controls the wrong way round
	Gives       []Way      // what gives way at its end, usually one; none in the last stage
	Path        []string   // the components that the largest current goes through, in the order of the folder
	Text        string     // the stage in a sentence
	Connected   Connection // how panel, battery and load are joined in this stage

	misread float64  // V that the control sees more than the battery has, by a bad contact
	broken  []string // parts that break through
	held    string   // a switch that would block a current, were it not held on; "" for none
}

// A Way is how something gives way.
type Way struct {
	Part   string  // component, or "load", "battery", "battery lead", "panel lead"
	Of     string  // the limit: "junction", "reverse voltage", "drain voltage", "avalanche energy", "surge current", "energy", "voltage", "power", "melting", "breaking capacity", "insulation", "copper", "contact", "supply", "backward current"
	Ratio  float64 // the limit over what came
	At     float64 // s
	Become string  // "short", "open", "" where it stays as it is
	Text   string  // "its junction passes 150 °C"
}

// Connection is which nodes the outside is joined to, plus and minus; "" is none.
type Connection struct{ Panel, Battery, Load, Source [2]string }

// Backward is a current through a regulator or a control, from its return to its first end.
type Backward struct {
	Part, From, To string
	Current        float64 // A, mean of a cycle
}

// A Wire joins two nodes.
type Wire struct{ From, To string }

// An Outcome is a case in a state, followed to its end.
type Outcome struct {
	Case   *Case
	Second *Case // of a pair the mistake that comes after
	State  *State
	Wires  []Wire // laid by the mistake
	Stages []Stage

	End    End
	Harm   []Harm // worst first; empty if unharmed
	Text   string // the end in a sentence
	Margin Margin
	Reach  End                 // the worst end of any of the units, at least End
	Shares [Hazard + 1]float64 // of the units by their end; all 0 without units

	trail *trail // of the nominal circuit; nil of a pair
}

// Harm is one thing that is lost or endangered.
type Harm struct {
	End  End
	What string // component, "battery", "load", "battery lead", "panel lead"
	Kind string // of a hazard "heat", "gas" or "acid"; else ""
	Text string // "d1 is lost (gone short)"
}

// Margin is the nearest limit over what comes: above 1 it holds, 1 is just reached, below 1 it has given way.
type Margin struct {
	Ratio     float64 // 0 where nothing comes near a limit
	Low, High float64 // 95 % of the units; both 0 without units
	Part      string  // whose limit it is, as Way.Part
	Of        string  // which, as Way.Of
}

// None reports whether there is no margin to tell.
func (m Margin) None() bool { return m.Ratio == 0 || math.IsInf(m.Ratio, 0) }

// Rescue is one change that makes a case end better, computed.
type Rescue struct {
	Case    *Case
	Worst   End           // of all its states, now
	Then    End           // with the change
	State   *State        // of the worst end that is left
	Change  string        // "a fuse of 15 A in the battery's positive lead"
	Part    string        // of the folder, by whose data sheet it was computed; "" for a usual one
	Typical bool          // by usual values of such a part, since the folder has none: an estimate
	Loss    float64       // W more at the label's current, charging or feeding a load, whichever is more
	Drop    float64       // V more between panel and battery at the label's current
	Cost    *money.Amount // nil: no price is written down
	From    string        // of the price
	Also    []string      // names of other cases that it makes end better
	Worse   []string      // names of cases that end worse with it
}

// Rank is a failure of a part in the order of severity, then of how much of a part's failures it makes.
type Rank struct {
	Case     *Case
	Severity End     // worst over the states
	State    *State  // of that end
	Share    float64 // of the failures of such a part, 0..1; 0 where none is published
	Source   string
	Returned float64 // units, of any revision, that came back with a fault for a reason that names this failure, or else its part
	Own      float64 // of them of the revision that is looked at
	Named    bool    // they name this very failure
}

// Of returns the outcome of a case in a state, both by name. A state that changes nothing is answered by the one that it equals; nil if
// there is no such case or state.
func (r *Result) Of(name, state string) *Outcome {
	for _, o := range r.Outcomes {
		if o.Case.Name == name && o.covers(state) {
			return o
		}
	}
	return nil
}

func (o *Outcome) covers(state string) bool {
	if o.State.Name == state {
		return true
	}
	for _, s := range o.Case.same[o.State.Name] {
		if s == state {
			return true
		}
	}
	return false
}

// Worst returns the outcome of a case that ends worst, of two alike the one with the smaller margin; nil if there is no such case.
func (r *Result) Worst(name string) *Outcome {
	var worst *Outcome
	for _, o := range r.Outcomes {
		if o.Case.Name == name && (worst == nil || o.worse(worst)) {
			worst = o
		}
	}
	return worst
}

// furthest returns the outcome of a case, in whatever state, whose units may end worst; nil if none may end worse than its worst
// outcome does.
func (r *Result) furthest(name string) *Outcome {
	worst := r.Worst(name)
	if worst == nil {
		return nil
	}
	var far *Outcome
	for _, o := range r.Outcomes {
		if o.Case.Name == name && o.Reach > worst.End && (far == nil || o.Reach > far.Reach || o.Reach == far.Reach && o.share(worst.End) > far.share(worst.End)) {
			far = o
		}
	}
	return far
}

// share is that of the units that end worse than an end.
func (o *Outcome) share(than End) (sum float64) {
	for k := than + 1; k <= Hazard; k++ {
		sum += o.Shares[k]
	}
	return sum
}

func (o *Outcome) worse(p *Outcome) bool {
	switch {
	case o.End != p.End:
		return o.End > p.End
	case o.Reach != p.Reach:
		return o.Reach > p.Reach
	case o.Margin.None() || p.Margin.None():
		return p.Margin.None() && !o.Margin.None()
	}
	return o.Margin.Ratio < p.Margin.Ratio
}

// Find returns a case by its name, nil if there is none.
func (r *Result) Find(name string) *Case {
	for i := range r.Cases {
		if r.Cases[i].Name == name {
			return &r.Cases[i]
		}
	}
	return nil
}
