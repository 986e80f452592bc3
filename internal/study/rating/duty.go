package rating

import (
	"math"

	"hindwatt/internal/hardware"
)

// scanned is how finely the duty of regulation is looked at.
const scanned = 10

// A Regulation is how much a nominal unit carries at one duty.
type Regulation struct {
	Duty    float64 // share of the cycle in which the battery is charged
	Current float64 // A, largest
	Part    string  // that stops it
	Of      string
	Loss    float64 // W, at the asked current; 0 if there is none
	Touch   float64 // K, of the case at the asked current; 0 likewise
}

// duties scans the cycle from full conduction to stopped [Q3]. A controller that does not pulse has only full conduction.
func (r *Result) duties() error {
	n := scanned
	if r.Input.Design.Method == "on-off" {
		n = 0
	}
	at := r.place
	for k := 0; k <= n; k++ {
		d := 1 - float64(k)/scanned
		i, _, by, err := r.probe.largest(at, []duty{d})
		if err != nil {
			return err
		}
		row := Regulation{Duty: d, Current: i, Part: by.part, Of: by.of}
		if at.current > 0 {
			if pt, err := r.probe.point(at, d); err == nil {
				row.Loss, row.Touch = pt.Loss, r.Input.touched(pt)
			}
		}
		r.Duties = append(r.Duties, row)
	}
	r.looked()
	return nil
}

// looked picks the duties that units are asked at: full conduction, and those at which a nominal unit carries least, loses
// most and is hottest to the touch.
func (r *Result) looked() {
	least, most, hottest := r.Duties[0], r.Duties[0], r.Duties[0]
	for _, d := range r.Duties {
		if d.Current < least.Current*(1-tie) {
			least = d
		}
		if d.Loss > most.Loss*(1+tie) {
			most = d
		}
		if d.Touch > hottest.Touch+tie {
			hottest = d
		}
	}
	r.Worst = least.Duty
	r.states = map[string][]duty{"current": pair(least.Duty), "loss": pair(most.Duty), "touch-temperature": pair(hottest.Duty)}
}

// tie is by how much a figure must differ to count as worse: relative of currents and losses, K of temperatures.
const tie = 1e-6

func pair(worst duty) []duty {
	if worst == conducting {
		return []duty{conducting}
	}
	return []duty{conducting, worst}
}

// statesOf are the duties that a quantity is asked at.
func (r *Result) statesOf(a aim) []duty {
	if s := r.states[a.name]; s != nil {
		return s
	}
	return []duty{conducting}
}

// critical is the ambient from which on there is no steady state at the asked current, K; part is "" if there is one up to the
// hottest that is looked at.
func (r *Result) critical() error {
	at := r.place
	at.air = leastAir
	for _, d := range pair(r.Worst) {
		ambient, part, found, err := r.probe.unit.Critical(r.Input.outside(at, false), hardware.State{Duty: d, LoadOn: at.load > 0}, mostAir)
		if err != nil {
			return err
		}
		if found && (r.Runaway.Part == "" || ambient < r.Runaway.Ambient) {
			r.Runaway = Runaway{ambient, part, d}
		}
	}
	return nil
}

// Runaway is looked for between these ambients, K.
const (
	leastAir = zeroCelsius - 40
	mostAir  = zeroCelsius + 150
)

// A Runaway is where the steady state ends.
type Runaway struct {
	Ambient float64 // K
	Part    string  // "": none up to 150 °C
	Duty    float64
}

// worstEnd is that end of the ambient's range at which a nominal unit is worst.
func (r *Result) worstEnd(a aim) (place, error) {
	low, high := r.Input.air()
	at := r.place
	if low == high || a.name == "current" || a.name == "touch-temperature" {
		at.air = high // hotter air leaves less to every limit
		return at, nil
	}
	worst := math.Inf(-1)
	var found place
	for _, air := range []float64{low, high} {
		at.air = air
		v, err := r.probe.value(a, at, r.statesOf(a))
		if err != nil {
			return at, err
		}
		if v > worst {
			worst, found = v, at
		}
	}
	return found, nil
}
