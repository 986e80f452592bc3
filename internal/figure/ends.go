package figure

import (
	"slices"
	"strings"
)

// FaultEnd is how a wiring mistake or a part's failure ends, the better first.
type FaultEnd uint8

// A worse end is a greater number.
const (
	Unharmed FaultEnd = iota
	Recovers          // works again when the mistake is corrected
	PartLost
	Harmed // battery or load
	Hazard // heat, gas or acid
	ends   // how many there are
)

// endNames are the words of the ends.
var endNames = [ends]string{"unharmed", "recovers", "part lost", "battery or load harmed", "hazard"}

// String returns the end in words.
func (e FaultEnd) String() string { return endNames[min(e, Hazard)] }

// EndMark is one piece of evidence for an end.
type EndMark struct {
	Kind              MarkKind
	Carried           bool     // carried over to other conditions by the model: drawn hollow
	End               FaultEnd // the worst that came out
	Reach             FaultEnd // the worst that the margin's interval allows, if worse than End
	Margin            float64  // ratio to the nearest limit, > 0; 0 or not finite: none
	Low, High         float64  // its interval
	OpenLow, OpenHigh bool     // no limit on that side
	Label             string   // what it stands on, in a few words: "panel leads touched, full sun"; empty: the kind
}

// Ends draws a promise that bounds an end: boxes from the best end to the worst, the allowed ones hatched, each piece of evidence in the box of its worst end.
type Ends struct {
	Quantity string     // "end of the mistake"
	Allowed  []FaultEnd // empty: no bound
	Marks    []EndMark  // one row each, in this order
	Verdict  string     // as a word: "unproven"; may be empty
	Was      []EndMark  // where marks stood before a change: each is drawn below the mark of its kind; may be empty
}

// allows reports whether the promise allows an end; without a bound it allows all.
func (e Ends) allows(k FaultEnd) bool { return len(e.Allowed) == 0 || slices.Contains(e.Allowed, k) }

// caption is the quantity, with the verdict as a word.
func (e Ends) caption() string {
	if e.Verdict == "" {
		return e.Quantity
	}
	return strings.TrimPrefix(e.Quantity+": "+e.Verdict, ": ")
}

// margin says the margin with its interval: "margin 2.3, 1.7..3.1"; "" where there is none.
func (m EndMark) margin() string {
	if !finite(m.Margin) || m.Margin <= 0 {
		return ""
	}
	text := "margin " + significant(m.Margin, 3)
	low, high := !m.OpenLow && finite(m.Low), !m.OpenHigh && finite(m.High)
	switch {
	case m.Low == 0 && m.High == 0 && low && high:
		return text
	case low && high:
		return text + ", " + significant(m.Low, 3) + ".." + significant(m.High, 3)
	case low:
		return text + ", at least " + significant(m.Low, 3)
	case high:
		return text + ", at most " + significant(m.High, 3)
	}
	return text + ", without limits"
}

// name is the kind of evidence with what it stands on.
func (m EndMark) name() string {
	if m.Label == "" || m.Label == m.Kind.String() {
		return m.Kind.String()
	}
	return m.Kind.String() + " (" + m.Label + ")"
}

// describe tells the boxes in words.
func (e Ends) describe() string {
	text := "No bound."
	if len(e.Allowed) > 0 {
		var words []string
		for k := range ends {
			if slices.Contains(e.Allowed, k) {
				words = append(words, k.String())
			}
		}
		text = "Allowed: " + strings.Join(words, " or ") + "."
	}
	if len(e.Marks) == 0 {
		text += " No evidence."
	}
	for _, m := range e.Marks {
		text += " " + m.name() + ": " + m.End.String()
		if margin := m.margin(); margin != "" {
			text += ", " + margin
		}
		if m.Reach > m.End {
			text += ", perhaps " + m.Reach.String()
		}
		text += "."
	}
	for _, m := range e.Marks {
		if w, ok := e.before(m); ok {
			text += " Before, " + w.name() + ": " + w.End.String()
			if margin := w.margin(); margin != "" {
				text += ", " + margin
			}
			text += "."
		}
	}
	if e.Verdict != "" {
		text += " Verdict: " + e.Verdict + "."
	}
	return text
}

// before finds where a mark stood before, if that is another box, or its line reached further or less far.
func (e Ends) before(m EndMark) (EndMark, bool) {
	for _, w := range e.Was {
		if w.Kind == m.Kind && w.Carried == m.Carried && (w.End != m.End || max(w.Reach, w.End) != max(m.Reach, m.End)) {
			return w, true
		}
	}
	return EndMark{}, false
}

func splitWords(s string) []string { return strings.FieldsFunc(s, breaks) }
