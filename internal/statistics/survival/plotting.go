package survival

// A PlotPoint is where an age at failure stands on a probability plot.
type PlotPoint struct {
	Age float64
	P   float64 // part failed, 0 < P < 1
}

// Plotting returns the positions of the ages at failure, rising, on a probability plot: one for each age, that of the middle
// of the failures which share it. Ages are exact or open, with late entry.
//
// Ranks are adjusted for units that left before (Johnson, The Statistical Treatment of Fatigue Experiments, 1964; as a product over
// the units at risk: Herd 1960), and turned to approximate medians of their distribution by Benard and Bos-Levenbach, Statistica
// Neerlandica 7 (1953), p. 163: (rank − 0.3)/(n + 0.4), as the NIST/SEMATECH e-Handbook 8.2.2.1 does; equation [F5] of docs/models.md.
func Plotting(lives []Life) ([]PlotPoint, error) {
	units := 0.0
	for _, l := range lives {
		units += float64(l.Count)
	}
	var points []PlotPoint
	good := 1.0
	err := risk([][]Life{lives}, func(age float64, atRisk, failed []float64) {
		n, d := atRisk[0], failed[0]
		middle := good * (n + 1 - (d+1)/2) / (n + 1)
		good *= (n + 1 - d) / (n + 1) // [F5] Π n/(n+1) over d failures
		rank := (units + 1) * (1 - middle)
		points = append(points, PlotPoint{age, (rank - 0.3) / (units + 0.4)})
	})
	if err != nil {
		return nil, err
	}
	return points, nil
}
