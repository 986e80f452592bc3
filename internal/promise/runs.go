package promise

import (
	"context"
	"fmt"
	"math"
	"strings"
	"sync"

	"hindwatt/internal/bind"
	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/promise/kept"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/bench/iv"
	"hindwatt/internal/study/bench/trace"
	"hindwatt/internal/study/bench/trace/curve"
	"hindwatt/internal/study/bench/trace/sweep"
)

// runsRead are the logs of the runs on the product as it is laid out, each looked at once.
type runsRead struct {
	once     sync.Once
	runs     []runRead
	readings []product.Reading // what the runs show, as if it were read by hand
}

// A runRead is what one log tells.
type runRead struct {
	name    string
	page    page.Page
	figures []Figure
	notes   []page.Note // about the log
	faults  []page.Note // for which the run does not count, or not for all that it is to show
	shows   map[string]bool
	swept   *iv.Result // of a panel; nil: no panel was swept

	resistances []caseResistance
}

// runs looks at the logs. One that cannot be read, or that tells nothing, gives a note and no figure; the others
// count. A log takes less than a second and is not stopped halfway.
func (s *session) runsOnBench() *runsRead {
	l := &s.logs
	l.once.Do(func() {
		for name, run := range s.product.Folder.Runs.All() {
			mine := bind.RunBelongs(s.product, run) || run.Kind.Is("iv") || run.Kind.Is("pair") // a panel is of no revision, and two are of two
			if !mine && (run.Revision.Text != bind.Other || s.product.Variant != "") {
				continue
			}
			read, readings := s.lookAt(name, run)
			l.runs = append(l.runs, read)
			if mine {
				l.readings = append(l.readings, readings...)
			}
		}
	})
	return l
}

// lookAt looks at one log.
func (s *session) lookAt(name string, run *product.Run) (read runRead, readings []product.Reading) {
	read.name, read.shows = name, map[string]bool{}
	for _, shows := range run.Shows.Items {
		read.shows[bind.Plain(shows.Text)] = true
	}
	var err error
	switch run.Kind.Text {
	case "curve":
		readings, err = s.lookAtCurve(&read, run)
	case "thresholds":
		readings, err = s.lookAtSweep(&read, run)
	case "soak":
		readings, err = s.lookAtSoak(&read, run)
	case "iv":
		err = s.lookAtIV(&read, run)
	case "pair":
		err = s.lookAtPair(&read, run)
	case "":
		read.doubt(run.Leaf, "does not say what was done", `want kind = "curve" or another of docs/folder.md`)
	}
	if err != nil {
		read.fail(err, run)
	}
	return read, readings
}

// fail notes why a run, or a part of it, does not count.
func (r *runRead) fail(err error, run *product.Run) {
	r.faults = append(r.faults, page.Note{Text: err.Error(), Remedy: "the other runs and readings count without it", From: run.Origin.File()})
}

func (r *runRead) doubt(at product.Leaf, text, remedy string) {
	r.faults = append(r.faults, page.Note{Text: at.Origin.String() + " " + text, Remedy: remedy, From: at.Origin.String()})
}

// phased are the curves cut into phases last.
var phased kept.Memory[*curve.Result]

func (s *session) lookAtCurve(read *runRead, run *product.Run) ([]product.Reading, error) {
	in, notes, err := bind.Curve(s.product, read.name)
	read.notes = notes
	if err != nil {
		return nil, err
	}
	found, err := phased.Result("curve", in, func() (*curve.Result, error) { return curve.Run(context.Background(), in) })
	if err != nil {
		return nil, err
	}
	read.page = found.Page()
	for _, p := range found.Plateaus {
		l := p.Level
		read.figures = append(read.figures, Figure{read.name + " " + p.Name, Interval{l.Best, l.Low, l.High, l.Open, l.Open}, quantity.Voltage, "V"})
	}
	var readings []product.Reading
	for k, shows := range run.Shows.Items {
		p := found.Plateau(strings.TrimPrefix(bind.Plain(shows.Text), "setpoint."))
		if p == nil {
			read.doubt(shows.Leaf, "shows nothing: no such level was held in the log", "mend shows, or log a day on which that level is held")
			continue
		}
		r := bind.RunReading(run, k, bind.RunSerial(run))
		valued(&r, p.Level.Best, math.Hypot(p.Level.Noise, p.Level.Aliasing), in.Gauge)
		if p.HasTemp {
			r.Ambient = inRun(r.Leaf, p.Temperature.Best, quantity.TemperaturePoint, "°C", 1)
		}
		if in.Current != nil {
			r.ChargeCurrent = inRun(r.Leaf, math.Max(p.Current, 0), quantity.Current, "A", 3)
		}
		readings = append(readings, r)
	}
	return readings, nil
}

// directions are those in which the supply passes the setpoints that a sweep shows.
var directions = map[string]string{
	"setpoint.load-disconnect": sweep.Falling, "setpoint.load-reconnect": sweep.Rising, "setpoint.absorption": sweep.Rising, "setpoint.float": sweep.Rising,
}

func (s *session) lookAtSweep(read *runRead, run *product.Run) ([]product.Reading, error) {
	in, notes, err := bind.Sweep(s.product, read.name)
	read.notes = notes
	if err != nil {
		return nil, err
	}
	found, err := sweep.Run(context.Background(), in)
	if err != nil {
		return nil, err
	}
	read.page = found.Page()
	for _, th := range found.Thresholds {
		name := strings.Join(strings.Fields(fmt.Sprint(read.name, " ", th.Unit, " ", th.Direction)), " ")
		read.figures = append(read.figures, Figure{name, Interval{th.Best, th.Low, th.High, th.Open, th.Open}, quantity.Voltage, "V"})
	}
	var readings []product.Reading
	for k, shows := range run.Shows.Items {
		direction, ok := directions[bind.Plain(shows.Text)]
		before := len(readings)
		for _, th := range found.Thresholds {
			if !ok || th.Direction != direction {
				continue
			}
			r := bind.RunReading(run, k, th.Unit)
			valued(&r, th.Best, th.Noise, in.Gauge)
			if th.Kelvin > 0 {
				r.Ambient = inRun(r.Leaf, th.Kelvin, quantity.TemperaturePoint, "°C", 1)
			}
			readings = append(readings, r)
		}
		if len(readings) == before {
			read.doubt(shows.Leaf, "shows nothing: no unit switched there in the log", "mend shows, or sweep over that point")
		}
	}
	return readings, nil
}

// valued gives a reading its value, with the spread that is its own; the meter's is the meter's.
func valued(r *product.Reading, volts, own float64, g trace.Gauge) {
	decimals := 3
	if digit := g.Step(); digit > 0 {
		decimals = int(max(0, math.Ceil(-math.Log10(digit)-1e-9)))
	}
	r.Value.Quantity = inRun(r.Leaf, volts, quantity.Voltage, "V", decimals)
	if own > 0 {
		r.Value.Spread, r.Value.SD = quantity.Normal, own
	}
	if g.Meter != nil {
		r.Meter = product.Name{Leaf: product.Leaf{Origin: r.Origin, Text: g.Meter.Name}}
	}
}

// inRun is a quantity that stands where a run says what it shows.
func inRun(leaf product.Leaf, v float64, dim quantity.Dimension, unit string, decimals int) product.Quantity {
	leaf.Text = quantity.Format(v, dim, unit, decimals)
	return product.Quantity{Leaf: leaf, Quantity: quantity.Quantity{Value: v, Low: v, High: v, Dim: dim, Unit: unit}}
}

// byRuns are the readings of one thing that the runs show; why a run that is to show it does not is noted.
func (s *session) byRuns(what string) (rows []product.Reading) {
	l := s.runsOnBench()
	for _, r := range l.readings {
		if bind.Plain(r.What.Text) == bind.Plain(what) {
			rows = append(rows, r)
		}
	}
	for _, r := range l.runs {
		if r.shows[bind.Plain(what)] {
			s.note(r.faults...)
		}
	}
	return rows
}

// tellRuns adds what each log tells to the bench's page.
func (s *session) tellRuns(shown *page.Page, out *Answer) {
	for _, r := range s.runsOnBench().runs {
		told := r.page
		told.Warnings = append(append(append([]page.Note{}, r.faults...), r.notes...), told.Warnings...)
		if len(told.Answer)+len(told.Warnings) > 0 {
			shown.Append(r.name, told)
			out.Figures = append(out.Figures, r.figures...)
		}
	}
}
