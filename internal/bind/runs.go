package bind

import (
	"fmt"
	"math"
	"strings"

	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/product/logfile"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/bench"
	"hindwatt/internal/study/bench/trace"
	"hindwatt/internal/study/bench/trace/curve"
	"hindwatt/internal/study/bench/trace/sweep"
)

// Other is the revision of somebody else's controller.
const Other = "other"

// RunReading is a reading by a run, but for its value, so that it stands beside those of readings.csv.
//
//	shown   which of the run's shows it is
//	serial  of the unit; "" if the run does not tell
func RunReading(run *product.Run, shown int, serial string) product.Reading {
	at := run.Shows.Items[shown].Leaf
	r := product.Reading{
		Leaf: at, Date: run.Date, What: product.Text{Leaf: at}, Meter: run.Meter, Revision: run.Revision,
		Ambient: run.Conditions.Ambient, ChargeCurrent: run.Conditions.ChargeCurrent, LoadCurrent: run.Conditions.LoadCurrent,
		Basis: product.Word{Leaf: product.Leaf{Origin: at.Origin, Text: "counted"}},
	}
	if serial != "" {
		r.Serial = product.Text{Leaf: product.Leaf{Origin: at.Origin, Text: serial}}
	}
	return r
}

// RunBelongs reports whether a run was made on the product as it is laid out, as for a reading.
func RunBelongs(p *product.Product, run *product.Run) bool {
	return Belongs(p, product.Reading{Leaf: run.Leaf, Date: run.Date, Revision: run.Revision, Serial: product.Text{Leaf: product.Leaf{Text: RunSerial(run)}}})
}

// RunSerial is the unit of a run; "" if it has none, or several.
func RunSerial(run *product.Run) string {
	if len(run.Serial.Items) == 1 {
		return run.Serial.Items[0].Text
	}
	return ""
}

// A log is what was read of a run, and what is to be said of it.
type log struct {
	*logfile.Log
	product *product.Product
	run     *product.Run
	name    string
	notes   []page.Note
}

// Log reads the log of a run; what it left out is in the notes.
func readLog(p *product.Product, name string) (*log, error) {
	read, err := p.Folder.Log(name)
	if err != nil {
		return nil, err
	}
	l := &log{Log: read, product: p, run: p.Folder.Runs.Get(name), name: name}
	for _, n := range read.Notes {
		l.note(n.Text, n.Remedy, 0)
	}
	const most = 5
	for i, left := range read.Left {
		if i == most {
			l.note(fmt.Sprintf("%d more places were not read", len(read.Left)-most), "hindwatt study bench lists the first; mend the log, or take the column out of the run", 0)
			break
		}
		l.note("not read: "+left.String(), "", left.First)
	}
	return l, nil
}

func (l *log) note(text, remedy string, line int) {
	at := l.File
	if line > 0 {
		at = fmt.Sprintf("%s:%d", l.File, line)
	}
	l.notes = append(l.notes, page.Note{Text: text, Remedy: remedy, From: at})
}

// columns are the names of the run's columns that hold something, in the file's order.
func (l *log) columns(is string) (names []string) {
	for name, c := range l.run.Columns.All() {
		if c.Is.Is(is) {
			names = append(names, name)
		}
	}
	return names
}

// temperature is the column of the temperature that levels follow: where its probe sat at the battery, or in
// the air; "" if none is.
func (l *log) temperature() string {
	names := l.columns("temperature")
	for _, place := range []string{"battery", "air", "ambient"} {
		for _, name := range names {
			if strings.Contains(strings.ToLower(l.run.Columns.Get(name).Place.Text), place) || name == place {
				return name
			}
		}
	}
	if len(names) == 1 && !l.run.Columns.Get(names[0]).Place.Set() {
		return names[0]
	}
	return ""
}

// most of the rows of the first column must have the others too, or they are left out.
const mostOf = 0.9

// together returns time and columns at the rows where all were read, in the order of names, nil for those that
// are "" or that lack too much; rows of spans that are left out are not among them.
func (l *log) together(names ...string) (time []float64, columns [][]float64) {
	columns = make([][]float64, len(names))
	var wanted []string
	var places []int
	for i, name := range names {
		c := l.Column(name)
		if c == nil {
			continue
		}
		if i > 0 && float64(c.Read) < mostOf*float64(l.Column(names[0]).Read) {
			l.note(fmt.Sprintf("column %s is left out: it has %d values where %s has %d", name, c.Read, names[0], l.Column(names[0]).Read), "let the logger write it in each row", 0)
			continue
		}
		wanted, places = append(wanted, name), append(places, i)
	}
	t, read, _ := l.Series(wanted...)
	for row, at := range t {
		if l.out(at) {
			continue
		}
		time = append(time, at)
		for k, i := range places {
			columns[i] = append(columns[i], read[k][row])
		}
	}
	return time, columns
}

// out reports whether a time lies in a span that is left out.
func (l *log) out(at float64) bool {
	for _, s := range l.run.Spans.All() {
		if s.LeftOut.On && (!s.From.Set() || at >= s.From.Value) && (!s.Until.Set() || at < s.Until.Value) {
			return true
		}
	}
	return false
}

// gauge is what a column was taken with.
func (l *log) gauge(name string) trace.Gauge {
	c := l.run.Columns.Get(name)
	meter := c.Meter.Text
	if meter == "" {
		meter = l.run.Meter.Text
	}
	read := l.Column(name)
	return trace.Gauge{Meter: benchMeter(l.product, meter, read.Dim, read.Digit), Digit: read.Digit}
}

// benchMeter is a meter of the folder as one of the bench study; nil if its accuracy is not known.
//
//	digit  the last digit of what was read, which counts where the meter's is not given
func benchMeter(p *product.Product, name string, dim quantity.Dimension, digit float64) *bench.Meter {
	meter := p.Meters.Get(name)
	if meter == nil {
		return nil
	}
	gauge := gaugeOf(meter, dim)
	if gauge == nil || !gauge.Set() || !gauge.Accuracy.Set() {
		return nil
	}
	out := &bench.Meter{Name: name, Accuracy: gauge.Accuracy.Accuracy, Digit: gauge.Digit.Value, From: from(gauge.Leaf)}
	if !gauge.Digit.Set() {
		out.Digit = digit
	}
	return out
}

// lacks is the error of a run whose log does not hold what it takes.
func (l *log) lacks(what string) error {
	return l.run.Columns.Fault("has no column of the "+what, fmt.Sprintf("want a [column.NAME] with is = %q in bench/%s.toml", what, l.name))
}

// Curve returns the input of the curve study for a run, and what is to be said of its log.
func Curve(p *product.Product, name string) (curve.Input, []page.Note, error) {
	l, err := readLog(p, name)
	if err != nil {
		return curve.Input{}, nil, err
	}
	battery := l.columns("battery voltage")
	if len(battery) == 0 {
		return curve.Input{}, l.notes, l.lacks("battery voltage")
	}
	first := func(is string) string {
		if names := l.columns(is); len(names) > 0 {
			return names[0]
		}
		return ""
	}
	t, c := l.together(battery[0], first("charge current"), first("panel voltage"), l.temperature())
	in := curve.Input{Name: name, From: l.File, Time: t, Voltage: c[0], Current: c[1], Panel: c[2], Temperature: c[3], Gauge: l.gauge(battery[0])}
	if l.run.Revision.Text == Other {
		return in, l.notes, nil
	}
	r := &p.Regulation
	in.Compensation = r.TemperatureCompensation.Value
	for _, target := range []struct {
		name string
		at   product.Level
	}{{"absorption", r.Absorption}, {"float", r.Float}} {
		if target.at.Set() {
			in.Targets = append(in.Targets, curve.Target{Name: target.name, Volts: target.at.Level.Value})
		}
	}
	in.Pulse = l.pulse(c[1])
	return in, l.notes, nil
}

// pulse is the voltage that the controller switches while it holds a level: the current while the switch is on,
// taken as the largest that was logged, or that of the label, through the battery's resistance.
func (l *log) pulse(current []float64) trace.Pulse {
	p := l.product
	if !p.Regulation.Method.Is("pwm") || !p.Regulation.Frequency.Set() {
		return trace.Pulse{}
	}
	f := p.Regulation.Frequency
	out := trace.Pulse{Low: f.Low, High: f.High, Averaging: l.run.Averaging.Value}
	if f.Spread == quantity.Exact {
		const clocks = 0.02 // by which the clocks of controller and meter may differ; an estimate
		out.Low, out.High = f.Value*(1-clocks), f.Value*(1+clocks)
	}
	largest := p.Current.Value
	if current != nil {
		largest = 0
		for _, c := range current {
			largest = math.Max(largest, c)
		}
	}
	out.Swing = largest * p.Sense.BatteryResistance.High
	return out
}

// Sweep returns the input of the sweep study for a run, and what is to be said of its log.
func Sweep(p *product.Product, name string) (sweep.Input, []page.Note, error) {
	l, err := readLog(p, name)
	if err != nil {
		return sweep.Input{}, nil, err
	}
	supply := append(l.columns("supply voltage"), l.columns("battery voltage")...)
	if len(supply) == 0 {
		return sweep.Input{}, l.notes, l.lacks("supply voltage")
	}
	responses := l.responses()
	if len(responses) == 0 {
		return sweep.Input{}, l.notes, l.lacks("output voltage")
	}
	t, c := l.together(append([]string{supply[0], l.temperature()}, responses...)...)
	in := sweep.Input{Name: name, From: l.File, Time: t, Supply: c[0], Temperature: c[1], Gauge: l.gauge(supply[0])}
	if !l.load() && l.run.Revision.Text != Other {
		in.Compensation = p.Regulation.TemperatureCompensation.Value
	}
	for i, response := range responses {
		if c[2+i] == nil {
			continue
		}
		serial := l.run.Columns.Get(response).Serial.Text
		if serial == "" {
			serial = RunSerial(l.run)
		}
		in.Units = append(in.Units, sweep.Unit{Serial: serial, Response: c[2+i]})
	}
	return in, l.notes, nil
}

// load reports whether the run is about the load's switch, whose points do not follow the temperature.
func (l *log) load() bool {
	for _, s := range l.run.Shows.Items {
		if strings.Contains(s.Text, "load") {
			return true
		}
	}
	return len(l.run.Shows.Items) == 0 && len(l.columns("charge current")) == 0
}

// responses are the columns that show when a unit switched: its load's, or its charge's.
func (l *log) responses() []string {
	kinds := []string{"charge current", "panel current"}
	if l.load() {
		kinds = []string{"output voltage", "load current"}
	}
	for _, is := range kinds {
		if names := l.columns(is); len(names) > 0 {
			return names
		}
	}
	return nil
}
