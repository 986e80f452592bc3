package influence

import (
	"cmp"
	"context"
	"math"
	"slices"

	"hindwatt/internal/numeric"
	"hindwatt/internal/product"
	"hindwatt/internal/promise"
	"hindwatt/internal/quantity"
)

// Promise is one that stands on the figure, and where inputs would have to lie for it to be lost or kept.
type Promise struct {
	Name, Label, Bound, From string
	Verdict                  promise.Verdict // by all its evidence
	Calculated               promise.Verdict // by what is calculated alone: this is what flips
	Min, Max                 *float64
	Years                    int    // of the charge study; 0 elsewhere
	None                     string // why nothing is looked for
	Flips                    []Flip
	Holds                    []Held // inputs that flip nothing
	Unmoved                  int    // inputs that were not looked at, since they move the figure least
}

// Flip is where an input would have to lie for the verdict to turn, or how many times as wide its tolerance or drift would have to be.
type Flip struct {
	Source
	Of     string // "" of its value; "tolerance", "drift"
	Is, At float64
	Wide   string // how wide a tolerance or drift is there: "±73 ppm/K"
}

// Held is an input, or its tolerance or drift, that turns nothing over the range that was looked at.
type Held struct {
	Source
	Of        string
	Low, High float64
	Short     bool // the study could not be computed further out
}

// Years of the charge study by which a promise is judged here: its usual ones would take minutes.
const flipYears = 8

// promises looks where inputs would turn the verdicts of the promises that stand on the figure.
func (w *work) promises(ctx context.Context, read []product.Input) error {
	inputs, wide, unmoved := w.moving(read)
	for name, asked := range w.product.Promises.All() {
		if !stands(asked, w.Figure) {
			continue
		}
		one, err := w.promise(numeric.Doing(ctx, "where "+name+" would flip, inputs"), name, asked, inputs, wide)
		if err != nil {
			return err
		}
		one.Unmoved = unmoved
		w.result.Promises = append(w.result.Promises, one)
	}
	return nil
}

// mostMoved is how many inputs are moved to find where a promise turns: those that move the figure most.
const mostMoved = 40

// moving are the inputs that move the figure, those with a tolerance first, and how many more there are; wide are those whose tolerance
// or drift may be another.
func (w *work) moving(read []product.Input) (list, wide []product.Input, more int) {
	var names []string
	for _, c := range w.result.Changes {
		names = append(names, c.Path)
	}
	for _, l := range w.result.LeftOut {
		names = append(names, l.Path)
	}
	for _, name := range names {
		for _, in := range read {
			switch {
			case in.Path != name || in.Whole:
			case len(list) == mostMoved:
				more++
			default:
				list = append(list, in)
			}
		}
	}
	for _, in := range read {
		if in.Drift != 0 && w.drifts() || in.Spread != quantity.Exact && slices.Contains(names, in.Path) {
			wide = append(wide, in)
		}
	}
	return list, wide, more
}

func (w *work) promise(ctx context.Context, name string, asked *product.Promise, inputs, wide []product.Input) (Promise, error) {
	out := Promise{Name: name, From: asked.Origin.String()}
	s := search{work: w, name: name}
	if w.Figure.Study == "charge" {
		out.Years, s.years = flipYears, flipYears
	}
	quiet := numeric.Quietly(ctx)
	j, err := promise.One(quiet, w.product, name, promise.Briefly{}, s.options())
	if ctx.Err() != nil {
		return out, ctx.Err()
	}
	out.Label, out.Bound, out.Verdict, out.Min, out.Max = j.Label, j.BoundText, j.Verdict, j.Bound.Min, j.Bound.Max
	switch there := asked.Conditions.Installation.Text; {
	case err != nil:
		out.None = err.Error()
		return out, nil
	case there != "" && there != w.Installation:
		out.None = "it is of the installation " + there + "; ask with --installation " + there
		return out, nil
	}
	full, err := marginOf(j, false)
	if err != nil {
		out.None = err.Error()
		return out, nil
	}
	out.Calculated = calculated(j)
	rough, err := s.margin(quiet, w.product, true)
	if err != nil {
		out.None = err.Error()
		return out, ctx.Err()
	}
	s.off = full - rough
	s.full = full
	levers := leversOf(inputs, wide, full > 0, w.drifts())
	found := make([]outcome, len(levers))
	err = numeric.Parallel(ctx, len(levers), func(i int) (err error) {
		found[i], err = s.move(quiet, levers[i])
		return err
	})
	for i, f := range found {
		l := levers[i]
		for _, at := range f.flips {
			flip := Flip{Source: l.source, Of: l.of, Is: l.is, At: at}
			if l.wide != nil {
				flip.Wide = l.wide(at)
			}
			out.Flips = append(out.Flips, flip)
		}
		if len(f.flips) == 0 {
			out.Holds = append(out.Holds, Held{l.source, l.of, f.low, f.high, f.short})
		}
	}
	slices.SortStableFunc(out.Flips, func(a, b Flip) int { return cmp.Compare(a.far(), b.far()) })
	return out, err
}

// far is how far an input would have to be moved, in ratios of itself where that makes sense.
func (f Flip) far() float64 {
	switch {
	case f.Of == "" && f.Dim.Point:
		return math.Abs(f.At-f.Is) / 100
	case f.At*f.Is > 0:
		return math.Abs(math.Log(f.At / f.Is))
	}
	return 2 + math.Abs(f.At-f.Is)/max(math.Abs(f.At), math.Abs(f.Is))
}

// calculated is the verdict by what is calculated alone.
func calculated(j promise.Judged) promise.Verdict {
	return promise.Judge(j.Bound, j.Proportion, calculatedOf(j))
}

// calculatedOf is the evidence that moving an input moves: what is calculated, or, where a study reckons from records alone, all of it.
func calculatedOf(j promise.Judged) (list []promise.Evidence) {
	for _, e := range j.Evidence {
		if e.Kind == promise.Calculated {
			list = append(list, e)
		}
	}
	if list == nil {
		return j.Evidence
	}
	return list
}
