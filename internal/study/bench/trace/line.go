package trace

import (
	"fmt"
	"math"

	"hindwatt/internal/statistics"
	"hindwatt/internal/study/bench"
)

// A Line is y = Intercept + Slope·x, by least squares.
type Line struct {
	Intercept, Slope     float64
	InterceptSE, SlopeSE float64 // standard errors
	SD                   float64 // of the residuals
	DOF                  float64 // of SD: independent points, less 2
	Points               int
	Low, High            float64 // of x
	R2                   float64
	centre               float64 // mean of x
	mean                 float64 // of y
	square               float64 // Σ (x - mean)²
}

// Fit lays a line through points: ordinary least squares [L2].
//
//	x, y         at least 3 of each; x not all alike
//	independent  how many of the points count as independent; 0: all
//
// The errors take residuals for independent and alike; where they follow each other, fewer points
// count, and the errors grow by √((n-2)/(independent-2)).
func Fit(x, y []float64, independent float64) (Line, error) {
	n := len(x)
	switch {
	case n != len(y):
		return Line{}, fmt.Errorf("line: %d x and %d y; want as many of both", n, len(y))
	case n < 3:
		return Line{}, fmt.Errorf("line: %d points; want 3 or more", n)
	}
	l := Line{Points: n, centre: average(x), mean: average(y), Low: x[0], High: x[0]}
	var xy, yy float64
	for i := range x {
		dx, dy := x[i]-l.centre, y[i]-l.mean
		l.square += dx * dx
		xy += dx * dy
		yy += dy * dy
		l.Low, l.High = min(l.Low, x[i]), max(l.High, x[i])
	}
	if !(l.square > 0) || math.IsInf(l.square, 0) || !(l.High > l.Low) {
		return Line{}, fmt.Errorf("line: x is the same at all %d points; want it to vary", n)
	}
	l.Slope = xy / l.square // [L2]
	l.Intercept = l.mean - l.Slope*l.centre
	rest := 0.0
	for i := range x {
		r := y[i] - l.mean - l.Slope*(x[i]-l.centre)
		rest += r * r
	}
	l.SD = math.Sqrt(rest / float64(n-2))
	if yy > 0 {
		l.R2 = 1 - rest/yy
	}
	l.DOF = float64(n - 2)
	wider := 1.0
	if independent > 0 && independent < float64(n) {
		l.DOF = max(independent-2, 1)
		wider = math.Sqrt(float64(n-2) / l.DOF)
	}
	l.SlopeSE = l.SD / math.Sqrt(l.square) * wider
	l.InterceptSE = l.SD * math.Sqrt(1/float64(n)+l.centre*l.centre/l.square) * wider
	return l, nil
}

// Residuals returns what is left of points of the line.
func (l Line) Residuals(x, y []float64) []float64 {
	out := make([]float64, len(x))
	for i := range x {
		out[i] = y[i] - l.At(x[i])
	}
	return out
}

// At is the line's value.
func (l Line) At(x float64) float64 { return l.mean + l.Slope*(x-l.centre) }

// SlopeWithin is the slope with its limits at a level, by t.
func (l Line) SlopeWithin(level float64) bench.Interval {
	half := Student(level, l.DOF) * l.SlopeSE
	return bench.Interval{Best: l.Slope, Low: l.Slope - half, High: l.Slope + half}
}

// Within is the line's value with its limits at a level, by t.
func (l Line) Within(x, level float64) bench.Interval {
	dx := x - l.centre
	half := Student(level, l.DOF) * l.SlopeSE * math.Sqrt(l.square/float64(l.Points)+dx*dx)
	at := l.At(x)
	return bench.Interval{Best: at, Low: at - half, High: at + half}
}

// Student is the half-width of a two-sided interval in standard errors.
func Student(level, dof float64) float64 {
	return statistics.StudentTQuantile((1+level)/2, max(dof, 1))
}
