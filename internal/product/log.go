package product

import (
	"strings"

	"hindwatt/internal/product/logfile"
	"hindwatt/internal/product/tree"
	"hindwatt/internal/quantity"
)

// Log reads the log of a run. What is wrong with it is an *Error that names the log and its line; the
// folder and its other runs do not mind. A log is read each time that somebody asks, for it may be
// large, and a folder is read often.
func (f *Folder) Log(name string) (*logfile.Log, error) {
	run := f.Runs.Get(name)
	if run == nil {
		return nil, &Error{File: "bench", Key: name, Problem: "there is no such run", Want: "want " + listed(f.Runs.Names())}
	}
	ask := run.ask(name)
	root, err := openSource(f.Dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	if info, err := root.Stat(ask.File); err == nil && info.Mode().IsRegular() && info.Size() > logfile.MaxBytes {
		return nil, ask.TooLarge(info.Size())
	}
	s := &source{root: root, laid: f.instead, faults: &tree.Faults{}}
	data := s.bytes(ask.File, logfile.MaxBytes)
	switch {
	case len(s.faults.List) > 0:
		return nil, s.faults.List[0]
	case data == nil:
		return nil, &Error{File: ask.File, Problem: "there is no such file", Want: "want the run's log there, or its name as log = … in the run"}
	}
	return logfile.Read(data, ask)
}

// measures are the dimensions of what a column of a log may be.
var measures = map[string]quantity.Dimension{
	"temperature": quantity.TemperaturePoint, "irradiance": quantity.Irradiance,
	"battery voltage": quantity.Voltage, "panel voltage": quantity.Voltage, "supply voltage": quantity.Voltage, "output voltage": quantity.Voltage, "drop": quantity.Voltage,
	"charge current": quantity.Current, "load current": quantity.Current, "panel current": quantity.Current,
}

// ask is what is wanted of a run's log.
func (run *Run) ask(name string) logfile.Ask {
	a := logfile.Ask{
		File: run.LogFile(name), Interval: run.Interval.Value, Day: run.Date.Day,
		Dates: run.Dates.Text, Decimal: run.Decimal.Text,
	}
	for name, c := range run.Columns.All() {
		one := logfile.Column{Name: name, Header: strings.TrimSpace(c.In(name)), Number: c.Number.N, Dim: measures[c.Is.Text], Unit: c.Unit.Text}
		switch c.Is.Text {
		case "time":
			one.Role = logfile.Time
		case "date":
			one.Role = logfile.DayOnly
		}
		a.Columns = append(a.Columns, one)
	}
	return a
}
