package bench

import (
	"fmt"
	"math"
	"strings"

	"hindwatt/internal/quantity"
)

// Settle returns how many more units settle whether Proportion of them lie inside the bound, if the mean and the standard deviation
// found stay [R11]: until the lower limit of Inside is at least the proportion, or its upper limit below it. The
// meters' errors and what a carry does not know stay as they are; where they alone keep it open, no number of units
// settles it, and Why says what would.
func (r *Result) Settle(min, max float64) (Settle, error) {
	if err := r.bound(min, max); err != nil {
		return Settle{}, err
	}
	now, err := r.Inside(min, max)
	switch asked := r.Input.Proportion; {
	case err != nil:
		return Settle{}, err
	case now.Low >= asked || now.High < asked:
		return Settle{}, nil
	case r.sample.open() && len(r.Input.unrated()) > 0:
		name := r.Input.unrated()[0]
		return never("no number of units would settle it while " + name + "'s accuracy for a " + r.Input.Readings[0].Value.Dim.Name() + " is not given in bench/meters.toml")
	case r.sample.open():
		return never("no number of units would settle it while the meter's accuracy is not known: name the meter with meter=…, its accuracy in bench/meters.toml")
	case r.Units == 1:
		return never("one unit shows no spread: a second on the bench would, and would tell how many settle it")
	case r.sample.scatter() == 0:
		return never("the units read alike, so their spread is not known: read them with a meter that shows one digit more")
	}
	s := r.search(question{r.sample, r.Input.Carry, min, max})
	if n, ok := s.units(); ok {
		return Settle{More: n - r.Units}, nil
	}
	return never(s.why(r))
}

func never(why string) (Settle, error) { return Settle{Never: true, Why: why}, nil }

// A search looks for the number of units that settle a question.
type search struct {
	question
	from                   int // units there are
	seed                   uint64
	proportion, confidence float64
	kept                   bool // whether the proportion is kept at what was found
}

func (r *Result) search(q question) search {
	return search{q, r.Units, r.Input.Seed, r.Input.Proportion, r.Input.Confidence, q.best() >= r.Input.Proportion}
}

// settled reports whether n units settle it.
func (s search) settled(n int) bool {
	draws := s.sample.draw(n, settleDraws, s.seed, s.carry)
	if s.kept {
		return s.limit(lower, n, draws, s.confidence) >= s.proportion
	}
	return s.limit(upper, n, draws, s.confidence) < s.proportion
}

// units returns how many units in all settle it, by doubling and halving; ok is false if mostUnits do not. It
// is one more than there are at least, since with fewer draws those there are may look as if they did.
func (s search) units() (n int, ok bool) {
	if !s.settled(mostUnits) {
		return 0, false
	}
	lo, hi := s.from, min(s.from+1, mostUnits)
	for hi < mostUnits && !s.settled(hi) {
		lo, hi = hi, min(2*hi, mostUnits)
	}
	for hi-lo > 1 {
		if middle := (lo + hi) / 2; s.settled(middle) {
			hi = middle
		} else {
			lo = middle
		}
	}
	return max(hi, s.from+1), true
}

// pooledUnits is how many units stand for a carry whose unknown part is left out.
const pooledUnits = 200

// why words what keeps it open however many units are read: the part without which they would settle it.
func (s search) why(r *Result) string {
	exact, known, both := s, s, s
	exact.sample, known.carry = s.sample.scaled(0), s.carry.pooled(pooledUnits)
	both.sample, both.carry = exact.sample, known.carry
	meter := "±" + r.size(s.sample.limit())
	model := "what the model does not know where it carries the readings over (" + r.between(s.carry.shifts()) + ")"
	switch {
	case exact.settled(mostUnits):
		return fmt.Sprintf("no number of units would settle it with this meter: its %s stays, however many are read%s", meter, s.finer(r))
	case s.carry != nil && known.settled(mostUnits):
		return fmt.Sprintf("no number of units would settle it from these conditions: %s stays, however many are read; units read at the promised conditions would", model)
	case s.carry != nil && both.settled(mostUnits):
		return fmt.Sprintf("no number of units would settle it: the meter's %s and %s stay, however many are read; a finer meter at the promised conditions would", meter, model)
	}
	return fmt.Sprintf("%d units would not settle it: the share found, %s, is too near the %s asked",
		mostUnits, percent(s.best()), percent(s.proportion))
}

// finer words which meter would do, and with how many units: half of the largest limit that lets
// any number of units settle it.
func (s search) finer(r *Result) string {
	whole, lo, hi := s.sample, 0.0, 1.0
	for range 7 {
		middle := (lo + hi) / 2
		if s.sample = whole.scaled(middle); s.settled(mostUnits) {
			lo = middle
		} else {
			hi = middle
		}
	}
	if lo == 0 {
		return "; a much finer one is needed"
	}
	limit := rounded(whole.limit() * lo / 2)
	s.sample = whole.scaled(limit / whole.limit())
	n, ok := s.units()
	if !ok {
		return ""
	}
	return fmt.Sprintf("; with one within ±%s, about %d in all would", r.size(limit), n)
}

// between words how far groups' means differ.
func (r *Result) between(low, high []float64) string {
	spread := math.Max(math.Sqrt(covariance(low, low)), math.Sqrt(covariance(high, high)))
	return "±" + r.size(normal(r.Input.Confidence)*spread)
}

func percent(p float64) string {
	return strings.Replace(quantity.Format(p, quantity.Ratio, "%", -3), ".0 %", " %", 1)
}
