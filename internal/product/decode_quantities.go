package product

import (
	"math"
	"strconv"
	"strings"

	"hindwatt/internal/product/tree"
	"hindwatt/internal/quantity"
)

// number returns a bare number of TOML, which is finite.
func number(n *tree.Node) (float64, error) {
	text := strings.ReplaceAll(n.Text, "_", "")
	if n.Kind == tree.Integer {
		i, err := strconv.ParseInt(text, 0, 64)
		return float64(i), err
	}
	f, err := strconv.ParseFloat(text, 64)
	if err == nil && (math.IsInf(f, 0) || math.IsNaN(f)) {
		err = strconv.ErrRange
	}
	return f, err
}

// quantity decodes a quantity and checks that it is possible.
func (d *decoder) quantity(n *tree.Node, at place) (q quantity.Quantity, ok bool) {
	s := at.spec
	switch {
	case n.Kind == tree.String:
		var err error
		if s.any && !bare(n.Text) {
			q, err = quantity.Parse(n.Text)
		} else {
			q, err = quantity.ParseAs(n.Text, s.dim)
		}
		if e, ok := err.(*quantity.Error); ok && s.is == "count" {
			e.Want = s.example() // and not a ratio
		}
		if err != nil {
			d.inside(n, at.key, err, 0)
			return q, false
		}
	case (n.Kind == tree.Integer || n.Kind == tree.Float) && s.dim == quantity.Ratio:
		v, err := number(n)
		if err != nil {
			d.faults.Add(n.Fault(at.key, "is no number that can be used", s.example()))
			return q, false
		}
		q = quantity.Quantity{Value: v, Low: v, High: v}
	case n.Kind == tree.Integer || n.Kind == tree.Float:
		d.faults.Add(n.Fault(at.key, "has no unit", s.example()))
		return q, false
	default:
		d.faults.Add(n.Fault(at.key, "is "+n.Kind.String(), s.example()))
		return q, false
	}
	if q.Dim.Money != 0 {
		d.money = append(d.money, sum{n, at.key, q.Currency})
	}
	return q, d.possible(n, at, q)
}

// possible checks the bounds, and the form where the schema asks for one.
func (d *decoder) possible(n *tree.Node, at place, q quantity.Quantity) bool {
	if outside, value := at.spec.outside(q); outside {
		problem := "out of range"
		if !value {
			problem = "its spread goes out of range"
		}
		d.faults.Add(n.Fault(at.key, problem, at.spec.wanted()))
		return false
	}
	switch {
	case at.spec.is == "any range" && q.Spread != quantity.Range && q.Spread != quantity.Limits:
		d.faults.Add(n.Fault(at.key, "is no range", "want one such as -0.2..0.2 V; a bound on one side is min or max"))
		return false
	case at.spec.is == "any reading" && max(-q.Low, q.High) > reachOf(q.Dim).limit:
		d.faults.Add(n.Fault(at.key, "out of range", "want at most "+reachOf(q.Dim).text))
		return false
	case at.spec.is == "any value" && q.Spread != quantity.Exact:
		d.faults.Add(n.Fault(at.key, "is more than one value", "want one such as 10 A; within takes a range"))
		return false
	}
	return true
}

// reaches are the largest readings either way of what comes in large units or none.
var reaches = map[quantity.Dimension]bound{
	quantity.Ratio:       boundOf("<= 1e9", quantity.Ratio),
	quantity.Money:       boundOf("<= 1e12", quantity.Money),
	quantity.Time:        boundOf("<= 1000 years", quantity.Time),
	quantity.Resistance:  boundOf("<= 1e9 Ω", quantity.Resistance),
	quantity.Charge:      boundOf("<= 1e6 Ah", quantity.Charge),
	quantity.Energy:      boundOf("<= 1e6 kWh", quantity.Energy),
	quantity.Irradiation: boundOf("<= 1e6 kWh/m²", quantity.Irradiation),
}

// reachOf returns the largest reading of a dimension, 1e6 in SI units where nothing
// else is said.
func reachOf(dim quantity.Dimension) bound {
	if reach, ok := reaches[dim]; ok {
		return reach
	}
	return bound{limit: 1e6, text: strings.TrimSpace("1e6 " + dim.Unit())}
}

// example says what a quantity of the key looks like.
func (s *spec) example() string {
	switch {
	case s.any:
		return "want a quantity such as 27.3 V"
	case s.is == "count":
		return "want a number such as 12, or 10..15"
	}
	return "want " + article(s.dim.Name()) + " such as " + s.dim.Example()
}

// article puts "a" or "an" before a name.
func article(name string) string {
	if name != "" && strings.IndexByte("aeiou", name[0]) >= 0 {
		return "an " + name
	}
	return "a " + name
}

// bare reports whether a text is a number without a unit.
func bare(s string) bool {
	_, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	return err == nil
}

func (q *Quantity) decode(d *decoder, n *tree.Node, at place) {
	if d.memory.recall(at.spec, n.Text, &q.Quantity) {
		return
	}
	var ok bool
	if q.Quantity, ok = d.quantity(n, at); !ok {
		q.Quantity = quantity.Quantity{}
		return
	}
	d.memory.learn(at.spec, n.Text, q.Quantity)
}

func (r *Outcome) decode(d *decoder, n *tree.Node, at place) {
	if n.Kind == tree.String && contains(EndWords, n.Text) {
		r.End = n.Text
		return
	}
	r.Quantity.decode(d, n, at)
}

func (l *Level) decode(d *decoder, n *tree.Node, at place) {
	text, ok := d.text(n, at, "want a voltage such as 28.8 V, or 28.8 V for 2 h")
	if !ok {
		return
	}
	held, err := quantity.ParseHeldAs(text, at.spec.dim)
	if err != nil {
		d.inside(n, at.key, err, 0)
		return
	}
	if d.possible(n, at, held.Level) {
		l.Held = held
	}
}

func (r *Reference) decode(d *decoder, n *tree.Node, at place) {
	if n.Kind == tree.String && n.Text == "supply" {
		r.Supply = true
		return
	}
	r.Quantity, _ = d.quantity(n, at)
}

func (s *Size) decode(d *decoder, n *tree.Node, at place) {
	text, ok := d.text(n, at, "want a size such as 82 mm x 60 mm x 28 mm")
	if !ok {
		return
	}
	lengths, err := quantity.ParseSize(text)
	if err != nil {
		d.inside(n, at.key, err, 0)
		return
	}
	s.Lengths = lengths
}

func (a *Accuracy) decode(d *decoder, n *tree.Node, at place) {
	text, ok := d.text(n, at, "want an accuracy such as ±(0.5 % + 2 digits)")
	if !ok {
		return
	}
	accuracy, err := quantity.ParseAccuracy(text)
	switch {
	case err != nil:
		d.inside(n, at.key, err, 0)
	case accuracy.Absolute.Value != 0 && accuracy.Absolute.Dim != at.spec.dim:
		d.faults.Add(n.Fault(at.key, "its fixed part is "+article(accuracy.Absolute.Dim.Name()), "want "+article(at.spec.dim.Name())))
	default:
		a.Accuracy = accuracy
	}
}

func (m *MeterOr) decode(d *decoder, n *tree.Node, at place) {
	text, ok := d.text(n, at, "want a meter of bench/meters.toml, or an accuracy such as ±(0.5 % + 2 digits)")
	if !ok {
		return
	}
	if _, err := quantity.ParseAccuracy(text); err != nil && plainName(text) {
		m.Meter = text
		m.Accuracy.mark(nil, at.file, at.key)
		d.names = append(d.names, reference{n, at.key, "meter"})
		return
	}
	m.Accuracy.mark(n, at.file, at.key)
	m.Accuracy.decode(d, n, at)
}
