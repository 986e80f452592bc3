package curve

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"hindwatt/internal/study/bench/trace"
)

func TestRefuses(t *testing.T) {
	few := plain.log(1)
	few.Time, few.Voltage, few.Current, few.Panel, few.Temperature = few.Time[:2], few.Voltage[:2], nil, nil, nil
	still := plain.log(1)
	for i := range still.Voltage {
		still.Voltage[i] = 27.3
	}
	uneven := plain.log(1)
	uneven.Current = uneven.Current[1:]
	for _, c := range []struct {
		in   Input
		want string
	}{
		{few, "bench/day.csv: has 2 rows with a voltage; want 20 or more to tell a level from a change"},
		{still, "bench/day.csv: all 8640 voltages are 27.300 V; want a meter that follows, or one digit more"},
		{uneven, "bench/day.csv: 8639 values beside 8640 times; want as many of both"},
	} {
		if _, err := Run(context.Background(), c.in); err == nil || err.Error() != c.want {
			t.Errorf("%v; want %s", err, c.want)
		}
	}
	stopped, stop := context.WithCancel(context.Background())
	stop()
	if _, err := Run(stopped, plain.log(1)); err == nil {
		t.Error("a stopped run gives no error")
	}
}

// What a log does not tell is said, each with its remedy.
func TestDoubts(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*Input)
		want   string
	}{
		"meter not known":        {func(in *Input) { in.Gauge.Meter = nil }, "the accuracy of the meter of the battery's voltage is not known"},
		"digits of unknown size": {func(in *Input) { in.Gauge.Meter = meter("±(0.1 % + 1 digits)", 0) }, "they judge no promise"},
		"voltage alone":          {func(in *Input) { in.Current, in.Panel = nil, nil }, "by the battery's voltage alone"},
		"no temperature":         {func(in *Input) { in.Temperature = nil }, "a temperature that was not logged"},
		"slow meter on a pulse":  {func(in *Input) { in.Pulse = trace.Pulse{Low: 99, High: 101, Swing: 0.2} }, "may beat so slowly that it looks like a level"},
		"swing not known":        {func(in *Input) { in.Pulse = trace.Pulse{Low: 99, High: 101} }, "how far the voltage swings within a pulse is not known"},
		"night alone": {func(in *Input) {
			in.Time, in.Voltage, in.Current, in.Panel, in.Temperature = in.Time[:2000], in.Voltage[:2000], in.Current[:2000], in.Panel[:2000], in.Temperature[:2000]
		}, "no level was held for long enough"},
	} {
		in := plain.log(1)
		c.change(&in)
		r := run(t, in)
		found := false
		for _, w := range r.Warnings {
			found = found || strings.Contains(w.Text, c.want) && w.Remedy != "" && w.From == "bench/day.csv"
		}
		if !found {
			t.Errorf("%s: %v; want %q", name, r.Warnings, c.want)
		}
		if name == "meter not known" || name == "digits of unknown size" {
			if p := r.Plateau("float"); p == nil || !p.Level.Open || p.Level.Low != p.Level.High {
				t.Errorf("%s: %+v; want open limits", name, p)
			}
		}
	}
	steady := plain.log(1)
	steady.Pulse = trace.Pulse{Low: 99, High: 101, Swing: 0.2, Averaging: 0.4}
	for _, w := range run(t, steady).Warnings {
		if strings.Contains(w.Text, "beat") {
			t.Errorf("a meter that averages is doubted: %s", w.Text)
		}
	}
}

func TestPage(t *testing.T) {
	in := plain.log(1)
	r := run(t, in)
	p := r.Page()
	if !strings.HasPrefix(p.Answer[0], "Absorption: held at 28.") || !strings.Contains(p.Answer[0], "; float: held at 27.") {
		t.Errorf("answer %q", p.Answer)
	}
	var out bytes.Buffer
	out.WriteString(strings.Join(p.Answer, " "))
	for _, table := range p.Tables {
		for _, row := range table.Rows {
			if len(row) != len(table.Head) {
				t.Errorf("row %q under %q", row, table.Head)
			}
			out.WriteString(strings.Join(row, " "))
		}
	}
	drawing := p.Figures[0].Plot.Drawing(500)
	svg := drawing.SVG()
	if strings.Contains(out.String()+string(svg), "NaN") || strings.Contains(out.String(), "Inf") || !strings.Contains(p.Figures[0].Caption, "float from 13:0") {
		t.Errorf("page %s", out.String())
	}
	in = warming(-0.048)
	if said := strings.Join(run(t, in).Page().Answer, " "); !strings.Contains(said, "which the log contradicts") {
		t.Errorf("a compensation that is off by a third is not said: %s", said)
	}
}

// warming is a day whose temperatures differ by much, by a controller that follows them by -36 mV/K and is to
// do so otherwise.
func warming(instead float64) Input {
	in := plain.log(1)
	for i := range in.Temperature {
		warmer := 3 * (in.Temperature[i] - 291.15)
		in.Temperature[i] += warmer
		if in.Time[i] >= over && in.Time[i] < sunset {
			in.Voltage[i] += plain.compensation * warmer
		}
	}
	in.Compensation = instead
	return in
}

// BenchmarkCurve looks at a day of one row a second, 86,400 rows.
func BenchmarkCurve(b *testing.B) {
	d := plain
	d.step = 1
	in := d.log(1)
	for b.Loop() {
		if _, err := Run(context.Background(), in); err != nil {
			b.Fatal(err)
		}
	}
}
