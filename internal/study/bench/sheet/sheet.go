package sheet

import (
	"fmt"
	"math"

	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
	"hindwatt/internal/study/bench"
)

// A Check is one promise that holds for each unit, as a tester can see it.
type Check struct {
	Promise    string // "float": what a record names it by
	Label      string // the sentence on the label
	Measure    string // what to read: "battery voltage while it holds"
	Conditions string // at which: "22 °C, 0.5 A of charge"
	Dim        quantity.Dimension
	Unit       string  // to show values in
	Min, Max   float64 // what is promised of the reading at these conditions; ±Inf where open, not both
	// CarryLow and CarryHigh are how far below and above its value at these conditions a unit comes over the conditions
	// of the promise, ≥ 0: the bound is moved in by them [J1].
	CarryLow, CarryHigh float64
	Mean, SD            float64 // of the units made, at these conditions; SD > 0
	Meter               *bench.Meter
	MeterU              float64 // further standard uncertainty of the reading, such as of its conditions; ≥ 0
	TrimmedBy           string  // name of the meter that units are trimmed by; "": none
	// What it costs to pass a bad unit and to turn a good one away, in any one unit, > 0; both 0: not known.
	CostBad, CostGood float64
	From              string // "promises.toml:12"
}

// A Limit is what an acceptance interval does.
type Limit struct {
	Low, High float64 // ±Inf where open
	statistics.Risk
	Cost float64 // expected for a unit; 0 where costs are not known
}

// A Row is one check with its acceptance limits.
type Row struct {
	Check
	Min, Max float64 // of the bound at the test's conditions [J1]
	U        float64 // standard uncertainty of a reading
	Plain    Limit   // accepted up to the bound itself
	Guarded  Limit   // a guard band of the expanded uncertainty 2·u: JCGM 106, 8.3.2.2 and ISO 14253-1's rule
	Best     *Limit  // least cost; nil: costs are not known
	Accept   Limit   // the one to use: Best, or else Guarded
	Warnings []page.Note
}

// guard is the guard band in standard uncertainties where costs are not known.
const guard = 2

// New returns the row of a check.
//
// A bound that leaves nothing to accept is an error, as is an input that makes no sense.
func New(c Check) (Row, error) {
	r := Row{Check: c, Min: c.Min + c.CarryLow, Max: c.Max - c.CarryHigh} // [J1]
	fault := func(format string, args ...any) (Row, error) {
		return Row{}, fmt.Errorf("sheet: %s: %w", c.Promise, fmt.Errorf(format, args...))
	}
	switch {
	case !(c.CarryLow >= 0 && c.CarryHigh >= 0 && c.CarryLow < math.MaxFloat64 && c.CarryHigh < math.MaxFloat64):
		return fault("the carry is %v and %v; want 0 or more", c.CarryLow, c.CarryHigh)
	case !(c.MeterU >= 0 && c.MeterU < math.MaxFloat64):
		return fault("uncertainty is %v; want 0 or more", c.MeterU)
	case c.Meter == nil || c.Meter.Accuracy.Digits > 0 && !(c.Meter.Digit > 0):
		return fault("the meter's accuracy is not known; want a meter of bench/meters.toml, with its digit")
	case (c.CostBad > 0) != (c.CostGood > 0) || !(c.CostBad >= 0 && c.CostGood >= 0 && c.CostBad+c.CostGood < math.MaxFloat64):
		return fault("costs are %v and %v; want both above 0, or neither given", c.CostBad, c.CostGood)
	case !(r.Min < r.Max):
		return fault("over the conditions of the promise a unit moves by more than the bound is wide; want conditions of the test nearer to the promise's, or a wider bound")
	}
	r.U = math.Hypot(r.meterU(), c.MeterU) // [J2]
	var err error
	if r.Plain, err = r.limit(r.Min, r.Max); err != nil {
		return fault("%w", err)
	}
	low, high := r.Min+guard*r.U, r.Max-guard*r.U // [J3]
	if !(low <= high) {
		r.Warnings = append(r.Warnings, page.Note{
			Text:   fmt.Sprintf("the test is too coarse: ±%s, %s, leave nothing of the bound to accept", r.size(guard*r.U), r.parts()),
			Remedy: r.finer(), From: c.Meter.From})
		low = (r.Min + r.Max) / 2
		high = low
	}
	if r.Guarded, err = r.limit(low, high); err != nil {
		return fault("%w", err)
	}
	r.Accept = r.Guarded
	if c.CostBad > 0 {
		best, err := r.cheapest()
		if err != nil {
			return fault("%w", err)
		}
		r.Best, r.Accept = &best, best
	}
	r.doubt()
	return r, nil
}

// at is where on its range the meter is used: at that side of the bound that is farther from 0.
func (r *Row) at() float64 {
	at := math.Abs(r.Mean)
	for _, v := range [...]float64{r.Min, r.Max} {
		if !math.IsInf(v, 0) {
			at = math.Max(at, math.Abs(v))
		}
	}
	return at
}

// limit returns what accepting between low and high does.
func (r *Row) limit(low, high float64) (Limit, error) {
	risk, err := statistics.GuardBand(statistics.Inspection{Mean: r.Mean, SD: r.SD, U: r.U, Min: r.Min, Max: r.Max, AcceptMin: low, AcceptMax: high})
	return Limit{Low: low, High: high, Risk: risk, Cost: r.CostBad*risk.FalseAccept + r.CostGood*risk.FalseReject}, err
}

// cheapest returns the acceptance limits of the least cost [J4]: a reading is accepted where the unit behind it is good with
// probability p ≥ bad/(bad + good); what lies outside the bound is never accepted, whatever it would save.
func (r *Row) cheapest() (Limit, error) {
	want := r.CostBad / (r.CostBad + r.CostGood)
	prior, read := 1/(r.SD*r.SD), math.Inf(1)
	if r.U > 0 {
		read = 1 / (r.U * r.U)
	}
	good := func(y float64) float64 { // JCGM 106, eq. 3 and 4: the unit's value, given the reading
		if math.IsInf(read, 1) {
			return statistics.Conformance(y, 0, r.Min, r.Max)
		}
		mean := (prior*r.Mean + read*y) / (prior + read)
		return statistics.Conformance(mean, 1/math.Sqrt(prior+read), r.Min, r.Max)
	}
	middle := r.middle(prior, read)
	if good(middle) < want {
		return r.limit(middle, middle) // none is worth accepting
	}
	edge := func(bound float64) float64 {
		if math.IsInf(bound, 0) || good(bound) >= want {
			return bound
		}
		inside, outside := middle, bound
		for range 200 {
			if m := (inside + outside) / 2; good(m) >= want {
				inside = m
			} else {
				outside = m
			}
		}
		return inside
	}
	return r.limit(edge(r.Min), edge(r.Max))
}

// middle is the reading inside the bound of which the unit is likeliest to be good.
func (r *Row) middle(prior, read float64) float64 {
	switch {
	case math.IsInf(r.Min, -1):
		return r.Max - 40*(r.SD+r.U)
	case math.IsInf(r.Max, 1):
		return r.Min + 40*(r.SD+r.U)
	}
	center := (r.Min + r.Max) / 2
	if math.IsInf(read, 1) {
		return center
	}
	y := (center*(prior+read) - prior*r.Mean) / read // where the unit's value is expected in the middle
	return math.Max(r.Min, math.Min(y, r.Max))
}

func (r *Row) doubt() {
	note := func(text, remedy string) {
		r.Warnings = append(r.Warnings, page.Note{Text: text, Remedy: remedy, From: r.From})
	}
	if r.TrimmedBy != "" && r.TrimmedBy == r.Meter.Name {
		note("units are trimmed by the meter that tests them: its error is in both and the test cannot see it", "test with another meter, or against a reference")
	}
	if share := r.Plain.Conforming; share < 0.9 {
		note(fmt.Sprintf("only %s of the units keep the bound at all", percent(share)), "narrow the spread of the product before testing harder")
	}
	if a := r.Accept.Accepted; a < 0.5 {
		note(fmt.Sprintf("only %s of the units would be accepted", percent(a)), "use a finer meter, or trim nearer to the middle of the bound")
	}
}

// size words a difference.
func (r *Row) size(x float64) string {
	d := r.Dim
	d.Point = false
	unit := r.Unit
	if u, _, ok := quantity.UnitDimension(unit); !ok || u != d {
		unit = ""
	}
	return quantity.Format(x, d, unit, -2)
}

func percent(share float64) string {
	switch p := 100 * share; {
	case p == 0:
		return "0 %"
	case p < 0.001:
		return "less than 0.001 %"
	case p < 10:
		return fmt.Sprintf("%.2g %%", p)
	case p > 99.95 && p < 100:
		return "more than 99.9 %"
	default:
		return fmt.Sprintf("%.1f %%", p)
	}
}

// meterU is the standard uncertainty of the meter alone.
func (r *Row) meterU() float64 {
	return math.Hypot(r.Meter.Accuracy.Limit(r.at(), r.Meter.Digit)/math.Sqrt(3), r.Meter.Digit/math.Sqrt(12)) // [J2]
}

// parts words what the uncertainty is made of.
func (r *Row) parts() string {
	return fmt.Sprintf("of which the meter ±%s and the conditions ±%s", r.size(guard*r.meterU()), r.size(guard*r.MeterU))
}

// finer is what would help most.
func (r *Row) finer() string {
	if r.MeterU > r.meterU() {
		return "hold the test nearer to the promise's conditions, its air steadier, or promise less"
	}
	return fmt.Sprintf("test with a meter within ±%s", r.size((r.Max-r.Min)/8))
}

// Sent is the share of the units made that lie in an interval and are accepted (JCGM 106:2012, 9.5: of the joint probability).
func (r *Row) Sent(low, high float64) float64 {
	const parts = 16
	sum := 0.0
	for k := range parts {
		x := low + (high-low)*(float64(k)+0.5)/parts
		share := statistics.NormalCDF((high-low)/parts/2/r.SD+(x-r.Mean)/r.SD) - statistics.NormalCDF(-(high-low)/parts/2/r.SD+(x-r.Mean)/r.SD)
		sum += share * statistics.Conformance(x, r.U, r.Accept.Low, r.Accept.High)
	}
	return sum
}
