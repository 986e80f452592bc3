package promise

import (
	"slices"
	"strings"

	"hindwatt/internal/figure"
	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
)

// An End is how the mistakes that a promise covers end, the worst of them.
type End struct {
	Worst  figure.FaultEnd // as calculated with nominal parts, or as tried
	Least  figure.FaultEnd // the best end that the doubt allows, Worst at most
	Most   figure.FaultEnd // the worst end that the doubt allows, Worst at least
	Case   string          // the mistake and the state that end worst
	Margin *Interval       // ratio of the nearest limit to what comes; nil where there is none
}

// endsOf translates the words of a promise.
func endsOf(words []string) []figure.FaultEnd {
	var out []figure.FaultEnd
	for _, w := range words {
		out = append(out, figure.FaultEnd(slices.Index(product.EndWords, w)))
	}
	return out
}

// allows reports whether the promise accepts an end.
func (b Bound) allows(e figure.FaultEnd) bool { return slices.Contains(b.Ends, e) }

// endStance judges an end with its doubt: it supports if every end that the doubt allows is accepted, and breaks if none is.
func (b Bound) endStance(e End) Stance {
	accepted, refused := true, true
	for k := e.Least; k <= e.Most; k++ { // [V1], [V2]
		if b.allows(k) {
			refused = false
		} else {
			accepted = false
		}
	}
	switch {
	case accepted:
		return Supports
	case refused:
		return Breaks
	}
	return LeavesOpen
}

// text words an end with the one that the doubt allows beside it.
func (e End) text() string {
	if e.Most > e.Worst {
		return e.Worst.String() + ", perhaps " + e.Most.String()
	}
	return e.Worst.String()
}

// spread is the size by which the digits of the margin are chosen.
func (e End) spread() float64 {
	if i := *e.Margin; !i.OpenLow && !i.OpenHigh {
		return (i.High - i.Low) / 4
	}
	return e.Margin.Best / 10
}

// marginText words the margin with its limits: "2.3 (1.7 to 3.1)".
func (e End) marginText() string {
	i, s := *e.Margin, scaleOf(quantity.Ratio, "", max(0.02, e.spread()))
	if !i.OpenLow && !i.OpenHigh && s.text(i.Low) == s.text(i.High) {
		return s.text(i.Best)
	}
	return s.text(i.Best) + " (" + s.interval(i) + ")"
}

// endWords are the accepted ends in words.
func (b Bound) endWords() []string {
	var out []string
	for _, e := range b.Ends {
		out = append(out, e.String())
	}
	return out
}

// endSentence words the worst end, where it comes, and the margin.
func (e Evidence) endSentence() string {
	said := string(e.Kind) + ": " + e.End.text()
	if e.End.Case != "" {
		said += " (" + e.End.Case + ")"
	}
	if e.End.Margin != nil {
		said += ", margin " + e.End.marginText()
	}
	if e.Units > 0 {
		said += "; " + units(e.Units) + " tried"
	}
	if e.Note != "" {
		said += "; " + e.Note
	}
	return said
}

// ends draws the boxes of a promise that bounds an end.
func (p Judged) ends() figure.Ends {
	out := figure.Ends{Quantity: p.Axis, Allowed: p.Bound.Ends, Verdict: string(p.Verdict)}
	for _, e := range p.Evidence {
		if e.End == nil {
			continue
		}
		m := figure.EndMark{Kind: marks[e.Kind], Carried: e.Carried, End: e.End.Worst, Reach: e.End.Most, Label: e.End.Case}
		if e.Units > 0 {
			m.Label = strings.TrimPrefix(m.Label+", "+units(e.Units), ", ")
		}
		if i := e.End.Margin; i != nil {
			m.Margin, m.Low, m.High, m.OpenLow, m.OpenHigh = i.Best, i.Low, i.High, i.OpenLow, i.OpenHigh
		}
		out.Marks = append(out.Marks, m)
	}
	return out
}

type jsonEnd struct {
	Worst  string        `json:"worst"`
	Case   string        `json:"case"`
	Margin *jsonInterval `json:"margin"`
	Least  string        `json:"least"`
	Most   string        `json:"most"`
}

func (e End) json() *jsonEnd {
	out := &jsonEnd{Worst: e.Worst.String(), Case: e.Case, Least: e.Least.String(), Most: e.Most.String()}
	if e.Margin != nil {
		i := scale{}.interval3(*e.Margin)
		out.Margin = &i
	}
	return out
}
