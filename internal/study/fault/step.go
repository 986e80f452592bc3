package fault

import (
	"math"
	"slices"

	"hindwatt/internal/hardware"
	"hindwatt/internal/physics/conductor"
)

// step ends a stage at what comes first, and lets that happen.
func (e *engine) step(now, until float64) float64 {
	judged := e.judge()
	stop, cut := e.answers()
	first, second, who := until-now, until-now, -1
	for k := range judged {
		if e.watch != nil {
			judged[k].time = forever
		}
		switch t := judged[k].time; {
		case t < first:
			first, second, who = t, first, k
		case t < second:
			second = t
		}
	}
	control := min(stop, cut)
	if control < first {
		first, second, who = control, first, -1
	} else {
		second = min(second, control)
	}
	for k := range judged {
		b := &judged[k]
		end := first
		if k == who {
			end = second
		}
		e.margin(b, end, k == who)
		e.use(b, first)
	}
	stage := e.stage(now, now+first)
	if first == until-now {
		e.event = ""
		e.passes(way{who: -1})
		e.record(stage)
		return until
	}
	again := e.still && first <= 0
	e.still = who >= 0 && judged[who].stays
	e.event = ""
	switch {
	case who >= 0:
		stage.Gives = []Way{e.gives(&judged[who], second, now+first)}
	case stop <= cut:
		e.event = "the control stops the charge"
		if e.turned() {
			e.event = "the control turns the switch off, because the current has turned back"
		}
		e.stops = true
	default:
		e.cut, e.event = true, "the control cuts the load off"
	}
	w := way{who: who, event: e.event}
	if who >= 0 {
		w.of = judged[who].of
	}
	e.passes(w)
	if n := len(e.o.Stages); again && n > 0 { // at once with what gave way before, and nothing has moved
		last := &e.o.Stages[n-1]
		last.Gives = append(last.Gives, stage.Gives...)
		last.Path, last.Text = e.tell(last)
		return now
	}
	e.record(stage)
	return now + first
}

// margin keeps the nearest limit; a fuse that melts is none, and what gives way always is one.
func (e *engine) margin(b *bearing, t float64, gives bool) {
	if b.fuse || e.past[b.who][b.of] {
		return
	}
	if e.watch != nil {
		if u := &e.watch.ratios[b.who][b.of]; *u == 0 || b.ratio(t) < *u {
			*u = b.ratio(t)
		}
		return
	}
	if !gives && e.asUsual(b, t) {
		return
	}
	if r := b.ratio(t); e.o.Margin.Ratio == 0 || r < e.o.Margin.Ratio {
		e.o.Margin = Margin{Ratio: r, Part: e.named(b.who), Of: limitNames[b.of]}
	}
}

// use counts what a stage takes of a limit; a part that bears its stage for ever cools, and has cooled once the stage has lasted
// longer than what is adiabatic. [E6]
func (e *engine) use(b *bearing, t float64) {
	u := &e.used[b.who][b.spends()]
	switch {
	case b.time < forever:
		u.share = min(1, u.share+(1-u.share)*min(1, t/b.time))
		u.most = max(u.most, b.value)
	case t > conductor.Longest:
		*u = spent{}
	}
}

// gives lets a part give way, of the most that came on the way to it.
func (e *engine) gives(b *bearing, t, at float64) Way {
	if !b.link { // of which volts and amperes would be compared
		b.value = max(b.value, e.used[b.who][b.of].most)
	}
	way := Way{Part: e.named(b.who), Of: limitNames[b.of], Ratio: b.ratio(max(t, b.time)), At: at}
	if b.stays {
		e.past[b.who][b.of] = true
		if b.of == ofCharge && b.law == energy {
			e.flat = true
			e.join()
		}
	} else if b.who >= len(e.flows) {
		e.parts(b.who)
		way.Become = "open"
	} else {
		e.r.Set(b.who, b.become)
		way.Become = map[hardware.Condition]string{hardware.Bridged: "short", hardware.Interrupted: "open"}[b.become]
	}
	if !e.quiet {
		way.Text = e.reason(b)
	}
	e.harm(Harm{End: b.end, What: way.Part, Kind: b.kind}, b)
	return way
}

// parts lets the copper of a lead part.
func (e *engine) parts(who int) {
	if who-len(e.flows) == batteryLead {
		e.s.at.Battery = [2]string{}
	} else {
		e.s.at.Panel = [2]string{}
	}
	e.join()
}

// harm notes what has come to harm, once.
func (e *engine) harm(h Harm, b *bearing) {
	if h.End != Hazard {
		h.Kind = ""
	}
	for _, other := range e.o.Harm {
		if other.What == h.What && other.End >= h.End {
			return
		}
	}
	if !e.quiet {
		h.Text = e.loss(h, b)
	}
	e.o.Harm = append(e.o.Harm, h)
}

// named is the name of a component or of what stands outside.
func (e *engine) named(who int) string {
	if n := len(e.flows); who >= n {
		return outsiderNames[who-n]
	}
	return e.d.Components[who].Name
}

// stage is what is now, from one time to another.
func (e *engine) stage(from, until float64) Stage {
	if e.quiet {
		return Stage{}
	}
	s := Stage{From: from, Until: until, Connected: e.s.connected(), Panel: -e.out[panelLead].current, Battery: e.out[theBattery].current, Load: e.out[theLoad].current}
	for i := range e.flows {
		s.Flows = append(s.Flows, e.flows[i].current)
		if back := e.flows[i].returned; back > little*e.w.label {
			c := &e.d.Components[i]
			s.Backward = append(s.Backward, Backward{c.Name, e.r.Return(i), c.From, back})
		}
	}
	s.Wires = slices.Clone(e.wires)
	s.broken, s.held = e.broken(), e.heldOn()
	if e.powered && e.s.terminal[0] > 0 {
		s.misread = e.out[theBattery].current * e.s.terminal[0] // [E22]
	}
	return s
}

// broken are the parts that break through: they are there to block, and current goes through them all the same.
func (e *engine) broken() (names []string) {
	for i := range e.flows {
		f, c := &e.flows[i], &e.d.Components[i]
		through := c.Diode != nil && f.current < 0
		if v := e.r.Limits(i).Voltage; c.Mosfet != nil && v > 0 {
			through = max(f.high, -f.low) > 0.998*v
		}
		if through && f.peak > little*e.w.label && e.r.Condition(i) == hardware.Whole {
			names = append(names, called(c))
		}
	}
	return names
}

// heldOn is the switch against which a current has turned back that it would block, were the control to turn it off; "" for none.
func (e *engine) heldOn() string {
	if e.usual == nil || e.stops || e.state.night || !e.awake() || e.w.reverseOff > 0 {
		return ""
	}
	for i := range e.flows {
		c := &e.d.Components[i]
		if c.Mosfet != nil && c.Role == "blocking" && e.r.Condition(i) == hardware.Whole &&
			e.flows[i].current*e.usual[fullSun].through[i] < 0 && math.Abs(e.flows[i].current) > e.w.label {
			return called(c)
		}
	}
	return ""
}

// record adds a stage with its words.
func (e *engine) record(s Stage) {
	if e.quiet {
		return
	}
	s.Path, s.Text = e.tell(&s)
	e.o.Stages = append(e.o.Stages, s)
}

// serves sees whether a circuit with a failed part still charges and feeds the load: if not, it works again once that part is replaced.
func (e *engine) serves() {
	if e.usual == nil || e.o.Case.Family != Failure || e.o.Second != nil || e.state.silent || len(e.o.Harm) > 0 {
		return
	}
	u := e.usual[e.at]
	switch {
	case !(e.stops && e.state.holding) && u.panel > little*e.w.label && u.charge-e.out[theBattery].current > noticed*u.panel:
		e.o.Harm = append(e.o.Harm, Harm{End: Recovers, What: e.o.Case.Parts[0], Text: "it no longer charges as it should until " + e.calledAs(e.o.Case.Parts[0]) + " is replaced"})
	case u.load > 1 && e.out[theLoad].high < 0.9*u.load:
		e.o.Harm = append(e.o.Harm, Harm{End: Recovers, What: e.o.Case.Parts[0], Text: "the load gets too little until " + e.calledAs(e.o.Case.Parts[0]) + " is replaced"})
	}
}

// noticed is what is missing of what the panel gives when nothing is wrong, from which it does not charge as it should; estimate.
const noticed = 0.1

// onceEach keeps of a component only the worst that has come to it: what burns is lost too.
func (e *engine) onceEach(harm []Harm) []Harm {
	seen := map[string]bool{}
	return slices.DeleteFunc(harm, func(h Harm) bool {
		again := seen[h.What] && e.place(h.What) >= 0
		seen[h.What] = true
		return again
	})
}

// place is that of a component among those of the design; -1 for what is none.
func (e *engine) place(name string) int {
	return slices.IndexFunc(e.d.Components, func(c hardware.Component) bool { return c.Name == name })
}

// conclude finds the end.
func (e *engine) conclude() {
	o := e.o
	slices.SortStableFunc(o.Harm, func(a, b Harm) int { return int(b.End) - int(a.End) })
	o.Harm = e.onceEach(o.Harm)
	if len(o.Harm) > 0 {
		o.End = o.Harm[0].End
	}
	o.Reach = o.End
	if o.Margin.Ratio >= most || math.IsNaN(o.Margin.Ratio) {
		o.Margin = Margin{}
	}
	if e.quiet {
		return
	}
	for _, w := range e.s.wires {
		o.Wires = append(o.Wires, Wire{w.a, w.b})
	}
	o.Text = e.ending()
}
