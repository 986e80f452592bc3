package survival

import (
	"context"
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mathext"

	"hindwatt/internal/numeric"
)

// Pattern is what the shape of a Weibull fit says of the failures.
type Pattern int

const (
	TooFew  Pattern = iota // fewer than 5 failures: the shape is not to be believed
	Early                  // the whole interval of the shape is below 1: the rate falls with age
	Chance                 // the interval holds 1: nothing speaks against a constant rate
	WearOut                // the whole interval is above 1: the rate rises with age
)

// FewestForShape is the number of failures below which a shape is not to be believed (common practice, no source).
const FewestForShape = 5

// A Belief says whether a Weibull fit deserves it.
type Belief struct {
	Pattern     Pattern
	Exponential float64 // p of the likelihood ratio against a constant rate, one degree of freedom
	Fit         Maybe   // p of the goodness of fit: small where the ages do not follow the fit
	Draws       int     // made for it
}

const bootstrapDraws = 199

// Believe tells whether a fit of these lives deserves belief: what pattern its shape shows, whether a constant rate would do as
// well, and whether the ages at failure follow the fit at all.
//
// Goodness of fit is by parametric bootstrap: the largest distance, at any age, of the failures seen from those that the
// fit expects of the units then at risk, over the root of all failures, beside that of fleets which are drawn from the fit and fitted again
// (Stute, Gonzáles Manteiga and Presedo Quindimil, Metrika 40 (1993), p. 243). A drawn unit leaves, still good, with the part of those at risk that left at its age in the
// data. Ages are grouped in 200 cells of equal hazard, in the data and in the draws alike. A failure between two ages is
// placed between them as the fit has it, which favours the fit. Equations [F7] and [F8] of docs/models.md.
func (f Fit) Believe(ctx context.Context, lives []Life, seed uint64) (Belief, error) {
	return f.believe(ctx, lives, seed, bootstrapDraws)
}

func (f Fit) believe(ctx context.Context, lives []Life, seed uint64, draws int) (Belief, error) {
	rate, err := Exponential(lives, 0.95)
	if err != nil {
		return Belief{}, err
	}
	b := Belief{Pattern: f.pattern()}
	ratio := max(0, f.LogLik-rate.LogLik) // [F7]
	b.Exponential = mathext.GammaIncRegComp(0.5, ratio)
	if f.Failures < FewestForShape {
		b.Fit = Maybe{None: fmt.Sprintf("%d failures; want %d or more", f.Failures, FewestForShape)}
		return b, nil
	}
	c := f.cells(lives, seed)
	if !(c.middle[0] > 0 && c.hazard <= math.MaxFloat64) {
		b.Fit = Maybe{None: "the shape is too near 0 or too large to group the ages by"}
		return b, nil
	}
	seen, err := c.distance()
	if err != nil {
		return b, b.without(err)
	}
	more := make([]bool, draws)
	err = numeric.Parallel(ctx, draws, func(draw int) error {
		s := numeric.NewStream(seed, 0x66697473, uint64(draw))
		d, err := c.draw(&s).distance()
		var no *NoFit
		if err != nil && !errors.As(err, &no) {
			return err
		}
		more[draw] = err != nil || d >= seen // a fleet without a fit speaks for nothing
		return nil
	})
	if err != nil {
		return Belief{}, err
	}
	reached := 1
	for _, m := range more {
		if m {
			reached++
		}
	}
	b.Draws, b.Fit = draws, Maybe{Value: float64(reached) / float64(draws+1)}
	return b, nil
}

// without turns a NoFit into a reason why there is no goodness of fit.
func (b *Belief) without(err error) error {
	var no *NoFit
	if errors.As(err, &no) {
		b.Fit = Maybe{None: no.Why}
		return nil
	}
	return err
}

// pattern reads the interval of the shape.
func (f Fit) pattern() Pattern {
	switch {
	case f.Failures < FewestForShape:
		return TooFew
	case f.ShapeHigh.None == "" && f.ShapeHigh.Value < 1:
		return Early
	case f.ShapeLow.None == "" && f.ShapeLow.Value > 1:
		return WearOut
	}
	return Chance
}

// grouped is lives in cells of age of equal hazard under a fit.
type grouped struct {
	edges, middle        []float64 // age at the end of each cell, and in the middle of its hazard
	hazard               float64   // of a cell, under the fit
	enter, failed, leave []float64 // at the beginning of a cell, in it, at its end
}

const hazardCells = 200

// cells groups lives.
func (f Fit) cells(lives []Life, seed uint64) *grouped {
	last := 0.0
	for _, l := range lives {
		if last = max(last, l.From); !l.good() {
			last = max(last, l.To)
		}
	}
	of := func(age float64) float64 { return math.Pow(age/f.Scale, f.Shape) }
	g := &grouped{hazard: of(last) / hazardCells}
	for c := range hazardCells {
		h := float64(c+1) * g.hazard
		g.edges = append(g.edges, f.Scale*math.Pow(h, 1/f.Shape))
		g.middle = append(g.middle, f.Scale*math.Pow(h-g.hazard/2, 1/f.Shape))
	}
	g.enter, g.failed, g.leave = make([]float64, hazardCells), make([]float64, hazardCells), make([]float64, hazardCells)
	s := numeric.NewStream(seed, 0x706c616365)
	cell := func(h float64) int { return min(int(h/g.hazard), hazardCells-1) }
	for _, l := range lives {
		n, entry, leave := float64(l.Count), int(math.Round(of(l.Entry)/g.hazard)), int(math.Round(of(l.From)/g.hazard))-1
		switch {
		case l.failed():
			at := cell(of(l.From))
			g.failed[at] += n
			g.enter[min(entry, at)] += n
		case l.good() && leave >= entry:
			g.enter[entry] += n
			g.leave[leave] += n
		case !l.good():
			low, high := of(l.From), of(l.To)
			for range l.Count {
				at := cell(low - math.Log1p(s.Float64()*math.Expm1(low-high)))
				g.failed[at]++
				g.enter[min(entry, at)]++
			}
		}
	}
	return g
}

// lives returns the lives that the cells tell of.
func (g *grouped) lives() []Life {
	var lives []Life
	add := func(n, from, to, entry float64) {
		if n > 0 {
			lives = append(lives, Life{entry, from, to, int(n)})
		}
	}
	for c := range g.edges {
		add(g.failed[c], g.middle[c], g.middle[c], 0)
		add(g.leave[c], g.edges[c], math.Inf(1), 0)
	}
	return lives
}

// distance fits the cells and returns how far failures stray from what the fit expects [F8].
func (g *grouped) distance() (float64, error) {
	f := newLikelihood(g.lives())
	failures := 0.0
	for c, n := range g.enter {
		failures += g.failed[c]
		if n > 0 && c > 0 { // late entry: known by its number alone
			age := logAge(g.edges[c-1]) - f.unit
			f.sums.logs, f.sums.weights = append(f.sums.logs, age), append(f.sums.weights, -n)
		}
	}
	if failures < 2 {
		return 0, &NoFit{"fewer than two failures"}
	}
	shape, err := f.peak()
	if err != nil {
		return 0, err
	}
	lambda, err := f.lambda(shape)
	if err != nil {
		return 0, err
	}
	theta, power := math.Exp(lambda), func(age float64) float64 { return numeric.Exp(shape * (numeric.Log(age) - f.unit)) }
	atRisk, stray, furthest, before := 0.0, 0.0, 0.0, 0.0
	for c := range g.edges {
		middle, end := power(g.middle[c]), power(g.edges[c])
		atRisk += g.enter[c]
		stray += g.failed[c] - theta*(atRisk*(middle-before)+(atRisk-g.failed[c])*(end-middle))
		atRisk -= g.failed[c] + g.leave[c]
		furthest, before = max(furthest, math.Abs(stray)), end
	}
	return furthest / math.Sqrt(failures), nil
}

// draw returns cells of a fleet that fails as the fit has it, and leaves as the data did.
func (g *grouped) draw(s *numeric.Stream) *grouped {
	d := &grouped{edges: g.edges, middle: g.middle, hazard: g.hazard, enter: g.enter,
		failed: make([]float64, hazardCells), leave: make([]float64, hazardCells)}
	p, real, atRisk := -math.Expm1(-g.hazard), 0.0, 0.0
	for c := range g.edges {
		real += g.enter[c]
		atRisk += g.enter[c]
		d.failed[c] = binomial(s, atRisk, p)
		atRisk -= d.failed[c]
		if left := real - g.failed[c]; g.leave[c] > 0 {
			d.leave[c] = binomial(s, atRisk, min(g.leave[c]/left, 1))
			atRisk -= d.leave[c]
		}
		real -= g.failed[c] + g.leave[c]
	}
	d.leave[hazardCells-1] += atRisk
	return d
}

// binomial draws how many of n happen, each with probability p, by inversion from the mode outward.
func binomial(s *numeric.Stream, n, p float64) float64 {
	if n <= 0 || p <= 0 {
		return 0
	}
	if p >= 1 {
		return n
	}
	mode := math.Floor((n + 1) * p)
	lg := func(x float64) float64 { v, _ := math.Lgamma(x + 1); return v }
	at := math.Exp(lg(n) - lg(mode) - lg(n-mode) + mode*math.Log(p) + (n-mode)*math.Log1p(-p))
	u, odds := s.Float64()-at, p/(1-p)
	if u < 0 {
		return mode
	}
	up, down, high, low := at, at, mode, mode
	for high < n || low > 0 {
		if high < n {
			up *= (n - high) / (high + 1) * odds
			high++
			if u -= up; u < 0 {
				return high
			}
		}
		if low > 0 {
			down *= low / ((n - low + 1) * odds)
			low--
			if u -= down; u < 0 {
				return low
			}
		}
		if up < 1e-18 && down < 1e-18 { // what rounding left over
			break
		}
	}
	return mode
}
