package figure

import (
	"math"
	"slices"
)

const hatchPitch = 8 // px along an axis between two lines

// hatchLines returns the parts of the lines x + y = k·pitch that lie inside the polygon (even-odd rule), from low to high k.
// The lines rise to the right and stand at places that do not depend on the polygon, so that neighbours meet.
func hatchLines(polygon []Point, pitch float64) [][]Point {
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range polygon {
		low, high = min(low, px(p.X)+px(p.Y)), max(high, px(p.X)+px(p.Y))
	}
	var paths [][]Point
	for k := math.Ceil(low / pitch); k*pitch < high && len(paths) < 10000; k++ {
		at := crossings(polygon, k*pitch)
		for i := 0; i+1 < len(at); i += 2 {
			if at[i+1]-at[i] > 0.05 {
				paths = append(paths, []Point{{at[i], k*pitch - at[i]}, {at[i+1], k*pitch - at[i+1]}})
			}
		}
	}
	return paths
}

// crossings returns the x, rising, where x + y = c meets the polygon's sides; each side counts its first point and not its last.
func crossings(polygon []Point, c float64) []float64 {
	var at []float64
	for i, p := range polygon {
		q := polygon[(i+1)%len(polygon)]
		a, b := px(p.X)+px(p.Y)-c, px(q.X)+px(q.Y)-c
		if a < 0 != (b < 0) {
			at = append(at, px(p.X)+(px(q.X)-px(p.X))*a/(a-b))
		}
	}
	slices.Sort(at)
	return at
}
