package bind

import (
	"fmt"
	"math"
	"strings"
	"unicode"

	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
	"hindwatt/internal/study/bench"
	"hindwatt/internal/study/bench/soak"
	"hindwatt/internal/study/bench/trace"
)

// A Soak is a run at a held current, as its log has it.
type Soak struct {
	Places  []Warmed
	Drops   []Drop
	Current *float64 // A out of the panel, held; nil: not known
	Load    *float64 // A into the load, held; nil: not known
}

// Warmed is one place whose temperature was logged.
type Warmed struct {
	Column string
	Words  []string // of where the probe sat, in small letters, and the column's name
	soak.Input
}

// A Drop is a voltage that was logged, across a part, the controller or the load's way.
type Drop struct {
	Column string
	Words  []string
	Late   []float64 // V, of the log's last quarter, when it is as warm as it was going to be
	Air    float64   // K, at the log's end
	Gauge  trace.Gauge
}

// Is reports whether the place has that name.
func is(words []string, name string) bool {
	for _, w := range words {
		if Plain(w) == Plain(strings.ToLower(name)) {
			return true
		}
	}
	return false
}

// Is reports whether the place has that name.
func (w *Warmed) Is(name string) bool { return is(w.Words, name) }

// Is reports whether the drop lies across that.
func (d *Drop) Is(name string) bool { return is(d.Words, name) }

// Soaks returns what a run at a held current has logged, and what is to be said of its log.
func Soaks(p *product.Product, name string) (Soak, []page.Note, error) {
	l, err := readLog(p, name)
	if err != nil {
		return Soak{}, nil, err
	}
	air, places := l.airAndPlaces()
	switch {
	case len(places) == 0:
		return Soak{}, l.notes, l.lacks("temperature")
	case air == "" && !l.run.Conditions.Ambient.Set():
		return Soak{}, l.notes, l.run.Conditions.Fault("has no ambient, above which the temperatures rise",
			`want a [column.NAME] with is = "temperature" and place = "air", or conditions.ambient, in bench/`+name+".toml")
	}
	out := Soak{Current: l.held("charge current", l.run.Conditions.ChargeCurrent, l.run.Conditions.Current),
		Load: l.held("load current", l.run.Conditions.LoadCurrent)}
	for _, column := range places {
		t, c := l.together(column, air)
		in := soak.Input{Place: l.place(column), From: l.File, Time: t, Temperature: c[0], Ambient: c[1], Meter: l.gauge(column).Meter}
		if air != "" && c[1] != nil {
			in.AmbientMeter = l.gauge(air).Meter
		} else {
			in.Ambient, in.AmbientMeter = noted(l.run.Conditions.Ambient)
		}
		words := l.words(column)
		in.Power, in.PowerFrom = l.power(words, len(places), out)
		out.Places = append(out.Places, Warmed{column, words, in})
	}
	for _, column := range l.columns("drop") {
		t, c := l.together(column, air)
		if len(t) == 0 {
			continue
		}
		d := Drop{Column: column, Words: l.words(column), Late: late(t, c[0]), Gauge: l.gauge(column)}
		if c[1] != nil {
			d.Air = mean(late(t, c[1]))
		} else {
			d.Air = l.run.Conditions.Ambient.Value
		}
		out.Drops = append(out.Drops, d)
	}
	return out, l.notes, nil
}

// noted is an ambient that was noted, and a meter with limits as it is written; nil where it has none.
func noted(ambient product.Quantity) ([]float64, *bench.Meter) {
	at := []float64{ambient.Value}
	half := math.Sqrt(3) * ambient.StandardUncertainty()
	if half == 0 {
		return at, nil
	}
	q := quantity.Quantity{Value: half, Low: half, High: half, Dim: quantity.TemperatureDifference}
	return at, &bench.Meter{Name: "ambient as noted", Accuracy: quantity.Accuracy{Absolute: q}, From: from(ambient.Leaf)}
}

// airAndPlaces are the column of the air's temperature, "" if none is, and those of what is soaked.
func (l *log) airAndPlaces() (air string, places []string) {
	for _, column := range l.columns("temperature") {
		if w := l.words(column); air == "" && (is(w, "air") || is(w, "ambient")) {
			air = column
			continue
		}
		places = append(places, column)
	}
	return air, places
}

// place words where a probe sat.
func (l *log) place(column string) string {
	if place := l.run.Columns.Get(column).Place.Text; place != "" {
		return place
	}
	return column
}

// words are those of where a column's probe sat, and its name.
func (l *log) words(column string) []string {
	place := strings.FieldsFunc(strings.ToLower(l.run.Columns.Get(column).Place.Text), func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune(",;:()", r) })
	return append(place, strings.ToLower(column))
}

// held is a current that was held through a run: the mean of the log's, or what the conditions say. One that moved is noted.
func (l *log) held(is string, said ...product.Quantity) *float64 {
	const steady = 0.05 // of the mean, beyond which a current was not held (common practice)
	for _, column := range l.columns(is) {
		_, c := l.together(column)
		if len(c[0]) == 0 {
			continue
		}
		m := mean(c[0])
		if sd := trace.Scatter(c[0]); sd > steady*math.Abs(m) {
			l.note(fmt.Sprintf("the %s moved by a standard deviation of %s about %s: a warm-up is at a held current",
				is, quantity.Format(sd, quantity.Current, "A", 2), quantity.Format(m, quantity.Current, "A", 2)), "leave out what lies before and after, with [span.NAME]", 0)
		}
		return &m
	}
	for _, q := range said {
		if q.Set() {
			v := q.Value
			return &v
		}
	}
	return nil
}

// late is the last quarter of a column by time.
func late(t, x []float64) []float64 {
	from := t[len(t)-1] - (t[len(t)-1]-t[0])/4
	for i, at := range t {
		if at >= from {
			return x[i:]
		}
	}
	return nil
}

// power is what warms a place: as the run says, or the drop across it times the current.
func (l *log) power(place []string, places int, s Soak) (*quantity.Quantity, string) {
	if p := l.run.Conditions.Power; p.Set() && places == 1 {
		q := p.Quantity
		return &q, from(p.Leaf)
	}
	for _, column := range l.columns("drop") {
		words := l.words(column)
		same := is(words, "controller") && !l.ofCircuit(place)
		for _, w := range place[:len(place)-1] {
			same = same || is(words[:len(words)-1], w)
		}
		current := s.Current
		if is(words, "load") {
			current = s.Load
		}
		if !same || current == nil {
			continue
		}
		t, c := l.together(column)
		if len(t) == 0 {
			continue
		}
		drop := late(t, c[0])
		v := mean(drop)
		relative := 0.0
		if g := l.gauge(column); v != 0 {
			relative = math.Hypot(g.Limit(v)/v/math.Sqrt(3), trace.Scatter(drop)/v/math.Sqrt(float64(len(drop)))) // JCGM 100, 4.3.7
		}
		for _, of := range l.columns("charge current") {
			relative = math.Hypot(relative, l.gauge(of).Limit(*current) / *current / math.Sqrt(3))
		}
		watts := v * *current
		return &quantity.Quantity{Value: watts, Low: watts, High: watts, Dim: quantity.Power, Spread: quantity.Normal, SD: relative * watts}, l.File
	}
	return nil, ""
}

// ofCircuit reports whether one of the words is a part of the circuit.
func (l *log) ofCircuit(words []string) bool {
	for name := range l.product.Circuit.All() {
		if is(words, name) {
			return true
		}
	}
	return false
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v / float64(len(x))
	}
	return sum
}
