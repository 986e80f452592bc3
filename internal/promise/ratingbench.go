package promise

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"hindwatt/internal/bind"
	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/bench"
	"hindwatt/internal/study/rating"
)

// partReading begins the name of a reading of a part's temperature: "rating.temperature.d1".
const partReading = "temperature."

// ratingReadings are the names under which something was read: quantities of the rating, and parts of the circuit.
func (s *session) ratingReadings() []string {
	names := rating.Quantities()
	for component := range s.product.Circuit.All() {
		names = append(names, partReading+component)
	}
	return names
}

// hasComponent reports whether a part of the circuit has that name, _ and - alike.
func hasComponent(p *product.Product, name string) bool {
	for component := range p.Circuit.All() {
		if bind.Plain(component) == bind.Plain(name) {
			return true
		}
	}
	return false
}

// readDim is the dimension of a reading, and the unit to show it in.
func readDim(what string) (quantity.Dimension, string) {
	if dim, unit, _, ok := rating.Unit(what); ok {
		return dim, unit
	}
	return quantity.TemperaturePoint, "°C"
}

// ratingGatherings returns the readings of one thing, those at much the same current and ambient together. What is lost and how
// hot something gets says nothing without the current that was held: it is left out, and that is said.
func (s *session) ratingGatherings(what string) []gathering {
	dim, unit := readDim(what)
	var rows []product.Reading
	for _, row := range s.rows("rating."+what, dim, "want a "+dim.Name()+" in "+unit) {
		held := row.ChargeCurrent.Set()
		if what == "load-drop" {
			held = row.LoadCurrent.Set()
		}
		if !held && what != "current" && !strings.HasPrefix(what, "standby") {
			s.advise(row.Leaf, "is left out: the current that was held was not noted", `note it: charge_current="10 A"`)
			continue
		}
		rows = append(rows, row)
	}
	current := func(r product.Reading) float64 {
		if what == "load-drop" {
			return r.LoadCurrent.Value
		}
		return r.ChargeCurrent.Value
	}
	sort.SliceStable(rows, func(a, b int) bool { return current(rows[a]) < current(rows[b]) })
	var all []gathering
	for from := 0; from < len(rows); {
		to := from + 1
		for to < len(rows) && current(rows[to]) <= current(rows[to-1])*(1+nearly) {
			to++
		}
		all = append(all, s.gatherings(slices.Clone(rows[from:to]))...)
		from = to
	}
	return all
}

// held is the mean of a gathering, as one reading.
func (g gathering) held(what string) rating.Reading {
	mean := rating.Reading{Quantity: what, Air: g.ambient}
	n := float64(len(g.rows))
	for _, r := range g.rows {
		one := bind.RatingReading(what, r)
		mean.Value += one.Value / n
		mean.Current += one.Current / n
		mean.Load += one.Load / n
	}
	return mean
}

// each are the rows of a gathering, as the study takes them.
func (g gathering) each(what string) []rating.Reading {
	var list []rating.Reading
	for _, r := range g.rows {
		list = append(list, bind.RatingReading(what, r))
	}
	return list
}

// units is how many units a gathering is of; a reading without a serial is a unit of its own.
func (g gathering) units() int {
	seen, n := map[string]bool{}, 0
	for _, r := range g.readings {
		if r.Serial == "" || !seen[r.Serial] {
			n++
		}
		seen[r.Serial] = true
	}
	return n
}

// measuredRating adds what was read of a figure of the rating, and of the parts' temperatures for the current.
func (s *session) measuredRating(ctx context.Context, r *rating.Result, in ratingSetting, name string, j *Judged) (*settling, error) {
	var settle *settling
	if s.options.unmeasured {
		return nil, nil
	}
	for _, what := range s.ratingReadings() {
		if !rating.Bears(what, name) {
			continue
		}
		all := s.ratingGatherings(what)
		if len(all) == 0 {
			continue
		}
		if o := r.Outcome(name); o != nil && o.Never != "" { // nothing steady to carry them to
			continue
		}
		next, err := s.measured(ctx, s.ratingMeasurement(r, in, name, what, j), all, j)
		if err != nil {
			return nil, err
		}
		if settle == nil || next != nil && next.why == "" && (settle.why != "" || next.more < settle.more) {
			settle = next
		}
	}
	return settle, nil
}

// ratingMeasurement is how readings of one thing bear on a promise.
func (s *session) ratingMeasurement(r *rating.Result, in ratingSetting, name, what string, j *Judged) measurement {
	m := measurement{conditions: in.text(), stands: func(g gathering) (bool, bool) { return g.holds(r, in, name) }}
	m.dim, m.unit = readDim(what)
	if m.dim.Point {
		m.dim, m.unit = quantity.TemperatureDifference, "K"
	}
	if what != name {
		m.of = "the temperature of " + strings.TrimPrefix(what, partReading)
	} else if !m.dim.Point {
		m.unit = "" // as the promise
	}
	m.reaches = r.Outcome(name) != nil && r.Modelled(rating.Reading{Quantity: what, Air: 300, Current: 1}) == nil
	shown := j.Unit
	if what != name {
		_, shown = readDim(what)
	}
	m.direct = func(g gathering) (bench.Input, bool, error) {
		b := bench.Input{Quantity: "rating." + what, Unit: shown, Readings: g.readings, Proportion: j.Proportion, Confidence: j.Confidence, Seed: s.options.Seed}
		if !m.reaches { // without a model as it was read
			return b, true, nil
		}
		moved, err := r.Carry(context.Background(), g.each(what), nil, 0, 0)
		if err != nil {
			return b, false, err
		}
		b.Readings = g.moved(moved)
		return b, true, nil
	}
	m.at = func(ctx context.Context, g gathering, read *bench.Result) (modelled, error) {
		is, err := r.At(ctx, g.held(what))
		return modelled{is.Mean, is.UnitSD, is.UnknownSD, read.Mean}, err
	}
	m.over = func(ctx context.Context, g gathering, b bench.Input) (bench.Input, error) {
		runs, each := ratingRuns, ratingEach
		if s.options.coarse > 0 {
			runs, each = s.options.units.rated, s.options.units.carried
		}
		moved, err := r.Carry(ctx, g.each(what), r.Outcome(name), runs, each)
		if err != nil {
			return b, err
		}
		b.Quantity, b.Unit, b.Readings = "rating."+name, j.Unit, g.moved(moved)
		b.Carry = &bench.Carry{Groups: moved.Groups, Low: moved.Off, High: moved.Off}
		return b, nil
	}
	return m
}

// Groups of simulated units that carry a reading of a rating over, and units of each.
const (
	ratingRuns = 40
	ratingEach = 5
)

// moved are the readings as they say something elsewhere.
func (g gathering) moved(t *rating.Transfer) []bench.Reading {
	var list []bench.Reading
	for i, r := range g.readings {
		list = append(list, bind.Moved(r, t.Values[i], t.Slopes[i]))
	}
	return list
}

// holds reports whether the readings were made within the promised conditions, and whether they cover them: of a range of
// ambients the worst alone counts, and where none is named, what a controller takes for itself is as it comes.
func (g gathering) holds(r *rating.Result, in ratingSetting, name string) (within, covers bool) {
	low, high := ambientOf(in.conditions.Ambient)
	if in.conditions.Mounted != "" { // how a unit hung on the bench is not noted
		return false, false
	}
	within, covers = g.low >= low-same && g.high <= high+same, true
	if o := r.Outcome(name); o != nil && !strings.HasPrefix(name, "standby") {
		covers = math.Abs(g.ambient-o.Air()) <= same
	}
	if strings.HasPrefix(name, "standby") && in.conditions.Ambient == nil {
		return true, true
	}
	if o := r.Outcome(name); o != nil && name != "current" && o.Current() > 0 {
		near := math.Abs(g.held(name).Current-o.Current()) <= nearly*o.Current()
		within, covers = within && near, covers && near
	}
	return within, within && covers
}

// readableRating says whether a reading of a rating bears on anything.
func readableRating(what, quantity string) error {
	if name, ok := strings.CutPrefix(quantity, partReading); ok && name != "" {
		return nil
	}
	if slices.Contains(rating.Quantities(), quantity) {
		return nil
	}
	known := rating.Quantities()
	want := wantOneOf(quantity, known)
	if strings.HasPrefix(want, "want one of") {
		want += ", or temperature.NAME for a part of the circuit, such as rating.temperature.d1"
	}
	return fmt.Errorf("what: %q: nothing of that name is read; %s", what, want)
}
