package returns

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/statistics"
	"hindwatt/internal/statistics/survival"
)

// Asked is what a promise asks for: the share of units that came back.
type Asked struct {
	Fault      bool    // only those with a fault found
	Unreported bool    // divided by the share of faults that are told of
	Age        float64 // by that age, s; 0: up to today
	Batch      string  // "": the product's own revision
	Confidence float64 // of both limits together; 0: the study's
}

// At is the answer.
type At struct {
	Interval
	Carried bool   // beyond what was observed, by a constant rate
	Units   int    // sold
	Basis   string // the weakest of the rows'
	How     string // in words
}

// ErrNone says that there is no figure.
var ErrNone = errors.New("no unit sold is known")

// Share gives the share that a promise asks for. ErrNone where there are no units.
func (r *Result) Share(q Asked) (At, error) {
	if q.Confidence == 0 {
		q.Confidence = r.Input.Confidence
	}
	g := r.of(q.Batch)
	if g == nil || !(g.Sold.High >= 1) {
		return At{}, ErrNone
	}
	var out At
	var err error
	if q.Fault {
		low, err1 := r.share(g, q, withFault)
		high, err2 := r.share(g, q, perhapsFault)
		out, err = low, errors.Join(err1, err2)
		out.High, out.Open = high.High, high.Open
	} else {
		out, err = r.share(g, q, anyReturn)
	}
	if err != nil {
		return out, fmt.Errorf("returns: %w", err)
	}
	if u := r.Input.Unreported; q.Unreported && u != nil && u.High < 1 { // [B8]
		out.Best, out.Low, out.High = min(1, out.Best/(1-u.Value)), min(1, out.Low/(1-u.Low)), min(1, out.High/(1-u.High))
	}
	out.Units, out.Basis = int(math.Round(g.Sold.Best)), g.Basis
	return out, nil
}

// of returns a batch, or the own revision.
func (r *Result) of(batch string) *Group {
	if batch == "" {
		return &r.Own
	}
	for i := range r.Batches {
		if r.Batches[i].Name == batch {
			return &r.Batches[i]
		}
	}
	return nil
}

func (r *Result) share(g *Group, q Asked, counts kept) (At, error) {
	if q.Age == 0 {
		i, err := r.shareSoFar(g, counts, q.Confidence)
		return At{Interval: i, How: "of all sold, whatever their age"}, err
	}
	if len(g.units) > 0 && float64(len(g.units)) == g.Sold.High && g.Back.High == float64(came(g.units)) {
		return r.shareByAge(g, q, counts)
	}
	return r.shareByRate(g, q, counts)
}

func came(units []*Unit) (n int) {
	for _, u := range units {
		if u.Back != nil {
			n++
		}
	}
	return n
}

// shareSoFar counts the returns of a group that count.
func (r *Result) shareSoFar(g *Group, counts kept, confidence float64) (Interval, error) {
	return shareOf(r.counted(g, counts), g.Sold, confidence)
}

func (r *Result) counted(g *Group, counts kept) Count {
	var n Count
	for _, u := range g.units {
		if u.Back != nil && counts(u.Back) {
			n = n.plus(Exactly(1))
		}
	}
	for _, back := range r.Input.Returns {
		belongs := g == &r.All || g == &r.Own && back.Own || g.Name != "" && g.Name == back.Batch
		if !back.Joined && !r.placed[back] && belongs && counts(back) {
			n = n.plus(back.Count)
		}
	}
	return n
}

// shareByAge reads Kaplan and Meier's curve. Where ages are known between limits only, its limits are the outermost of those of the
// youngest, the middle and the oldest ages [B5].
func (r *Result) shareByAge(g *Group, q Asked, counts kept) (At, error) {
	out, err := r.readCurve(r.Input.lives(g.units, counts, middle), q)
	if err != nil || !slices.ContainsFunc(g.units, (*Unit).vague) {
		return out, err
	}
	for _, w := range []when{early, late} {
		other, err := r.readCurve(r.Input.lives(g.units, counts, w), q)
		if err != nil {
			return out, err
		}
		out.Low, out.High, out.Carried = min(out.Low, other.Low), max(out.High, other.High), out.Carried || other.Carried
	}
	out.How += ", some ages known between limits only"
	return out, nil
}

// readCurve reads the curve of lives; where no unit has been watched so long, a constant rate carries on.
func (r *Result) readCurve(lives []survival.Life, q Asked) (At, error) {
	if len(lives) == 0 {
		return At{Interval: Interval{High: 1}, How: "no unit has been out for a day yet"}, nil
	}
	curve, err := survival.KaplanMeier(lives)
	if err != nil {
		return At{}, err
	}
	if q.Age <= curve.Last {
		e, err := curve.At(q.Age, q.Confidence)
		if err != nil {
			return At{}, err
		}
		if e.Survival.None == "" && e.Low.None == "" && e.High.None == "" {
			return At{Interval: Interval{Best: 1 - e.Survival.Value, Low: 1 - e.High.Value, High: 1 - e.Low.Value}, How: "by age (Kaplan and Meier)"}, nil
		}
		if e.Survival.None == "" { // none or all came back: the units that were watched so long bound it
			watched, back := 0, 0
			for _, l := range lives {
				switch {
				case l.From >= q.Age:
					watched += l.Count
				case l.To == l.From:
					watched, back = watched+l.Count, back+l.Count
				}
			}
			low, high, err := statistics.BinomialLimits(back, max(watched, 1), q.Confidence)
			return At{Interval: Interval{Best: 1 - e.Survival.Value, Low: low, High: high}, How: fmt.Sprintf("of the %d watched so long or returned before", watched)}, err
		}
	}
	rate, err := survival.Exponential(lives, q.Confidence)
	var none *survival.NoFit
	if errors.As(err, &none) {
		return At{Interval: Interval{High: 1}, Carried: true, How: none.Why}, nil
	}
	if err != nil {
		return At{}, err
	}
	part, err := rate.FailedBy(q.Age)
	if err != nil {
		return At{}, err
	}
	out := At{Interval: Interval{Best: part.Value, Low: part.Low.Value, High: part.High.Value}, Carried: true, How: "carried on at a constant rate beyond the oldest unit"}
	if part.High.None != "" {
		out.High = 1
	}
	return out, nil
}

// shareByRate knows no ages. Where every unit is older than the age asked for, no more can have come back by it than came back;
// that is all of them where none was accepted later. Else returns are taken to come at a constant rate [B4].
func (r *Result) shareByRate(g *Group, q Asked, counts kept) (At, error) {
	n := r.counted(g, counts)
	if in := &r.Input; float64(in.Today-g.Last)*daySeconds >= q.Age {
		i, err := shareOf(n, g.Sold, q.Confidence)
		if in.accepted() > q.Age {
			i.Low = 0
			return At{Interval: i, How: "of all sold; every unit is older, so fewer may have come back by then"}, err
		}
		return At{Interval: i, How: "of all sold; every unit is older"}, err
	}
	rate, err := rateOf(n, g.Exposure, q.Confidence)
	part := func(v float64) float64 { return -math.Expm1(-v * q.Age) }
	out := At{Interval: Interval{Best: part(rate.Best), Low: part(rate.Low), High: part(rate.High)}, Carried: true, How: "ages are not known: at a constant rate of returns"}
	if rate.Open {
		out.High = 1
	}
	return out, err
}

// PerYear is the rate of returns of the own revision, or of a batch, 1/s.
func (r *Result) PerYear(q Asked) (At, error) {
	if q.Confidence == 0 {
		q.Confidence = r.Input.Confidence
	}
	g := r.of(q.Batch)
	if g == nil || !(g.Exposure.High > 0) {
		return At{}, ErrNone
	}
	i, err := rateOf(g.InTime, g.Exposure, q.Confidence)
	return At{Interval: i, Units: int(math.Round(g.Sold.Best)), Basis: g.Basis, How: "of units while their returns are accepted"}, err
}
