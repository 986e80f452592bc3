package rating

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/hardware"
	"hindwatt/internal/numeric"
	"hindwatt/internal/quantity"
)

// A Reading is what was read on a unit at a held current.
type Reading struct {
	Quantity string  // "drop", "touch-temperature", "current" …; "temperature.d1" is that of a component, on its outside
	Value    float64 // SI
	Air      float64 // K
	Current  float64 // A, held; 0: none
	Load     float64 // A
}

// part is the component whose temperature an aim is; "" for a quantity.
func (a aim) part() string {
	const prefix = "temperature."
	if len(a.name) > len(prefix) && a.name[:len(prefix)] == prefix {
		return a.name[len(prefix):]
	}
	return ""
}

// CaseResistance is a reading of the rise of the outside over the air for the heat of the whole controller, K/W.
const CaseResistance = "case-resistance"

// readAim is what a reading is of.
func readAim(name string) (aim, error) {
	if name == CaseResistance {
		return aim{name: name, dim: quantity.ThermalResistance, unit: "K/W"}, nil
	}
	if a, ok := findAim(name); ok {
		return a, nil
	}
	a := aim{name: name, dim: quantity.TemperaturePoint, unit: "°C"}
	if a.part() == "" {
		return a, fmt.Errorf("rating: no reading is called %q", name)
	}
	return a, nil
}

// Bears reports whether a reading tells something about a quantity: of the same name, or a part's temperature about the
// current.
func Bears(reading, quantity string) bool {
	if reading == quantity {
		return true
	}
	a, err := readAim(reading)
	return err == nil && a.part() != "" && quantity == "current"
}

// AtPoint is the distribution of what is read at one point.
type AtPoint struct {
	Mean      float64 // over units and over what is unknown
	UnitSD    float64 // from unit to unit
	UnknownSD float64 // of the mean, from what is merely unknown
}

// Units that a look at one point takes.
const (
	pointOuter = 40
	pointInner = 10
)

// At returns the distribution of what a reading shows, at its conditions.
func (r *Result) At(ctx context.Context, at Reading) (AtPoint, error) {
	a, err := r.readable(at)
	if err != nil {
		return AtPoint{}, err
	}
	if o := r.Outcome(at.Quantity); o != nil && o.Stated {
		return AtPoint{Mean: o.Nominal, UnitSD: o.Linear.U}, nil
	}
	o := &Outcome{outer: pointOuter, inner: pointInner, samples: make([]float64, pointOuter*pointInner)}
	err = newSampler(&r.Input, &r.Input.Design, pointOuter, pointInner).run(ctx, func(p *probe, unit int) error {
		v, err := p.value(a, at.place(), r.statesHeld(a))
		o.samples[unit] = v
		return err
	})
	if err != nil {
		return AtPoint{}, err
	}
	if !finite(o.samples...) {
		return AtPoint{}, fmt.Errorf("rating: some units run away where %s was read", at.Quantity)
	}
	return o.parted(o.means()), nil
}

// parted separates the variance between units from that of the means of outer draws, by variance components.
func (o *Outcome) parted(means []float64) AtPoint {
	var p AtPoint
	var between, within float64
	p.Mean, between = meanVariance(means)
	for i, x := range o.samples {
		d := x - means[i/o.inner]
		within += d * d / float64((o.inner-1)*o.outer)
	}
	p.UnitSD = math.Sqrt(within)
	p.UnknownSD = math.Sqrt(math.Max(0, between-within/float64(o.inner)))
	return p
}

func (at Reading) place() place { return place{air: at.Air, current: at.Current, load: at.Load} }

// statesHeld are the duties of a quantity where a current was held: a reading is taken at full conduction.
func (r *Result) statesHeld(a aim) []duty {
	if a.name == "current" {
		return r.statesOf(a)
	}
	return []duty{conducting}
}

// readable finds what a reading is of, and whether the model can tell it.
func (r *Result) readable(at Reading) (aim, error) {
	a, err := readAim(at.Quantity)
	switch {
	case err != nil:
		return a, err
	case r.probe == nil || len(r.Input.Design.Enclosures) == 0:
		return a, fmt.Errorf("rating: %s cannot be computed: the folder has no circuit or no enclosure", at.Quantity)
	case a.part() != "" && r.Input.find(a.part()) < 0:
		return a, fmt.Errorf("rating: no component is called %q", a.part())
	case a.part() != "" && !r.limited(a.part()):
		return a, fmt.Errorf("rating: %s states no temperature that it may reach", a.part())
	case a.part() != "" && at.Current == 0, a.name == "drop" && at.Current == 0, a.name == "touch-temperature" && at.Current == 0, a.name == CaseResistance && at.Current == 0:
		return a, fmt.Errorf("rating: %s was read at an unknown current", at.Quantity)
	}
	return a, nil
}

// limited reports whether a component has a limit of temperature.
func (r *Result) limited(component string) bool {
	if r.Point == nil {
		return false
	}
	return slices.ContainsFunc(r.Point.Parts[r.Input.find(component)].Limits, func(l hardware.Limit) bool { return l.Of != "current" && l.Of != "power" })
}

// Modelled reports whether the model can tell what a reading shows, or why not.
func (r *Result) Modelled(at Reading) error {
	_, err := r.readable(at)
	return err
}

// A Transfer is what readings say of a quantity elsewhere.
type Transfer struct {
	Values []float64 // by reading, as a nominal unit carries them
	Slopes []float64 // change of each for a change of the reading
	Groups int       // of simulated units, of equal size; what is merely unknown is the same within one
	Off    []float64 // how far each carries the mean of the readings elsewhere than the nominal unit
}

// Carry carries readings of one thing over to the conditions and the quantity of an outcome: a model whose loss, drop or
// thermal resistance is scaled so that it shows what was read [Q7].
func (r *Result) Carry(ctx context.Context, readings []Reading, o *Outcome, groups, units int) (*Transfer, error) {
	var to Reading
	if o != nil {
		to = Reading{Quantity: o.Quantity, Air: o.At.air, Current: o.At.current, Load: o.At.load}
	} else {
		to = centre(readings)
	}
	if _, err := r.readable(readings[0]); err != nil {
		return nil, err
	}
	nominal, err := r.Input.probe(&r.Input.Design)
	if err != nil {
		return nil, err
	}
	t := &Transfer{Groups: groups}
	for _, x := range readings {
		y, err := r.transfer(nominal, x, to)
		if err != nil {
			return nil, err
		}
		x.Value += step
		next, err := r.transfer(nominal, x, to)
		if err != nil {
			return nil, err
		}
		t.Values, t.Slopes = append(t.Values, y), append(t.Slopes, math.Abs(next-y)/step)
	}
	if groups == 0 {
		return t, nil
	}
	mean := centre(readings)
	base, err := r.transfer(nominal, mean, to)
	if err != nil {
		return nil, err
	}
	t.Off = make([]float64, groups*units)
	err = newSampler(&r.Input, &r.Input.Design, groups, units).run(ctx, func(p *probe, unit int) error {
		y, err := r.transfer(p, mean, to)
		t.Off[unit] = y - base
		return err
	})
	return t, err
}

// step is the change of a reading by which its weight is found, SI.
const step = 1e-3

// centre is the mean of readings.
func centre(readings []Reading) Reading {
	mean := Reading{Quantity: readings[0].Quantity}
	n := float64(len(readings))
	for _, x := range readings {
		mean.Value += x.Value / n
		mean.Air += x.Air / n
		mean.Current += x.Current / n
		mean.Load += x.Load / n
	}
	return mean
}

// transfer is what one reading says elsewhere, by one unit.
func (r *Result) transfer(p *probe, from, to Reading) (float64, error) {
	a, err := readAim(from.Quantity)
	if err != nil {
		return 0, err
	}
	here, err := p.value(a, from.place(), r.statesHeld(a))
	if err != nil {
		return 0, err
	}
	if a.dim == quantity.TemperaturePoint {
		k := (from.Value - from.Air) / (here - from.Air) // rises are as the heat's resistance
		if !finite(k) || k <= 0 {
			return 0, fmt.Errorf("rating: %s: %.1f °C at an ambient of %.1f °C cannot be carried over; want a temperature above the air's",
				from.Quantity, from.Value-zeroCelsius, from.Air-zeroCelsius)
		}
		if to.Quantity == "current" {
			return r.currentBy(p, a.part(), k, to.place())
		}
		there, err := p.value(a, to.place(), r.statesHeld(a))
		return to.Air + k*(there-to.Air), finiteErr(there, err)
	}
	b, err := readAim(to.Quantity)
	if err != nil {
		return 0, err
	}
	there, err := p.value(b, to.place(), r.statesHeld(b))
	return from.Value / here * there, finiteErr(there, err)
}

func finiteErr(v float64, err error) error {
	if err == nil && !finite(v) {
		return fmt.Errorf("rating: the unit runs away where a reading is carried to")
	}
	return err
}

// currentBy is the current at which a part's hottest place meets its limit, if its rise above the air is k times what the model
// says. What other parts bear is not asked: they were not read.
func (r *Result) currentBy(p *probe, name string, k float64, at place) (float64, error) {
	most, _, _, err := p.largest(at, r.statesOf(aims[0]))
	if err != nil || most == 0 {
		return 0, err
	}
	part := r.Input.find(name)
	var failed error
	over := func(current float64) float64 {
		at.current = current
		pt, err := p.point(at, conducting)
		if err != nil {
			var unsolved *hardware.Unsolved // so hot that the circuit has no figures
			if _, err = p.never(err); err != nil && !errors.As(err, &unsolved) {
				failed = err
			}
			return 1
		}
		worst := math.Inf(-1)
		for _, l := range pt.Parts[part].Limits {
			if l.Of != "current" && l.Of != "power" {
				worst = math.Max(worst, excess(l, at.air, k))
			}
		}
		return worst
	}
	low, high := most/widest, widest*most
	for at := most; at < high; at *= 1.25 { // not further into the heat than it takes
		if over(at) > 0 {
			high = at
			break
		}
		low = at
	}
	if over(high) <= 0 { // a part that runs far cooler than the model says
		return high, failed
	}
	if over(low) >= 0 {
		return 0, failed
	}
	current, err := numeric.FindRoot(over, low, high, 1e-6*most)
	if failed != nil {
		return 0, failed
	}
	return current, err
}

// widest is how far from the model's current a reading is followed.
const widest = 4

// excess is how far a limit is passed, relative; below 0 while it holds. Rises above the air count scale times.
func excess(l hardware.Limit, air, scale float64) float64 {
	if l.Of == "current" || l.Of == "power" {
		return l.Value/l.Max - 1
	}
	return (air + float64(scale*(l.Value-air)) - l.Max) / 100
}
