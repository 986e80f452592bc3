package statistics

import "math"

// SecondOrder returns the standard uncertainty with the terms of next higher order that
// JCGM 100:2008 5.1.2, note, gives for independent inputs, normal or nearly so, and an f that is not
// linear. Derivatives are differences over an eighth of each U.
func SecondOrder(f func(x []float64) (float64, error), in []Input) (float64, error) {
	b, err := Propagate(f, in, nil)
	if err != nil {
		return 0, err
	}
	const part = 1.0 / 8
	x := estimates(in)
	at := func(i int, a float64, j int, c float64) (y float64) { // f with inputs i and j moved
		if err != nil {
			return 0
		}
		save := [2]float64{x[i], x[j]}
		x[i] += a * part * in[i].standard()
		x[j] += c * part * in[j].standard()
		y, err = evaluate(f, in, x)
		x[i], x[j] = save[0], save[1]
		return y
	}
	variance := b.U * b.U
	for i := range in {
		for j := range in {
			var second, third float64 // ∂²f/∂xi∂xj and ∂³f/∂xi∂xj², times U/8 of each
			if i == j {
				second = at(i, 1, j, 0) - 2*b.Value + at(i, -1, j, 0)
				third = (at(i, 2, j, 0) - 2*at(i, 1, j, 0) + 2*at(i, -1, j, 0) - at(i, -2, j, 0)) / 2
			} else {
				second = (at(i, 1, j, 1) - at(i, 1, j, -1) - at(i, -1, j, 1) + at(i, -1, j, -1)) / 4
				third = (at(i, 1, j, 1) - 2*at(i, 1, j, 0) + at(i, 1, j, -1) -
					at(i, -1, j, 1) + 2*at(i, -1, j, 0) - at(i, -1, j, -1)) / 2
			}
			second /= part * part
			third /= part * part * part
			variance += second*second/2 + b.Lines[i].Contribution*third
		}
	}
	if err != nil {
		return 0, err
	}
	return math.Sqrt(max(0, variance)), nil
}
