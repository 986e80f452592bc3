package influence

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"

	"hindwatt/internal/numeric"
	"hindwatt/internal/product"
	"hindwatt/internal/promise"
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

// Flip is where an input would have to lie for the verdict to turn.
type Flip struct {
	Source
	Is, At float64
}

// Held is an input that turns nothing over the range that was looked at.
type Held struct {
	Source
	Low, High float64
	Short     bool // the study could not be computed further out
}

// Years of the charge study by which a promise is judged here: its usual ones would take minutes.
const flipYears = 8

// promises looks where inputs would turn the verdicts of the promises that stand on the figure.
func (w *work) promises(ctx context.Context, read []product.Input) error {
	inputs, unmoved := w.moving(read)
	for name, asked := range w.product.Promises.All() {
		if !stands(asked, w.Figure) {
			continue
		}
		one, err := w.promise(numeric.Doing(ctx, "where "+name+" would flip, inputs"), name, asked, inputs)
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

// moving are the inputs that move the figure, those with a tolerance first, and how many more there are.
func (w *work) moving(read []product.Input) (list []product.Input, more int) {
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
	return list, more
}

func (w *work) promise(ctx context.Context, name string, asked *product.Promise, inputs []product.Input) (Promise, error) {
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
	found := make([]outcome, len(inputs))
	err = numeric.Parallel(ctx, len(inputs), func(i int) (err error) {
		found[i], err = s.input(quiet, inputs[i], full)
		return err
	})
	for i, f := range found {
		for _, at := range f.flips {
			out.Flips = append(out.Flips, Flip{source(inputs[i]), inputs[i].Value, at})
		}
		if len(f.flips) == 0 && f.looked {
			out.Holds = append(out.Holds, Held{source(inputs[i]), f.low, f.high, f.short})
		}
	}
	slices.SortStableFunc(out.Flips, func(a, b Flip) int { return cmp.Compare(a.far(), b.far()) })
	return out, err
}

// far is how far an input would have to be moved, in ratios of itself where that makes sense.
func (f Flip) far() float64 {
	switch {
	case f.Dim.Point:
		return math.Abs(f.At-f.Is) / 100
	case f.At*f.Is > 0:
		return math.Abs(math.Log(f.At / f.Is))
	}
	return math.Inf(1)
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

// A search looks where a promise turns.
type search struct {
	*work
	name  string
	years int
	off   float64 // the margin in full less the rough one, as the product is
}

func (s *search) options() promise.Options {
	options := s.Options()
	options.Years = s.years
	return options
}

// margin judges the promise by what is calculated of a product.
func (s *search) margin(ctx context.Context, p *product.Product, rough bool) (float64, error) {
	j, err := promise.One(ctx, p, s.name, promise.Briefly{Rough: rough, Unmeasured: true}, s.options())
	if err != nil {
		return 0, err
	}
	return marginOf(j, rough)
}

// marginOf is by how much a promise is kept by what is calculated, in the unit of its bound; below 0 where it is not met. In full its
// sign is that of the verdict, whatever the interval that is drawn says. [Z3]
func marginOf(j promise.Judged, rough bool) (float64, error) {
	evidence := calculatedOf(j)
	if len(evidence) == 0 {
		return 0, errors.New("nothing is calculated for it")
	}
	e := evidence[len(evidence)-1]
	size := room(e, j.Bound)
	if rough {
		return size, nil
	}
	least := same * max(math.Abs(e.Best), math.Abs(e.High-e.Low), 1e-300)
	if calculated(j) == promise.Met {
		return max(math.Abs(size), least), nil
	}
	return -max(math.Abs(size), least), nil
}

// room is how far the nearer end of the evidence's interval is inside the bound; of a mistake's end the logarithm of its margin.
func room(e promise.Evidence, b promise.Bound) float64 {
	if e.End != nil {
		if e.End.Margin == nil || !(e.End.Margin.Low > 0) {
			return 0
		}
		return math.Log(e.End.Margin.Low)
	}
	size := math.Inf(1)
	if b.Min != nil {
		size = min(size, e.Low-*b.Min)
		if e.OpenLow {
			size = -math.MaxFloat32
		}
	}
	if b.Max != nil {
		size = min(size, *b.Max-e.High)
		if e.OpenHigh {
			size = -math.MaxFloat32
		}
	}
	return size
}

type outcome struct {
	flips     []float64
	low, high float64
	looked    bool
	short     bool
}

// at is the product with an input moved, its spread with it.
func (s *search) at(in product.Input, v float64) (*product.Product, error) {
	return s.Product(product.Put{Path: in.Path, Source: in.Shifted(v)})
}

// probes are how many places are looked at on the way to either end of the range.
const probes = 2

// input looks on both sides of where an input is for the nearest place at which the verdict turns.
func (s *search) input(ctx context.Context, in product.Input, full float64) (out outcome, err error) {
	low, high, ok := in.Reach()
	if !ok {
		return out, nil
	}
	out.low, out.high, out.looked = in.Value, in.Value, true
	for _, side := range []struct {
		end  float64
		seen *float64
	}{{low, &out.low}, {high, &out.high}} {
		if side.end == in.Value {
			continue
		}
		from := in.Value
		for k := range probes {
			to := step(in, side.end, float64(k+1)/probes)
			m, err := s.rough(ctx, in, to)
			if ctx.Err() != nil {
				return out, ctx.Err()
			}
			if err != nil {
				out.short = true
				break
			}
			if *side.seen = to; (m > 0) != (full > 0) {
				at, found, err := s.turn(ctx, in, from, to, full, side.end)
				if err != nil {
					return out, err
				}
				if found {
					out.flips = append(out.flips, at)
				}
				break
			}
			from = to
		}
	}
	return out, nil
}

// step is a part of the way from where an input is to an end: in equal ratios where both are of one sign.
func step(in product.Input, end, part float64) float64 {
	if !in.Dim.Point && in.Value*end > 0 && part < 1 {
		return in.Value * math.Pow(end/in.Value, part)
	}
	return in.Value + part*(end-in.Value)
}

// rough is the margin from few units, set right by how far off it was where the input is.
func (s *search) rough(ctx context.Context, in product.Input, v float64) (float64, error) {
	p, err := s.at(in, v)
	if err != nil {
		return 0, err
	}
	m, err := s.margin(ctx, p, true)
	return m + s.off, err
}

// turn finds the place between two probes at which the verdict turns: first from few units, and then, about there, in full. [Z4]
func (s *search) turn(ctx context.Context, in product.Input, from, to, full, end float64) (float64, bool, error) {
	var failed error
	root := func(m func(v float64) (float64, error), a, b, tol float64) float64 {
		at, err := numeric.FindRoot(func(v float64) float64 {
			y, err := m(v)
			if err != nil && failed == nil {
				failed = err
			}
			return y
		}, a, b, tol)
		if err != nil && failed == nil {
			failed = err
		}
		return at
	}
	near := root(func(v float64) (float64, error) { return s.rough(ctx, in, v) }, from, to, math.Abs(to-from)/100)
	if failed != nil {
		return 0, false, nil // where it is not to be computed there is nothing to say
	}
	exact := func(v float64) (float64, error) {
		p, err := s.at(in, v)
		if err != nil {
			return 0, err
		}
		return s.margin(ctx, p, false)
	}
	reach := max(math.Abs(near-in.Value)/20, math.Abs(end-in.Value)/500)
	a, b := near, near
	side := math.Copysign(reach, end-in.Value)
	for range 6 { // outward on both sides until the verdict differs
		if b = b + side; (b-end)*(end-in.Value) > 0 {
			b = end
		}
		if a = a - side; (a-in.Value)*(end-in.Value) < 0 {
			a = in.Value
		}
		mb, err := exact(b)
		if err != nil {
			return 0, false, ctx.Err()
		}
		ma := full
		if a != in.Value {
			if ma, err = exact(a); err != nil {
				return 0, false, ctx.Err()
			}
		}
		if (ma > 0) == (full > 0) && (mb > 0) != (full > 0) {
			at := root(exact, a, b, math.Abs(b-a)/10)
			return at, failed == nil, ctx.Err()
		}
		if (ma > 0) != (full > 0) {
			b = a
			continue
		}
		if b == end {
			return 0, false, nil
		}
		side *= 2
	}
	return 0, false, ctx.Err()
}
