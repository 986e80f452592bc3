package sweep

import (
	"context"
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
	"hindwatt/internal/study/bench"
	"hindwatt/internal/study/bench/trace"
)

// A Unit is one of those that were swept.
type Unit struct {
	Serial   string
	Response []float64 // what shows that it switched, in any unit; as many as of Time
}

// Input is the log of one run, without gaps.
type Input struct {
	Name string // of the run
	From string // "bench/sweep.csv"

	Time        []float64 // s, never falling
	Supply      []float64 // V, at the unit
	Temperature []float64 // K, where the sensor sits; nil: not logged
	Units       []Unit

	Gauge        trace.Gauge // of Supply
	Compensation float64     // V/K, by which the points are to follow the temperature; 0: they do not, or it is not known
}

// Directions of the supply.
const (
	Rising  = "rising"
	Falling = "falling"
)

// A Point is one switching.
type Point struct {
	Unit      string
	Direction string
	Up        bool    // the response rose
	Row       int     // the first after it
	Volts     float64 // V
	Half      float64 // V, ±: how far the supply moved from the last row before it to the first behind
	SE        float64 // V, of the line before
	Rate      float64 // V/s
	Kelvin    float64 // 0: not logged
}

// A Threshold is the points of one unit in one direction.
type Threshold struct {
	Unit, Direction string
	Up              bool // the response rises there
	Points          []Point
	Best, Low, High float64 // V, 95 %; alike where Open
	Open            bool    // the meter's accuracy is not known
	Noise           float64 // V, standard uncertainty by the sweeps and the steps of the supply
	Own             float64 // V, with the last digit, still without the meter's accuracy
	SD              float64 // from one sweep to the next; 0 for one
	Kelvin          float64 // mean; 0: not logged
}

// Hysteresis is how far a unit's points of both directions lie apart; 95 %. Most of the meter's error is
// the same in both and cancels; what is a part of the reading remains of the difference.
type Hysteresis struct {
	Unit string
	bench.Interval
}

// Spread is how far the units differ in one direction.
type Spread struct {
	Direction string
	Units     int
	Mean      float64
	Between   float64 // V, standard deviation from unit to unit, that of repeated sweeps taken out [L11]
	Within    float64 // V, from sweep to sweep of one unit; 0 where none was swept twice
}

// Drift is how the points of one direction follow the temperature, offsets of the units apart [L12].
type Drift struct {
	Direction string
	Slope     bench.Interval // V/K, 95 %
	Span      float64        // K
	Points    int
}

// Result is what the log tells.
type Result struct {
	Input      Input
	Thresholds []Threshold // unit after unit, rising before falling
	Hysteresis []Hysteresis
	Spreads    []Spread
	Drifts     []Drift
	Warnings   []page.Note
}

const (
	fewestRows = 20
	before     = 12    // rows through which the line before a switching is laid
	quarter    = 0.25  // of the way between the levels: what has left it has left its level
	tail       = 0.03  // of the rows that may lie outside the levels
	level95    = 0.95  //
	leastSpan  = 1.0   // K, below which no drift is looked for
	wide       = 5.0   // K, from which on a drift contradicts
	brisk      = 0.020 // V/s: a faster sweep is doubted (common practice: 10 mV/s)
)

// Run looks at a sweep. A log that cannot tell anything is an error that names it: fewer than 20 rows, a
// supply that never moves, units that never switch.
func Run(ctx context.Context, in Input) (*Result, error) {
	if err := in.check(); err != nil {
		return nil, err
	}
	r := &Result{Input: in}
	switched := false
	for _, u := range in.Units {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		points, err := in.points(u)
		if err != nil {
			r.doubt(err.Error(), "want a sweep over both of its switching points, in a column that shows it")
			continue
		}
		switched = true
		for _, direction := range []string{Rising, Falling} {
			if th, ok, err := in.threshold(u.Serial, direction, points); err != nil {
				return nil, err
			} else if ok {
				r.Thresholds = append(r.Thresholds, th)
			}
		}
	}
	if !switched {
		return nil, fmt.Errorf("%s: %s; want a sweep over a switching point, and a column that shows it", in.From, r.Warnings[0].Text)
	}
	for _, direction := range []string{Rising, Falling} {
		r.spread(direction)
		r.drift(direction)
	}
	r.hysteresis()
	r.doubts()
	return r, nil
}

func (in *Input) check() error {
	n := len(in.Time)
	bad := func(format string, a ...any) error { return fmt.Errorf("%s: %s", in.From, fmt.Sprintf(format, a...)) }
	if len(in.Supply) != n || in.Temperature != nil && len(in.Temperature) != n {
		return bad("columns of unlike length; want as many values as times")
	}
	if len(in.Units) == 0 {
		return bad("no column shows when a unit switched; want its charge current, load current or output voltage")
	}
	for _, u := range in.Units {
		if len(u.Response) != n {
			return bad("%d values of %s at %d times; want as many of both", len(u.Response), named(u.Serial), n)
		}
	}
	if n < fewestRows {
		return bad("has %d rows; want %d or more", n, fewestRows)
	}
	if low, high := slices.Min(in.Supply), slices.Max(in.Supply); low == high {
		return bad("all %d voltages of the supply are %s; want a sweep", n, volts(low))
	}
	return nil
}

func named(serial string) string {
	if serial == "" {
		return "the unit"
	}
	return "unit " + serial
}

// points finds where a unit's response leaves one of its levels for the other.
func (in *Input) points(u Unit) ([]Point, error) {
	q := statistics.Quantiles(slices.Clone(u.Response), tail, 1-tail)
	low, high := q[0], q[1]
	least, most := slices.Min(u.Response), slices.Max(u.Response)
	if !(high > low) {
		low, high = least, most
	}
	if !(high > low) {
		return nil, fmt.Errorf("%s never switched: all of its %d values are alike", named(u.Serial), len(u.Response))
	}
	down, up := low+quarter*(high-low), high-quarter*(high-low)
	var out []Point
	state, last := 0, -1 // of the last row that was clearly at a level
	between := 0
	for i, v := range u.Response {
		now := 0
		switch {
		case v <= down:
			now = -1
		case v >= up:
			now = 1
		}
		if now == 0 {
			between++
			continue
		}
		if state != 0 && now != state {
			out = append(out, in.point(u.Serial, last, i, now > 0))
		}
		state, last = now, i
	}
	if len(out) == 0 || between > len(u.Response)/2 {
		return nil, fmt.Errorf("%s never switched: its response moves between %.4g and %.4g without two levels", named(u.Serial), least, most)
	}
	return out, nil
}

// point is a switching between row a, the last before it, and row b, the first after it [L10].
func (in *Input) point(serial string, a, b int, up bool) Point {
	p := Point{Unit: serial, Up: up, Row: b}
	from := max(0, a-before+1)
	t, v := in.Time[from:a+1], in.Supply[from:a+1]
	middle := (in.Time[a] + in.Time[b]) / 2
	p.Volts = in.Supply[a]
	if line, err := trace.Fit(t, v, 0); err == nil {
		p.Rate = line.Slope
		p.Volts = line.At(middle)
		at := line.Within(middle, level95)
		p.SE = (at.High - at.Low) / 2 / trace.Student(level95, line.DOF)
	} else if in.Time[b] > in.Time[a] {
		p.Rate = (in.Supply[b] - in.Supply[a]) / (in.Time[b] - in.Time[a])
	}
	p.Half = math.Abs(p.Rate) * (in.Time[b] - in.Time[a]) / 2
	p.Direction = Rising
	if p.Rate < 0 {
		p.Direction = Falling
	}
	if in.Temperature != nil {
		p.Kelvin = (in.Temperature[a] + in.Temperature[b]) / 2
	}
	return p
}

// threshold puts the points of one direction together; ok is false where there is none.
func (in *Input) threshold(serial, direction string, points []Point) (th Threshold, ok bool, err error) {
	th = Threshold{Unit: serial, Direction: direction}
	var v, kelvin []float64
	var square float64
	for _, p := range points {
		if p.Direction != direction {
			continue
		}
		th.Points, th.Up = append(th.Points, p), p.Up
		v, kelvin = append(v, p.Volts), append(kelvin, p.Kelvin)
		square += p.SE*p.SE + p.Half*p.Half/3
	}
	n := float64(len(v))
	if n == 0 {
		return th, false, nil
	}
	th.Kelvin = mean(kelvin)
	for i := range v {
		v[i] -= in.Compensation * (kelvin[i] - th.Kelvin)
	}
	th.Best, th.SD = mean(v), trace.Scatter(v)
	noise, dof := math.Sqrt(square)/n, 0.0
	if repeated := th.SD / math.Sqrt(n); n > 1 && repeated > noise {
		noise, dof = repeated, n-1
	}
	limit, half := in.Gauge.Limit(th.Best), in.Gauge.Step()/2
	th.Noise, th.Own = noise, math.Hypot(noise, half/math.Sqrt(3))
	inputs := []statistics.Input{{Name: "sweeps", U: noise, DOF: dof}}
	if half > 0 {
		inputs = append(inputs, statistics.Input{Name: "last digit", Dist: statistics.Rectangular, Low: -half, High: half})
	}
	if limit > 0 {
		inputs = append(inputs, statistics.Input{Name: "meter", Dist: statistics.Rectangular, Low: -limit, High: limit})
	}
	budget, err := statistics.Propagate(func(x []float64) (float64, error) {
		sum := th.Best
		for _, d := range x {
			sum += d
		}
		return sum, nil
	}, inputs, nil)
	th.Low, th.High, th.Open = budget.Low, budget.High, !in.Gauge.Known()
	if th.Open {
		th.Low, th.High = th.Best, th.Best
	}
	return th, true, err
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v / float64(len(x))
	}
	return sum
}

// of returns the thresholds of one direction.
func (r *Result) of(direction string) (out []*Threshold) {
	for i := range r.Thresholds {
		if r.Thresholds[i].Direction == direction {
			out = append(out, &r.Thresholds[i])
		}
	}
	return out
}

// spread tells units and sweeps apart: one-way analysis of variance with unlike numbers [L11].
func (r *Result) spread(direction string) {
	all := r.of(direction)
	if len(all) < 2 {
		return
	}
	var means []float64
	var points, squares, within, dof float64
	for _, th := range all {
		n := float64(len(th.Points))
		means = append(means, th.Best)
		points, squares = points+n, squares+n*n
		within, dof = within+(n-1)*th.SD*th.SD, dof+n-1
	}
	s := Spread{Direction: direction, Units: len(all), Mean: mean(means)}
	if dof > 0 {
		s.Within = math.Sqrt(within / dof)
	}
	grand, between := 0.0, 0.0
	for _, th := range all {
		grand += float64(len(th.Points)) * th.Best / points
	}
	for _, th := range all {
		between += float64(len(th.Points)) * (th.Best - grand) * (th.Best - grand)
	}
	k := float64(len(all))
	usual := (points - squares/points) / (k - 1)
	s.Between = math.Sqrt(max(0, (between/(k-1)-s.Within*s.Within)/usual)) // [L11]
	r.Spreads = append(r.Spreads, s)
}

// drift lays one slope through the points of all units, each about its own mean [L12].
func (r *Result) drift(direction string) {
	var x, y []float64
	units, low, high := 0, math.Inf(1), math.Inf(-1)
	for _, th := range r.of(direction) {
		if th.Kelvin == 0 {
			return
		}
		volts := 0.0
		for _, p := range th.Points {
			volts += p.Volts / float64(len(th.Points))
		}
		for _, p := range th.Points {
			x, y = append(x, p.Kelvin-th.Kelvin), append(y, p.Volts-volts)
			low, high = min(low, p.Kelvin), max(high, p.Kelvin)
		}
		units++
	}
	dof := float64(len(x) - units - 1)
	if dof < 1 || high-low < leastSpan {
		return
	}
	var xx, xy, rest float64
	for i := range x {
		xx, xy = xx+x[i]*x[i], xy+x[i]*y[i]
	}
	if !(xx > 0) {
		return
	}
	slope := xy / xx
	for i := range x {
		d := y[i] - slope*x[i]
		rest += d * d
	}
	half := trace.Student(level95, dof) * math.Sqrt(rest/dof/xx)
	r.Drifts = append(r.Drifts, Drift{Direction: direction, Span: high - low, Points: len(x),
		Slope: bench.Interval{Best: slope, Low: slope - half, High: slope + half}})
}

// hysteresis is what lies between the directions of each unit.
func (r *Result) hysteresis() {
	for _, up := range r.of(Rising) {
		for _, down := range r.of(Falling) {
			if up.Unit != down.Unit {
				continue
			}
			between := up.Best - down.Best + r.Input.Compensation*(down.Kelvin-up.Kelvin)
			dof := math.Inf(1)
			if n := len(up.Points) + len(down.Points); n > 2 {
				dof = float64(n - 2)
			}
			half := trace.Student(level95, dof) * math.Hypot(up.Own, down.Own)
			if g := r.Input.Gauge; g.Known() {
				half = math.Hypot(half, g.Meter.Accuracy.Relative*math.Abs(between))
			}
			r.Hysteresis = append(r.Hysteresis, Hysteresis{up.Unit, bench.Interval{Best: between, Low: between - half, High: between + half}})
		}
	}
}

func (r *Result) doubt(text, remedy string) {
	r.Warnings = append(r.Warnings, page.Note{Text: text, Remedy: remedy, From: r.Input.From})
}

// doubts says what the sweep leaves open.
func (r *Result) doubts() {
	if !r.Input.Gauge.Known() {
		r.doubt("the accuracy of the meter of the supply's voltage is not known: nothing limits how far off the points are, so that they judge no promise",
			"name the meter in the run, and its accuracy in bench/meters.toml")
	}
	rate, coarse := 0.0, 0.0
	single := false
	for _, th := range r.Thresholds {
		for _, p := range th.Points {
			rate, coarse = max(rate, math.Abs(p.Rate)), max(coarse, p.Half)
		}
		single = single || len(th.Points) == 1
	}
	for _, h := range r.Hysteresis {
		if 2*coarse > quarter*math.Abs(h.Best) {
			r.doubt(fmt.Sprintf("the supply moved by %s from one row to the next, which is not small beside the hysteresis of %s", volts(2*coarse), volts(h.Best)), "sweep slower, or log more often")
			break
		}
	}
	if rate > brisk {
		r.doubt(fmt.Sprintf("the supply was swept at up to %s: what the unit takes to answer widens the hysteresis", quantity.Format(rate, quantity.Voltage.Div(quantity.Time), "mV/s", 0)),
			"sweep at 10 mV in a second or slower, and at two speeds to see whether it matters")
	}
	if single {
		r.doubt("a point was passed once only: nothing tells how well it repeats", "sweep three times in both directions")
	}
	for _, d := range r.Drifts {
		if c := r.Input.Compensation; d.Span >= wide && (c < d.Slope.Low || c > d.Slope.High) {
			r.doubt(fmt.Sprintf("%s: the points follow the temperature by %s (%s to %s); they are to follow it by %s", d.Direction, perKelvin(d.Slope.Best), perKelvin(d.Slope.Low), perKelvin(d.Slope.High), perKelvin(c)),
				"check temperature_compensation, and where the sensor sits")
		}
	}
}

func volts(v float64) string     { return quantity.Format(v, quantity.Voltage, "V", 3) }
func perKelvin(v float64) string { return quantity.Format(v, quantity.VoltagePerKelvin, "mV/K", 1) }
