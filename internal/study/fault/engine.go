package fault

import (
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/hardware"
)

// flow is what a component does in a stage, over the cycle.
type flow struct {
	current, peak, square float64 // A, A, A²: mean, largest size, mean square
	power                 float64 // W, mean
	low, high             float64 // V across it
	backward, returned    float64 // A through the silicon of a control or regulator, largest and mean
	input                 float64 // V of a regulator's input
}

// What stands outside counts as parts behind the components.
const (
	theLoad = iota
	theBattery
	batteryLead
	panelLead
	batteryTerminal
	panelTerminal
	outsiders
)

var outsiderNames = [outsiders]string{"load", "battery", "battery lead", "panel lead", "battery terminal", "panel terminal"}

// mostStages bounds a sequence: what has not come to rest by then is not solved.
const mostStages = 40

// engine follows cases on one unit. It belongs to one goroutine.
type engine struct {
	d     *hardware.Design
	w     world
	unit  *hardware.Unit
	r     *hardware.Rig
	quiet bool // no words: for the units of an interval

	s     setup
	state *State
	at    int // its place among States
	days  bool
	still bool   // nothing has changed since the last solution
	stops bool   // the control has stopped the charge
	event string // what the control does at the end of this stage
	cut   bool   // the control has cut the load off

	flows   []flow
	out     [outsiders]flow
	wires   []float64 // A of each that is laid, mean
	source  float64   // A of another source, mean
	powered bool      // the control is powered in some phase
	used    [][limits]spent
	past    [][limits]bool // limits that are passed and stay so
	judged  []bearing
	usual   []usual   // by state, of the circuit as it should be
	rise    []float64 // K of each component over the air, where it settles if this stage goes on
	sense   sense
	power   []float64
	watch   *usual  // where the limits of the circuit as it should be are noted
	goes    float64 // V that the battery goes to in the seven days; 0: they have not begun
	held    float64 // V of the battery that is charged on for days; 0: not
	flat    bool    // the battery is drained

	seen, bus float64 // V of the battery as the control sees it at most, and as it is then

	blow float64 // factor on the currents of a fuse's curve

	ampacities map[[2]float64]float64 // A of wires, by area and temperature

	normal  []*trail // where the nominal circuit settled as it should be, by state
	nominal bool     // it has nominal values
	trail   *trail   // where the solutions of this case begin; nil: each at the last one, or at nothing
	noted   *trail   // where they settle; nil: that is not kept
	stages  int      // that have ended

	o *Outcome
}

// usual is what the circuit does in a state when nothing is wrong.
type usual struct {
	ratios              [][limits]float64 // limit over what comes; 0: nothing comes
	through             []float64         // A of each component
	charge, panel, load float64           // A into the battery, A out of the panel, V at the load
	seen                float64           // V of the battery as the control sees it at most
}

// newEngine makes one of a unit; nominal, unless it is that itself, is where its solutions begin.
func newEngine(in *Input, w *world, values []float64, nominal []*trail) (*engine, error) {
	u, err := in.Design.Unit(values)
	if err != nil {
		return nil, err
	}
	n := len(in.Design.Components)
	e := &engine{d: &in.Design, w: *w, unit: u, r: u.Rig(), flows: make([]flow, n), used: make([][limits]spent, n+outsiders),
		past: make([][limits]bool, n+outsiders), blow: 1, ampacities: map[[2]float64]float64{}, sense: sensing(&in.Design), rise: make([]float64, n), power: make([]float64, n), normal: nominal, nominal: values == nil}
	return e, e.usually()
}

// nothing is the case in which nothing is wrong.
var nothing = Case{Name: "as it should be", lasts: hour, apply: func(*setup, *world) {}}

// usually finds what the circuit does when nothing is wrong: a limit that a case does not come nearer to is none of its margins.
func (e *engine) usually() error {
	states := States()
	e.usual = nil
	nominal := e.normal == nil
	if nominal {
		e.normal = make([]*trail, len(states))
	}
	quiet := e.quiet
	e.quiet = true
	defer func() { e.quiet = quiet }()
	all := make([]usual, len(states))
	for k := range states {
		all[k].ratios = make([][limits]float64, len(e.used))
		e.watch = &all[k]
		if nominal {
			e.note()
		}
		if _, err := e.along(e.normal[k], &states[k], &nothing, nil); err != nil {
			return err
		}
		if nominal {
			e.normal[k] = e.noted
		}
		for i := range e.flows {
			all[k].through = append(all[k].through, e.flows[i].current)
		}
		all[k].charge, all[k].panel, all[k].load = e.out[theBattery].current, -e.out[panelLead].current, e.out[theLoad].high
		all[k].seen = e.seen
	}
	e.watch, e.usual, e.noted = nil, all, nil
	return nil
}

// begin wires everything as it should be in a state.
func (e *engine) begin(state *State) {
	e.at = slices.IndexFunc(States(), func(s State) bool { return s.Name == state.Name })
	e.still, e.stages = false, 0
	e.s, e.state, e.days, e.stops, e.cut, e.held, e.goes, e.flat = wired(&e.w), state, false, false, false, 0, 0, false
	clear(e.used)
	clear(e.past)
	e.r.Reset(e.w.ambient)
}

// note keeps where the solutions of the next case settle.
func (e *engine) note() { e.noted = &trail{at: map[place]*hardware.RigStart{}, warm: map[int]warmth{}} }

// along follows, beginning where a trail leads.
func (e *engine) along(t *trail, state *State, first, second *Case) (*Outcome, error) {
	e.trail = t
	defer func() { e.trail = nil }()
	return e.follow(state, first, second)
}

// follow runs one case, or one after another, in a state.
func (e *engine) follow(state *State, first, second *Case) (*Outcome, error) {
	e.begin(state)
	e.o = &Outcome{Case: first, Second: second, State: state}
	start := 0.0
	for _, c := range []*Case{first, second} {
		if c == nil {
			continue
		}
		if c == second {
			e.trail = nil // it leads along the first alone
		}
		c.apply(&e.s, &e.w)
		e.days = e.days || c.days
		e.stops, e.cut = false, false
		e.join()
		until := c.lasts
		if state.lasts > 0 {
			until = min(until, state.lasts)
		}
		if err := e.run(start, start+until); err != nil {
			return e.o, fmt.Errorf("%s, %s: %w", e.name(), state.Name, err)
		}
		start += until
	}
	e.serves()
	if e.days && state.lasts == 0 {
		if err := e.later(); err != nil {
			return e.o, fmt.Errorf("%s, %s, over days: %w", e.name(), state.Name, err)
		}
	}
	e.conclude()
	return e.o, nil
}

func (e *engine) name() string { return e.o.name() }

func (o *Outcome) name() string {
	if o.Second != nil {
		return o.Case.Name + ", then " + o.Second.Name
	}
	return o.Case.Name
}

// run follows stages until nothing changes.
func (e *engine) run(now, until float64) error {
	for stage := 0; now < until; stage++ {
		if stage == mostStages {
			return fmt.Errorf("it does not come to rest in %d stages; want parts whose limits are further apart", mostStages)
		}
		if !e.still {
			if err := e.settle(); err != nil {
				return err
			}
		}
		now = e.step(now, until)
	}
	return nil
}

// join connects what stands outside.
func (e *engine) join() {
	e.still = false
	s, w := &e.s, &e.w
	p := w.panel
	p.Photocurrent *= e.state.sun
	if e.state.sun == 0 {
		p.Shunt = w.darkShunt
	}
	k := s.panels * s.cold
	p.A, p.Series = p.A*k, p.Series*s.panels+w.lead[1]+s.terminal[1]
	p.Breakdown.Voltage *= s.panels
	p.Bypasses = int(float64(p.Bypasses) * s.panels)
	e.r.Panel(s.at.Panel[0], s.at.Panel[1], p)
	e.r.Battery(s.at.Battery[0], s.at.Battery[1], e.emf(), w.ohms*s.batteries+w.lead[0]+s.terminal[0])
	e.r.Source(s.source[0], s.source[1], s.volts, s.ohms)
	e.r.Load(s.at.Load[0], s.at.Load[1], 0, s.loadOhms)
	for k := range s.wires {
		e.r.Wire(k, s.wires[k].a, s.wires[k].b, s.wires[k].ohms)
	}
	for i := range e.d.Components {
		if c, failed := s.fail[i]; failed && e.r.Condition(i) == hardware.Whole {
			e.r.Set(i, c)
		}
		if f, drifted := s.drift[i]; drifted {
			e.r.Drift(i, f)
		}
		e.r.Stick(i, s.stuck[i])
	}
}

// emf is the battery's: of a full battery that is held, at the voltage at which it is.
func (e *engine) emf() float64 {
	switch {
	case e.flat:
		return flatVolts
	case e.held > 0:
		return e.held
	case e.state.holding:
		return e.w.absorb * e.s.batteries
	case e.state.full:
		return e.w.full * e.s.batteries
	}
	return e.w.low * e.s.batteries
}

// flatVolts is what a battery that is drained flat still has.
const flatVolts = 1e-3

// phases of the control's cycle, each with the same share of the time: true while it charges.
func (e *engine) phases() []bool {
	switch {
	case e.s.charge != 0:
		return []bool{e.s.charge > 0}
	case e.state.night || e.state.silent || e.s.silent || e.stops:
		return never
	case e.state.holding:
		return both
	}
	return always
}

var never, always, both = []bool{false}, []bool{true}, []bool{true, false}

// settle solves the stage, with every part as warm as it gets at most.
func (e *engine) settle() error {
	place := e.warmed()
	for round := range 4 {
		if err := e.solve(e.phases(), max(round, place)); err != nil {
			return err
		}
		if !e.warm(round) {
			e.keepWarm(round)
			return nil
		}
	}
	return nil
}

// warm lets each part take the temperature at which it would settle, but not beyond its limit; it reports whether one moved. [E1]
func (e *engine) warm(round int) (moved bool) {
	for i := range e.flows {
		e.power[i] = e.flows[i].power
		if e.r.Condition(i) != hardware.Whole {
			e.power[i] = 0 // no longer what its data sheet knows
		}
	}
	temps, err := e.r.Steady(hardware.Outside{Ambient: e.w.ambient}, e.power)
	for i := range e.flows {
		e.rise[i] = 0
		if err != nil { // it has no end below 3000 K: its own way alone
			way, _ := e.r.Way(i)
			e.rise[i] = way * e.power[i]
		} else if e.power[i] > 0 || temps[i] > e.w.ambient {
			e.rise[i] = temps[i] - e.w.ambient
		}
		top := e.r.Limits(i).Junction
		if top == 0 {
			top = usualTop
		}
		t := max(e.w.ambient, min(top, e.w.ambient+e.rise[i]))
		if math.Abs(t-e.r.Temperature(i)) > 5 && round < 3 {
			e.r.Warm(i, t)
			moved = true
		}
	}
	return moved
}

// solve finds what everything does over the phases of a cycle.
func (e *engine) solve(phases []bool, round int) error {
	share := 1 / float64(len(phases))
	for i := range e.flows {
		e.flows[i] = flow{low: math.Inf(1), high: math.Inf(-1)}
	}
	for i := range e.out {
		e.out[i] = flow{low: math.Inf(1), high: math.Inf(-1)}
	}
	e.seen, e.bus = math.Inf(-1), 0
	e.source, e.powered, e.wires = 0, false, append(e.wires[:0], make([]float64, len(e.s.wires))...)
	for k, charge := range phases {
		e.r.Control(charge, !e.cut, e.state.silent || e.s.silent, e.state.night)
		if err := e.solution(place{round: round, phase: k}); err != nil {
			return err
		}
		e.read(share)
		if seen := e.sees(); seen > e.seen {
			e.seen, e.bus = seen, e.r.Level(hardware.BatteryPlus)
		}
	}
	return nil
}

// read adds one phase.
func (e *engine) read(share float64) {
	for i := range e.flows {
		f := &e.flows[i]
		f.add(share, e.r.Current(i), e.r.Across(i))
		f.power += share * e.r.Power(i)
		c := &e.d.Components[i]
		if c.Regulator != nil || c.Control != nil {
			f.backward, f.returned = max(f.backward, e.r.Reverse(i)), f.returned+share*e.r.Reverse(i)
			f.input = max(f.input, e.r.Level(c.From))
		}
	}
	s := &e.s
	for k := range s.wires {
		e.wires[k] += share * e.r.WireCurrent(k)
	}
	if s.source[0] != "" {
		e.source += share * e.r.SourceCurrent()
	}
	e.powered = e.powered || e.r.Powered()
	e.out[theLoad].add(share, e.r.LoadCurrent(), e.across(s.at.Load))
	e.out[theBattery].add(share, e.r.BatteryCurrent(), e.across(s.at.Battery))
	e.out[batteryLead].add(share, e.r.BatteryCurrent(), 0)
	e.out[panelLead].add(share, e.r.PanelCurrent(), e.across(s.at.Panel))
	for k := range s.terminal {
		f := &e.out[batteryTerminal+k]
		i := e.out[batteryLead+k].current
		f.power += share * i * i * s.terminal[k]
	}
}

func (f *flow) add(share, amps, volts float64) {
	f.current += share * amps
	f.square += share * amps * amps
	f.peak = max(f.peak, math.Abs(amps))
	f.low, f.high = min(f.low, volts), max(f.high, volts)
}

// across is the voltage between two nodes of the outside.
func (e *engine) across(at [2]string) float64 {
	if at[0] == "" {
		return 0
	}
	return e.r.Level(at[0]) - e.r.Level(at[1])
}
