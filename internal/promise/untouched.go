package promise

import (
	"context"
	"slices"

	"hindwatt/internal/numeric"
	"hindwatt/internal/product"
	"hindwatt/internal/promise/kept"
	"hindwatt/internal/study/fault"
)

// Untouched lists the promises of p that say the same as those of another product of its folder, and whose studies read the same of
// both: the judgement of the one holds for the other, with all that was measured of it.
func Untouched(p, other *product.Product, options Options) (names []string) {
	a, b := newSession(p, options), newSession(other, options)
	read := func(s *session, by *study, asked *product.Promise) string {
		return kept.Key(by.name, []any{asked, by.rests(s, []*product.Promise{asked})})
	}
	for name, asked := range p.Promises.All() {
		by, before := studyOf(asked.Study.Text), other.Promises.Get(name)
		if before == nil || !by.built() || by.rests == nil {
			continue
		}
		if key := read(a, by, asked); key != "" && key == read(b, by, before) {
			names = append(names, name)
		}
	}
	return names
}

// known is what was judged of a promise elsewhere and holds here as well.
func (o Options) known(name string) (Judged, bool) {
	at := slices.IndexFunc(o.Known, func(j Judged) bool { return j.Name == name })
	if at < 0 {
		return Judged{}, false
	}
	return o.Known[at], true
}

// Ends are the ends of every mistake and failure that the circuit can have, each in its worst state, with nominal parts.
func Ends(ctx context.Context, p *product.Product, options Options) ([]NamedEnd, error) {
	in := newSession(p, options).faultInput(faultSetting{installation: options.Installation})
	in.NoRescues, in.Units, in.Prices, in.Returned = true, -1, nil, nil
	return kept.Result(options.Kept, "fault ends", in, func() (ends []NamedEnd, err error) {
		r, err := fault.Run(numeric.Doing(ctx, "fault study"), in)
		if err != nil {
			return nil, err
		}
		for _, c := range r.Cases {
			if worst := r.Worst(c.Name); worst != nil {
				ends = append(ends, NamedEnd{c.Name, *calculatedEnd(r, worst, c.Name, "all").End})
			}
		}
		return ends, nil
	})
}

// Calculated is what was calculated of the promise, the first where there are several.
func (p Judged) Calculated() (e Evidence, ok bool) {
	for _, e := range p.Evidence {
		if e.Kind == Calculated {
			return e, true
		}
	}
	return e, false
}

// Shown writes a figure of the promise with its limits, in its unit.
func (p Judged) Shown(i Interval) string {
	s := scaleOf(p.Dim, p.Unit, i.High-i.Low)
	if i.OpenLow || i.OpenHigh {
		s = scaleOf(p.Dim, p.Unit, 0)
	}
	if !i.OpenLow && !i.OpenHigh && i.Low == i.High {
		return s.text(i.Best)
	}
	return s.text(i.Best) + " (" + s.interval(i) + ")"
}

// Number is a value of the figure in its unit.
func (f Figure) Number(v float64) float64 { return scale{dim: f.Dim, unit: f.Unit}.number(v) }
