package fault

import (
	"math"
	"slices"

	"hindwatt/internal/hardware"
)

// step ends a stage at what comes first, and lets that happen.
func (e *engine) step(now, until float64) float64 {
	judged := e.judge()
	stop, cut := e.answers()
	first, second, who := until-now, until-now, -1
	for k := range judged {
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
		e.margin(b, end)
		e.use(b, first)
	}
	stage := e.stage(now, now+first)
	if first == until-now {
		e.record(stage)
		return until
	}
	switch {
	case who >= 0:
		stage.Gives = []Way{e.gives(&judged[who], second, now+first)}
	case stop <= cut:
		e.stops = true
	default:
		e.cut = true
	}
	e.record(stage)
	return now + first
}

// margin keeps the nearest limit; a fuse that melts is none.
func (e *engine) margin(b *bearing, t float64) {
	if b.fuse || e.past[b.who][b.of] {
		return
	}
	if r := b.ratio(t); e.o.Margin.Ratio == 0 || r < e.o.Margin.Ratio {
		e.o.Margin = Margin{Ratio: r, Part: e.named(b.who), Of: limitNames[b.of]}
	}
}

// use counts what a stage takes of a limit; a part that bears its stage for ever has cooled. [E6]
func (e *engine) use(b *bearing, t float64) {
	u := &e.used[b.who][b.of]
	if b.time >= forever {
		*u = 0
		return
	}
	*u = min(1, *u+(1-*u)*min(1, t/b.time))
}

// gives lets a part give way.
func (e *engine) gives(b *bearing, t, at float64) Way {
	way := Way{Part: e.named(b.who), Of: limitNames[b.of], Ratio: b.ratio(max(t, b.time)), At: at}
	if b.stays {
		e.past[b.who][b.of] = true
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
	s := Stage{From: from, Until: until, Connected: e.s.at, Panel: -e.out[panelLead].current, Battery: e.out[theBattery].current, Load: e.out[theLoad].current}
	for i := range e.flows {
		s.Flows = append(s.Flows, e.flows[i].current)
	}
	for k := range e.s.wires {
		s.Wires = append(s.Wires, e.r.WireCurrent(k))
	}
	return s
}

// record adds a stage with its words.
func (e *engine) record(s Stage) {
	if e.quiet {
		return
	}
	s.Path, s.Text = e.tell(&s)
	e.o.Stages = append(e.o.Stages, s)
}

// conclude finds the end.
func (e *engine) conclude() {
	o := e.o
	slices.SortStableFunc(o.Harm, func(a, b Harm) int { return int(b.End) - int(a.End) })
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
