package promise

import (
	"math"
	"strings"

	"hindwatt/internal/quantity"
)

// Kind is where evidence comes from.
type Kind string

// The three kinds, each with a mark of its own on a strip.
const (
	Calculated Kind = "calculated"
	Measured   Kind = "measured"
	Recorded   Kind = "recorded"
)

var kinds = []Kind{Calculated, Measured, Recorded}

// Evidence is a figure with an interval, and what it stands for.
type Evidence struct {
	Kind     Kind
	Interval           // of the figure, or of the stated proportion of units
	Inside   *Interval // share of units inside the bound, 0..1; nil where the figure itself is judged
	End      *End      // how a mistake ends, where the promise bounds that; there is no figure then
	Covers   bool      // its conditions cover those of the promise
	Carried  bool      // carried over to the promise's conditions by the model

	NoFigure   bool     // there is none: what is promised is never reached
	Conditions string   // "18 °C"
	Units      int      // number of units seen; 0 where it is not a matter of units
	Basis      string   // booked, counted or remembered; "" for a calculation
	From       []string // files and lines, or the study
	Note       string   // said beside it
}

// A Disagreement is a difference between two kinds of evidence for the same
// units and conditions, shared inputs cancelled, whose interval is without zero.
type Disagreement struct {
	A, B                  Kind
	Of                    string  // what differs; "" is the mean
	Difference, Low, High float64 // A less B
	Conditions            string
	Dim                   quantity.Dimension // of the difference where it is not that of the promise
	Unit                  string             // likewise; "" is the promise's
	Says                  string             // the whole in words, where it is not a matter of figures
}

// scale shows the difference.
func (d Disagreement) scale(p *Judged) scale {
	if d.Unit != "" {
		return scaleOf(d.Dim, d.Unit, d.High-d.Low)
	}
	return scaleOf(p.Dim, p.Unit, d.High-d.Low)
}

func (d Disagreement) of() string {
	if d.Of == "" {
		return "mean"
	}
	return d.Of
}

// disagrees gives the difference a − b with its 95 % interval if zero lies
// outside it. The expanded uncertainty u95 is that of the difference.
func disagrees(a, b Kind, difference, u95 float64, conditions string) (Disagreement, bool) {
	d := Disagreement{A: a, B: b, Difference: difference, Low: difference - u95, High: difference + u95, Conditions: conditions}
	return d, math.Abs(difference) > u95
}

// standsOn says in words which kinds of evidence the verdict stands on; of safety it has to be said that nobody tried it.
func (p Judged) standsOn() string {
	on := standsOn(p.Evidence)
	if p.Safety && on == calculatedOnly {
		return "calculated, not tried"
	}
	return on
}

const calculatedOnly = "calculated only"

// standsOn says in words which kinds of evidence a verdict stands on.
func standsOn(evidence []Evidence) string {
	var said []string
	for _, kind := range kinds {
		where, any := "", false
		for _, e := range evidence {
			if e.Kind != kind {
				continue
			}
			any = true
			if kind != Calculated && !e.Carried && e.Conditions != "" && !e.Covers {
				where = " at " + e.Conditions
			}
		}
		if any {
			said = append(said, string(kind)+where)
		}
	}
	switch {
	case len(said) == 0:
		return ""
	case len(said) == 1 && strings.HasPrefix(said[0], string(Calculated)):
		return calculatedOnly
	case len(said) == 1:
		return said[0] + " only"
	}
	return strings.Join(said[:len(said)-1], ", ") + " and " + said[len(said)-1]
}
