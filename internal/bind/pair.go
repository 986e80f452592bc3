package bind

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"

	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/bench"
	"hindwatt/internal/study/bench/pair"
)

// compared are the quantities of two controllers that are held against each other, with the unit to show them in.
var compared = []struct{ is, unit string }{
	{"battery voltage", "V"}, {"charge current", "A"}, {"panel voltage", "V"}, {"load current", "A"}, {"panel current", "A"},
}

// Pairs returns what a run compares of two controllers, quantity by quantity, and what is to be said of its logs.
func Pairs(p *product.Product, name string) (in []pair.Input, notes []page.Note, err error) {
	run := p.Folder.Runs.Get(name)
	switch {
	case len(run.Hand.Names()) > 0:
		in, err = byHand(p, name)
	case len(run.Runs.Items) > 0:
		in, notes, err = ofTwoRuns(p, name)
	default:
		var l *log
		if l, err = readLog(p, name); err != nil {
			return nil, nil, err
		}
		if in = l.inTurn(); len(in) == 0 {
			in = l.sideBySide()
		}
		notes = l.notes
	}
	if err == nil && len(in) == 0 {
		err = run.Fault("names no two controllers", `want two of serial or revision: in [span.NAME], in [column.NAME], in [hand.NAME], or two logs as runs = ["…", "…"]`)
	}
	return in, notes, err
}

// byHand compares two readings by hand.
func byHand(p *product.Product, name string) (list []pair.Input, err error) {
	run := p.Folder.Runs.Get(name)
	for _, c := range compared {
		var two []*product.RunHand
		for _, h := range run.Hand.All() {
			if h.Is.Is(c.is) {
				two = append(two, h)
			}
		}
		if len(two) == 0 {
			continue
		}
		if len(two) != 2 {
			return nil, run.Hand.Fault(fmt.Sprintf("holds %d of the %s", len(two), c.is), "want two readings, of one controller and of the other")
		}
		in := pair.Input{Quantity: c.is, Dim: two[0].Value.Dim, Unit: c.unit, From: run.Origin.File()}
		in.Hand = &[2]quantity.Quantity{two[0].Value.Quantity, two[1].Value.Quantity}
		for i, h := range two {
			if in.Names[i] = who(h.Serial.Text, h.Revision.Text); in.Names[i] == "" {
				return nil, h.Fault("does not say which controller it is of", `want serial = "…" or revision = "…", or "other"`)
			}
			meter := cmp.Or(h.Meter.Text, run.Meter.Text)
			in.Meters[i] = benchMeter(p, meter, h.Value.Dim, lastDigit(h.Value))
		}
		if in.Names[0] == in.Names[1] {
			return nil, two[1].Fault("is of the same controller as the other reading", "want readings of two")
		}
		list = append(list, in)
	}
	return list, nil
}

// inTurn compares the spans of a log in which one controller or the other was connected; nil if there are no such spans.
func (l *log) inTurn() (list []pair.Input) {
	type span struct {
		from, until float64
		who         int
	}
	var spans []span
	var names []string
	for _, s := range l.run.Spans.All() {
		name := who(s.Serial.Text, s.Revision.Text)
		if s.LeftOut.On || name == "" {
			continue
		}
		i := slices.Index(names, name)
		if i < 0 {
			i, names = len(names), append(names, name)
		}
		one := span{from: s.From.Value, until: math.Inf(1), who: i}
		if s.Until.Set() {
			one.until = s.Until.Value
		}
		spans = append(spans, one)
	}
	if len(names) < 2 {
		return nil
	}
	if len(names) > 2 {
		l.note(fmt.Sprintf("%d controllers are named; the first two are compared", len(names)), "write a run for each two", 0)
	}
	sort.SliceStable(spans, func(a, b int) bool { return spans[a].from < spans[b].from })
	sun := l.sun("panel current")
	for _, c := range compared {
		columns := l.columns(c.is)
		if len(columns) == 0 || columns[0] == sun {
			continue
		}
		t, read := l.together(columns[0], sun)
		in := pair.Input{Names: [2]string{names[0], names[1]}, Quantity: c.is, Dim: l.Column(columns[0]).Dim, Unit: c.unit, From: l.File}
		in.Meters[0] = l.gauge(columns[0]).Meter
		in.Meters[1] = in.Meters[0]
		for _, s := range spans {
			if s.who > 1 {
				continue
			}
			from, to := sort.SearchFloat64s(t, s.from), sort.SearchFloat64s(t, s.until)
			if from >= to {
				continue
			}
			one := pair.Span{Who: s.who, Time: t[from:to], Value: read[0][from:to]}
			if read[1] != nil {
				one.Sun = read[1][from:to]
			}
			if len(one.Time) > 0 {
				in.Spans = append(in.Spans, one)
			}
		}
		list = append(list, in)
	}
	return list
}

// sun is the column that tells how bright it was: the irradiance, or else one of another kind; "" if there is none.
func (l *log) sun(others ...string) string {
	for _, is := range append([]string{"irradiance"}, others...) {
		if names := l.columns(is); len(names) == 1 {
			return names[0]
		}
	}
	return ""
}

// sideBySide compares columns of one kind that belong to two controllers; nil if there are none.
func (l *log) sideBySide() (list []pair.Input) {
	for _, c := range compared {
		var columns, names []string
		for _, column := range l.columns(c.is) {
			k := l.run.Columns.Get(column)
			if name := who(k.Serial.Text, k.Revision.Text); name != "" && !slices.Contains(names, name) {
				columns, names = append(columns, column), append(names, name)
			}
		}
		if len(columns) < 2 {
			continue
		}
		t, read := l.together(columns[0], columns[1], l.sun())
		if read[1] == nil {
			continue
		}
		in := pair.Input{Names: [2]string{names[0], names[1]}, Quantity: c.is, Dim: l.Column(columns[0]).Dim, Unit: c.unit, From: l.File}
		in.Side = &[2]pair.Span{{Time: t, Value: read[0], Sun: read[2]}, {Value: read[1]}}
		in.Meters = [2]*bench.Meter{l.gauge(columns[0]).Meter, l.gauge(columns[1]).Meter}
		list = append(list, in)
	}
	return list
}

// ofTwoRuns compares the logs of two runs: at the same times where they ran together, else one after the other.
func ofTwoRuns(p *product.Product, name string) (list []pair.Input, notes []page.Note, err error) {
	run := p.Folder.Runs.Get(name)
	if len(run.Runs.Items) != 2 {
		return nil, nil, run.Runs.Fault("does not name two runs", "want those of one controller and of the other")
	}
	var logs [2]*log
	var names [2]string
	for i, of := range run.Runs.Items {
		if logs[i], err = readLog(p, of.Text); err != nil {
			return nil, nil, err
		}
		notes = append(notes, logs[i].notes...)
		if names[i] = who(RunSerial(logs[i].run), logs[i].run.Revision.Text); names[i] == "" {
			names[i] = "that of run " + of.Text
		}
	}
	if logs[0].Start.IsZero() || logs[1].Start.IsZero() {
		return nil, notes, run.Runs.Fault("the two logs have no common clock", "want stamps with a date in both, or date = … in both runs")
	}
	if names[0] == names[1] {
		return nil, notes, run.Runs.Fault("both runs are of "+names[0], "want those of two controllers")
	}
	later := logs[1].Start.Sub(logs[0].Start).Seconds()
	for _, c := range compared {
		a, b := logs[0].columns(c.is), logs[1].columns(c.is)
		if len(a) == 0 || len(b) == 0 {
			continue
		}
		suns := [2]string{logs[0].sun(), logs[1].sun()}
		ta, ca := logs[0].together(a[0], suns[0])
		tb, cb := logs[1].together(b[0], suns[1])
		if len(ta) == 0 || len(tb) == 0 {
			continue
		}
		for i := range tb {
			tb[i] += later
		}
		in := pair.Input{Names: names, Quantity: c.is, Dim: logs[0].Column(a[0]).Dim, Unit: c.unit, From: logs[0].File + " and " + logs[1].File,
			Meters: [2]*bench.Meter{logs[0].gauge(a[0]).Meter, logs[1].gauge(b[0]).Meter}}
		first, second := pair.Span{Who: 0, Time: ta, Value: ca[0], Sun: ca[1]}, pair.Span{Who: 1, Time: tb, Value: cb[0], Sun: cb[1]}
		switch {
		case tb[0] > ta[len(ta)-1]:
			in.Spans = []pair.Span{first, second}
		case ta[0] > tb[len(tb)-1]:
			in.Spans = []pair.Span{second, first}
		default:
			in.Side = together(first, second, 5*math.Max(logs[0].Step, logs[1].Step))
		}
		list = append(list, in)
	}
	return list, notes, nil
}

// together brings the second log to the times of the first, between its rows that are no further apart than a gap.
func together(first, second pair.Span, gap float64) *[2]pair.Span {
	var a, b pair.Span
	for i, at := range first.Time {
		k := sort.SearchFloat64s(second.Time, at)
		v := 0.0
		switch {
		case k < len(second.Time) && second.Time[k] == at:
			v = second.Value[k]
		case k == 0 || k == len(second.Time) || second.Time[k]-second.Time[k-1] > gap:
			continue
		default:
			share := (at - second.Time[k-1]) / (second.Time[k] - second.Time[k-1])
			v = second.Value[k-1] + share*(second.Value[k]-second.Value[k-1])
		}
		a.Time, a.Value, b.Value = append(a.Time, at), append(a.Value, first.Value[i]), append(b.Value, v)
		if first.Sun != nil {
			a.Sun = append(a.Sun, first.Sun[i])
		}
	}
	return &[2]pair.Span{a, b}
}
