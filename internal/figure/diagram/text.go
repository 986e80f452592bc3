package diagram

import (
	"cmp"
	"math"
	"strings"

	"hindwatt/internal/figure"
	"hindwatt/internal/quantity"
)

// Text writes the circuit as paths from node to node, each part in brackets, a diode with the direction in which it conducts, and then
// what each part is. A still frame is its currents alone, and what gives way.
func (c Circuit) Text(width int, style figure.TextStyle) []string {
	out := []string{style.Shorten(cmp.Or(c.Title, "circuit"), width), ""}
	if len(c.Parts) == 0 {
		return append(out, "no parts")
	}
	l := &layout{plan: newPlan(newNetlist(c))}
	hang := func(head, body string) {
		for i, line := range figure.Wrap(style.Show(body), max(8, width-12)) {
			if i > 0 {
				head = ""
			}
			out = append(out, strings.TrimRight(style.Shorten(figure.Pad(style.Show(head), 12, false)+line, width), " "))
		}
	}
	if carried, gives := l.carried(); len(c.Flows) > 0 {
		hang("current", cmp.Or(strings.Join(carried, ", "), "none to speak of"))
		hang("gives way", cmp.Or(strings.Join(gives, "; "), "nothing"))
		return out
	}
	for _, line := range l.paths() {
		head, body, _ := strings.Cut(line, ": ")
		hang(head, body)
	}
	out = append(out, "")
	for _, d := range l.devices {
		if d.outside {
			continue
		}
		words := []string{strings.TrimSpace(d.kind + " " + d.label)}
		if d.place != "" {
			words = append(words, d.place)
		}
		if d.mark != "" {
			words = append(words, d.mark)
		}
		hang(d.name, strings.Join(words, ", "))
	}
	return out
}

// carried lists the parts that carry more than a hundredth of the largest current, and what gives way.
func (l *layout) carried() (carried, gives []string) {
	most := 0.0
	for _, d := range l.devices {
		most = max(most, math.Abs(d.current))
	}
	for _, d := range l.devices {
		if i := math.Abs(d.current); i > 0.01*most && !d.outside {
			carried = append(carried, d.name+" "+quantity.Format(i, quantity.Current, "A", -3))
		}
		if d.mark != "" {
			gives = append(gives, d.name+": "+d.mark)
		}
	}
	return carried, gives
}

// paths lists each chain as "heading: node - part - node".
func (l *layout) paths() []string {
	var out []string
	add := func(head string, steps []step) {
		if len(steps) > 0 {
			out = append(out, head+": "+l.chain(steps))
		}
	}
	add("plus", l.plus)
	add("minus", l.minus)
	for _, s := range l.stacks {
		head := "between"
		switch {
		case s.atTop && s.atFloor:
			head = "across"
		case l.count(s.steps[0].from) == 1 || l.count(s.steps[len(s.steps)-1].to) == 1:
			head = "branch"
		}
		add(head, s.steps)
	}
	for _, d := range l.devices {
		for _, net := range d.sides {
			out = append(out, d.sideName()+": "+d.name+" at "+cmp.Or(l.names[net], "nothing"))
		}
	}
	return out
}

// chain writes steps as nodes and parts in turn.
func (l *layout) chain(steps []step) string {
	name := func(net int) string { return cmp.Or(l.names[net], "(open)") }
	var b strings.Builder
	b.WriteString(name(steps[0].from))
	for _, s := range steps {
		d := &l.devices[s.device]
		before, after := " - ", " - "
		if d.kind == "diode" || d.kind == "schottky" {
			if after = " > "; d.first != s.from {
				before, after = " < ", " - "
			}
		}
		b.WriteString(before + d.name + after + name(s.to))
	}
	return b.String()
}
