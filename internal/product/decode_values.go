package product

import (
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
	"time"

	"hindwatt/internal/product/tree"
	"hindwatt/internal/quantity"
)

// text returns a string's content; anything else is a fault.
func (d *decoder) text(n *tree.Node, at place, want string) (string, bool) {
	if n.Kind != tree.String {
		d.faults.Add(n.Fault(at.key, "is "+n.Kind.String(), want))
		return "", false
	}
	return n.Text, true
}

// inside reports an error of package quantity at its place within the string.
func (d *decoder) inside(n *tree.Node, key string, err error, shift int) {
	if e, ok := err.(*quantity.Error); ok {
		d.faults.Add(n.FaultInside(key, e.Column+shift, e.Width, e.Problem, e.Want))
		return
	}
	d.faults.Add(n.Fault(key, err.Error(), ""))
}

func (t *Text) decode(d *decoder, n *tree.Node, at place) {
	text, ok := d.text(n, at, "want text in quotes")
	switch {
	case !ok:
		t.Text = ""
	case at.spec.is == "currency" && !currency(text):
		d.faults.Add(n.Fault(at.key, "is no currency", "want a code of ISO 4217 such as EUR"))
	}
}

func currency(code string) bool {
	dim, _, ok := quantity.UnitDimension(code)
	return ok && dim == quantity.Money && len(code) == 3
}

func (w *Word) decode(d *decoder, n *tree.Node, at place) {
	if n.Kind == tree.String && contains(at.spec.words, n.Text) {
		return
	}
	text, ok := d.text(n, at, "want "+listed(at.spec.words))
	w.Text = ""
	if !ok {
		return
	}
	want := "want " + listed(at.spec.words)
	if near := tree.Nearest(text, at.spec.words); near != "" {
		want = "did you mean " + near
	}
	d.faults.Add(n.Fault(at.key, "unknown word", want))
}

func (m *Name) decode(d *decoder, n *tree.Node, at place) {
	var none quantity.Quantity
	if d.memory.recall(at.spec, n.Text, &none) {
		return
	}
	if _, ok := d.text(n, at, "want a name in quotes"); !ok {
		m.Text = ""
		return
	}
	d.names = append(d.names, reference{n, at.key, at.spec.to})
	d.memory.learn(at.spec, n.Text, none)
}

func (c *Count) decode(d *decoder, n *tree.Node, at place) {
	want := at.spec.wanted()
	if len(at.spec.bounds) == 0 {
		want = "want a whole number"
	}
	if len(at.spec.words) > 0 {
		want = "want " + listed(at.spec.words)
	}
	v, err := number(n)
	if n.Kind != tree.Integer || err != nil {
		d.faults.Add(n.Fault(at.key, "is no whole number", want))
		return
	}
	outside, _ := at.spec.outside(quantity.Quantity{Value: v, Low: v, High: v})
	if outside || math.Abs(v) > 1e9 || len(at.spec.words) > 0 && !contains(at.spec.words, strconv.Itoa(int(v))) {
		d.faults.Add(n.Fault(at.key, "out of range", want))
		return
	}
	c.N = int(v)
}

func (f *Flag) decode(d *decoder, n *tree.Node, at place) {
	if n.Kind != tree.Bool {
		d.faults.Add(n.Fault(at.key, "is "+n.Kind.String(), "want true or false, without quotes"))
		return
	}
	f.On = n.Text == "true"
}

const wantDate = "want a date such as 2024-05-31"

func (t *Date) decode(d *decoder, n *tree.Node, at place) {
	if n.Kind != tree.Date && n.Kind != tree.String {
		d.faults.Add(n.Fault(at.key, "is "+n.Kind.String(), wantDate))
		return
	}
	day, ok := parseDay(n.Text)
	if !ok || day.Year() < 1900 || day.Year() > 2200 {
		d.faults.Add(n.Fault(at.key, "is no date", wantDate))
		return
	}
	if at.spec.is == "past day" {
		switch {
		case day.Year() < 1970:
			d.faults.Add(n.Fault(at.key, "is too long ago", "want 1970 or later"))
			return
		case day.After(d.today.AddDate(0, 0, 1)): // a clock elsewhere may be a day ahead
			d.faults.Add(n.Fault(at.key, "has not come yet", "want "+d.today.Format(time.DateOnly)+" or earlier"))
			return
		}
	}
	t.Day = day
}

// parseDay is time.Parse of time.DateOnly, which sees 2024-05-31 at once.
func parseDay(s string) (day time.Time, ok bool) {
	const digits = "0000-00-00"
	plain := len(s) == len(digits)
	for i := 0; plain && i < len(s); i++ {
		if digits[i] == '-' {
			plain = s[i] == '-'
		} else {
			plain = s[i] >= '0' && s[i] <= '9'
		}
	}
	if plain {
		number := func(from, until int) (n int) {
			for _, c := range []byte(s[from:until]) {
				n = 10*n + int(c-'0')
			}
			return n
		}
		if y, m, d := number(0, 4), number(5, 7), number(8, 10); m >= 1 && m <= 12 && d >= 1 && d <= 28 {
			return time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC), true
		}
	}
	day, err := time.Parse(time.DateOnly, s) // which knows the ends of months
	return day, err == nil
}

func (c *Clock) decode(d *decoder, n *tree.Node, at place) {
	const want = `want a time of day such as "18:30"`
	hours, minutes, ok := strings.Cut(n.Text, ":")
	h, errH := strconv.ParseUint(hours, 10, 8)
	m, errM := strconv.ParseUint(minutes, 10, 8)
	if (n.Kind != tree.String && n.Kind != tree.Time) || !ok || errH != nil || errM != nil || len(minutes) != 2 || m > 59 || h*60+m > 24*60 {
		d.faults.Add(n.Fault(at.key, "is no time of day", want))
		return
	}
	c.AfterMidnight = time.Duration(h)*time.Hour + time.Duration(m)*time.Minute
}

func (l *List[T]) decode(d *decoder, n *tree.Node, at place) {
	elements := []*tree.Node{n}
	if n.Kind == tree.Array {
		elements = n.Children
	}
	if at.spec.many > 0 && len(elements) != at.spec.many {
		d.faults.Add(n.Fault(at.key, fmt.Sprintf("has %d entries", len(elements)), fmt.Sprintf("want %d", at.spec.many)))
	}
	l.Items = make([]T, len(elements))
	for i, element := range elements {
		one := at
		if n.Kind == tree.Array {
			one.key = fmt.Sprintf("%s[%d]", at.key, i+1)
		}
		d.any(element, reflect.ValueOf(&l.Items[i]).Elem(), one)
	}
}

func (m *Map[T]) decode(d *decoder, n *tree.Node, at place) {
	if n.Kind != tree.Table {
		d.faults.Add(n.Fault(at.key, "is "+n.Kind.String(), "want a table of names"))
		return
	}
	m.items = make(map[string]*T, len(n.Children))
	for _, c := range n.Children {
		key := join(at.key, tree.KeyPart(c.Key))
		switch {
		case at.spec.is == "rate of money" && !currency(c.Key):
			d.faults.Add(c.FaultAtKey(key, "is no currency", "want a code of ISO 4217 such as USD"))
		case !plainName(c.Key):
			d.faults.Add(c.FaultAtKey(key, "is no name", "want letters, digits and -"))
		}
		entry := new(T)
		d.any(c, reflect.ValueOf(entry).Elem(), place{at.spec, key, at.file})
		m.names, m.items[c.Key] = append(m.names, c.Key), entry
	}
}

func (t *Trim) decode(d *decoder, n *tree.Node, at place) {
	if n != nil && n.Kind == tree.String && n.Text == "none" {
		t.None, n = true, nil
	}
	if n != nil && n.Kind == tree.String {
		d.faults.Add(n.Fault(at.key, "unknown word", `want "none" or { at = "27.3 V", by = "±(0.5 % + 2 digits)", … }`))
		n = nil
	}
	leaf := t.Leaf
	d.table(n, reflect.ValueOf(t).Elem(), at)
	t.Leaf = leaf
	if len(t.At.Items) > 2 {
		d.faults.Add(n.Child("at").Fault(t.At.Key(), fmt.Sprintf("has %d voltages", len(t.At.Items)), "want one or two"))
	}
}
