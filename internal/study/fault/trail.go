package fault

import "hindwatt/internal/hardware"

// A trail is where the solutions of a case settled on the nominal circuit. A unit, or a pair that begins like the case, begins each of
// its own there as long as it goes the same way: it stays on the nominal one's branch where a circuit has more than one solution, and is
// found in fewer steps.
type trail struct {
	at   map[place]*hardware.RigStart
	warm map[int]warmth // by stage
	ways []way
}

// warmth is how warm each component is in the end, in K, and in which round that was seen.
type warmth struct {
	temperature []float64
	round       int
}

// warmed lets a stage of a unit begin as warm as the trail ends it; it returns the round in which that was seen.
func (e *engine) warmed() (round int) {
	if e.trail == nil || e.nominal {
		return 0
	}
	w, known := e.trail.warm[e.stages]
	for i, t := range w.temperature {
		e.r.Warm(i, t)
	}
	if !known {
		return 0
	}
	return w.round
}

// keepWarm keeps how warm a stage is in the end.
func (e *engine) keepWarm(round int) {
	if e.noted == nil {
		return
	}
	w := warmth{round: round}
	for i := range e.flows {
		w.temperature = append(w.temperature, e.r.Temperature(i))
	}
	e.noted.warm[e.stages] = w
}

// place is one solution of a case.
type place struct {
	stage, round, phase int
	without             int // the component taken out for it, from 1; 0: none
}

const laterRound = 100 // of what is solved for the days after

// way is how a stage ended: what gave way and of what, or what the control did.
type way struct {
	who   int
	of    limit
	event string
}

// solution is the next one of the case.
func (e *engine) solution(p place) error {
	p.stage = e.stages
	if e.trail != nil {
		e.r.From(e.trail.at[p])
	}
	err := e.r.Solve()
	if err == nil && e.noted != nil {
		e.noted.at[p] = e.r.Settled()
	}
	return err
}

// passes ends a stage.
func (e *engine) passes(w way) {
	if e.noted != nil {
		e.noted.ways = append(e.noted.ways, w)
	}
	if t := e.trail; t != nil && (e.stages >= len(t.ways) || t.ways[e.stages] != w) {
		e.trail = nil
	}
	e.stages++
}
