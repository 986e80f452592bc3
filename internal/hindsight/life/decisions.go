package life

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"hindwatt/internal/product"
	"hindwatt/internal/promise"
	"hindwatt/internal/quantity"
)

// A Decision is what was decided, and how what was believed stands today.
type Decision struct {
	Name     string
	Date     time.Time // zero where none is written
	Title    string
	Variants []string
	Promises []string
	Beliefs  []Belief
	Ends     bool // making ended
	Duties   []string
}

// A Belief is a figure as it was believed and as it is known today.
type Belief struct {
	Of       string // as written: "minutes"
	Figure   string // "production.unit-minutes"
	Believed quantity.Quantity
	Text     string // as written
	Now      Interval
	Dim      quantity.Dimension
	Unit     string
	From     string
	Held     bool
	Unknown  string // why there is nothing to hold it against
}

// HeldUp reports whether all that was believed did, and whether anything was.
func (d *Decision) HeldUp() (held, any bool) {
	held = true
	for _, b := range d.Beliefs {
		if b.Unknown == "" {
			any, held = true, held && b.Held
		}
	}
	return held, any
}

// words are the figures that may be believed, by a word of their own.
var words = map[string][2]string{"minutes": {"production", "unit-minutes"}, "cost": {"production", "unit-cost"}, "came-back": {"returns", "came-back"}, "hour": {"accounts", "hour-paid"}}

// decisions puts today's figures beside what was believed.
func (r *Result) decisions(ctx context.Context) error {
	answers := map[string]*promise.Answer{}
	for name, d := range r.asked.Folder.Decisions.All() {
		one := Decision{Name: name, Date: d.Date.Day, Title: title(d.Body, name), Ends: d.Ends.On}
		for _, v := range d.Variants.Items {
			one.Variants = append(one.Variants, v.Text)
		}
		for _, p := range d.Promises.Items {
			one.Promises = append(one.Promises, p.Text)
		}
		for _, duty := range d.Duties.Items {
			one.Duties = append(one.Duties, duty.Text)
		}
		for of, text := range d.Believed.All() {
			b, err := r.belief(ctx, of, text, answers)
			if err != nil {
				return err
			}
			one.Beliefs = append(one.Beliefs, *b)
		}
		r.Decisions = append(r.Decisions, one)
	}
	slices.SortStableFunc(r.Decisions, func(a, b Decision) int { return a.Date.Compare(b.Date) })
	return nil
}

// title is the first heading of the text.
func title(body, name string) string {
	for line := range strings.Lines(body) {
		if text, ok := strings.CutPrefix(line, "# "); ok {
			return strings.TrimSpace(text)
		}
	}
	return name
}

func (r *Result) belief(ctx context.Context, of string, text *product.Text, answers map[string]*promise.Answer) (*Belief, error) {
	q, err := quantity.Parse(text.Text)
	if err != nil {
		return nil, text.Fault(err.Error(), `want a figure such as "11 min"`)
	}
	b := &Belief{Of: of, Believed: q, Text: text.Text, From: text.Origin.String()}
	if err := r.now(ctx, b, text, answers); err != nil || b.Unknown != "" {
		return b, err
	}
	if q.Dim != b.Dim {
		return nil, text.Fault("is "+q.Dim.Name(), "want "+b.Dim.Name()+", as "+b.Figure+" is")
	}
	low, high := q.Value, q.Value
	switch q.Spread {
	case quantity.Limits, quantity.Range:
		low, high = q.Low, q.High
	case quantity.Normal:
		low, high = q.Value-1.96*q.SD, q.Value+1.96*q.SD
	}
	b.Held = low <= b.Now.High && high >= b.Now.Low // [N5]
	return b, nil
}

// now finds today's figure: a study's, or what speaks for a promise, measured or recorded before calculated.
func (r *Result) now(ctx context.Context, b *Belief, text *product.Text, answers map[string]*promise.Answer) error {
	if name, ok := words[b.Of]; ok {
		b.Figure = name[0] + "." + name[1]
		a := answers[name[0]]
		if a == nil {
			var err error
			if a, err = promise.Study(ctx, r.base, name[0], promise.Options{Seed: r.asked.Seed, Kept: r.asked.Kept}); err != nil {
				return err
			}
			answers[name[0]] = a
		}
		for _, f := range a.Figures {
			if f.Name == name[1] {
				b.Now, b.Dim, b.Unit = Interval{f.Best, f.Low, f.High}, f.Dim, f.Unit
				return nil
			}
		}
		b.Unknown = "the " + name[0] + " study has no figure of it"
		return nil
	}
	for _, j := range r.compared.Choices[0].Promises {
		if j.Name != b.Of {
			continue
		}
		b.Figure, b.Dim, b.Unit = "promise "+b.Of, j.Dim, j.Unit
		for _, kind := range []promise.Kind{promise.Measured, promise.Recorded, promise.Calculated} {
			for _, e := range j.Evidence {
				if e.Kind == kind && e.End == nil && !e.NoFigure && !e.OpenLow && !e.OpenHigh {
					b.Now = Interval{e.Best, e.Low, e.High}
					return nil
				}
			}
		}
		b.Unknown = "nothing is known of that promise as a figure"
		return nil
	}
	known := []string{"minutes", "cost", "came-back", "hour"}
	for _, j := range r.compared.Choices[0].Promises {
		known = append(known, j.Name)
	}
	want := "want minutes, cost, came-back, hour or the name of a promise"
	if near := product.Nearest(b.Of, known); near != "" {
		want = "did you mean " + near
	}
	return text.Fault(fmt.Sprintf("%q is nothing that can be looked up", b.Of), want)
}

// inUnit is today's figure in its unit.
func (b *Belief) inUnit() jsonInterval {
	f := promise.Figure{Dim: b.Dim, Unit: b.Unit}
	return jsonInterval{f.Number(b.Now.Best), f.Number(b.Now.Low), f.Number(b.Now.High), b.Unit}
}
