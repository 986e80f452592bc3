package influence

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/hindsight/figures"
	"hindwatt/internal/numeric"
	"hindwatt/internal/product"
	"hindwatt/internal/promise"
	"hindwatt/internal/promise/kept"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics"
	"hindwatt/internal/statistics/sensitivity"
)

// Asked is what is to be known of one figure.
type Asked struct {
	figures.Setup
	Figure figures.Name
	Rows   int         // of the Sobol indices; 0: none
	Kept   *kept.Store // nil: everything is computed
}

// Result is what inputs have to do with a figure. It holds plain values alone, so that it can be kept.
type Result struct {
	Product, Variant, Installation string
	Figure                         figures.Name
	Dim                            quantity.Dimension
	Unit                           string
	Base                           float64  // with every input at its nominal
	Together                       float64  // half of the 95 % interval that all tolerances together make of it, by the law of propagation [Z5]
	Own                            *Limits  // the interval of the study itself; nil where it has none
	Changes                        []Change // largest first
	Still                          []Source // have a tolerance, are read, and change nothing
	LeftOut                        []LeftOut
	Drifts                         []Source // inputs that drift with temperature, which is not moved: it has no sign
	Shares                         *Shares  // nil: not asked for, or nothing to share out
	Promises                       []Promise
	Doubts                         []string
}

// Limits are those of an interval.
type Limits struct{ Low, High float64 }

// Source is where an input stands.
type Source struct {
	Path, From, Text string // "product.sense.top", "product.toml:41", "120 kΩ ±1 %"
	Dim              quantity.Dimension
	Unit             string
}

// An End is the figure with an input at one end of its tolerance.
type End struct {
	Input, Figure float64
	Failed        string // why there is no figure
}

// Change is what an input's tolerance does to the figure.
type Change struct {
	Source
	Low, High End
	U         float64 // standard uncertainty that the tolerance makes of the figure
}

// LeftOut is an input without a tolerance that the figure rests on.
type LeftOut struct {
	Source
	Nudge float64 // the change of the figure when the input grows by 1 %, or by 1 K
}

// Shares are Sobol indices, in the order of Inputs.
type Shares struct {
	Mean, SD   float64
	Rows, Runs int
	Level      float64
	Inputs     []Source
	Index      []sensitivity.Index
}

const level = 0.95

var coverage = statistics.NormalQuantile((1 + level) / 2)

// Of says what inputs have to do with a figure.
func Of(ctx context.Context, asked Asked) (*Result, error) {
	p, err := asked.Product()
	if err != nil {
		return nil, err
	}
	if asked.Installation == "" {
		asked.Installation = installationOf(p, asked.Figure)
	}
	on := []any{p.Name.Text, p.Variant, asked.Installation, asked.Seed, asked.Figure, asked.Rows, asked.rests(p), p.RevisionName()}
	for name, promised := range p.Promises.All() {
		if stands(promised, asked.Figure) {
			on = append(on, name, promised)
		}
	}
	return kept.Result(asked.Kept, "sensitivity", on, func() (*Result, error) { return compute(ctx, asked, p) })
}

// A work is one computation.
type work struct {
	Asked
	product *product.Product
	nominal []product.Put // every input with a tolerance at its nominal
	result  *Result
}

func compute(ctx context.Context, asked Asked, p *product.Product) (*Result, error) {
	w := &work{Asked: asked, product: p, result: &Result{
		Product: p.Name.Text, Variant: p.Variant, Installation: asked.Installation, Figure: asked.Figure,
	}}
	read, err := w.read(numeric.Doing(ctx, "which inputs the figure rests on"))
	if err != nil {
		return nil, err
	}
	var loose, firm []product.Input
	for _, in := range read {
		if in.Drift != 0 && w.drifts() {
			w.result.Drifts = append(w.result.Drifts, source(in))
		}
		if in.Spread == quantity.Exact {
			firm = append(firm, in)
			continue
		}
		loose = append(loose, in)
		w.nominal = append(w.nominal, product.Put{Path: in.Path, Source: in.Written(in.Value)})
	}
	base, err := w.figure(ctx)
	if err != nil {
		return nil, err
	}
	w.result.Base, w.result.Dim, w.result.Unit = base.Best, base.Dim, base.Unit
	if err := w.changes(numeric.Doing(ctx, "what each tolerance changes"), loose); err != nil {
		return nil, err
	}
	if err := w.leftOut(numeric.Doing(ctx, "what inputs without a tolerance change"), firm); err != nil {
		return nil, err
	}
	if asked.Rows > 0 {
		if err := w.shares(ctx, loose); err != nil {
			return nil, err
		}
	}
	if err := w.own(ctx); err != nil {
		return nil, err
	}
	return w.result, w.promises(ctx, read)
}

// drifts reports whether drifts with temperature count in the study: levels drift, and a year is held at them.
func (w *work) drifts() bool { return w.Figure.Study == "setpoint" || w.Figure.Study == "charge" }

// own takes the study's own interval of the figure.
func (w *work) own(ctx context.Context) error {
	if w.Figure.Study == "fault" || w.Figure.Study == "bench" {
		return nil // a margin's interval is of its case, and the bench has none of a nominal product
	}
	options := w.Options()
	options.Kept = w.Kept
	a, err := promise.Study(ctx, w.product, w.Figure.Study, options)
	if err != nil {
		return err
	}
	for _, f := range a.Figures {
		if f.Name == w.Figure.Quantity && !f.OpenLow && !f.OpenHigh {
			w.result.Own = &Limits{f.Low, f.High}
		}
	}
	return nil
}

// figure is the figure with every input at its nominal, but for those that are put otherwise.
func (w *work) figure(ctx context.Context, puts ...product.Put) (figures.Value, error) {
	p, err := w.Product(append(slices.Clip(w.nominal), puts...)...)
	if err != nil {
		return figures.Value{}, err
	}
	found, err := w.Of(numeric.Quietly(ctx), p, w.Figure)
	if err != nil {
		return figures.Value{}, err
	}
	if !found[0].Known {
		err = fmt.Errorf("%s: the study has no such figure of this product; see hindwatt study %s for what is missing", w.Figure, w.Figure.Study)
	}
	return found[0], err
}

func source(in product.Input) Source {
	return Source{in.Path, in.Leaf.Origin.String(), in.Leaf.Text, in.Dim, cmp.Or(in.Unit, in.Dim.Unit())}
}

// ends are those of an input's tolerance: of its limits or its range, and between which 95 % of a normal one lie [Z1].
func ends(in product.Input) (low, high float64) {
	if in.Spread == quantity.Normal {
		return in.Value - coverage*in.SD, in.Value + coverage*in.SD
	}
	return in.Low, in.High
}

// spans is how many standard deviations there are between the ends of an input's tolerance.
func spans(in product.Input) float64 {
	if in.Spread == quantity.Normal {
		return 2 * coverage
	}
	return math.Sqrt(12) // JCGM 100 eq. (7)
}

// changes moves each input to the ends of its tolerance.
func (w *work) changes(ctx context.Context, loose []product.Input) error {
	all := make([]Change, len(loose))
	err := numeric.Parallel(ctx, len(loose), func(i int) error {
		in := loose[i]
		all[i].Source = source(in)
		all[i].Low.Input, all[i].High.Input = ends(in)
		for _, end := range []*End{&all[i].Low, &all[i].High} {
			v, err := w.figure(ctx, product.Put{Path: in.Path, Source: in.Written(end.Input)})
			if ctx.Err() != nil {
				return ctx.Err()
			}
			if end.Figure = v.Best; err != nil {
				end.Failed = err.Error()
			}
		}
		if all[i].Low.Failed+all[i].High.Failed == "" {
			all[i].U = math.Abs(all[i].High.Figure-all[i].Low.Figure) / spans(in)
		}
		return nil
	})
	if err != nil {
		return err
	}
	r := w.result
	for _, c := range all {
		if c.Size(r.Base) > 0 {
			r.Changes = append(r.Changes, c)
		} else {
			r.Still = append(r.Still, c.Source)
		}
	}
	squares := 0.0
	for _, c := range r.Changes {
		squares += c.U * c.U
	}
	r.Together = coverage * math.Sqrt(squares) // [Z5]
	slices.SortStableFunc(r.Changes, func(a, b Change) int {
		return cmp.Or(cmp.Compare(b.Size(r.Base), a.Size(r.Base)), cmp.Compare(a.Path, b.Path))
	})
	return nil
}

// same is by how much of itself a figure may differ by rounding alone.
const same = 1e-9

// Size is how far the figure moves at most; without end where there is none at an end. What rounding does counts as nothing.
func (c Change) Size(base float64) float64 {
	if c.Low.Failed != "" || c.High.Failed != "" {
		return math.Inf(1)
	}
	size := max(math.Abs(c.Low.Figure-base), math.Abs(c.High.Figure-base))
	if size <= same*max(math.Abs(base), math.Abs(c.Low.Figure), math.Abs(c.High.Figure)) {
		return 0
	}
	return size
}

// nudgeYears are the years of the charge study by which inputs without a tolerance are ranked; there are a hundred of them.
const nudgeYears = 1

// leftOut finds what the figure rests on and what no tolerance is stated of.
func (w *work) leftOut(ctx context.Context, firm []product.Input) error {
	all := make([]LeftOut, len(firm))
	moved := make([]bool, len(firm))
	one := *w
	one.Years = nudgeYears
	base, err := one.figure(ctx)
	if err != nil {
		return err
	}
	err = numeric.Parallel(ctx, len(firm), func(i int) error {
		in := firm[i]
		all[i].Source = source(in)
		for _, to := range nudged(in) {
			v, err := one.figure(ctx, product.Put{Path: in.Path, Source: in.Written(to)})
			if ctx.Err() != nil {
				return ctx.Err()
			}
			if err != nil {
				continue
			}
			all[i].Nudge = v.Best - base.Best
			if to < in.Value {
				all[i].Nudge = -all[i].Nudge
			}
			moved[i] = Change{Low: End{Figure: v.Best}, High: End{Figure: v.Best}}.Size(base.Best) > 0
			break
		}
		return nil
	})
	for i, l := range all {
		if moved[i] {
			w.result.LeftOut = append(w.result.LeftOut, l)
		}
	}
	slices.SortStableFunc(w.result.LeftOut, func(a, b LeftOut) int {
		return cmp.Or(cmp.Compare(math.Abs(b.Nudge), math.Abs(a.Nudge)), cmp.Compare(a.Path, b.Path))
	})
	return err
}

// nudged is a number a little more, and a little less for where that is not accepted: by 1 %, a temperature or a difference of 0 by 1 K.
func nudged(in product.Input) []float64 {
	step := math.Abs(in.Value) / 100
	switch {
	case in.Whole:
		step = 1
	case in.Dim.Point, step == 0 && in.Dim == quantity.TemperatureDifference:
		step = 1
	case step == 0:
		return nil
	}
	return []float64{in.Value + step, in.Value - step}
}

// shares computes the Sobol indices of the inputs whose tolerance changes something.
func (w *work) shares(ctx context.Context, loose []product.Input) error {
	var moving []product.Input
	for _, c := range w.result.Changes {
		for _, in := range loose {
			if in.Path == c.Path {
				moving = append(moving, in)
			}
		}
	}
	if len(moving) == 0 {
		w.result.Doubts = append(w.result.Doubts, "No tolerance changes the figure: there is no spread to share out.")
		return nil
	}
	f := func(u []float64) (float64, error) {
		var puts []product.Put
		for i, in := range moving {
			puts = append(puts, product.Put{Path: in.Path, Source: in.Written(quantileOf(in, u[i]))})
		}
		v, err := w.figure(ctx, puts...)
		return v.Best, err
	}
	got, err := sensitivity.Sobol(numeric.Doing(ctx, "Sobol indices, rows"), f, len(moving), w.Rows, w.Seed, level)
	if errors.Is(err, sensitivity.ErrStill) {
		w.result.Doubts = append(w.result.Doubts, "The figure did not move in any row: there is no spread to share out.")
		return nil
	}
	if err != nil {
		return err
	}
	s := &Shares{Mean: got.Mean, SD: got.SD, Rows: w.Rows, Runs: got.Runs, Level: level, Index: got.Inputs}
	for _, in := range moving {
		s.Inputs = append(s.Inputs, source(in))
	}
	w.result.Shares = s
	return nil
}

// quantileOf is the value that an input stays below with probability u [Z2].
func quantileOf(in product.Input, u float64) float64 {
	if in.Spread == quantity.Normal {
		return in.Value + in.SD*statistics.NormalQuantile(max(u, 0x1p-54)) // a draw may be 0
	}
	return in.Low + u*(in.High-in.Low)
}
