package setpoint

import (
	"fmt"
	"math"

	"hindwatt/internal/page"
)

// fills sets out to the part of the converter's range at which a unit believes itself at a place's
// level, or a lamp of it changes; beyond chain.full it never does [S16].
func (c *chain) fills(b *block, a aim, p place, out []float64) {
	w, n := &b.work, b.n
	c.at(b, p.air)
	inverse, shift := w.inverse[:n], w.shift[:n]
	out = out[:n]
	if a.display() {
		for i := range out {
			out[i] = (p.volts - shift[i]) * inverse[i]
		}
		return
	}
	setting := b.column[levelTable[a.level].variable][:n]
	if !levelTable[a.level].charging || !c.compensates() {
		for i := range out {
			out[i] = (setting[i] - shift[i]) * inverse[i]
		}
		return
	}
	own, sensed := b.column[compensation][:n], w.sensed[:n]
	for i := range out {
		out[i] = (setting[i] + own[i]*sensed[i] - shift[i]) * inverse[i]
	}
}

// believes reports whether something happens at a voltage that the controller must believe: at
// a level, and where a lamp changes. Digits just show no more.
func (c *chain) believes(a aim) bool { return !a.display() || c.display.kind == lamps }

// rim is what rounding may add to the part of the range that is filled.
const rim = 1e-12

// never says why a nominal, untrimmed unit never believes itself at one of the places; "" if it does at all.
func (c *chain) never(a aim, places []place) string {
	if math.IsInf(c.full, 1) || !c.believes(a) {
		return ""
	}
	p := c.probe()
	p.c.begin(p.b)
	w := &p.b.work
	w.inverse[0], w.shift[0] = 1/c.nominalGain, 0
	most, where, part := 0.0, place{}, w.other[:1]
	for _, at := range places {
		c.fills(p.b, a, at, part)
		if part[0] > most {
			most, where = part[0], at
		}
	}
	if most <= c.full+rim {
		return ""
	}
	target := most * c.nominalGain
	digits := decimals(target - c.fullScale())
	said := volts(target, max(digits, min(shortest(target), 2)))
	switch {
	case a.display():
		said = "the lamp of " + said + " never changes"
	case a.level == disconnect:
		said = "the controller always believes less than " + said + ", takes the battery for empty for ever and keeps the load off"
	case a.level == reconnect:
		said = "the controller never believes " + said + " and never lets the load on again"
	default:
		if c.draws[compensation].value != 0 {
			said += ", its target at " + showTemperature(where.air.ambient) + ","
		}
		said = "the controller never believes " + said + " and goes on charging"
	}
	return "the converter reads no more than " + volts(c.fullScale(), digits) + ": " + said
}

// sticks reports whether any unit may never believe itself at one of the places.
func (c *chain) sticks(a aim, places []place) bool {
	if math.IsInf(c.full, 1) || !c.believes(a) {
		return false
	}
	p := c.probe()
	part := p.b.work.other[:1]
	for _, at := range places {
		most := p.extreme(1, tailSDs, func() float64 {
			c.begin(p.b)
			c.fills(p.b, a, at, part)
			return part[0]
		})
		p.reset()
		if most > c.full+rim {
			return true
		}
	}
	return false
}

// stick takes the highest value of each unit that never believes itself at a place beyond all others.
func (g *gather) stick(b *block, p place, highs []float64) {
	part := b.work.one[:b.n]
	g.c.fills(b, g.aim, p, part)
	full := g.c.full + rim
	for i, x := range part {
		if x > full {
			highs[i] = g.beyond
		}
	}
}

// error of a quantity that has no figure.
func (o *Outcome) noFigure() error {
	if o.Never == "" {
		return nil
	}
	return fmt.Errorf("setpoint: %s has no figure: %s", o.Quantity, o.Never)
}

// Stuck returns the share of units that never believe themselves at the level under some of the
// conditions, because their converter is full before. They count as outside every bound; in a
// tolerance interval they lie beyond the worst case, and means take their converter as unlimited.
func (o *Outcome) Stuck() float64 {
	if o.Never != "" {
		return 1
	}
	if !o.codes.stick {
		return 0
	}
	stuck := 0
	for _, code := range o.codes.highs {
		if code == lastCode {
			stuck++
		}
	}
	return float64(stuck) / float64(len(o.codes.highs))
}

// stuckNotes say which levels no unit, or not every unit, reaches.
func (r *Result) stuckNotes() []page.Note {
	var list []page.Note
	said := map[level]bool{}
	for _, o := range r.Outcomes {
		share := o.Stuck()
		if share == 0 || said[o.aim.level] {
			continue
		}
		said[o.aim.level] = true
		name, _ := o.aim.words(&r.Input)
		text := fmt.Sprintf("%s of units never believe themselves at %s: their converter is full before, at %s in a nominal unit.",
			page.Capital(percent(share)), name, volts(r.chain.fullScale(), 2))
		if o.Never != "" {
			text = page.Capital(name) + " is never reached. " + page.Capital(o.Never) + "."
		}
		list = append(list, page.Note{Text: text, From: r.Input.Bits.From,
			Remedy: "divide the voltage further down (a smaller sense.bottom), or choose a lower level"})
	}
	if d := &r.chain.display; d.kind == digits && r.Outcome(displayError) != nil && d.high > r.chain.fullScale() {
		list = append(list, page.Note{From: r.Input.Bits.From, Remedy: "divide the voltage further down (a smaller sense.bottom), or give indicator.range",
			Text: fmt.Sprintf("The converter reads no more than %s: the product never shows %s.", volts(r.chain.fullScale(), 2), volts(d.high, shortest(d.high)))})
	}
	return list
}

// neverAnswer says first of all what never happens.
func (o *Outcome) neverAnswer(bounds []Bound) string {
	name, _ := o.aim.words(o.input)
	text := fmt.Sprintf("%s is never reached %s. %s.", page.Capital(name), o.input.conditionWords(), page.Capital(o.Never))
	for _, b := range bounds {
		if b.Quantity == o.Quantity {
			text += fmt.Sprintf(" No unit stays within %s.", boundWords(b))
		}
	}
	return text
}

// trimWithin holds the voltages of a trim to what a nominal unit reads.
func (in *Input) trimWithin(full float64) error {
	if in.Trim == nil {
		return nil
	}
	for _, at := range in.Trim.At {
		if q := at.Quantity; q.Value > full*(1+rim) {
			return fmt.Errorf("setpoint: %s: sense.trimmed.at: %s lies above what the converter can read; want %s or less",
				from(at.From, productFile), q.String(), volts(math.Floor(full*100)/100, 2))
		}
	}
	return nil
}
