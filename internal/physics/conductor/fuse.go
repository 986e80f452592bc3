package conductor

import (
	"errors"
	"fmt"

	"hindwatt/internal/numeric"
	"hindwatt/internal/quantity"
)

// Fuse is a fuse link as its data sheet gives it.
type Fuse struct {
	Rating          float64 // A
	MeltingIntegral float64 // ∫I²dt until it melts in a few milliseconds, A²s; 0 if not known
	Points          []Point // of its curve, currents rising and times falling; may be empty

	// What follows may be 0 for a usual value.
	Share    float64 // of the rating that it carries for ever at 25 °C; 0: 0.75
	Derating float64 // of that for each K above 25 °C, 1/K, ≥ 0; 0: 0.0025
}

// Point is one of a fuse's curve: it opens at a current within a time.
type Point struct {
	Current float64 // A
	Time    float64 // s
}

// The usual values: 0.75 of the rating for ever at 25 °C (UL 248-14 practice for small fuses), and 0.2 to 0.3 %/K of blade
// fuses; both common practice, no single source.
const (
	usualShare    = 0.75
	usualDerating = 0.0025 // 1/K
)

// Check returns what is wrong with the values, or nil.
func (f Fuse) Check() error {
	if err := check(bound{"rating", f.Rating, quantity.Current, tiny, huge, "a current above 0"},
		bound{"melting_integral", f.MeltingIntegral, quantity.MeltingIntegral, 0, 1e15, "0 or more"},
		bound{"share", f.Share, quantity.Ratio, 0, 1, "0 to 1"},
		bound{"derating", f.Derating, quantity.PerKelvin, 0, 0.1, "0 to 10 %/K"}); err != nil {
		return err
	}
	for i, p := range f.Points {
		if err := check(aCurrent(p.Current), aTime(p.Time)); err != nil {
			return fmt.Errorf("points: number %d: %w", i+1, err)
		}
		if i > 0 && (p.Current <= f.Points[i-1].Current || p.Time >= f.Points[i-1].Time) {
			return fmt.Errorf("points: number %d: %.4g A %.4g s does not open sooner at more current than the one before; want rising currents and falling times",
				i+1, p.Current, p.Time)
		}
	}
	return nil
}

// Continuous returns the current that the fuse carries for ever at an ambient, A; 0 where it is too hot for any.
//
//	ambient  at the fuse, K; > 0
func (f Fuse) Continuous(ambient float64) (float64, error) {
	if err := f.Check(); err != nil {
		return 0, err
	}
	if err := check(aTemperature("ambient", ambient)); err != nil {
		return 0, err
	}
	share, derating := f.Share, f.Derating
	if share == 0 {
		share = usualShare
	}
	if derating == 0 {
		derating = usualDerating
	}
	return f.Rating * share * max(0, 1-derating*(ambient-25-zeroCelsius)), nil // [W13]
}

// ErrNoCurve: neither points nor a melting integral are given.
var ErrNoCurve = errors.New("the fuse has neither points nor a melting integral; want one of them")

// Time returns how long the fuse takes to open at a held current, s.
//
//	current  A; > 0
//
// Between points log time is linear in log current; above the last point, and without points, the
// melting integral is constant. It never takes less than what the integral asks. Below the first point,
// and without points below the rating, the error is ErrHolds: it may open in hours, or never.
func (f Fuse) Time(current float64) (float64, error) {
	if err := f.Check(); err != nil {
		return 0, err
	}
	if err := check(aCurrent(current)); err != nil {
		return 0, err
	}
	if len(f.Points) == 0 && f.MeltingIntegral == 0 {
		return 0, ErrNoCurve
	}
	floor := f.MeltingIntegral / current / current // [W14]
	if len(f.Points) == 0 {
		if current < f.Rating {
			return 0, ErrHolds
		}
		return floor, nil
	}
	if current < f.Points[0].Current {
		return 0, ErrHolds
	}
	last := f.Points[len(f.Points)-1]
	if current >= last.Current {
		if floor == 0 {
			floor = last.Time * (last.Current / current) * (last.Current / current)
		}
		return min(last.Time, floor), nil
	}
	return max(floor, f.between(current)), nil
}

// between interpolates the curve.
func (f Fuse) between(current float64) float64 {
	i := 1
	for f.Points[i].Current <= current {
		i++
	}
	a, b := f.Points[i-1], f.Points[i]
	share := numeric.Log(current/a.Current) / numeric.Log(b.Current/a.Current)
	return a.Time * numeric.Pow(b.Time/a.Time, share) // [W15]
}

// Blade returns the two limits between which a blade fuse of a rating opens: the quickest and the slowest
// that ISO 8820-3 allows. At 110 % it holds at least 100 h. Source: ISO 8820-3, from memory.
func Blade(rating float64) (quickest, slowest Fuse) {
	quickest, slowest = Fuse{Rating: rating}, Fuse{Rating: rating}
	for _, row := range [...]struct{ times, least, most float64 }{
		{1.35, 0.75, 600}, {1.6, 0.25, 50}, {2, 0.15, 5}, {3.5, 0.04, 0.5}, {6, 0.02, 0.1},
	} {
		quickest.Points = append(quickest.Points, Point{row.times * rating, row.least})
		slowest.Points = append(slowest.Points, Point{row.times * rating, row.most})
	}
	return quickest, slowest
}
